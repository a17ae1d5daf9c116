"""Turn a list of what to buy into JSON, text and a table; see docs/formats.md for the keys."""

from __future__ import annotations

from pathlib import Path

from kiosk.report import Json, problem_json, problem_text
from kiosk.rules.buying.basis import say_amount
from kiosk.rules.buying.model import BuyingList, BuyLine
from kiosk.tables.writing import Cell, keep_table

_KEYS = ("group", "what", "amount", "unit", "needed", "basis", "instead")


def buying_json(buying: BuyingList) -> Json:
    """Return the list with everything it stands on."""
    return {
        "jobs": list(buying.jobs),
        "whole": buying.whole,
        "allowance_percent": buying.allowance,
        "lines": [_line_json(line) for line in buying.lines],
        "assumptions": list(buying.assumptions),
        "cautions": list(buying.cautions),
        "problems": [problem_json(problem) for problem in buying.problems],
    }


def _line_json(line: BuyLine) -> Json:
    return {
        "group": str(line.group),
        "what": line.what,
        "amount": _plain(float(line.amount)),
        "unit": line.unit,
        "needed": _plain(round(float(line.needed), 3)),
        "basis": line.basis,
        "instead": line.is_instead,
    }


def _plain(value: float) -> float | int:
    return int(value) if value == int(value) else value


def buying_text(buying: BuyingList) -> str:
    """Return the list as a person reads it in a terminal."""
    amounts = [say_amount(line) for line in buying.lines]
    wide = max(map(len, amounts), default=0)
    rows = [
        f"{amount:>{wide}}  {line.what}\n{'':{wide}}  {line.basis}"
        for amount, line in zip(amounts, buying.lines, strict=True)
    ]
    notes = [*map(problem_text, buying.problems), *buying.cautions, *buying.assumptions]
    return "\n".join([*(rows or ["Nothing is to be bought."]), "", *notes])


def write_table(buying: BuyingList, out: Path) -> None:
    """Write the lines to a CSV or TSV file, under the keys of the JSON.

    Raises:
        OSError: it cannot be written.
    """
    rows: list[list[Cell]] = [
        [line[key] for key in _KEYS] for line in map(_line_json, buying.lines)
    ]
    keep_table([list(_KEYS), *rows], out)
