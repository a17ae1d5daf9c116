"""Look for layouts of a job's sheets beside the screen, in a process of its own.

A search ends after so many tries, so that the same list and stock give the same layouts each time;
seconds are only a cap. Where no process can be started it goes on in this one.
"""

from __future__ import annotations

import multiprocessing
import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Final

from kiosk.beside import run_beside
from kiosk.rules.breakdown.model import Breakdown, Task
from kiosk.rules.breakdown.plan import TRIES, options

SECONDS: Final = 10.0  # of processor time for each material, where tries take longer (choice)
SEED: Final = 1


@dataclass(frozen=True, slots=True)
class Limit:
    """When the search of one material ends: after tries, or after seconds of processor time."""

    tries: int = TRIES
    seconds: float = SECONDS
    seed: int = SEED


@dataclass(frozen=True, slots=True)
class Found:
    """What was found of one task: number says which. share is how much of its search is done.

    options holds the best so far, and once is_done all that are worth choosing.
    """

    number: int
    options: tuple[Breakdown, ...]
    share: float = 0.0
    is_done: bool = False


@dataclass(frozen=True, slots=True)
class _Order:
    """What a process does, one task after the other."""

    tasks: tuple[Task, ...]
    limit: Limit


def look_for(
    tasks: Sequence[Task],
    *,
    heard: Callable[[Found], None],
    go_on: Callable[[], bool],
    limit: Limit | None = None,
    processes: int | None = None,
    work: Callable[[Connection, _Order], None] | None = None,
) -> None:
    """Break tasks down, each without problems; blocks, so call it off the drawing thread.

    Args:
        tasks: one for each material.
        heard: called on this thread with all that is found, each task's last marked as done.
        go_on: asked ten times a second at least; a no ends the search soon, with a first layout of
            what was not looked at yet.
        limit: None: that of the kiosk.
        processes: 0: all happens here; else one.
        work: what the process does.
    """
    order = _Order(tuple(tasks), limit or Limit())
    done: set[int] = set()
    told: set[int] = set()

    def take(_process: int, found: Found, _is_last: bool) -> None:  # noqa: FBT001 - as it is sent
        told.add(found.number)
        if found.is_done:
            done.add(found.number)
        heard(found)

    is_beside = (
        processes != 0
        and bool(tasks)
        and run_beside([order], work or work_alone, heard=take, go_on=go_on, seconds=None)
    )
    known = told if is_beside else done
    for number in range(len(tasks)):
        if number not in known:  # once nobody waits, a first layout is all that is made
            _search(order, number, go_on, heard)


def work_alone(connection: Connection, order: _Order) -> None:
    """Search in a process of its own: send all that is found, the last one marked as such."""
    parent = multiprocessing.parent_process()
    last = len(order.tasks) - 1

    def go_on() -> bool:
        return parent is None or parent.is_alive()

    for number in range(len(order.tasks)):
        _search(
            order,
            number,
            go_on,
            lambda found: connection.send((found, found.is_done and found.number == last)),
        )
    connection.close()


def _search(
    order: _Order, number: int, go_on: Callable[[], bool], heard: Callable[[Found], None]
) -> None:
    """Search one task, and hand on each better layout, how far it is, and all worth choosing."""
    limit, begun = order.limit, time.process_time()
    best: tuple[Breakdown, ...] = ()
    share = 0.0

    def better(one: Breakdown) -> None:
        nonlocal best
        best = (one,)
        heard(Found(number, best, share))

    def progress(done: float) -> None:
        nonlocal share
        share = done
        heard(Found(number, best, share))

    def may() -> bool:
        return time.process_time() - begun < limit.seconds and go_on()

    found, _problems = options(
        order.tasks[number],
        draw=random.Random(limit.seed).random,
        tries=limit.tries,
        go_on=may,
        heard=better,
        progress=progress,
    )
    heard(Found(number, found or best, 1.0, is_done=True))
