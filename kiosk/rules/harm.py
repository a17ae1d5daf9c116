"""Say what the air may have done for good to all that was put on a unit."""

from __future__ import annotations

from datetime import datetime

from kiosk.rules.drying import AT_RISK, Risk, risk_of
from kiosk.rules.fold import UnitState
from kiosk.rules.route import Step
from kiosk.rules.setup import Setup
from kiosk.rules.words import join, say

TESTED = "tested"  # the stage of a finding that says: looked at and found sound


def harms(state: UnitState, setup: Setup, *, now: datetime) -> tuple[tuple[Step, Risk], ...]:
    """Return what may have come to harm, worst first, but for what somebody has tested since.

    A coat that was found dry has formed a film; a test of the whole unit clears all that was on it.
    """
    found = []
    for step in setup.steps(state.spec):
        done = state.done.get(step.name) if step.uses else None
        product = setup.product(step, state.spec) if done else None
        if done is None or product is None:
            continue
        air = setup.air(step, state.spec)
        if not air.readings:
            continue
        risk = risk_of(product, done.at, now=now, air=air)
        cleared = any(
            one.at >= done.at and (one.stage == TESTED or (one.step == step.name and one.dry))
            for one in state.findings
        )
        if risk is not None and not cleared:
            found.append((step, risk))
    return tuple(sorted(found, key=lambda pair: pair[1].level != AT_RISK))


def say_harms(found: tuple[tuple[Step, Risk], ...]) -> str:
    """Return in words what may have come to harm, empty for nothing."""
    at_risk = [step.title for step, risk in found if risk.level == AT_RISK]
    if len(at_risk) < 2:
        return join((_say_harm(step, risk) for step, risk in found), "; ")
    worst = say("{coats}: too cold too soon, test or redo them", coats=join(at_risk, ", "))
    rest = [_say_harm(step, risk) for step, risk in found if risk.level != AT_RISK]
    return join([worst, *rest], "; ")


def _say_harm(step: Step, risk: Risk) -> str:
    return say("{step}: {harm}", step=step.title, harm=risk.words)
