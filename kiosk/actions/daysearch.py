"""Look for a better day plan beside the work: a thread waits for the planner's processes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from threading import Event, Lock, Thread

from kiosk.actions.dayoutlook import Doubt, Outlook, look_ahead
from kiosk.planner import Limit, look_for
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.model import Plan


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan people work by, what it was made from, and when."""

    built: Built
    plan: Plan
    made: datetime


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a search begins from, who hears of it, and how far it goes."""

    kept: KeptPlan
    heard: Callable[[], object]
    limit: Limit
    processes: int | None
    doubt: Doubt | None
    searches: bool


class DaySearch:
    """One search at a time; whoever asks takes the best plan found so far."""

    def __init__(self) -> None:
        self._lock, self._stop, self._over = Lock(), Event(), Event()
        self._thread: Thread | None = None
        self._found: KeptPlan | None = None
        self._outlook: Outlook | None = None

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
        doubt: Doubt | None = None,
        searches: bool = True,
    ) -> None:
        """Begin to look for a better plan; a search that goes on is ended first.

        Args:
            kept: the plan to begin from.
            heard: called from the search's thread when a better plan was found, and at the end.
            limit: when it ends by itself.
            processes: how many; None: one for each core, 0: only the thread.
            doubt: what chances need; with it the outlook is worked out after the search.
            searches: False works the outlook of the plan out and changes nothing of it.
        """
        self.close()
        self._stop, self._over = Event(), Event()
        asked = _Asked(kept, heard or (lambda: None), limit, processes, doubt, searches)
        given = (asked, self._stop, self._over)
        self._thread = Thread(target=self._look, args=given, name="day plan", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """End the search; what was found stays until it is taken."""
        self._stop.set()

    def close(self) -> None:
        """End the search and what follows it."""
        self._stop.set()
        self._over.set()

    def wait(self) -> None:
        """Wait until the search has ended by itself."""
        if self._thread is not None:
            self._thread.join()

    def take(self) -> KeptPlan | None:
        """Return the best plan found since the last call, or None."""
        with self._lock:
            found, self._found = self._found, None
        return found

    def take_outlook(self) -> Outlook | None:
        """Return what was worked out last since the last call, or None."""
        with self._lock:
            found, self._outlook = self._outlook, None
        return found

    def _look(self, asked: _Asked, stop: Event, over: Event) -> None:
        least = asked.kept

        def better(found: Plan) -> None:
            nonlocal least
            with self._lock:
                if not asked.searches or over.is_set() or found.cost >= least.plan.cost:
                    return
                self._found = least = replace(asked.kept, plan=found)
            asked.heard()

        try:
            if asked.searches:
                best = look_for(
                    asked.kept.built.problem,
                    [asked.kept.plan],
                    limit=asked.limit,
                    heard=lambda plan: None if stop.is_set() else better(plan),
                    go_on=lambda: not stop.is_set(),
                    processes=asked.processes,
                )
                if not stop.is_set():
                    better(best)
        finally:  # whoever waits for the end hears of it whatever happened
            if not stop.is_set():
                stop.set()
                asked.heard()
        if asked.doubt is not None and not over.is_set():
            self._look_ahead(asked, least, over, better)

    def _look_ahead(
        self, asked: _Asked, kept: KeptPlan, over: Event, better: Callable[[Plan], None]
    ) -> None:
        def heard(outlook: Outlook) -> None:
            with self._lock:
                if over.is_set():
                    return
                self._outlook = outlook
            asked.heard()

        look_ahead(
            kept.built,
            kept.plan,
            asked.doubt or Doubt(),
            go_on=lambda: not over.is_set(),
            better=better,
            heard=heard,
        )
