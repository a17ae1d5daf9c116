"""Settle what a part list leaves unsaid: the kind of a unit and the unit of measure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final

from kiosk.rules.columns import plain
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

# English, German, French, Spanish and Dutch, small letters without accents.
_KIND_WORDS: Final = {
    "panel": """panel panels backer board backboard platte platten panneau panneaux tablero paneel
        panelen paneles wandpaneel wandplatte ruckwand""",
    "shelf": """shelf shelves shelving ledge regal regale boden fachboden regalboden etagere
        etageres tablette tablettes estante estantes balda baldas repisa schap schappen legplank
        plank""",
    "box": """box boxes bin bins crate crates drawer drawers cabinet cabinets cubby cubbies tray
        trays kiste kisten kasten korpus schublade boite boites caisson caissons tiroir caja cajas
        cajon cajones bak bakken kist kisten doos lade""",
    "divider": """divider dividers partition partitions separator trenner teiler trennwand
        unterteiler separateur cloison separador divisor verdeler tussenschot scheidingswand""",
    "rail": """rail rails cleat cleats batten battens strip leiste leisten schiene schienen
        tasseau tasseaux liteau riel rieles liston listones lat latten lijst rails""",
    "door": """door doors flap lid tur turen tuer tueren klappe porte portes volet puerta puertas
        deur deuren klep""",
    "wall": "wall walls wand mur murs pared paredes muur muren",
}
_KIND_OF: Final = {word: kind for kind, words in _KIND_WORDS.items() for word in words.split()}

# 10 ft: the longest sheet good sold by the foot; common practice, no source.
_LONGEST_INCHES: Final = 120
UNMARKED: Final = _("No unit of measure is named, so plain numbers were read as mm.")
_BARE: Final = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_FRACTION: Final = re.compile(r"[0-9 -]*(?:[0-9] ?[/⁄∕] ?[0-9]+|[¼-¾⅐-⅞])")
_INCHES: Final = re.compile(r".*[0-9¼-¾⅐-⅞] ?(?:\"|″|”|''|in|ins|inch|inches|zoll)\.?")
_METRIC: Final = re.compile(r".*[0-9] ?(?:mm|cm|m)\.?")


def kind_named(text: str) -> str | None:
    """Give the kind a word names, in any of five languages; None where it names none."""
    return _KIND_OF.get(plain(text))


def guess_kind(name: str) -> str | None:
    """Give the kind of the last word in a name that names one; None where none does."""
    kinds = [_KIND_OF[word] for word in plain(name).split() if word in _KIND_OF]
    return kinds[-1] if kinds else None


def is_bare_fraction(text: str) -> bool:
    """Tell whether a cell is a fraction that names no unit."""
    return bool(_FRACTION.fullmatch(text.strip()))


def settle_unit(
    columns: Mapping[str, Iterable[tuple[int, str]]], units: str | None
) -> tuple[str, str, Problem | None]:
    """Choose the unit for cells that name none: (unit, a note or '', a problem or None).

    columns holds, for each column whose header names no unit, the row numbers and cells. units is
    what the person chose, None if nothing. Chosen inches hold. Else the unit is mm, unless bare
    fractions, or plain numbers beside inches in one column, show that the list is in inches: then
    it is inches where nothing was chosen and every plain number stays within 120. Where neither
    reading is safe, it is a problem.
    """
    if units in ("in", "inch", "ft"):
        return units, "", None
    mixed: tuple[str, int, str] | None = None
    fraction: tuple[str, int, str] | None = None
    small, metric = True, False
    for column, cells in columns.items():
        kinds: dict[str, tuple[int, str]] = {}
        for row, text in cells:
            kind = _kind_of_number(text)
            kinds.setdefault(kind, (row, text))
            if kind in ("large", "metric"):
                small = False
        metric = metric or "metric" in kinds
        if "fraction" in kinds:
            fraction = fraction or (column, *kinds["fraction"])
        bare = kinds.get("large") or kinds.get("bare")
        if bare and ("fraction" in kinds or "inches" in kinds):
            mixed = mixed or (column, *bare)
    if units is None and small and (fraction or mixed):
        return "in", _("Lengths without a unit were read as inches: others are fractions."), None
    if mixed:
        return units or "mm", "", _mixed_problem(*mixed)
    if units is None and fraction and not metric:
        return "mm", "", _fraction_problem(*fraction)
    note = "" if units or not any(columns.values()) else UNMARKED
    return units or "mm", note, None


def _kind_of_number(text: str) -> str:
    """Sort a cell: fraction, inches, metric, bare (up to 120), large (bare above) or other."""
    if _BARE.fullmatch(text):
        return "bare" if float(text.replace(",", ".")) <= _LONGEST_INCHES else "large"
    if _FRACTION.fullmatch(text):
        return "fraction"
    if _INCHES.fullmatch(text.lower()):
        return "inches"
    return "metric" if _METRIC.fullmatch(text.lower()) else "other"


def _fraction_problem(column: str, row: int, text: str) -> Problem:
    return Problem(
        message=say(
            "“{text}” is a fraction, but other columns hold numbers too large for inches.",
            text=text,
        ),
        remedy=_(
            "Name the unit in the headers, such as Length (in), "
            "or say in which unit plain numbers are (--units)."
        ),
        row=row,
        column=column,
        value=text,
    )


def _mixed_problem(column: str, row: int, text: str) -> Problem:
    return Problem(
        message=say(
            "“{text}” names no unit, and other cells of this column are inches.", text=text
        ),
        remedy=_("Name the unit in the header, such as Length (in), or behind each number."),
        row=row,
        column=column,
        value=text,
    )
