"""Run a shop forward for a promise, away from the thread that records scans."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kiosk.actions.intake import TakenIn
from kiosk.helper import Helper, HelperGone
from kiosk.rules.dayplan.model import Keys, Minute
from kiosk.rules.dayplan.model import Problem as DayProblem
from kiosk.rules.dayplan.promise import Promise, promise, promise_present
from kiosk.rules.dayplan.simulate import Arrival
from kiosk.rules.dayplan.spread import Spread


@dataclass(frozen=True, slots=True)
class PromiseAsk:
    """What a promise is worked out from; made on the shop's thread, worked out anywhere.

    new is a job to come, job the number of one that is in the shop. Both are None where nothing can
    be promised: a list with problems, nobody who works.
    """

    taken: TakenIn
    notes: tuple[str, ...] = ()
    problem: DayProblem | None = None
    keys: Keys = ()
    new: Arrival | None = None
    runs: int = 0
    seed: int = 0
    spread: Spread | None = None
    resting: Mapping[int, Minute] = field(default_factory=dict)
    job: int | None = None

    @property
    def is_whole(self) -> bool:
        """Tell whether anything can be worked out."""
        return self.problem is not None and (self.new is not None or self.job is not None)


def work_out(ask: PromiseAsk) -> Promise | None:
    """Return what can be promised; takes seconds."""
    if not ask.is_whole:
        return None
    function, args = _question(ask)
    return function(*args, **_spread(ask))


def work_out_aside(ask: PromiseAsk, go_on: Callable[[], bool]) -> Promise | None:
    """Return the same from a process of its own, None where nobody wants it any more.

    Where no process can be had it is worked out on the calling thread.
    """
    if not ask.is_whole:
        return None
    function, args = _question(ask)
    with Helper(go_on) as helper:
        try:
            return helper.call(function, *args, **_spread(ask))
        except HelperGone:
            return work_out(ask) if go_on() else None


def _question(ask: PromiseAsk) -> tuple[Callable[..., Promise], tuple[object, ...]]:
    if ask.new is not None:
        return promise, (ask.problem, ask.keys, ask.new)
    return promise_present, (ask.problem, ask.keys, ask.job)


def _spread(ask: PromiseAsk) -> dict[str, object]:
    return {
        "runs": ask.runs,
        "seed": ask.seed,
        "spread": ask.spread,
        "resting": dict(ask.resting),
    }
