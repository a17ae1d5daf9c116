"""A small ceramics studio by hand: two people, one finish bench, two clamps; times in minutes."""

from datetime import UTC, date, datetime, timedelta

from kiosk.rules.dayplan.built import Built, ChainNames
from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Lag,
    Placed,
    Plan,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)

MIDNIGHT = datetime(2026, 3, 12, tzinfo=UTC)  # a Thursday
ZERO = int(MIDNIGHT.timestamp()) // 60


def at(clock: str, *, day: int = 0) -> int:
    """Return the minute of a time such as 08:30, so many days on."""
    hours, minutes = clock.split(":")
    return ZERO + day * 1440 + int(hours) * 60 + int(minutes)


def when(clock: str, *, day: int = 0) -> datetime:
    """Return the same as a time."""
    return MIDNIGHT + timedelta(minutes=at(clock, day=day) - ZERO)


def span(starts: str, ends: str, *, day: int = 0) -> Span:
    """Return a stretch of one day."""
    return Span(at(starts, day=day), at(ends, day=day))


SHIFTS = tuple(
    one
    for day in (0, 1)
    for one in (span("08:00", "12:00", day=day), span("13:00", "17:00", day=day))
)
ANN, BEN = Worker("Ann", SHIFTS), Worker("Ben", SHIFTS)
BENCHES = (Bench("assemble", 2), Bench("finish", 1), Bench("install", 1))


def work(step: str, station: str = "assemble", minutes: int = 30, **more) -> Work:
    """Return a step of half an hour."""
    return Work(step, station, minutes, **more)


def placed(chain: int, number: int, starts: str, minutes: int = 30, *people: int, **more) -> Placed:
    """Return a step of today, by Ann where nobody is named."""
    first = at(starts)
    return Placed(chain, number, first, first + minutes, people or (0,), **more)


def problem(*chains: Chain, now: str = "08:00", dues: tuple[Due, ...] = (), **more) -> Problem:
    """Return the studio with these chains, all of the job GLZ."""
    told = {
        "people": (ANN, BEN),
        "benches": BENCHES,
        "stores": (Store("clamps", 2),),
        "jobs": dues or (Due("GLZ"),),
    }
    return Problem(now=at(now), chains=chains, **{**told, **more})


def built(shop: Problem, *, days: dict[str, date | None] | None = None, **more) -> Built:
    """Return a problem with names: the steps are titled by their own names."""
    names = tuple(
        ChainNames(
            (shop.jobs[chain.job].job, chain.unit),
            chain.unit or "load",
            "shelf",
            tuple(one.step.replace("-", " ") for one in chain.works),
        )
        for chain in shop.chains
    )
    return Built(shop, names, days or {}, **more)


def plan(*steps: Placed, **more) -> Plan:
    """Return a plan of these steps."""
    return Plan(tuple(sorted(steps, key=lambda one: one.starts)), 0.0, **more)


def glued(unit: str, *, frees: Frees = Frees.START, slots: int = 2, rest: int = 120) -> Chain:
    """Return a unit that is glued up, rests in the clamps and is unclamped."""
    return Chain(
        0,
        unit,
        (
            work("glue-up", hold=Hold("clamps", slots, frees)),
            work("unclamp", waits=(Lag(0, rest),)),
        ),
    )
