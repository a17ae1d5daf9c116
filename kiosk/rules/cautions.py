"""Say the usual caution with a step; the product's label and safety data sheet decide."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from kiosk.rules.words import _, join

# Sources: docs/rules.md, "Cautions".
HAZARDS: Final[Mapping[str, str]] = {
    "fresh_air": _("Fresh air while it is wet; fans at the room, not at the film."),
    "dust": _("Sanding and sawing dust: extraction and a particle mask."),
    "oily_rags": _("Oily rags can catch fire by themselves: dry them flat outside, in one layer."),
    "flammable": _("Flammable: no sparks, flames or running machines; fresh air."),
    "vapour": _("Vapour mask for solvents, besides fresh air."),
    "isocyanate": _("Isocyanates: gloves and fresh air; no spraying without proper controls."),
    "skin": _("Gloves and eye protection."),
    "blades": _("Blades: guards on, hands clear; unplug before changing one."),
    "lifting": _("Cables and pipes in the wall first; two people lift."),
}
RAGS_DONE: Final = _(
    "Rags out? Flat outside in one layer, away from buildings; then a tight "
    "metal can, filled with water and detergent."
)


def say_cautions(hazards: Iterable[str], words: str = "") -> str:
    """Return the sentences of some hazards, then a label's own words, as one text."""
    sentences = [HAZARDS[hazard] for hazard in dict.fromkeys(hazards)]
    return join([*sentences, words])
