"""Look for layouts of a job's sheets beside the screen: a thread waits for the process."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Event, Lock, Thread

from kiosk.breaker import Found, Limit, look_for
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.tasks import MaterialTask


@dataclass(frozen=True, slots=True)
class Search:
    """A search as it stands: what was found of each material so far, None before the first."""

    job: str = ""
    tasks: tuple[MaterialTask, ...] = ()
    problems: tuple[Problem, ...] = ()
    found: tuple[Found | None, ...] = ()
    is_running: bool = False
    seconds: float = 0.0

    @property
    def share(self) -> float:
        """Return how much of the search is done, 0 to 1."""
        done = [one.share if one else 0.0 for one in self.found]
        return sum(done) / len(done) if done else 1.0


class SheetSearch:
    """One search at a time; whoever asks gets it as it stands."""

    def __init__(self) -> None:
        self._lock, self._stop = Lock(), Event()
        self._thread: Thread | None = None
        self._search = Search()
        self._found: list[Found | None] = []
        self._begun = self._ended = 0.0

    def begin(
        self,
        job: str,
        tasks: Sequence[MaterialTask],
        problems: Sequence[Problem] = (),
        *,
        heard: Callable[[], object] | None = None,
        limit: Limit,
        processes: int | None = None,
    ) -> None:
        """Begin to look; a search that goes on is ended first, and what it found forgotten."""
        self.end()
        self.wait()
        self._stop = stop = Event()
        self._search = Search(job, tuple(tasks), tuple(problems))
        self._found = [None] * len(tasks)
        self._begun, self._ended = time.monotonic(), 0.0
        given = (heard or (lambda: None), limit, processes, stop)
        self._thread = Thread(target=self._look, args=given, name="sheets", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """End the search soon; the best so far stays."""
        self._stop.set()

    def wait(self) -> None:
        """Wait until the search has ended."""
        if self._thread is not None:
            self._thread.join()

    def now(self) -> Search:
        """Return the search as it stands."""
        with self._lock:
            found = tuple(self._found)
            ended = self._ended
        search = self._search
        is_running = bool(search.tasks) and not ended and not self._stop.is_set()
        seconds = (ended or time.monotonic()) - self._begun if search.job else 0.0
        return Search(search.job, search.tasks, search.problems, found, is_running, seconds)

    def _look(
        self,
        heard: Callable[[], object],
        limit: Limit,
        processes: int | None,
        stop: Event,
    ) -> None:
        def take(one: Found) -> None:
            with self._lock:
                self._found[one.number] = one
            heard()

        try:
            look_for(
                [one.task for one in self._search.tasks],
                heard=take,
                go_on=lambda: not stop.is_set(),
                limit=limit,
                processes=processes,
            )
        finally:  # whoever waits for the end hears of it whatever happened
            with self._lock:
                self._ended = time.monotonic()
            stop.set()
            heard()
