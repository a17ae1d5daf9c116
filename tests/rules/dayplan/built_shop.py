"""Build the day plan's problem of small shops, from lines of what was scanned."""

from datetime import date, time, timedelta

from kiosk.rules.dayplan.build import build
from kiosk.rules.dayplan.means import Means, Site
from kiosk.rules.floor import Rack
from kiosk.rules.fold import UnitState
from kiosk.rules.route import State
from kiosk.rules.standing import stand
from kiosk.rules.steps import supports_of
from kiosk.rules.touchtimes import touch_times
from kiosk.rules.workday import Hours
from tests.builders import SETUP, at, folded, history

HOURS = Hours(time(7, 30), time(17), time(12), 45, (0, 1, 2, 3, 4))
TWO = (("Ida", HOURS), ("Ole", HOURS))
RACKS = (Rack("Clamps", 2, "glue"), Rack("Rack", 3, "coat"), Rack("Door", 4, "ready"))
TIMES = touch_times(SETUP.routes, {}, {})
FRIDAY = date(2026, 3, 6)


def standings_of(states: dict, now, shop=SETUP) -> dict:
    """Where each unit stands, supports first, as the shop works it out."""
    found: dict = {}
    for _round in range(len(states) + 1):  # each puts at least one more support right
        for key, state in states.items():
            known = [unit for job, unit in states if job == key[0]]
            below = [found.get((key[0], unit)) for unit in supports_of(state.spec, known)]
            missing = tuple("support" for one in below if one is None or one.state != State.HUNG)
            found[key] = stand(state, shop, now=now, missing=missing)
    return found


def shop_of(*units) -> dict:
    """The states of units given as (spec, lines of history)."""
    states: dict[tuple[str, str], UnitState] = {}
    for spec, *lines in units:
        states[spec.job, spec.unit] = folded(history(*lines, unit=spec))
    return states


def built_of(*units, when="Mon 08:00", shop=SETUP, hang_days=None, **means):
    """The problem of a shop at a time; units are (spec, lines of history)."""
    now, states = at(when), shop_of(*units)
    given = {"people": TWO, "racks": RACKS, "site": Site()} | means
    return build(
        states,
        standings_of(states, now, shop),
        Means(shop, given.pop("times", TIMES), now, hours=HOURS, **given),
        hang_days={"GLAZE": FRIDAY} if hang_days is None else hang_days,
    )


def chain_of(built, unit, *, role=""):
    """A unit's chain, its last one where it has two; role 'trip' or 'shop' names another."""
    found = [
        (names, chain)
        for names, chain in zip(built.names, built.problem.chains, strict=True)
        if names.key[1] == unit
    ]
    return found[0 if role == "shop" else -1][1]


def steps(chain):
    return [work.step for work in chain.works]


def minutes(hours=0, mins=0):
    return timedelta(hours=hours, minutes=mins) // timedelta(minutes=1)
