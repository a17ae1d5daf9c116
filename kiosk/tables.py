"""Read a table file that somebody exported, whatever its format, coding and separator."""

from __future__ import annotations

import csv
import io
import zipfile
from collections import Counter
from pathlib import Path
from typing import Final

from charset_normalizer import from_bytes
from python_calamine import CalamineError, CalamineWorkbook, ZipError

from kiosk.rules.problems import Problem

LARGEST_BYTES: Final = 50_000_000  # a part list of 10,000 rows has about 1 MB
_SEPARATORS: Final = ";\t,|"
_LOOKED_AT: Final = 200_000  # characters that decide on the separator, bytes that decide on coding
_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # compound file header, [MS-CFB] 2.2
_BYTE_ORDER_MARKS: Final = {
    b"\xef\xbb\xbf": "utf-8-sig",
    b"\xff\xfe\x00\x00": "utf-32",
    b"\x00\x00\xfe\xff": "utf-32",
    b"\xff\xfe": "utf-16",
    b"\xfe\xff": "utf-16",
}
_OTHER_FORMATS: Final = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"SQLite format 3": "a database",
}
_SAVE_AS: Final = "Save the list as XLSX, ODS or CSV and read that file."
Rows = list[list[str]]


def read_table(path: Path) -> tuple[Rows, tuple[Problem, ...]]:
    """Read all rows of a CSV, TSV, TXT, XLSX or ODS file: (rows, problems); never raises.

    What a file is follows from its content, not its ending. Of a workbook the first sheet that has
    rows is read, from its first row on, so that row numbers are those people see. Text is taken as
    UTF-8 where it decodes, else by its byte order mark or the likeliest old code page. With a
    problem there are no rows. Files above 50 MB are refused.
    """
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            return [], (_too_large(path, size),)
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        return [], (_unreadable(path, error),)
    if not data.strip():
        return [], (Problem(f"{path.name} is empty.", "Export the list again."),)
    for start, what in _OTHER_FORMATS.items():
        if data.startswith(start):
            return [], (Problem(f"{path.name} is {what}, not a table.", _SAVE_AS),)
    if data.startswith((b"PK", _OLD_WORKBOOK)):
        return _read_workbook(path.name, data)
    return _read_text(path.name, data)


def _read_workbook(name: str, data: bytes) -> tuple[Rows, tuple[Problem, ...]]:
    """Read the first sheet with rows of a workbook."""
    try:
        if data.startswith(b"PK") and _unpacked_size(data) > 10 * LARGEST_BYTES:
            return [], (Problem(f"{name} is too large when unpacked.", _SAVE_AS),)
        rows = _first_sheet(data)
    except (CalamineError, ZipError, zipfile.BadZipFile, OSError, ValueError) as error:
        return [], (_bad_workbook(name, error),)
    except BaseException as error:
        # A panic of the workbook reader (written in Rust) derives from BaseException.
        if type(error).__name__ != "PanicException":
            raise
        return [], (_bad_workbook(name, error),)
    if not rows:
        return [], (Problem(f"{name} has no rows on any sheet.", "Export the list again."),)
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
    message = f"{name} looks like a workbook but cannot be read ({error})."
    return Problem(message, f"Open it, and save it anew. {_SAVE_AS}")


def _unpacked_size(data: bytes) -> int:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return sum(entry.file_size for entry in packed.infolist())


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


def _read_text(name: str, data: bytes) -> tuple[Rows, tuple[Problem, ...]]:
    """Read separated values."""
    text = _decode(data)
    if text is None:
        return [], (Problem(f"{name} is neither a table nor a workbook.", _SAVE_AS),)
    # Zero bytes come from half-written files and from UTF-16 cut apart; no cell means them.
    text = text.replace("\x00", "").removeprefix("\ufeff")
    if not text.strip():
        return [], (Problem(f"{name} is empty.", "Export the list again."),)
    rows = _split_rows(text, _find_separator(text))
    if rows is None:
        message = f"{name} has a cell of more than {csv.field_size_limit()} characters."
        return [], (Problem(message, f"Look for a quote that is never closed. {_SAVE_AS}"),)
    return rows, ()


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


def _decode(data: bytes) -> str | None:
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


def _too_large(path: Path, size: int) -> Problem:
    message = f"{path.name} has {size // 1_000_000} MB; the most is {LARGEST_BYTES // 1_000_000}."
    return Problem(message, "Export only the part list, without pictures and other sheets.")


def _unreadable(path: Path, error: Exception) -> Problem:
    reasons: dict[type[Exception], str] = {
        FileNotFoundError: "there is no such file",
        IsADirectoryError: "it is a folder",
        PermissionError: "this person may not read it",
    }
    reason = reasons.get(type(error), str(error))
    return Problem(f"{path.name} cannot be read: {reason}.", "Check the name and the place.")
