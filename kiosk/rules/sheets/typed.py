"""Read what a person types about sheets and offcuts: all that is wrong is said at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from kiosk.rules.lengths import LONGEST, PER_MM, Length, parse
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import Material, SheetSize
from kiosk.rules.words import Phrase, _, say

MOST_SHEETS: Final = 9999  # of one size; more is a slip (choice)
LEAST_SHEET: Final = Length(300 * PER_MM)  # longer side of a sheet, as in the settings (choice)
LONGEST_NAME: Final = 80  # characters of a material's name (choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A size as it was typed; '' for a thickness, count or trim that nobody gave."""

    material: str
    thickness: str
    length: str
    width: str
    count: str = ""
    trim: str = ""


def read_size(
    typed: Typed, *, unit: str, trim: Length
) -> tuple[SheetSize | None, tuple[Problem, ...]]:
    """Return the size that was typed, None where anything is wrong, and all that is.

    Args:
        typed: the texts.
        unit: what a length without one is in, `mm` or `inch`.
        trim: where none was typed.
    """
    problems: list[Problem] = []

    def side(column: Phrase, text: str) -> Length:
        length, why = parse(text, unit)
        if length is None:
            problems.append(_wrong(column, text, why))
        return length or Length(1)

    name = " ".join(typed.material.split())
    if not name or len(name) > LONGEST_NAME:
        why = _("Write the material's name as on part lists.")
        problems.append(_wrong(_("Material"), name[:LONGEST_NAME], why))
    thick = side(_("Thickness"), typed.thickness) if typed.thickness.strip() else None
    length, width = side(_("Length"), typed.length), side(_("Width"), typed.width)
    count, wrong = _count(typed.count)
    problems += wrong
    given = typed.trim.strip()
    lost = Length(0) if given == "0" else side(_("Trim"), given) if given else trim
    if not problems and not 2 * lost < min(length, width, LONGEST):
        problems.append(_wrong(_("Trim"), typed.trim, _("It takes all of the sheet.")))
    if problems:
        return None, tuple(problems)
    material = Material(name, thick)
    return SheetSize(material=material, length=length, width=width, count=count, trim=lost), ()


def as_listed(
    size: SheetSize, listed: Sequence[Material]
) -> tuple[SheetSize | None, tuple[Problem, ...]]:
    """Return a size with its material as lists write it, None where it may be one of several.

    Capital letters do not matter. A thickness nobody typed is the one that is listed; where several
    are, it has to be said. A material that no list has stays as it was typed.
    """
    wanted = size.material
    same = [one for one in listed if one.name.casefold() == wanted.name.casefold()]
    exact = [one for one in same if one.thickness == wanted.thickness]
    if exact or not same:
        return replace(size, material=exact[0] if exact else wanted), ()
    name = same[0].name
    if wanted.thickness is not None:
        return replace(size, material=Material(name, wanted.thickness)), ()
    if len(set(same)) == 1:
        return replace(size, material=same[0]), ()
    several = say("{material} is listed in several thicknesses.", material=name)
    why = _("Say the thickness too.")
    return None, (Problem(several, why, column=_("Thickness"), value=""),)


def check_sheet(size: SheetSize | None) -> tuple[Problem, ...]:
    """Say that a size is too small for a whole sheet: most likely its unit was left out."""
    if size is None or max(size.length, size.width) >= LEAST_SHEET:
        return ()
    return (
        Problem(
            _("A sheet as small as that is an offcut, or its unit is missing."),
            _("Write the unit, such as 96 x 48 in, or add it as an offcut."),
            column=_("Length"),
        ),
    )


def _count(text: str) -> tuple[int | None, tuple[Problem, ...]]:
    plain = text.strip()
    if not plain:
        return None, ()
    if plain.isdecimal() and len(plain) < 9 and int(plain) <= MOST_SHEETS:
        return int(plain), ()
    why = say("Write a whole number up to {most}, or nothing for any number.", most=MOST_SHEETS)
    return None, (_wrong(_("Count"), text, why),)


def _wrong(column: Phrase, value: str, why: str) -> Problem:
    return Problem(
        say("{column}: {value} is not understood.", column=column, value=value or "–"),
        why,
        column=column,
        value=value,
    )
