"""Work beside the screen: processes of their own, started afresh, that send what they find.

A process knows nothing of the screen. One that dies costs only its part of the work.
"""

from __future__ import annotations

import logging
import multiprocessing
import time
from collections.abc import Callable, Sequence
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, Final, TypeVar

LOG = logging.getLogger("cleatclock.planning")
SLICE_S: Final = 0.1  # how often a search looks whether it shall end (choice)
START_S: Final = 5.0  # how long processes may take to start and end beyond the limit (choice)

_Task = TypeVar("_Task")


def run_beside(
    tasks: Sequence[_Task],
    work: Callable[[Connection, _Task], None],
    *,
    heard: Callable[[int, Any, bool], None],
    go_on: Callable[[], bool],
    seconds: float | None = None,
) -> bool:
    """Run each task in a process of its own, until all have ended or must end.

    Args:
        tasks: what they do; they go to the processes, so that they must be picklable.
        work: called in a process with its connection and task; sends pairs of anything and whether
            it is the last.
        heard: called here with the number of the task and what it sent.
        go_on: asked ten times a second; a no ends all.
        seconds: ends all after so many, and a few for the start; None: they end by themselves.

    Returns:
        False where not one of them came to an end and nobody stopped them: they must be done here.
    """
    context = multiprocessing.get_context("spawn")
    started: list[tuple[BaseProcess, Connection]] = []
    try:
        for task in tasks:
            mine, theirs = context.Pipe()
            process = context.Process(target=work, args=(theirs, task), daemon=True)
            process.start()
            theirs.close()
            started.append((process, mine))
        until = None if seconds is None else time.monotonic() + seconds + START_S
        return _listen([mine for _process, mine in started], heard, go_on, until)
    except OSError:
        LOG.warning("no process can be started for planning", exc_info=True)
        return False
    finally:
        for one, mine in started:
            one.terminate()
            one.join(START_S)
            mine.close()


def _listen(
    open_ones: list[Any],
    heard: Callable[[int, Any, bool], None],
    go_on: Callable[[], bool],
    until: float | None,
) -> bool:
    """Hand on what comes until all processes have ended or must end."""
    order, any_ended = list(open_ones), False
    while open_ones:
        if not go_on() or (until is not None and time.monotonic() > until):
            return True
        for one in wait(open_ones, SLICE_S):
            if not isinstance(one, Connection):
                continue
            try:
                found, is_last = one.recv()
            except (EOFError, OSError):
                open_ones.remove(one)
                continue
            any_ended = any_ended or is_last
            heard(order.index(one), found, is_last)
    return any_ended
