"""Describe label stocks: single labels on a roll, or sheets of rows and columns."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

DESIGNS = ("pair_and_bars", "one_and_bars", "pair")
_NAME = "name of the stock"
_DIMENSIONS = ("width_mm", "height_mm")
_NUMBERS = {
    "width_mm": (10, 210),
    "height_mm": (10, 300),
    "page_width_mm": (10, 330),
    "page_height_mm": (10, 483),
    "left_mm": (0, 100),
    "top_mm": (0, 100),
    "pitch_x_mm": (10, 330),
    "pitch_y_mm": (10, 483),
    "offset_x_mm": (-10, 10),  # choice: a feed further out than a centimetre wants mending
    "offset_y_mm": (-10, 10),
}


@dataclass(frozen=True, slots=True)
class Stock:
    """One label stock; lengths in millimetres.

    A single label is a page of its own: one row, one column, the page as large as the label. pitch
    is from one label's edge to the next one's; left and top are from the sheet's corner to the
    first label. An empty design is chosen by size when the label is laid out. The offset shifts all
    that is printed, to the right and down, for a printer that does not begin at the paper's corner.
    """

    key: str
    title: str
    width_mm: float
    height_mm: float
    design: str
    rows: int = 1
    columns: int = 1
    page_width_mm: float = 0.0
    page_height_mm: float = 0.0
    left_mm: float = 0.0
    top_mm: float = 0.0
    pitch_x_mm: float = 0.0
    pitch_y_mm: float = 0.0
    offset_x_mm: float = 0.0
    offset_y_mm: float = 0.0

    @property
    def per_page(self) -> int:
        """Return how many labels a page has."""
        return self.rows * self.columns

    @property
    def page_mm(self) -> tuple[float, float]:
        """Return width and height of a page."""
        return (self.page_width_mm or self.width_mm, self.page_height_mm or self.height_mm)

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Return the left and top of a label on its paper; places count row by row from 0."""
        row, column = divmod(place, self.columns)
        return (self.left_mm + column * self.pitch_x_mm, self.top_mm + row * self.pitch_y_mm)

    def printed_mm(self, place: int) -> tuple[float, float]:
        """Return where a label is printed so that it lands on its place: the offset added."""
        left, top = self.corner_mm(place)
        return (left + self.offset_x_mm, top + self.offset_y_mm)


def parse_stocks(text: str) -> tuple[dict[str, Stock], tuple[str, ...]]:
    """Read stocks from TOML text.

    Returns:
        The sound stocks by key, and every problem in words.
    """
    tables, problems = _tables(text)
    stocks, wrong = _checked(tables)
    return stocks, (*problems, *wrong)


def merge_stocks(shipped_text: str, own_text: str) -> tuple[dict[str, Stock], tuple[str, ...]]:
    """Read the stocks that come along and a shop's own ones; own ones win by key.

    An own table with neither width_mm nor height_mm changes the shipped stock of that name and
    keeps the rest of it: an offset needs no more than its two numbers. Of an own stock with a
    mistake the shipped one stays.

    Returns:
        The sound stocks by key, shipped ones first, and every problem in words.
    """
    shipped, broken = _tables(shipped_text)
    stocks, wrong = _checked(shipped)
    own, unreadable = _tables(own_text)
    whole = {key: _over(shipped.get(key), table) for key, table in own.items()}
    changed, mistakes = _checked(whole)
    mine = [f"own stocks: {problem}" for problem in (*unreadable, *mistakes)]
    return stocks | changed, (*broken, *wrong, *mine)


def _tables(text: str) -> tuple[dict[str, Any], tuple[str, ...]]:
    try:
        return tomllib.loads(text), ()
    except (ValueError, RecursionError) as error:  # numbers of any length, brackets of any depth
        return {}, (f"the stocks file is not readable: {error}; mend the line it names",)


def _over(shipped: object, own: object) -> object:
    """Return an own table, laid over the shipped one where it gives no size of its own."""
    if not isinstance(own, dict) or not isinstance(shipped, dict):
        return own
    return own if any(name in own for name in _DIMENSIONS) else {**shipped, **own}


def _checked(tables: Mapping[str, Any]) -> tuple[dict[str, Stock], list[str]]:
    stocks: dict[str, Stock] = {}
    problems: list[str] = []
    for key, table in tables.items():
        wrong = _wrong(table) if isinstance(table, dict) else [f"put it below a line [{_NAME}]"]
        if wrong:
            problems += [f"stock {key}: {problem}" for problem in wrong]
        else:
            stocks[key] = _stock(key, table)
    return stocks, problems


def _wrong(table: Mapping[str, Any]) -> list[str]:
    known = (*_NUMBERS, "title", "design", "rows", "columns")
    problems = [f"{name} is not known; leave it out" for name in table if name not in known]
    if not isinstance(table.get("title", ""), str):
        problems.append("title is no text; put it in quotes")
    for name, (low, high) in _NUMBERS.items():
        value = table.get(name)
        if value is None and name not in _DIMENSIONS:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float):
            problems.append(f"{name} is no number; give millimetres, {low} to {high}")
        elif not low <= value <= high:
            problems.append(f"{name} = {value} is not between {low} and {high} millimetres")
    for name in ("rows", "columns"):
        value = table.get(name, 1)
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 40:
            problems.append(f"{name} is no whole number from 1 to 40")
    if table.get("design", DESIGNS[0]) not in DESIGNS:
        problems.append(f"design is none; use {', '.join(DESIGNS)}, or leave it out")
    return problems or _overhang(_stock("", table))


def _overhang(stock: Stock) -> list[str]:
    """Say where labels overlap one another or hang over the page's edge."""
    problems = []
    page_width, page_height = stock.page_mm
    left, top = stock.corner_mm(stock.per_page - 1)
    if stock.columns > 1 and stock.pitch_x_mm < stock.width_mm:
        problems.append("pitch_x_mm is less than the label is wide; measure from edge to edge")
    if stock.rows > 1 and stock.pitch_y_mm < stock.height_mm:
        problems.append("pitch_y_mm is less than the label is high; measure from edge to edge")
    if left + stock.width_mm > page_width + 0.01 or top + stock.height_mm > page_height + 0.01:
        problems.append("the last label hangs over the page's edge; check count, pitch and start")
    return problems


def _stock(key: str, table: Mapping[str, Any]) -> Stock:
    numbers = {name: float(table[name]) for name in _NUMBERS if name in table}
    return Stock(
        key,
        str(table.get("title", key)),
        numbers.pop("width_mm"),
        numbers.pop("height_mm"),
        str(table.get("design", "")),
        rows=int(table.get("rows", 1)),
        columns=int(table.get("columns", 1)),
        **numbers,
    )
