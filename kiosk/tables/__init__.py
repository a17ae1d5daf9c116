"""Read a table file that somebody exported, whatever its format, coding and separator."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.tables.text import read_text
from kiosk.tables.workbook import read_workbook

LARGEST_BYTES: Final = 50_000_000  # a part list of 10,000 rows has about 1 MB
_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # compound file header, [MS-CFB] 2.2
_OTHER_FORMATS: Final = {
    b"%PDF": _("a PDF"),
    b"\x89PNG": _("a picture"),
    b"\xff\xd8\xff": _("a picture"),
    b"SQLite format 3": _("a database"),
}
_SAVE_AS: Final = _("Save the list as XLSX, ODS or CSV and read that file.")
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
        return [], (Problem(say("{name} is empty.", name=path.name), _("Export the list again.")),)
    for start, what in _OTHER_FORMATS.items():
        if data.startswith(start):
            return [], (
                Problem(say("{name} is {what}, not a table.", name=path.name, what=what), _SAVE_AS),
            )
    if data.startswith((b"PK", _OLD_WORKBOOK)):
        return read_workbook(path.name, data)
    return read_text(path.name, data)


def _too_large(path: Path, size: int) -> Problem:
    message = say(
        "{name} has {size} MB; the most is {most}.",
        name=path.name,
        size=size // 1_000_000,
        most=LARGEST_BYTES // 1_000_000,
    )
    return Problem(message, _("Export only the part list, without pictures and other sheets."))


def _unreadable(path: Path, error: Exception) -> Problem:
    reasons: dict[type[Exception], str] = {
        FileNotFoundError: _("there is no such file"),
        IsADirectoryError: _("it is a folder"),
        PermissionError: _("this person may not read it"),
    }
    reason = reasons.get(type(error), str(error))
    return Problem(
        say("{name} cannot be read: {reason}.", name=path.name, reason=reason),
        _("Check the name and the place."),
    )
