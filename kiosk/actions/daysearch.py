"""Look for a better day plan beside the work, in a thread of its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from random import Random
from threading import Event, Lock, Thread
from time import monotonic

from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Plan
from kiosk.rules.dayplan.search import improve

NO_LIMIT = 1_000_000  # plans; the time ends it before (choice)


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan people work by, what it was made from, and when."""

    built: Built
    plan: Plan
    made: datetime


class DaySearch:
    """One search at a time; whoever asks takes the best plan found so far."""

    def __init__(self) -> None:
        self._lock, self._stop = Lock(), Event()
        self._thread: Thread | None = None
        self._found: KeptPlan | None = None

    @property
    def is_on(self) -> bool:
        """Tell whether a search goes on."""
        return self._thread is not None and self._thread.is_alive() and not self._stop.is_set()

    def begin(
        self,
        kept: KeptPlan,
        *,
        heard: Callable[[], object] | None = None,
        seconds: float,
        evaluations: int = NO_LIMIT,
    ) -> None:
        """Begin to look for a better plan; a search that goes on is ended first.

        Args:
            kept: the plan to begin from.
            heard: called from the search's thread when a better plan was found, and at the end.
            seconds: how long to look at most.
            evaluations: how many plans to try at most.
        """
        self.end()
        self._stop = Event()
        given = (kept, self._stop, heard or (lambda: None), monotonic() + seconds, evaluations)
        self._thread = Thread(target=self._look, args=given, name="day plan", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """End the search; what was found stays until it is taken."""
        self._stop.set()

    def wait(self) -> None:
        """Wait until the search has ended by itself."""
        if self._thread is not None:
            self._thread.join()

    def take(self) -> KeptPlan | None:
        """Return the best plan found since the last call, or None."""
        with self._lock:
            found, self._found = self._found, None
        return found

    def _look(
        self,
        kept: KeptPlan,
        stop: Event,
        heard: Callable[[], object],
        until: float,
        evaluations: int,
    ) -> None:
        def better(found: Plan) -> None:
            with self._lock:
                if not stop.is_set():
                    self._found = replace(kept, plan=found)
            heard()

        best = improve(
            kept.built.problem,
            [kept.plan],
            draw=Random(1).random,
            evaluations=evaluations,
            go_on=lambda: not stop.is_set() and monotonic() < until,
            heard=better,
        )
        if not stop.is_set():
            if best.cost < kept.plan.cost:
                better(best)
            stop.set()
            heard()
