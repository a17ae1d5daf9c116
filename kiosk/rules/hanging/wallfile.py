"""Read a measured wall from the rows of a table, and write such a table to be filled in.

Each row says one thing of the wall; its first column says what. docs/formats.md lists them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from kiosk.rules.columns import measure, plain
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud
from kiosk.rules.hanging.wallcheck import (
    wrong_facts,
    wrong_floor,
    wrong_layer,
    wrong_service,
    wrong_size,
    wrong_stud,
    wrong_studs,
)
from kiosk.rules.hanging.walltable import COLUMNS, FACTS, NEEDED, PLAIN_FACTS, WHATS
from kiosk.rules.lengths import Length, System, parse
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

TOP_ROWS: Final = 20  # among which the header is looked for
_ZERO: Final = re.compile(r"0+(?:[.,]0*)?\s*[a-z'\"]*")


def read_wall(
    wall: str, rows: Sequence[Sequence[str]], *, unit: str = "mm"
) -> tuple[MeasuredWall | None, tuple[Problem, ...]]:
    """Return the wall a table holds, or all that is wrong with it; nothing is half taken in.

    Args:
        wall: the id of the wall's unit.
        rows: as `read_table` gives them; a row number counts from 1 as in the file.
        unit: the unit of lengths where neither a cell nor its column's heading names one.
    """
    header = _header(rows)
    if header is None:
        message = _("No row has the headings What, X and Width.")
        return None, (Problem(message, _("Export the template, and fill it in.")),)
    reading = _Reading(MeasuredWall(wall=wall, width=NOTHING, height=NOTHING), header, unit)
    for number, row in enumerate(rows, start=1):
        if number > header.row and any(cell.strip() for cell in row):
            reading.take(number, row)
    problems = reading.end()
    return (None, problems) if problems else (reading.wall, ())


@dataclass(frozen=True, slots=True)
class _Header:
    """In which row the headings are, where each column is, what it is called, in which unit."""

    row: int
    at: Mapping[str, int]
    names: Mapping[str, str]
    units: Mapping[str, str]


def _header(rows: Sequence[Sequence[str]]) -> _Header | None:
    for number, row in enumerate(rows[:TOP_ROWS], start=1):
        at: dict[str, int] = {}
        units: dict[str, str] = {}
        for place, cell in enumerate(row):
            word, _mark, bracket = cell.partition("(")
            column = plain(word)
            if column in COLUMNS and column not in at:
                at[column] = place
                units[column] = measure(bracket) or ""
        if {"what", "x", "width"} <= at.keys():
            names = {column: row[place].strip() for column, place in at.items()}
            return _Header(number, at, names, units)
    return None


@dataclass(slots=True)
class _Reading:
    """A table while it is read; nothing of it leaves this module."""

    wall: MeasuredWall
    header: _Header
    unit: str
    problems: list[Problem] = field(default_factory=list)
    checks: list[tuple[int, Callable[[MeasuredWall], Iterator[Problem]]]] = field(
        default_factory=list
    )
    seen: dict[str, int] = field(default_factory=dict)
    number: int = 0
    row: Sequence[str] = ()

    def take(self, number: int, row: Sequence[str]) -> None:
        """Take in one row."""
        self.number, self.row = number, row
        what = plain(self.cell("what"))
        if what in WHATS and sum(bool(cell.strip()) for cell in row) == 1:
            return  # as the template has it: nothing is said of it yet
        if what not in WHATS:
            remedy = say("Write one of {names}.", names=", ".join(WHATS))
            self.wrong("what", _("This is nothing of a wall."), remedy)
            return
        if what in self.seen and what not in ("stud", "floor", "layer", "service"):
            message = say("Row {row} says this already.", row=self.seen[what])
            self.wrong("what", message, _("Leave one of them out."))
            return
        self.seen[what] = number
        if what in FACTS:
            self.fact(what)
        elif what in PLAIN_FACTS:
            self.plain_fact(what)
        else:
            self.thing(what)

    def cell(self, column: str) -> str:
        """Return what stands in a column of the row, '' where there is none."""
        place = self.header.at.get(column, len(self.row))
        return self.row[place].strip() if place < len(self.row) else ""

    def wrong(self, column: str, message: str, remedy: str) -> None:
        value = self.cell(column) or None
        self.problems.append(Problem(message, remedy, self.number, self.heading(column), value))

    def heading(self, column: str) -> str:
        """Return what the column of a field is called in the table."""
        column = column if column in COLUMNS else "name"
        return self.header.names.get(column, column)

    def thing(self, what: str) -> None:
        """Take in the wall's size, a stud, a reading of the floor, a layer or a service."""
        before = len(self.problems)
        found: dict[str, Any] = {}
        for column in NEEDED[what]:
            found[column] = self.cell("name").lower() if column == "name" else self.length(column)
        if what == "stud":
            found["species"] = self.cell("name")
        if len(self.problems) > before:
            return
        wall = self.wall
        match what:
            case "wall":
                self.wall = replace(wall, **found)
                self.check(wrong_size)
            case "stud":
                stud = Stud(**found)
                self.wall = replace(wall, studs=(*wall.studs, stud))
                self.check(lambda wall: wrong_stud(stud, wall, self.system))
            case "floor":
                level = FloorLevel(**found)
                self.wall = replace(wall, floor=(*wall.floor, level))
                self.check(lambda wall: wrong_floor(level, wall, self.system))
            case "layer":
                layer = Layer(**found)
                self.wall = replace(wall, layers=(*wall.layers, layer))
                self.check(lambda _wall: wrong_layer(layer))
            case _:
                service = Service(kind=found.pop("name"), **found)
                self.wall = replace(wall, services=(*wall.services, service))
                self.check(lambda wall: wrong_service(service, wall))

    def check(self, rule: Callable[[MeasuredWall], Iterator[Problem]]) -> None:
        """Note what is to be looked at when the whole wall is known."""
        self.checks.append((self.number, rule))

    @property
    def system(self) -> System:
        return System.INCH if self.unit == "inch" else System.MM

    def length(self, column: str) -> Length:
        """Return the length in a column; 0 may be, and less of a level only."""
        text = self.cell(column)
        bare = text.translate(str.maketrans("−–", "--"))
        sign = -1 if column == "level" and bare.startswith("-") else 1
        amount = bare.removeprefix("-").strip() if sign < 0 else bare
        if _ZERO.fullmatch(amount.lower()):
            return NOTHING
        found, why = parse(amount, self.header.units.get(column) or self.unit)
        if found is None:
            self.wrong(column, why, _("Measure it, and enter it."))
            return NOTHING
        return Length(sign * found)

    def fact(self, what: str) -> None:
        """Take in one of a few words; an empty cell says nothing."""
        text, kind = plain(self.cell("name")).replace(" ", "_"), FACTS[what]
        if not text:
            return
        if text not in list(kind):
            remedy = say("Write one of {names}.", names=", ".join(kind))
            self.wrong("name", say("This is no {what} that is known here.", what=what), remedy)
            return
        change: dict[str, Any] = {what: kind(text)}
        self.wall = replace(self.wall, **change)

    def plain_fact(self, what: str) -> None:
        """Take in the datum, the warmest it gets, whether it is damp, the finder's error."""
        text = self.cell("name")
        if not text:
            return
        if what == "datum":
            self.wall = replace(self.wall, datum=text)
        elif what == "finder":
            self.wall = replace(self.wall, finder=self.length("name"))
            self.check(wrong_facts)
        elif what == "damp":
            if text.lower() not in ("yes", "no"):
                self.wrong("name", _("This is neither yes nor no."), _("Write yes or no."))
            self.wall = replace(self.wall, is_damp=text.lower() == "yes")
        elif re.fullmatch(r"-?\d{1,3}(?:[.,]\d+)?", text):
            self.wall = replace(self.wall, celsius=float(text.replace(",", ".")))
            self.check(wrong_facts)
        else:
            self.wrong("name", _("This is no temperature."), _("Write °C, such as 25."))

    def end(self) -> tuple[Problem, ...]:
        """Return all problems in the order of the rows."""
        if "wall" not in self.seen:
            message = _("No row says how wide and high the wall is.")
            remedy = _("Add a row that begins with wall.")
            self.problems.append(Problem(message, remedy, column=self.header.names["what"]))
            return tuple(self.problems)
        for number, rule in self.checks:
            self.problems += [
                replace(one, row=number, column=self.heading(one.column or ""))
                for one in rule(self.wall)
            ]
        self.problems += wrong_studs(self.wall, self.system)
        return tuple(sorted(dict.fromkeys(self.problems), key=lambda one: one.row or 0))
