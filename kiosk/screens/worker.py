"""One thread owns the shop: one call after the other; what may hang runs beside it."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Any, TypeVar

Fail = Callable[[Exception], None]
T = TypeVar("T")


class WorkerEnded(Exception):
    """The shop's thread ends or has ended: what was asked for was not done."""


@dataclass(frozen=True, slots=True)
class _Job:
    call: Callable[[], Any]  # Any: whatever the shop answers
    then: Callable[[Any], None]
    fail: Fail


class Worker:
    """Runs calls in order, off the drawing thread; a slow disk never freezes the screen."""

    patience_s = 10.0  # how long what runs aside is waited for, by pictures and tests only

    def __init__(self, later: Callable[[Callable[[float], None]], object]) -> None:
        """Take `later`, which runs a function on the drawing thread and may be called from any."""
        self._later = later
        self._aside: list[threading.Thread] = []
        self._jobs: queue.Queue[_Job | None] = queue.Queue()
        self._ending = threading.Lock()
        self._has_ended = False
        self._thread = threading.Thread(target=self._work, name="shop", daemon=True)
        self._thread.start()

    def ask(self, call: Callable[[], Any], then: Callable[[Any], None], *, fail: Fail) -> None:
        """Run `call` on the shop's thread, then `then` or `fail` on the drawing thread."""
        self._jobs.put(_Job(call, then, fail))

    def call(self, call: Callable[[], T]) -> T:
        """Run `call` on the shop's thread, wait for it, and return what it returns.

        For other threads that go on by what the shop answers; never for the drawing thread.

        Raises:
            WorkerEnded: the thread ends, and the call was not made.
        """
        answer: Future[T] = Future()

        def run() -> None:
            try:
                answer.set_result(call())
            except BaseException as error:  # noqa: BLE001 - raised again where it was asked
                answer.set_exception(error)

        with self._ending:  # nothing comes behind the end, where nobody would look at it
            if self._has_ended:
                raise WorkerEnded
            self._jobs.put(_Job(run, _ignore, _ignore))
        return answer.result()

    def aside(self, call: Callable[[], Any], then: Callable[[Any], None], *, fail: Fail) -> None:
        """Run `call` on a thread of its own, then `then` or `fail` on the drawing thread.

        For what may not answer for minutes, such as a folder of another machine, and needs no
        shop. Nothing can end it: it is let go when the kiosk ends.
        """
        job = _Job(call, then, fail)
        thread = threading.Thread(target=self._run, args=(job,), name="aside", daemon=True)
        self._aside.append(thread)
        thread.start()

    def settle(self) -> None:
        """Wait until all that was asked so far is done; what hangs aside is waited for once."""
        self._jobs.join()
        aside, self._aside = self._aside, []
        for thread in aside:
            thread.join(timeout=self.patience_s)

    def stop(self) -> None:
        """Finish what was asked and end the thread."""
        with self._ending:
            self._has_ended = True
            self._jobs.put(None)
        self._thread.join(timeout=10)

    def _work(self) -> None:
        while (job := self._jobs.get()) is not None:
            self._run(job)
            self._jobs.task_done()
        self._jobs.task_done()

    def _run(self, job: _Job) -> None:
        try:
            found = job.call()
        except Exception as error:  # noqa: BLE001 - the thread must outlive any fault; fail tells
            fault = error
            self._later(lambda _dt: job.fail(fault))
        else:
            self._later(lambda _dt: job.then(found))


def _ignore(_found: object) -> None:
    """Do nothing: what was asked for is told elsewhere."""
