"""Look for a better day plan on every core, beside the screen.

Each core gets a process of its own, started afresh so that it knows nothing of the screen. A
process that dies costs only its part of the search; without any the search goes on in this one.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Final

from kiosk.beside import run_beside
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import Plan, Problem
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.search import improve

MANY: Final = 10**9  # evaluations that no limit of seconds lets happen


@dataclass(frozen=True, slots=True)
class Limit:
    """When a search ends: after seconds, or after evaluations in each process, or at the first.

    seed says which random numbers are drawn; each process draws its own. Limited by evaluations
    alone, a search gives the same plan each time; by seconds it does not.
    """

    seconds: float | None = None
    evaluations: int | None = None
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Task:
    """What one process does."""

    problem: Problem
    starts: tuple[Plan, ...]
    limit: Limit
    seed: int


def look_for(
    problem: Problem,
    starts: Sequence[Plan] = (),
    *,
    limit: Limit,
    heard: Callable[[Plan], None] | None = None,
    go_on: Callable[[], bool] | None = None,
    processes: int | None = None,
    work: Callable[[Connection, Task], None] | None = None,
) -> Plan:
    """Return the best plan found within a limit; blocks, so call it off the drawing thread.

    heard gets the first plan and each better one, on the calling thread; go_on is asked ten times a
    second, and the search ends within about 0.2 s of a no. processes is one for each core unless
    given; with 0 all happens here. work is what a process does.
    Raises ValueError where no plan can be made, or where a limit has neither seconds nor a count.
    """
    if limit.seconds is None and limit.evaluations is None:
        raise ValueError("a search needs a limit")
    tell, may = heard or (lambda _plan: None), go_on or (lambda: True)
    begun = [decode(problem, plan.keys, delays=plan.delays) for plan in starts]
    best = min([*begun, first_plan(problem)], key=lambda plan: plan.cost)
    tell(best)
    count = (os.cpu_count() or 1) if processes is None else processes
    tasks = [Task(problem, (best, *begun), limit, limit.seed + number) for number in range(count)]
    crew = _Crew(best, tell)
    if may() and not (tasks and crew.run(tasks, work or work_alone, may)):
        here = Task(problem, (best, *begun), limit, limit.seed)
        crew.take(_search(here, may, crew.take))
    return crew.best


class _Crew:
    """The processes of one search, and the best of what they found."""

    def __init__(self, best: Plan, tell: Callable[[Plan], None]) -> None:
        self.first, self.best, self.tell = best, best, tell
        self.last: dict[int, Plan] = {}

    def take(self, plan: Plan) -> None:
        """Take a plan if it is better."""
        if plan.cost < self.best.cost:
            self.best = plan
            self.tell(plan)

    def run(
        self,
        tasks: Sequence[Task],
        work: Callable[[Connection, Task], None],
        go_on: Callable[[], bool],
    ) -> bool:
        """Run tasks in processes of their own; False if not one of them came to an end."""
        stopped = False

        def may() -> bool:
            nonlocal stopped
            stopped = not go_on()
            return not stopped

        seconds = tasks[0].limit.seconds
        if not run_beside(tasks, work, heard=self._hear, go_on=may, seconds=seconds):
            return False
        if not stopped:
            self._settle()
        return True

    def _hear(self, number: int, plan: Plan, is_last: bool) -> None:  # noqa: FBT001 - as it is sent
        if is_last:
            self.last[number] = plan
        else:
            self.take(plan)

    def _settle(self) -> None:
        """Take the best of the last plans, of equal ones the first."""
        # who was heard first is chance; which process found the best is not
        found = [self.last[number] for number in sorted(self.last)]
        best = min(found, key=lambda plan: plan.cost, default=self.first)
        if best.cost < self.first.cost and best.cost <= self.best.cost:
            self.best = best


def work_alone(connection: Connection, task: Task) -> None:
    """Search in a process of its own: send each better plan, and the last one marked as such."""
    parent = multiprocessing.parent_process()

    def go_on() -> bool:
        return parent is None or parent.is_alive()

    plan = _search(task, go_on, lambda plan: connection.send((plan, False)))
    connection.send((plan, True))
    connection.close()


def _search(task: Task, go_on: Callable[[], bool], heard: Callable[[Plan], None]) -> Plan:
    """Search by a task."""
    draw = random.Random(task.seed).random
    limit, begun = task.limit, time.monotonic()

    def may() -> bool:
        is_over = limit.seconds is not None and time.monotonic() - begun > limit.seconds
        return not is_over and go_on()

    count = MANY if limit.evaluations is None else limit.evaluations
    return improve(task.problem, task.starts, draw=draw, evaluations=count, go_on=may, heard=heard)
