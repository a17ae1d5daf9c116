"""Follow a plan in a shop that runs: as priorities, made anew whenever people begin."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from kiosk.rules.dayplan.model import Keys, Plan, Problem
from kiosk.rules.dayplan.present import Present

Rule: TypeAlias = Callable[[Problem], Keys]
Planner: TypeAlias = Callable[[Problem, Keys | None], Plan]
NEW = float("inf")


def planned_keys(problem: Problem, plan: Plan) -> list[list[float]]:
    """Return a plan as priorities: of the ready steps the one planned first comes first."""
    starts = [[NEW] * len(chain.works) for chain in problem.chains]
    for one in plan.placed:
        starts[one.chain][one.work] = float(one.starts)
    return starts


class ByRule:
    """A policy that works by the priorities of a rule, taken anew from what is left."""

    def __init__(self, rule: Rule) -> None:
        self._rule = rule

    def __call__(self, left: Present) -> Keys:
        """Return the keys of what is left."""
        return self._rule(left.problem)


class ByPlan:
    """A policy that follows a plan: of the steps that are ready, the one planned first comes first.

    The planner gets what is left as a problem, and the keys of the plan before it (None at first),
    in which what has come in since has the key NEW.
    """

    def __init__(self, planner: Planner) -> None:
        self._planner = planner
        self._keys: dict[tuple[int, int], float] = {}
        self.plans = 0
        self.kept: list[float] = []  # of the next ten steps, the share that a new plan kept
        self._next: list[tuple[int, int]] = []

    def __call__(self, left: Present) -> Keys:
        """Return the planned starts of what is left."""
        named = list(zip(left.chains, left.firsts, left.problem.chains, strict=True))
        carried = [
            [self._keys.get((old, first + step), NEW) for step in range(len(chain.works))]
            for old, first, chain in named
        ]
        plan = self._planner(left.problem, carried if self._keys else None)
        rows = plan.keys
        self._keys = {
            (old, first + step): key
            for (old, first, _chain), row in zip(named, rows, strict=True)
            for step, key in enumerate(row)
        }
        self.plans += 1
        starts = planned_keys(left.problem, plan)
        self._compare(left, starts)
        return starts

    def _compare(self, left: Present, starts: Keys) -> None:
        """Write down which of the next ten steps of the plan before are still among the next ten.

        Only steps that are not done yet are compared.
        """
        order: list[tuple[float, tuple[int, int]]] = []
        for old, first, row in zip(left.chains, left.firsts, starts, strict=True):
            order += [(start, (old, first + step)) for step, start in enumerate(row)]
        now = [name for _start, name in sorted(order)]
        there = set(now)
        before = [name for name in self._next if name in there][:10]
        if before:
            self.kept.append(len(set(before) & set(now[: len(before)])) / len(before))
        self._next = now
