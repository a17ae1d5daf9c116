"""Write tables for spreadsheets so that no text in them is ever worked out as a formula.

The shop's words come from lists other people sent. A spreadsheet takes a cell that begins with one
of a few signs for a formula, which may fetch an address or start a program. So such a text gets an
apostrophe before it, as people type it themselves; reading our own file takes it away again.
"""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Final

Cell = str | int | float | Decimal | bool | None
# = + - @ tab CR LF begin formulas or hide one behind them (common practice of web security); their
# wide forms are read as the narrow ones by some spreadsheets (from memory).
_LIVE: Final = "=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20"
# apostrophes before it count too, so that a text that had one itself comes back as it was
_GUARDED: Final = re.compile(f"'*[{_LIVE}]")
SEPARATORS: Final = {".csv": ",", ".tsv": "\t"}


def guard(text: str) -> str:
    """Return a text as a cell that no spreadsheet takes for a formula."""
    return f"'{text}" if _GUARDED.match(text) else text


def unguard(cell: str) -> str:
    """Return the text a cell was guarded from; any other cell stays as it is."""
    return cell[1:] if cell.startswith("'") and _GUARDED.match(cell) else cell


def write_table(rows: Iterable[Sequence[Cell]], *, separator: str = ",") -> str:
    """Return rows as separated values: texts guarded, numbers as numbers, lines ended by CR LF.

    Numbers are written with a point and without a unit, so a negative one stays a number; None is
    an empty cell; yes and no are written as such words.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_cell(cell) for cell in row])
    return out.getvalue()


def keep_table(rows: Iterable[Sequence[Cell]], out: Path) -> None:
    """Write rows to a file, whole or not at all; its ending says whether as CSV or TSV.

    With a byte order mark, without which spreadsheets on some systems garble an umlaut.

    Raises:
        OSError: it cannot be written.
    """
    text = write_table(rows, separator=SEPARATORS.get(out.suffix.lower(), ","))
    part = out.with_name(out.name + ".part")
    try:
        with part.open("w", encoding="utf-8-sig", newline="") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        part.replace(out)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _cell(cell: Cell) -> str | int | float | Decimal:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, str):
        return guard(cell)
    return cell if cell == cell and abs(cell) != float("inf") else ""  # noqa: PLR0124 - not a number
