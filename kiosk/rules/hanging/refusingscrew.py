"""Refuse screws without design values, and screws that do not reach far enough."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.rules.hanging.eurocode import missing
from kiosk.rules.hanging.fasteners import layers
from kiosk.rules.hanging.kinds import Steel
from kiosk.rules.hanging.model import Hanging, Screw
from kiosk.rules.hanging.refusals import STEELS, Refusal, Why, at_least, at_most
from kiosk.rules.hanging.screws import PENETRATION, SIZES
from kiosk.rules.lengths import System, mm
from kiosk.rules.words import _, join, say

WIDEST_GAP: Final = 40.0  # mm that bear nothing between wood and stud (common practice, no source)


def refuse_screw(screw: Screw) -> Iterator[Refusal]:
    """Yield what keeps a screw from being rated whatever it goes through."""
    remedy = _("Use wood screws of No. 6 to 14.")
    if screw.gauge not in SIZES:
        message = say(
            "A No. {gauge} screw is not in the table: no root diameter.", gauge=screw.gauge
        )
        yield Refusal(Why.UNKNOWN_SCREW, message, remedy)
    if screw.steel is Steel.UNKNOWN:
        message = _("Nobody knows what kind of screw it is: no yield strength.")
        yield Refusal(Why.UNKNOWN_SCREW, message, remedy)
    elif screw.steel in STEELS:
        yield Refusal(Why.HARD_SCREW, STEELS[screw.steel], remedy)
    lacking = missing(screw.declared) if screw.declared else ()
    if lacking:
        message = say("Declared values are missing: {names}.", names=join(lacking, ", "))
        yield Refusal(Why.DECLARED, message, _("Enter all of them, or none."))


def refuse_layers(hanging: Hanging, system: System) -> Iterator[Refusal]:
    """Yield what is wrong with how far the screw reaches, and with what lies between."""
    between = layers(hanging.cleat, hanging.wall)
    if between.gap > WIDEST_GAP:
        message = say(
            "{gap} between the wood and the stud bear nothing; {most} is the most.",
            gap=at_least(between.gap, system),
            most=at_most(WIDEST_GAP, system),
        )
        yield Refusal(Why.GAP, message, _("Fill behind the panel at the studs, or glue the cleat."))
    yield from short_screw(hanging.screw, between.passed, system=system)


def short_screw(screw: Screw, passed: float, *, system: System) -> Iterator[Refusal]:
    """Yield that a screw which passes so many mm does not reach six diameters into the stud."""
    if screw.gauge not in SIZES:
        return
    need = PENETRATION * SIZES[screw.gauge].shank
    reached = mm(screw.length) - passed
    if reached < need:
        message = say(
            "The screw reaches {reached} into the stud; it needs {need}.",
            reached=at_most(max(reached, 0.0), system),
            need=at_least(need, system),
        )
        yield Refusal(Why.SHORT_SCREW, message, _("Use a longer screw."))
