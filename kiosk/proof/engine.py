"""Prove a small day plan the best there is, or find a better one, with a constraint solver.

The solver is OR-Tools' CP-SAT, an extra of its own (`proof`): 270 MB with what it brings, and a
second to import, so it is imported only when something is to be proved. What it finds is believed
only after both checkers have been through it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from kiosk.proof.carry import carried
from kiosk.proof.form import Form
from kiosk.proof.limits import aimed, are_alike, priced
from kiosk.proof.room import limit
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.model import Placed, Plan, Problem
from kiosk.rules.words import _, say

# above about so many chains nothing can be proved in a reasonable time (measured)
MOST_CHAINS = 20
# with fewer the solver leaves out the searches that raise the bound (measured)
WORKERS = 4
# costs closer than this are the same
SAME = 0.5e-3


@dataclass(frozen=True, slots=True)
class Proof:
    """What the solver made of a problem.

    plan is None where it found none, and words say why where it did not even try. No plan at all
    has less lateness and finish than bound; is_best: none has less than plan. The flow of chains is
    not counted in either, as with it little can be proved.
    """

    plan: Plan | None = None
    bound: float = 0.0
    is_best: bool = False
    words: str = ""


def prove(
    problem: Problem,
    hint: Plan,
    *,
    seconds: float,
    workers: int = WORKERS,
    is_repeatable: bool = False,
) -> Proof:
    """Look for the plan with the least lateness and finish, from a sound plan on.

    What time is left goes into the flow of chains at that cost.

    Args:
        problem: of at most MOST_CHAINS chains.
        hint: a sound plan for it.
        seconds: at the most; where is_repeatable, the solver's own measure of work, about as long.
        workers: threads of the solver.
        is_repeatable: one thread, and the same answer on any machine.
    """
    chains = len(problem.chains)
    if chains > MOST_CHAINS:
        return Proof(words=say("Not proved: more than {most} units to plan.", most=MOST_CHAINS))
    if not hint.placed:
        return Proof(hint, aimed(problem, hint), is_best=True)
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        return Proof(words=_("Not proved: the extra “proof” is not installed."))
    search = _Search(cp_model, workers, is_repeatable=is_repeatable)
    form = _formed(cp_model, problem, hint)
    form.model.minimize(form.cost())
    is_found = search.solve(form, seconds)
    bound = max(0.0, search.solver.best_objective_bound) / form.scale
    if not is_found:
        return Proof(bound=bound)
    plan, is_best = _plan(form, search.solver), search.is_proved
    cost = round(search.solver.objective_value)
    left = seconds - search.spent
    if left > 0 and problem.aims.flow:
        form = _formed(cp_model, problem, plan)
        form.model.add(form.cost() <= cost)
        form.model.minimize(form.flow())
        if search.solve(form, left):
            plan = _plan(form, search.solver)
    return Proof(carried(problem, plan), bound, is_best)


def adopt(problem: Problem, mine: Plan, found: Plan | None) -> Plan:
    """Return the found plan if both checkers take it and it costs less, else mine."""
    if found is None or not found.cost < mine.cost - SAME:
        return mine
    if gridcheck.find_faults(problem, found) or sweepcheck.find_faults(problem, found):
        return mine
    return found


def is_proved(problem: Problem, plan: Plan, proof: Proof) -> bool:
    """Tell whether a plan has the least lateness and finish there can be."""
    return not proof.words and aimed(problem, plan) <= proof.bound + SAME


class _Search:
    """The solver with its settings; is_proved tells whether its last answer cannot be beaten."""

    def __init__(self, cp: Any, workers: int, *, is_repeatable: bool) -> None:
        self.cp = cp
        self.is_repeatable = is_repeatable
        self.solver = cp.CpSolver()
        self.solver.parameters.num_workers = 1 if is_repeatable else workers
        self.solver.parameters.random_seed = 1
        self.is_proved = False

    def solve(self, form: Form, seconds: float) -> bool:
        """Tell whether it found a plan in the time it was given."""
        if self.is_repeatable:
            self.solver.parameters.max_deterministic_time = seconds
        else:
            self.solver.parameters.max_time_in_seconds = seconds
        for variable, value in form.hinted:
            form.model.add_hint(variable, value)
        status = self.solver.solve(form.model)
        self.is_proved = status == self.cp.OPTIMAL
        return status in (self.cp.OPTIMAL, self.cp.FEASIBLE)

    @property
    def spent(self) -> float:
        """Return what the last search took, by the measure that it was limited by."""
        spent: float = self.solver.wall_time
        if self.is_repeatable:
            spent = self.solver.deterministic_time
        return spent


def _formed(cp: Any, problem: Problem, hint: Plan) -> Form:
    form = Form(cp, problem, hint)
    limit(form)
    return form


def _plan(form: Form, solver: Any) -> Plan:
    """Return the plan that the solver found; its keys are its starts."""
    now, placed = form.problem.now, []
    for (number, index), step in form.steps.items():
        if (number, index) in form.pins:
            placed.append(form.placed[number, index])
            continue
        starts, ends = solver.value(step.starts.of) + now, solver.value(step.ends.of) + now
        people = tuple(who for who, truth in step.people.items() if solver.value(truth))
        extra = step.work.extra if step.late is not None and solver.value(step.late) else 0
        placed.append(Placed(number, index, starts, ends, people, extra))
    placed.sort(key=lambda one: one.starts)
    if are_alike(form.problem):
        placed = _named(form, placed)
    starts_of = {(one.chain, one.work): float(one.starts - now) for one in placed}
    keys = tuple(
        tuple(starts_of[number, index] for index in range(len(chain.works)))
        for number, chain in enumerate(form.problem.chains)
    )
    plan = Plan(tuple(placed), 0.0, keys, over=form.hint.over)
    return replace(plan, cost=priced(form.problem, plan))


def _named(form: Form, placed: list[Placed]) -> list[Placed]:
    """Return the steps with somebody free for each: those who did it in the hint, if they are.

    As the steps come in the order of their starts, and no more go on at once than there are people,
    there is always somebody free.
    """
    free = [min(one.starts for one in placed)] * len(form.problem.people)
    for one in placed:
        if (one.chain, one.work) in form.pins:
            for who in one.people:
                free[who] = max(free[who], one.ends)
    named = []
    for one in placed:
        key = (one.chain, one.work)
        if key in form.pins:
            named.append(one)
            continue
        before = form.placed[key].people
        able = [who for who, minute in enumerate(free) if minute <= one.starts]
        able.sort(key=lambda who: who not in before)
        people = tuple(sorted(able[: form.steps[key].work.crew]))
        for who in people:
            free[who] = one.ends
        named.append(replace(one, people=people))
    return named
