"""Work something out in a process of its own that can be ended at any moment."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any, Final, Self, TypeVar

SLICE_S: Final = 0.1  # how often it is asked whether to go on (choice)
T = TypeVar("T")
END_S: Final = 5.0  # how long the process may take to end (choice)


class HelperGone(Exception):
    """There is no answer: nobody wants it any more, or the process died."""


class Helper:
    """A process that answers one call after the other; started at the first."""

    def __init__(self, go_on: Callable[[], bool]) -> None:
        """Take `go_on`, asked ten times a second; a no ends the process, even amid a call."""
        self._go_on = go_on
        self._process: Any = None
        self._mine: Any = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_error: object) -> None:
        if self._process is not None:
            self._process.terminate()
            self._process.join(END_S)
            self._mine.close()

    def call(self, function: Callable[..., T], *args: object, **named: object) -> T:
        """Return what a function of some module returns; blocks the calling thread.

        Raises:
            HelperGone: nobody wants it any more, it failed, or no process can be had.
        """
        if not self._go_on():
            raise HelperGone
        try:
            if self._process is None:
                self._start()
            self._mine.send((function, args, named))
            while not self._mine.poll(SLICE_S):
                if not self._go_on():
                    raise HelperGone
            is_done, found = self._mine.recv()
        except (EOFError, OSError) as error:
            raise HelperGone from error
        if not is_done:
            raise HelperGone(found)
        result: T = found
        return result

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._mine, theirs = context.Pipe()
        self._process = context.Process(target=serve, args=(theirs,), daemon=True)
        self._process.start()
        theirs.close()


def serve(connection: Connection) -> None:
    """Answer calls until the other end is closed; what fails is answered with its cause."""
    while True:
        try:
            function, args, named = connection.recv()
        except (EOFError, OSError):
            return
        try:
            answer = (True, function(*args, **named))
        except Exception as error:  # noqa: BLE001 - whatever failed there is told here
            answer = (False, f"{type(error).__name__}: {error}")
        connection.send(answer)
