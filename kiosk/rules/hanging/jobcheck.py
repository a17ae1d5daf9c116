"""Check how the units of a job's measured walls hang: each rated with all that shares its cleat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations

from kiosk.rules.hanging.carrying import Job, carrier_of, fill_in, on_wall
from kiosk.rules.hanging.complete import Filled
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import HangingView, UnitHanging
from kiosk.rules.hanging.means import Means
from kiosk.rules.hanging.onwall import OnWall
from kiosk.rules.hanging.order import Hung, hanging_order
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.together import Rated, rate_cleat
from kiosk.rules.hanging.unitcheck import Checking, see_carried, see_hooked, see_screwed
from kiosk.rules.hanging.wallsum import Panel, see_wall
from kiosk.rules.naming import natural
from kiosk.rules.records import Allowed
from kiosk.rules.words import _, say


def check_job(code: str, job: Job, *, allowed: Mapping[str, Allowed], means: Means) -> HangingView:
    """Return the check of a job's measured walls.

    Args:
        code: the job's.
        job: its units, and what people said of them and of its walls.
        allowed: by unit, a person's word for hanging it although it is refused.
        means: of the shop.
    """
    filled = fill_in(job)
    on_it = {name: one for name, one in filled.items() if one.fitting.wall in job.walls}
    carriers = {name: carrier_of(name, on_it) for name in on_it}
    placed = {
        name: on_wall(name, job, filled=on_it, carried=_carried(name, carriers))
        for name, one in on_it.items()
        if one.fitting.how is How.CLEAT
    }
    rated = _rate(placed, job, means)
    checking = Checking(job=job, filled=on_it, carriers=carriers, allowed=allowed, means=means)
    units: dict[str, UnitHanging] = {}
    for name in placed:
        units[name] = see_hooked(
            checking, placed[name], rated=rated[name], shares_with=_beside(name, placed)
        )
    for name, one in on_it.items():
        if one.fitting.how is How.CARRIED:
            units[name] = see_carried(checking, name, carrier=units.get(carriers[name]))
        elif one.fitting.how is How.SCREWED:
            units[name] = see_screwed(checking, name)
    listed = tuple(units[name] for name in on_it)
    return HangingView(
        job=code,
        walls=tuple(
            see_wall(
                wall,
                [one for one in listed if one.wall == wall.wall],
                panels=_panels(wall.wall, job, on_it),
                pitch=means.pitch,
                system=job.system,
            )
            for wall in sorted(job.walls.values(), key=lambda one: natural(one.wall))
        ),
        units=listed,
        order=hanging_order(_hung(job, on_it), system=job.system),
        unmeasured=tuple(name for name in filled if name not in on_it),
    )


def _carried(name: str, carriers: Mapping[str, str]) -> list[str]:
    return [one for one, carrier in carriers.items() if carrier == name and one != name]


def _groups(placed: Mapping[str, OnWall]) -> dict[tuple[str, ...], list[str]]:
    """Return the units of each cleat: those of one name on one wall, else each its own."""
    found: dict[tuple[str, ...], list[str]] = {}
    for name in placed:
        found.setdefault(_cleat_of(name, placed), []).append(name)
    return found


def _cleat_of(name: str, placed: Mapping[str, OnWall]) -> tuple[str, ...]:
    fitting = placed[name].fitting
    return (fitting.wall, fitting.cleat.name) if fitting.cleat.name else (name,)


def _beside(name: str, placed: Mapping[str, OnWall]) -> tuple[str, ...]:
    """Return the units that share a unit's cleat."""
    mine = _cleat_of(name, placed)
    return tuple(one for one in placed if one != name and _cleat_of(one, placed) == mine)


def _rate(placed: Mapping[str, OnWall], job: Job, means: Means) -> dict[str, Rated]:
    found: dict[str, Rated] = {}
    for names in _groups(placed).values():
        units = {name: placed[name] for name in names}
        found |= rate_cleat(units, stock=means.stock, shop=means.shop, system=job.system)
    for name, refusal in _in_one_place(placed):
        one = found[name]
        rating = Rating(limits={}, refusals=(*one.rating.refusals, refusal))
        found[name] = replace(one, rating=rating, screws=())
    return found


def _in_one_place(placed: Mapping[str, OnWall]) -> Iterator[tuple[str, Refusal]]:
    """Yield each unit whose cleat is entered where another cleat is."""
    for first, second in combinations(placed, 2):
        if _cleat_of(first, placed) == _cleat_of(second, placed):
            continue
        one, other = placed[first].fitting, placed[second].fitting
        if (one.wall, one.on) != (other.wall, other.on):
            continue
        mine, its = _box(placed[first]), _box(placed[second])
        if mine is None or its is None:
            continue
        across = mine[0] < its[2] and its[0] < mine[2]
        if across and mine[1] < its[3] and its[1] < mine[3]:
            yield first, _same_place(second)
            yield second, _same_place(first)


def _box(one: OnWall) -> tuple[int, int, int, int] | None:
    cleat = one.fitting.cleat
    if cleat.x is None or cleat.y is None or cleat.length is None or cleat.height is None:
        return None
    return cleat.x, cleat.y, cleat.x + cleat.length, cleat.y + cleat.height


def _same_place(other: str) -> Refusal:
    message = say("Its cleat is entered where that of {unit} is.", unit=other)
    return Refusal(Why.CLEATS, message, _("Give them one cleat by one name, or mend the places."))


def _panels(wall: str, job: Job, filled: Mapping[str, Filled]) -> list[Panel]:
    return [
        Panel(unit=name, fitting=one.fitting)
        for name, one in filled.items()
        if one.fitting.wall == wall and job.specs[name].kind == "panel"
    ]


def _hung(job: Job, filled: Mapping[str, Filled]) -> list[Hung]:
    return [
        Hung(unit=name, kind=job.specs[name].kind, fitting=one.fitting, after=one.fitting.on)
        for name, one in filled.items()
    ]
