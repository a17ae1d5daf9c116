"""Say what stands on a sheet and beside it: sizes, materials, and what a part is called."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.rules.lengths import Length, System, show, tape
from kiosk.rules.sheets.model import Material
from kiosk.rules.words import Phrase, join, say

Names = Mapping[str, tuple[str, str]]
"""What a part is called by its code: its name and its unit, in the shop's words."""


def say_sides(length: int, width: int, system: System) -> Phrase:
    """Return two sides as a shop says them; millimetres without their unit: `1160 × 400`."""
    is_inch = system is System.INCH
    sides = [tape(Length(side), system, unit_mark=is_inch) for side in (length, width)]
    return say("{length} × {width}", length=sides[0], width=sides[1])


def say_size(length: int, width: int, system: System) -> Phrase:
    """Return two sides with their unit: `1160 × 400 mm`."""
    sides = say_sides(length, width, system)
    return sides if system is System.INCH else join((sides, "mm"))


def say_material(material: Material, system: System) -> Phrase:
    """Return a material with its thickness, where somebody said one."""
    thick = show(material.thickness, system) if material.thickness is not None else ""
    return join((material.name, thick), ", ")
