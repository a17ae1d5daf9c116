"""Make a shop's days: people, benches, places, and jobs that come in, all from one seed."""

from __future__ import annotations

import random
from collections.abc import Sequence

from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Lag,
    Minute,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)
from kiosk.rules.dayplan.simulate import Arrival

DAY = 1440
MONDAY = 20_521 * DAY  # 2026-03-09
# minutes of the steps of each kind: cut, glue, unclamp, fill, sand, coat, second coat, cleat, load,
# hang; those of a ceramics studio's fit-out, of our own making
KINDS = {
    "panel": (6, 0, 0, 6, 8, 6, 6, 4, 3, 10),
    "shelf": (10, 8, 2, 5, 8, 6, 6, 4, 3, 8),
    "box": (16, 14, 3, 8, 14, 10, 10, 5, 5, 12),
    "divider": (8, 6, 2, 5, 8, 5, 5, 3, 3, 6),
}
STEPS = ("cut", "glue", "unclamp", "fill", "sand", "coat", "recoat", "cleat", "load", "hang")
STATIONS = {
    "cut": "cut", "glue": "assemble", "unclamp": "assemble", "fill": "assemble", "sand": "finish",
    "coat": "finish", "recoat": "finish", "cleat": "assemble", "load": "load", "hang": "install",
}  # fmt: skip


def open_days(days: int, *, first: Minute = MONDAY) -> tuple[Span, ...]:
    """Return the half days worked: 07:30 to 17:00 less 45 minutes at noon, no weekends."""
    spans = []
    for day in range(days * 7 // 5 + 3):
        if day % 7 < 5:
            at = first + day * DAY
            spans += [Span(at + 450, at + 720), Span(at + 765, at + 1020)]
    return tuple(spans[: 2 * days])


def shop(days: int, *, people: int = 2) -> Problem:
    """Return an empty shop that is open for some days."""
    spans = open_days(days)
    counts = {"cut": 1, "assemble": 2, "finish": 1, "load": 1, "install": 1}
    return Problem(
        spans[0].starts,
        tuple(Worker(f"P{one}", spans) for one in range(people)),
        tuple(Bench(station, count) for station, count in counts.items()),
        (Store("clamps", 40), Store("rack", 24)),
        (),
        (),
    )


def unit(kind: str, name: str, *, source: random.Random) -> Chain:
    """Return a unit's way from the saw to the wall."""
    times = dict(zip(STEPS, KINDS[kind], strict=True))
    clamps = Hold("clamps", source.randint(2, 8) if times["glue"] else 1, Frees.END)
    rack = Hold("rack", 1, Frees.START)
    after = {
        "glue": source.choice((45, 90, 240)), "fill": 60, "coat": source.choice((120, 240)),
        "recoat": source.choice((360, 720)),
    }  # fmt: skip
    steps = [step for step in STEPS if times[step]]
    works = []
    for index, step in enumerate(steps):
        before = steps[index - 1] if index else ""
        lag = (Lag(index - 1, after[before]),) if before in after else ()
        closes = (Lag(index - 1, source.choice((960, 1440))),) if step == "recoat" else ()
        held = {"glue": clamps, "fill": rack, "coat": rack, "recoat": rack}.get(step)
        extra = max(1, times["sand"] // 2) if closes else 0
        minutes = times[step]
        works.append(
            Work(step, STATIONS[step], minutes, waits=lag, closes=closes, extra=extra, hold=held)
        )
    return Chain(0, name, tuple(works))


def touch(chains: Sequence[Chain]) -> int:
    """Return the minutes of all steps."""
    return sum(work.minutes * work.crew for chain in chains for work in chain.works)


def jobs(days: int, *, seed: int, load: float, people: int = 2) -> tuple[Arrival, ...]:
    """Return jobs of 2 to 12 units that come in before the shop opens, for some days.

    load is the share of the people's time they ask for; due dates are 2 to 8 open days off.
    """
    source = random.Random(seed)
    spans = open_days(days + 30)
    capacity = sum(one.ends - one.starts for one in spans[:2]) * people
    found: list[Arrival] = []
    asked = 0.0
    for day in range(days):
        asked += load * capacity * source.expovariate(1.0)
        while asked > 0:
            kinds = source.choices(list(KINDS), k=source.choice((1, 2)))
            count = source.randint(2, 12)
            name = f"J{len(found) + 1}"
            chains = tuple(
                unit(source.choice(kinds), f"{name}-{one + 1}", source=source)
                for one in range(count)
            )
            asked -= touch(chains)
            ahead = 2 + count // 4 + source.randint(0, 3)
            due = spans[2 * (day + ahead) + 1].ends
            weight = source.choice((1.0, 1.0, 2.0, 3.0))
            found.append(Arrival(spans[2 * day].starts - 30, Due(name, due, weight), chains))
    return tuple(found)
