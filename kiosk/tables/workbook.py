"""Read the first sheet with rows of a workbook."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from functools import reduce
from typing import Final

from python_calamine import CalamineError, CalamineWorkbook, ZipError

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, join, say

MOST_UNPACKED_BYTES: Final = 500_000_000
MOST_CELLS: Final = 5_000_000  # the workbook reader takes some 30 bytes for each
_FILLED_CELL: Final = re.compile(rb'<(?:\w+:)?c [^>]*?\br="([A-Z]{1,3})([0-9]{1,7})"[^>]*><')
_BROKEN_PACKAGE: Final = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    RuntimeError,
    ValueError,
)
_SAVE_AS: Final = _("Save the list as XLSX, ODS or CSV and read that file.")
Rows = list[list[str]]


def read_workbook(name: str, data: bytes) -> tuple[Rows, tuple[Problem, ...]]:
    """Read the rows of a workbook: (rows, problems); never raises. name is for the problems."""
    try:
        why = _too_wide(data) if data.startswith(b"PK") else ""
        if why:
            return [], (
                Problem(
                    say("{name} {why}.", name=name, why=why),
                    join([_("Delete what is not the list."), _SAVE_AS]),
                ),
            )
        rows = _first_sheet(data)
    except (CalamineError, ZipError, *_BROKEN_PACKAGE) as error:
        return [], (_bad_workbook(name, error),)
    except BaseException as error:
        # A panic of the workbook reader (written in Rust) derives from BaseException.
        if type(error).__name__ != "PanicException":
            raise
        return [], (_bad_workbook(name, error),)
    if not rows:
        return [], (
            Problem(
                say("{name} has no rows on any sheet.", name=name), _("Export the list again.")
            ),
        )
    return rows, ()


def _first_sheet(data: bytes) -> Rows:
    book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    for sheet in book.sheet_names:
        cells = book.get_sheet_by_name(sheet).to_python(skip_empty_area=False)
        rows = [[_cell_text(cell) for cell in row] for row in cells]
        if any(any(row) for row in rows):
            return rows
    return []


def _bad_workbook(name: str, error: BaseException) -> Problem:
    message = say(
        "{name} looks like a workbook but cannot be read ({error}).", name=name, error=error
    )
    return Problem(message, join([_("Open it, and save it anew."), _SAVE_AS]))


def _too_wide(data: bytes) -> str:
    """Say why a workbook would not fit in memory, '' if it would.

    The workbook reader makes room for all cells up to the last one, and ends the program where
    that fails: one stray cell in the last corner of a sheet is enough.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        if sum(entry.file_size for entry in packed.infolist()) > MOST_UNPACKED_BYTES:
            return _("is too large when unpacked")
        for sheet in packed.namelist():
            if not sheet.startswith("xl/worksheets/") or not sheet.endswith(".xml"):
                continue
            cells = _FILLED_CELL.findall(packed.read(sheet))
            height = max((int(row) for _, row in cells), default=0)
            width = max((_column_number(column) for column in {c for c, _ in cells}), default=0)
            if height * width > MOST_CELLS:
                return say(
                    "has a cell far outside the list (row {height} or column {width})",
                    height=height,
                    width=width,
                )
    return ""


def _column_number(letters: bytes) -> int:
    """Give 1 for A, 26 for Z, 27 for AA."""
    return reduce(lambda number, letter: number * 26 + letter - 64, letters, 0)


def _cell_text(cell: object) -> str:
    """Write a cell as people see it: whole numbers without a point, no digits of rounding noise."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float | int):
        return _number_text(cell)
    return "" if cell is None else str(cell)


def _number_text(number: float) -> str:
    """Write a number with up to 10 decimals, so that 0.1 + 0.2 is 0.3."""
    if number == int(number) and abs(number) < 1e15:
        return str(int(number))
    return f"{number:.10f}".rstrip("0").rstrip(".") if abs(number) < 1e15 else repr(number)
