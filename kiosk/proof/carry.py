"""Turn a plan the solver found into priorities, so that the next plan can begin from it."""

from __future__ import annotations

from dataclasses import replace

from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import Minute, Plan, Problem


def carried(problem: Problem, plan: Plan) -> Plan:
    """Return a plan no worse that decodes from its own keys, with as few delays as will do.

    The keys are the plan's starts. The decoder starts all it can; where that goes before the plan,
    the first such step is held back, until what comes out costs no more. If nothing does, as the
    decoder may choose other people, the plan comes back as it is, with those delays.
    """
    starts = {(one.chain, one.work): one.starts for one in plan.placed}
    delays: dict[tuple[int, int], Minute] = {}
    for _each in plan.placed:
        again = decode(problem, plan.keys, delays=delays)
        if again.cost <= plan.cost and again.over == plan.over:
            return again
        early = (one for one in again.placed if one.starts < starts[one.chain, one.work])
        first = next(early, None)
        if first is None:
            break
        delays[first.chain, first.work] = starts[first.chain, first.work]
    return replace(plan, delays=delays)
