"""The sample shop's working days: who scans what, when, and what goes wrong.

Two people, two walls, two jobs. Everything is invented, but it goes through the same actions as in
a real shop.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from math import pi, sin
from zoneinfo import ZoneInfo

from kiosk import samplewall
from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.rules.air import Reading
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.rules.standing import Standing

ZONE = ZoneInfo("Europe/Dublin")
START = datetime(2026, 3, 4, 7, 30, tzinfo=ZONE)  # a Wednesday
NOW = datetime(2026, 3, 11, 15, 40, tzinfo=ZONE)  # the Wednesday after
PEOPLE = ("Mara", "Ivo")

# Minutes of hands-on work; invented for the demo.
MINUTES = {
    "cut": 2.0, "gather": 0.5, "glue-up": 12.0, "fill": 4.0, "sand": 5.0, "coat": 7.0, "scuff": 3.0,
    "mask": 8.0, "stripe": 6.0, "unmask": 2.0, "hang": 12.0, "refit": 10.0, "clean": 5.0,
    "patch": 30.0, "skim": 45.0,
}  # fmt: skip
# A clear first coat after this hour cannot be scuffed before its window closes in the night.
LAST_CLEAR_COAT = 11
LAST_START = datetime(2026, 3, 11, 16, 30, tzinfo=ZONE)
LAST_HOUR = 16  # from then on somebody puts the oily rags out
MEASURED = datetime(2026, 3, 11, 13, 0, tzinfo=ZONE)  # what hangs by then went up unchecked
SITE_HOURS = range(8, 11)  # hanging is done on the way to the site, in the morning


@dataclass(slots=True)
class _Script:
    """What goes wrong in the sample week, and which units start when."""

    releases: dict[str, datetime] = field(default_factory=dict)
    forgotten: str = "G08"  # its scuff is forgotten until the window has closed
    held: str = "K05"  # its first coat fails
    spoiled: str = "K12"  # one of its parts is spoiled, and not cut again yet
    clamps_taken: str = "K11"  # gathered, but all clamps are in use
    no_filler: str = "K10"  # out of clamps, but the filler has run out
    van_full: tuple[str, ...] = ("G09", "G10")  # ready, and left for another day
    not_begun: tuple[str, ...] = ("K13", "K20")
    done: set[str] = field(default_factory=set)


def replay(shop: Shop, clock: FixedClock) -> None:
    """Scan through the working days until the Wednesday afternoon."""
    script = _Script()
    _spread(shop, script)
    free = dict.fromkeys(PEOPLE, START + timedelta(minutes=30))
    air = _air()
    coming = next(air)
    while min(free.values()) < NOW:
        person = min(free, key=lambda name: (free[name], name))
        now = _at_work(free[person])
        while coming[1].at <= now:
            clock.set(coming[1].at)
            shop.take_reading(coming[1], job=coming[0], person=coming[2])
            coming = next(air)
        if now != free[person]:
            free[person] = now
            continue
        clock.set(now)
        _mishaps(shop, script, now, person)
        if now >= MEASURED and "walls" not in script.done:
            samplewall.measure(shop, person)
            script.done.add("walls")
        if now.hour >= LAST_HOUR and shop.rags(now) is not None:
            shop.clear_rags(person=person)
        chosen = _choose(shop, script, now)
        free[person] = now + _work(shop, chosen, person, clock)


def _air() -> Iterator[tuple[str, Reading, str]]:
    """Yield the air of shop and sites as it is read: a sensor every hour, sites in the morning."""
    for hour in itertools.count(-24):
        at = START + timedelta(hours=hour)
        day = sin(2 * pi * (at.hour - 9) / 24)
        warm, damp = 20.5 + 2.5 * day, 50 - 6 * day + 4 * sin(hour / 40)
        yield "", Reading(at, round(warm, 1), round(damp, 1), source="sensor"), ""
        if at.hour in (8, 16) and at.weekday() < 5:
            for job, cooler in (("GLAZE", 1.5), ("KILN", -1.0)):
                yield job, Reading(at, round(warm - cooler, 1), round(damp + 3, 0)), PEOPLE[1]


def _spread(shop: Shop, script: _Script) -> None:
    """Let units start one after another, so that Wednesday finds some at every step."""
    units = [(state.spec.kind, state.spec.unit) for state in shop.store.states().values()]
    script.releases = {unit: START for kind, unit in units if kind == "wall"}
    others = [unit for kind, unit in units if kind != "wall"]
    for place, unit in enumerate(others):
        script.releases[unit] = START + (LAST_START - START) * place / len(others)
    script.releases |= dict.fromkeys(script.not_begun, NOW)


def _at_work(at: datetime) -> datetime:
    """Return the time itself within working hours, else when work goes on."""
    opens, lunch, back, closes = ((7, 30), (12, 0), (13, 0), (17, 0))
    clock = (at.hour, at.minute)
    if at.weekday() >= 5 or clock >= closes:
        day = at + timedelta(days=1)
        return _at_work(day.replace(hour=0, minute=0, second=0, microsecond=0))
    if clock < opens:
        return at.replace(hour=7, minute=30, second=0, microsecond=0)
    if lunch <= clock < back:
        return at.replace(hour=13, minute=0, second=0, microsecond=0)
    return at


def _choose(shop: Shop, script: _Script, now: datetime) -> Standing | None:
    """Return the unit to work on: closing windows first, then what is furthest along."""
    free = [one for one in shop.standings(now) if _may_work(one, script, now)]
    order = {State.SCUFF_FIRST: 0, State.READY_TO_HANG: 1, State.COAT_DUE: 2, State.TO_PREPARE: 3}
    return min(free, key=lambda one: (order.get(one.state, 4), one.unit), default=None)


def _may_work(one: Standing, script: _Script, now: datetime) -> bool:
    if one.step is None or one.resting or one.state == State.ON_HOLD or one.missing:
        return False
    if now < script.releases.get(one.unit, START):
        return False
    left = (
        (script.forgotten, "scuff-2"),
        (script.clamps_taken, "glue-up"),
        (script.no_filler, "fill"),
        *((unit, "hang") for unit in script.van_full),
    )
    if (one.unit, one.step.name) in left or one.unit in script.done:
        return False
    if one.state == State.READY_TO_HANG and now.astimezone(ZONE).hour not in SITE_HOURS:
        return False
    # nobody coats late in the day what must be scuffed within half a day
    return not (
        one.step.name == "coat-1"
        and one.kind != "wall"
        and now.astimezone(ZONE).hour >= LAST_CLEAR_COAT
    )


def _work(shop: Shop, one: Standing | None, person: str, clock: FixedClock) -> timedelta:
    """Do one step, scan it when it is done, and return how long it took."""
    if one is None or one.step is None:
        return timedelta(minutes=15)
    minutes = MINUTES.get(one.step.name, MINUTES.get(one.step.name.rpartition("-")[0], 5.0))
    state = shop.store.state(one.job, one.unit)
    pieces = [piece for piece in state.pieces if piece.needed] if state else []
    if clock.now() + timedelta(minutes=minutes) > NOW:
        return NOW - clock.now()  # not done before the afternoon that the demo shows
    if not one.step.each:
        clock.set(clock.now() + timedelta(minutes=minutes))
        text = f"{one.job}/{one.unit}"
        answer = shop.scan(text, station=one.step.station, person=person, step=one.step.name)
        _expect(answer.outcome, one)
        return timedelta(minutes=minutes)
    todo = [piece for piece in pieces if one.step.name not in piece.done]
    todo = todo[: int((NOW - clock.now()) / timedelta(minutes=minutes))][:6]
    for piece in todo:
        clock.set(clock.now() + timedelta(minutes=minutes))
        answer = shop.scan(piece.piece.code, station=one.step.station, person=person)
        _expect(answer.outcome, one)
    return timedelta(minutes=minutes * len(todo))


def _expect(outcome: Outcome, one: Standing) -> None:
    if outcome != Outcome.RECORDED:
        raise RuntimeError(f"the sample week went wrong at {one.unit}: {outcome}, {one.why}")


def _mishaps(shop: Shop, script: _Script, now: datetime, person: str) -> None:
    """Let one part be spoiled and one unit be put on hold, once each."""
    state = shop.store.state("KILN", script.spoiled)
    cut = [piece for piece in state.pieces if "cut" in piece.done] if state else []
    if script.spoiled not in script.done and len(cut) > 3:
        shop.spoil(cut[1].piece.code, "edge torn out at the saw", person=person)
        script.done.add(script.spoiled)
    standing = shop.standing("KILN", script.held, now)
    if script.held not in script.done and standing is not None and standing.coats_done:
        shop.hold(f"KILN/{script.held}", "coat failed: runs on the front", person=person)
        script.done.add(script.held)
