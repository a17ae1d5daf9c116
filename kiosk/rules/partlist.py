"""Read the rows of a part list, of any order, language and unit, to lines and every problem."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from kiosk.rules.cells import Reading, read_row, tidy
from kiosk.rules.columns import (
    NEEDED,
    NOTHING_SAID,
    SIZES,
    Header,
    find_header,
    looks_like_header,
    measure,
    plain,
)
from kiosk.rules.drafts import PartList, UnitDraft, accounted, units_of
from kiosk.rules.guesses import settle_unit
from kiosk.rules.headings import check_columns, found_headings, list_headings
from kiosk.rules.parts import PartLine
from kiosk.rules.problems import Problem, Skip
from kiosk.rules.revision import Revision, compare
from kiosk.rules.units import settle_units
from kiosk.rules.words import _, capital, join, known, say

__all__ = (
    "PartList",
    "Revision",
    "UnitDraft",
    "accounted",
    "compare",
    "read",
    "units_of",
)

_TOTAL: Final = re.compile(
    r"(?:grand |sub ?|zwischen)?(?:total|totals|sum|summe|gesamt|gesamtsumme|somme|totaux|suma"
    r"|totaal|som)\b.*"
)
_NO_HEADER: Final = _("no header row was found to read it by")
_Rows = list[tuple[int, Sequence[str]]]


def read(
    rows: Sequence[Sequence[str]],
    *,
    units: str | None,
    columns: Mapping[str, str] = NOTHING_SAID,
) -> PartList:
    """Read a part list; rows are all rows of the file, the first is row 1.

    Needed are columns for part, length, width and quantity; everything else may be missing.
    units (mm, cm, m, in, inch, ft or None) holds for lengths whose cell, row and header name none;
    with None they are millimetres unless fractions show inches. A list without a column for units
    makes each row a unit of its own, named after its part. An empty unit cell means the unit above.
    A kind that is not stated is guessed from the unit's name, else 'panel', and noted. Blank rows,
    totals, repeated headers and rows that start with # are left out and named in skipped. columns
    maps headings to what a person says they mean, `none` for a column to be left out.
    """
    said, wrong = check_columns(rows, columns)
    header = find_header(rows, said)
    if header is None:
        return _without_header(rows, wrong)
    body, skipped = _sort_rows(rows, header)
    header = _settle_unit_column(header, body)
    missing = [column for column in NEEDED if column not in header.at]
    problems = [*wrong, *(_missing(header, column) for column in missing)]
    unit, note, mixed = settle_unit(_unmarked(body, header), units)
    problems += [mixed] if mixed else []
    readings: list[Reading] = []
    for number, row in body:
        reading, found = read_row(row, number, header, unit)
        readings.append(reading)
        problems += found
    lines, across, notes = settle_units(readings, header)
    problems += across
    problems.sort(key=lambda problem: problem.row or 0)
    named = {line.row for line in lines} | {problem.row for problem in problems}
    lacking = [known(column, "column") for column in missing]
    left = (
        Skip(n, say("the list has no column for {columns}", columns=join(lacking, _(" or "))))
        for n, _row in body
    )
    skipped += [skip for skip in left if skip.row not in named]
    result = _result(header, lines, problems, skipped, ([note] if note else []) + notes)
    named_units = set(header.units.values()) or {unit}
    return replace(
        result,
        in_inches=named_units <= {"in", "inch", "ft"},
        headings=list_headings(rows, header),
        guessed=unit if note or mixed else "",
    )


def _result(
    header: Header,
    lines: Iterable[PartLine],
    problems: Iterable[Problem],
    skipped: Iterable[Skip],
    notes: Iterable[str],
) -> PartList:
    return PartList(
        lines=tuple(lines),
        problems=tuple(problems),
        skipped=tuple(sorted(skipped, key=lambda skip: skip.row)),
        header_row=header.row,
        columns={header.heard[column]: column for column in header.at},
        ignored=header.ignored,
        notes=tuple(notes),
    )


def _without_header(rows: Sequence[Sequence[str]], wrong: tuple[Problem, ...]) -> PartList:
    """Leave every row out, and say that the headings are missing."""
    problem = Problem(
        message=_("No row with headings for part, length, width and quantity was found.")
        if rows
        else _("The list is empty."),
        remedy=_(
            "Put the headings Part, Length, Width and Quantity above the rows, within "
            "the first 20 rows."
        ),
    )
    skipped = tuple(Skip(number, _NO_HEADER) for number in range(1, len(rows) + 1))
    return PartList(
        lines=(),
        problems=(*wrong, problem),
        skipped=skipped,
        header_row=None,
        columns={},
        headings=found_headings(rows),
    )


def _sort_rows(rows: Sequence[Sequence[str]], header: Header) -> tuple[_Rows, list[Skip]]:
    """Part the rows below the header into those to read and those left out, with why."""
    body: _Rows = []
    skipped: list[Skip] = []
    heads = [tidy(cell) for cell in rows[header.row - 1]]
    for number, row in enumerate(rows[header.row :], start=header.row + 1):
        why = _why_left_out(row, header, heads)
        if why:
            skipped.append(Skip(number, why))
        else:
            body.append((number, row))
    return body, skipped


def _why_left_out(row: Sequence[str], header: Header, heads: list[str]) -> str:
    """Say why a row is no part, '' if it is one."""
    first = next((cell.strip() for cell in row if cell and not cell.isspace()), "")
    if not first:
        return _("blank row")
    if first.startswith("#"):
        return _("a remark (starts with #)")
    if not first[0].isdigit():
        # A part called Total with both its sizes is a part.
        at = [header.at.get("length", len(row)), header.at.get("width", len(row))]
        sized = all(place < len(row) and row[place].strip() for place in at)
        if not sized and _TOTAL.fullmatch(plain(first)):
            return _("a total")
        if [tidy(cell) for cell in row] == heads or (sized and looks_like_header(row)):
            return _("the headings again")
    return ""


def _settle_unit_column(header: Header, body: _Rows) -> Header:
    """Drop a unit column that is all empty; take one that holds only mm, in … for the measure."""
    at = header.at.get("unit")
    if at is None:
        return header
    cells = {tidy(row[at]) for _, row in body if at < len(row)} - {""}
    if cells and ("measure" in header.at or not all(measure(cell) for cell in cells)):
        return header
    places = {column: place for column, place in header.at.items() if column != "unit"}
    if not cells:
        return replace(header, at=places, ignored=(*header.ignored, header.heard["unit"]))
    heard = {**header.heard, "measure": header.heard["unit"]}
    return replace(header, at={**places, "measure": at}, heard=heard)


def _unmarked(body: _Rows, header: Header) -> dict[str, list[tuple[int, str]]]:
    """Collect the cells of all sizes for which neither header nor row names a unit."""
    by_row = header.at.get("measure")
    return {
        header.heard[column]: [
            (number, tidy(row[at]))
            for number, row in body
            if at < len(row) and (by_row is None or not "".join(row[by_row : by_row + 1]).strip())
        ]
        for column, at in header.at.items()
        if column in SIZES and column not in header.units
    }


def _missing(header: Header, column: str) -> Problem:
    return Problem(
        message=say("The list has no column for the {column}.", column=known(column, "column")),
        remedy=say("Add a column headed {column}.", column=capital(known(column, "column"))),
        row=header.row,
        column=column,
    )
