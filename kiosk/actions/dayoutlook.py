"""Work out what takes time about a plan: what would help, what holds, whether it is the best."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from kiosk.helper import Helper, HelperGone
from kiosk.proof import MOST_CHAINS, adopt, is_proved, prove
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.follow import planned_keys
from kiosk.rules.dayplan.model import Keys, Minute, Plan, Problem
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.promise import chances
from kiosk.rules.dayplan.spread import Spread
from kiosk.rules.dayplan.whatif import best_change

LOG = logging.getLogger("cleatclock.planning")
RUNS: Final = 99  # how often the shop is run forward for a chance; as for a promise (choice)
SEED: Final = 1
PROOF_S: Final = 20.0  # how long a proof may take (choice)


@dataclass(frozen=True, slots=True)
class Doubt:
    """What chances need besides a plan: how times spread, and since when chains rest."""

    spread: Spread | None = None
    resting: Mapping[int, Minute] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is known of a plan beyond its steps; what is not worked out yet lacks.

    change is the change that would help most, chance by job how likely its day holds. best_starts
    are the starts of a proved plan by chain and step: a plan that still has them is still best.
    """

    change: str = ""
    chance: Mapping[str, float] = field(default_factory=dict)
    best_starts: frozenset[tuple[str, str, str, Minute]] | None = None


def look_ahead(
    built: Built,
    plan: Plan,
    doubt: Doubt,
    *,
    go_on: Callable[[], bool],
    better: Callable[[Plan], object],
    heard: Callable[[Outlook], object],
) -> None:
    """Work an outlook out in a process of its own; blocks, so call it off the shop's thread.

    Args:
        built: the shop's problem with its names.
        plan: the plan people work by.
        doubt: what chances need.
        go_on: asked ten times a second; a no ends it at once.
        better: told a plan that costs less and that both checkers accept.
        heard: told the outlook so far, each time there is more.
    """
    outlook = Outlook()
    try:
        with Helper(go_on) as helper:
            change = best_change(built, plan, lambda problem: helper.call(first_plan, problem))
            outlook = replace(outlook, change=change)
            heard(outlook)
            outlook = replace(outlook, chance=_chances(helper, built, plan, doubt))
            heard(outlook)
            if len(built.problem.chains) <= MOST_CHAINS:
                found, is_best = helper.call(proved, built.problem, plan)
                if found.cost < plan.cost:
                    better(found)
                if is_best:
                    heard(replace(outlook, best_starts=starts_of(built, found)))
    except HelperGone as error:
        LOG.info("the outlook of the day ended early: %s", error)


def proved(problem: Problem, plan: Plan) -> tuple[Plan, bool]:
    """Return the better of a plan and the solver's, and whether there is none with less lateness.

    Without the extra `proof` it is the plan as it was.
    """
    proof = prove(problem, plan, seconds=PROOF_S)
    best = adopt(problem, plan, proof.plan)
    return best, is_proved(problem, best, proof)


def starts_of(built: Built, plan: Plan) -> frozenset[tuple[str, str, str, Minute]]:
    """Return when each step of a plan begins, by the chain's job and unit and the step's name."""
    problem = built.problem
    return frozenset(
        (*built.names[one.chain].key, problem.chains[one.chain].works[one.work].step, one.starts)
        for one in plan.placed
    )


def _chances(helper: Helper, built: Built, plan: Plan, doubt: Doubt) -> dict[str, float]:
    problem = built.problem
    if not any(job.due is not None for job in problem.jobs):
        return {}
    keys: Keys = planned_keys(problem, plan)
    asked: dict[str, Any] = {"runs": RUNS, "seed": SEED}
    asked |= {"spread": doubt.spread, "resting": dict(doubt.resting)}
    found = helper.call(chances, problem, keys, **asked)
    pairs = zip(problem.jobs, found, strict=True)
    return {job.job: chance for job, chance in pairs if chance is not None}
