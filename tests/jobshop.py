"""Classic job shops with proved optima, as problems of the day plan: see tests/data/README.md."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from kiosk.rules.dayplan.model import Aims, Bench, Chain, Due, Problem, Span, Work, Worker

DATA = Path(__file__).parent / "data" / "jobshop.json"
NAMES = ("ft06", "ft10", "ft20", "la01", "la02", "la06", "la16", "la21", "abz5", "orb01")
# a problem's first minute; any number does
NOW = 0


def load(name: str, operators: int | None = None) -> Problem:
    """Return an instance whose cost is its makespan in minutes.

    operators people share the machines; none given: one for each job, as many as can be busy.
    """
    found = _data()[name]
    machines, minutes = found["machines"], found["minutes"]
    chains = tuple(
        Chain(
            job=0,
            unit=f"{name}-{index + 1}",
            works=tuple(
                Work(step=f"step {number + 1}", station=f"machine {machine}", minutes=minute)
                for number, (machine, minute) in enumerate(zip(*row, strict=True))
            ),
        )
        for index, row in enumerate(zip(machines, minutes, strict=True))
    )
    # nobody needs longer than all of it one after the other
    day = Span(NOW, NOW + sum(map(sum, minutes)))
    people = operators or len(chains)
    return Problem(
        now=NOW,
        people=tuple(Worker(f"operator {one + 1}", (day,)) for one in range(people)),
        benches=tuple(
            Bench(f"machine {one}") for one in sorted({m for row in machines for m in row})
        ),
        stores=(),
        jobs=(Due(name, due=NOW),),
        chains=chains,
        aims=Aims(late=1.0, finish=0.0, flow=0.0),
    )


def optimum(name: str, operators: int | None = None) -> int:
    """Return the proved makespan, without people or with so many of them."""
    found = _data()[name]
    proved: int = found["with_operators"][str(operators)] if operators else found["optimum"]
    return proved


@cache
def _data() -> dict[str, Any]:
    data: dict[str, Any] = json.loads(DATA.read_text(encoding="utf-8"))
    return data
