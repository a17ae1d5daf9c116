"""Read the cells of one row of a part list to values."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, TypeVar

from kiosk.rules import lengths, values
from kiosk.rules.columns import NEEDED, SIZES, Header
from kiosk.rules.guesses import is_bare_fraction
from kiosk.rules.lengths import Length
from kiosk.rules.parts import KINDS
from kiosk.rules.problems import Problem
from kiosk.rules.values import Finish
from kiosk.rules.words import _, known, say

T = TypeVar("T")
LONGEST_TEXT: Final = 200
_UNIT_COLUMNS: Final = ("unit", "unit_name", "wall", "position", "hangs_on")
_EITHER_WAY: Final = re.compile(r"[1-9]\.[0-9]{3}(?: ?mm)?")

_REMEDIES: Final = {
    "quantity": _("Write a whole number from 1 to 9999, such as 2."),
    "kind": say("Write one of {names}, or leave the cell empty.", names=", ".join(KINDS)),
    "grain": _("Write length, width or none: the side that runs with the grain."),
    "bevel": _("Write the angle in degrees, such as 45, or leave the cell empty."),
    "finish": _("Write one finish, with “+ stripe” behind it where wanted, or none."),
    "measure": _("Write mm, cm, m, in or ft."),
    **dict.fromkeys(SIZES, lengths.EXAMPLES),
}
_SHORTEN: Final = say("Shorten the text to {longest_text} characters.", longest_text=LONGEST_TEXT)


@dataclass(frozen=True, slots=True)
class Reading:
    """What one row says; a value it does not state, or states wrongly, is missing.

    sizes, texts and unit map our columns to values; row counts from 1; whole tells that the row
    has no problem and everything needed.
    """

    row: int
    sizes: Mapping[str, Length]
    texts: Mapping[str, str]
    quantity: int
    bevel: float
    unit: Mapping[str, str]
    finish: Finish | None
    whole: bool


def read_row(
    row: Sequence[str], number: int, header: Header, unit: str
) -> tuple[Reading, list[Problem]]:
    """Read one row; unit holds for lengths whose cell, header and row name none."""
    said = {column: tidy(row[at]) for column, at in header.at.items() if at < len(row)}
    said = {column: text for column, text in said.items() if text}
    missing = [column for column in NEEDED if column in header.at and column not in said]
    problems = [
        _problem(
            header,
            number,
            column,
            "",
            say("The {column} is missing.", column=known(column, "column")),
        )
        for column in missing
    ]
    if len(said) == 1 and len(missing) > 1:
        problems = [_alone(number, *said.values())]
    reader = _Reader(header, number, said, problems)
    stray = [text for text in map(tidy, row[header.width :]) if text]
    if stray:
        problems.append(_stray(number, stray[0]))
    measured = reader.read("measure", values.measure)
    sizes = {column: reader.length(column, measured, unit) for column in SIZES if column in said}
    kind = reader.read("kind", values.kind)
    reading = Reading(
        row=number,
        sizes={column: length for column, length in sizes.items() if length is not None},
        quantity=reader.read("quantity", values.quantity) or 0,
        bevel=reader.read("bevel", values.bevel) or 0.0,
        finish=reader.read("finish", values.finish),
        texts={"grain": reader.read("grain", values.grain) or "", **reader.plain_texts()},
        unit={k: said[k] for k in _UNIT_COLUMNS if k in said} | ({"kind": kind} if kind else {}),
        whole=not problems and all(column in said for column in NEEDED),
    )
    return reading, problems


@dataclass(frozen=True, slots=True)
class _Reader:
    """One row being read; problems grow as cells are read."""

    header: Header
    number: int
    said: Mapping[str, str]
    problems: list[Problem]

    def read(self, column: str, parse: Callable[[str], tuple[T | None, str]]) -> T | None:
        """Read the cell of one column; None where it is empty or wrong."""
        text = self.said.get(column)
        if text is None:
            return None
        value, why = parse(text)
        if why:
            self.problems.append(_problem(self.header, self.number, column, text, why))
        return value

    def length(self, column: str, measured: str | None, unit: str) -> Length | None:
        """Read a length; the cell's own unit goes before the header's, the row's and the list's."""
        declared = self.header.units.get(column) or measured
        text = self.said[column]
        if column == "thickness" and values.is_none(text) and text != "0":
            return None
        if declared in ("mm", "cm", "m") and is_bare_fraction(text):
            why = say(
                "“{text}” is a fraction, and the column is in {declared}. Is it inches?",
                text=text,
                declared=declared,
            )
            return self.read(column, lambda _: (None, why))
        if column != "thickness" and _EITHER_WAY.fullmatch(text) and (declared or unit) == "mm":
            number = text.removesuffix("mm").strip()
            decimal = number.rstrip("0").rstrip(".")
            whole = number.replace(".", "")
            why = say(
                "“{text}” can mean {whole} mm or {decimal} mm; write the one you mean.",
                text=text,
                whole=whole,
                decimal=decimal,
            )
            return self.read(column, lambda _: (None, why))
        return self.read(column, lambda cell: _length(cell, declared or unit))

    def plain_texts(self) -> dict[str, str]:
        """Give the free texts, and find those too long for a label and a screen."""
        for column, text in self.said.items():
            if len(text) > LONGEST_TEXT:
                why = say("This text has {n} characters.", n=len(text))
                self.problems.append(_problem(self.header, self.number, column, text, why))
        texts = {key: self.said.get(key, "") for key in ("part", "material", "edge", "note")}
        return texts | ({"edge": ""} if values.is_none(texts["edge"]) else {})


@lru_cache(maxsize=8192)
def tidy(text: str) -> str:
    """Bring a cell to one line with single spaces and nothing unprintable."""
    if text.isascii() and text.isalnum():
        return text
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _problem(header: Header, row: int, column: str, text: str, why: str) -> Problem:
    """Make the problem of one cell; a missing or overlong one has a remedy of its own."""
    remedy = _REMEDIES.get(column, _("Fill the cell in the list and read it again."))
    return Problem(
        message=why,
        remedy=_SHORTEN if len(text) > LONGEST_TEXT else remedy,
        row=row,
        column=header.heard.get(column, column),
        value=text,
    )


def _alone(row: int, text: str) -> Problem:
    return Problem(
        message=say("Only “{text}” stands in this row.", text=text),
        remedy=_("If it is a heading or a remark, put # in front of it; else fill in the part."),
        row=row,
        value=text,
    )


def _stray(row: int, text: str) -> Problem:
    return Problem(
        message=say(
            "This row has more cells than the header; “{text}” stands under no heading.", text=text
        ),
        remedy=_(
            "If a number or text holds the separator (603,5), put it in quotes or save "
            "the list with another separator; else empty the cell."
        ),
        row=row,
        value=text,
    )


def _length(text: str, unit: str) -> tuple[Length | None, str]:
    value, why = lengths.read(text, unit)
    return value, why
