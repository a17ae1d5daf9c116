"""Split the text of a table file to rows, whatever its coding and separator."""

from __future__ import annotations

import csv
import io
from collections import Counter
from typing import Final

from charset_normalizer import from_bytes

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, join, say
from kiosk.tables.writing import unguard

_SEPARATORS: Final = ";\t,|"
_LOOKED_AT: Final = 200_000  # characters that decide on the separator, bytes that decide on coding
_BYTE_ORDER_MARKS: Final = {
    b"\xef\xbb\xbf": "utf-8-sig",
    b"\xff\xfe\x00\x00": "utf-32",
    b"\x00\x00\xfe\xff": "utf-32",
    b"\xff\xfe": "utf-16",
    b"\xfe\xff": "utf-16",
}
_SAVE_AS: Final = _("Save the list as XLSX, ODS or CSV and read that file.")
Rows = list[list[str]]


def read_text(name: str, data: bytes) -> tuple[Rows, tuple[Problem, ...]]:
    """Read separated values: (rows, problems); never raises. name is for the problems."""
    text = decode(data)
    if text is None:
        return [], (Problem(say("{name} is neither a table nor a workbook.", name=name), _SAVE_AS),)
    # Zero bytes come from half-written files and from UTF-16 cut apart; no cell means them.
    text = text.replace("\x00", "").removeprefix("\ufeff")
    if not text.strip():
        return [], (Problem(say("{name} is empty.", name=name), _("Export the list again.")),)
    rows = _split_rows(text, _find_separator(text))
    if rows is None:
        message = say(
            "{name} has a cell of more than {most} characters.",
            name=name,
            most=csv.field_size_limit(),
        )
        return [], (
            Problem(message, join([_("Look for a quote that is never closed."), _SAVE_AS])),
        )
    return [[unguard(cell) for cell in row] for row in rows], ()


def _split_rows(text: str, separator: str) -> Rows | None:
    """Split text to rows; None where a cell is absurdly long.

    A quote that is never closed would swallow the rows behind it. So where the quotes do not come
    out, or a cell of several lines holds lines that look like rows, each line is a row by itself.
    """
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
        width = max((len(row) for row in rows), default=0)
        if not any(_swallowed(cell, separator, width) for row in rows for cell in row):
            return rows
    except csv.Error:
        pass
    try:
        lines = io.StringIO(text, newline=None).read().split("\n")
        parsed = [next(csv.reader([line], delimiter=separator), []) for line in lines]
    except csv.Error:
        return None
    return parsed if parsed[-1] else parsed[:-1]


def _swallowed(cell: str, separator: str, width: int) -> bool:
    """Tell whether a cell holds a line with about as many separators as a row has."""
    if "\n" not in cell and "\r" not in cell:
        return False
    return any(line.count(separator) >= max(2, width // 2) for line in cell.splitlines())


def decode(data: bytes) -> str | None:
    """Decode bytes to text; None where they are no text in any likely coding."""
    for mark, coding in _BYTE_ORDER_MARKS.items():
        if data.startswith(mark):
            return data.decode(coding, errors="replace")
    wide = _wide_coding(data)
    if wide:
        return data.decode(wide, errors="replace")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        pages = ["cp1252", "cp1250", "mac_roman", "cp850"]
        best = from_bytes(data[:_LOOKED_AT], cp_isolation=pages).best()
        if best is None and data.count(b"\x00") > len(data) // 10:
            return None
        return data.decode(best.encoding if best else "cp1252", errors="replace")


def _wide_coding(data: bytes) -> str | None:
    """Find UTF-16 without a mark: in mostly Western text every other byte is zero."""
    head = data[:4096]
    if len(head) < 4:
        return None
    for first, coding in ((0, "utf-16-be"), (1, "utf-16-le")):
        zeros = head[first::2].count(0)
        if zeros > len(head) // 2 * 0.7 and head[1 - first :: 2].count(0) < len(head) // 20:
            return coding
    return None


def _find_separator(text: str) -> str:
    """Choose the separator that gives most rows the same number of cells.

    A first line `sep=;`, which some programs write, decides it.
    """
    first = text[:6].lower()
    if first.startswith("sep=") and first[4:5] in tuple(_SEPARATORS):
        return first[4]
    return max(_SEPARATORS, key=lambda separator: _consistency(text, separator))


def _consistency(text: str, separator: str) -> tuple[float, int]:
    """Rate a separator: cells in rows that share the commonest number of cells above one."""
    cut = text[:_LOOKED_AT]
    try:
        lines = io.StringIO(cut, newline="")
        widths = Counter(len(row) for row in csv.reader(lines, delimiter=separator))
    except csv.Error:
        return (0.0, 0)
    widths.pop(0, None)
    wide = {width: count for width, count in widths.items() if width > 1}
    if not wide:
        return (0.0, 0)
    width, count = max(wide.items(), key=lambda item: (item[1], item[0]))
    return (count / sum(widths.values()), width)
