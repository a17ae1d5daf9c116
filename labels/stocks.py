"""Describe label stock: the size of a label, and how labels sit on a sheet."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

# What a label carries; drawn in labels.artwork.plan.
DESIGNS: Final = ("two-qr-bars", "qr-bars", "two-qr", "large")
DPIS: Final = (203, 300, 600)  # what label and office printers have
# Whole millimetres of the two papers: ISO 216, and 8.5 x 11 in.
PAPERS: Final = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
_LENGTHS: Final = ("left_mm", "top_mm", "pitch_x_mm", "pitch_y_mm")
_COUNTS: Final = ("columns", "rows")
_LABEL_FIELDS: Final = ("title", "design", "width_mm", "height_mm", "paper")
_LARGEST_MM: Final = 300.0  # a label larger than a sheet is a slip of the pen (choice)
_MOST: Final = 100  # rows or columns of a sheet (choice)
_SLACK_MM: Final = 0.05  # makers' drawings are rounded to tenths


@dataclass(frozen=True, slots=True)
class Sheet:
    """How labels sit on a sheet of paper; all lengths in millimetres.

    left and top are from the sheet's corner to the first label; a pitch is from the edge of a label
    to the same edge of the next.
    """

    paper: str
    columns: int
    rows: int
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of label stock; sheet is None for labels that come one by one off a roll."""

    key: str
    title: str
    width_mm: float
    height_mm: float
    design: str
    sheet: Sheet | None = None

    @property
    def per_page(self) -> int:
        """Labels on one page: 1 off a roll."""
        return self.sheet.columns * self.sheet.rows if self.sheet else 1

    @property
    def page_mm(self) -> tuple[float, float]:
        """Width and height of a page."""
        return PAPERS[self.sheet.paper] if self.sheet else (self.width_mm, self.height_mm)

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Return the left and top of a label; positions count from 0 along the rows."""
        if self.sheet is None:
            return 0.0, 0.0
        row, column = divmod(position, self.sheet.columns)
        left = self.sheet.left_mm + column * self.sheet.pitch_x_mm
        return left, self.sheet.top_mm + row * self.sheet.pitch_y_mm


def parse_stocks(text: str) -> tuple[dict[str, Stock], tuple[str, ...]]:
    """Read label stocks from TOML text and name every mistake at once.

    Returns:
        The stocks without fault by key, in the order of the text, and the problems in words; a
        faulty stock is left out.
    """
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # numbers of any length, brackets of any depth
        return {}, (f"The label stocks are not readable: {error}. Mend the line it names.",)
    stocks: dict[str, Stock] = {}
    problems: list[str] = []
    for key, table in data.items():
        if not isinstance(table, dict):
            problems.append(f"{key} stands outside a stock. Put it under a line such as [50x25].")
            continue
        faults = _faults(table)
        problems.extend(f"Label stock {key}: {fault}" for fault in faults)
        if not faults:
            stocks[key] = _stock(key, table)
    return stocks, tuple(problems)


def _stock(key: str, table: Mapping[str, Any]) -> Stock:
    sheet = None
    if "paper" in table:
        lengths = [float(table[name]) for name in _LENGTHS]
        sheet = Sheet(table["paper"], table["columns"], table["rows"], *lengths)
    size = float(table["width_mm"]), float(table["height_mm"])
    return Stock(key, table["title"], *size, table["design"], sheet)


def _faults(table: Mapping[str, Any]) -> list[str]:
    """Return what is wrong with one stock; the fit is looked at once all fields are sound."""
    on_sheet = "paper" in table
    known = (*_LABEL_FIELDS, *_COUNTS, *_LENGTHS) if on_sheet else _LABEL_FIELDS
    found = [
        f"{name} is not known. Leave it out{'' if on_sheet else ', or name the paper'}."
        for name in table
        if name not in known
    ]
    title = table.get("title")
    if not isinstance(title, str) or not title.strip():
        found.append("title is missing. Give it a name in words.")
    found.extend(_choice_faults(table, "design", DESIGNS))
    found.extend(_length_faults(table, ("width_mm", "height_mm"), least=1.0))
    if on_sheet:
        found.extend(_choice_faults(table, "paper", tuple(PAPERS)))
        found.extend(_length_faults(table, _LENGTHS, least=0.0))
        for name in _COUNTS:
            count = table.get(name)
            if type(count) is not int or not 1 <= count <= _MOST:
                found.append(f"{name} is {_say(count)}. Give a whole number, 1 to {_MOST}.")
        found = found or _fit_faults(table)
    return found


def _choice_faults(table: Mapping[str, Any], name: str, choices: tuple[str, ...]) -> list[str]:
    if table.get(name) in choices:
        return []
    return [f"{name} is {_say(table.get(name))}. Use one of {', '.join(choices)}."]


def _length_faults(
    table: Mapping[str, Any], names: tuple[str, ...], *, least: float
) -> list[str]:
    found = []
    for name in names:
        value = table.get(name)
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or not math.isfinite(value) or not least <= value <= _LARGEST_MM:
            found.append(
                f"{name} is {_say(value)}. Give millimetres, {least:g} to {_LARGEST_MM:g}."
            )
    return found


def _fit_faults(table: Mapping[str, Any]) -> list[str]:
    """Return whether the labels overlap or run off the paper."""
    found = []
    across = ("width_mm", "pitch_x_mm", "columns", "left_mm", "width")
    down = ("height_mm", "pitch_y_mm", "rows", "top_mm", "height")
    paper = PAPERS[table["paper"]]
    for (size, pitch, count, start, word), room in zip((across, down), paper, strict=True):
        if table[count] > 1 and table[pitch] + _SLACK_MM < table[size]:
            found.append(f"{pitch} is less than {size}: labels overlap. Measure both again.")
        end = table[start] + (table[count] - 1) * table[pitch] + table[size]
        if end > room + _SLACK_MM:
            found.append(
                f"the labels take {end:g} mm of the paper's {word} of {room:g} mm. "
                f"Check {count}, {pitch} and {start}."
            )
    return found


def _say(value: object) -> str:
    return "missing" if value is None else repr(value)
