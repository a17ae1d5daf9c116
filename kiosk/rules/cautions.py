"""Say the usual caution with a step; the product's label and safety data sheet decide."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

# Sources: docs/rules.md, "Cautions".
HAZARDS: Final[Mapping[str, str]] = {
    "fresh_air": "Fresh air while it is wet; fans at the room, not at the film.",
    "dust": "Sanding and sawing dust: extraction and a particle mask.",
    "oily_rags": "Oily rags can catch fire by themselves: dry them flat outside, in one layer.",
    "flammable": "Flammable: no sparks, flames or running machines; fresh air.",
    "vapour": "Vapour mask for solvents, besides fresh air.",
    "isocyanate": "Isocyanates: gloves and fresh air; no spraying without proper controls.",
    "skin": "Gloves and eye protection.",
    "blades": "Blades: guards on, hands clear; unplug before changing one.",
    "lifting": "Cables and pipes in the wall first; two people lift.",
}
RAGS_DONE: Final = (
    "Rags out? Flat outside in one layer, away from buildings; "
    "then a tight metal can, filled with water and detergent."
)


def say_cautions(hazards: Iterable[str], words: str = "") -> str:
    """Return the sentences of some hazards, then a label's own words, as one text."""
    sentences = [HAZARDS[hazard] for hazard in dict.fromkeys(hazards)]
    return " ".join([*sentences, *([words] if words else [])])
