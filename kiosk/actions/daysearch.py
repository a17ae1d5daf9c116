"""Look for a better day plan beside the work: a thread waits for the planner's processes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from threading import Event, Lock, Thread

from kiosk.planner import Limit, look_for
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Plan


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
        limit: Limit,
        processes: int | None = None,
    ) -> None:
        """Begin to look for a better plan; a search that goes on is ended first.

        Args:
            kept: the plan to begin from.
            heard: called from the search's thread when a better plan was found, and at the end.
            limit: when it ends by itself.
            processes: how many; None: one for each core, 0: only the thread.
        """
        self.end()
        self._stop = Event()
        given = (kept, self._stop, heard or (lambda: None), limit, processes)
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
        limit: Limit,
        processes: int | None,
    ) -> None:
        least = kept.plan.cost

        def better(found: Plan) -> None:
            nonlocal least
            with self._lock:
                if stop.is_set() or found.cost >= least:
                    return
                least, self._found = found.cost, replace(kept, plan=found)
            heard()

        def go_on() -> bool:
            return not stop.is_set()

        try:
            best = look_for(
                kept.built.problem,
                [kept.plan],
                limit=limit,
                heard=better,
                go_on=go_on,
                processes=processes,
            )
            better(best)
        finally:  # whoever waits for the end hears of it whatever happened
            if not stop.is_set():
                stop.set()
                heard()
