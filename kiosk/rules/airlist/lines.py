"""Part the rows of a logger's file into those that hold a reading and those that do not."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from kiosk.rules.air import Reading
from kiosk.rules.airlist.headings import MEASURED, AirHeader
from kiosk.rules.airwords import read_humidity, read_number, read_temperature
from kiosk.rules.columns import plain
from kiosk.rules.problems import Problem, Skip
from kiosk.rules.words import _, known, say

# What loggers write where the sensor had no answer; marks alone mean the same.
_NO_ANSWER_WORDS: Final = """nan|na|n a|null|none|nil|fail|failed|fault|fehler|ol|o l|open
    |short|over|under|overflow|underflow|inf|lo|hi|low|high|invalid|missing|no data|nodata"""
_SUMMARY_WORDS: Final = """min minimum max maximum mean average avg std median sum total count
    mittelwert mittel durchschnitt anzahl moyenne ecart promedio media gemiddelde gemiddeld"""
_NO_ANSWER: Final = frozenset(" ".join(word.split()) for word in _NO_ANSWER_WORDS.split("|"))
_SUMMARIES: Final = frozenset(_SUMMARY_WORDS.split())
_SPEED: Final = re.compile(r"([-+]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)(?: ?m/s)?")
_MIDNIGHT: Final = re.compile(r"[ T]0?0:00(?::00(?:\.0+)?)?$")
# a workbook's clock time may come with the day its calendar starts on
_DAY_NONE: Final = re.compile(r"^(?:1899-12-3[01]|1900-01-0[01])[ T]")
_REMEDIES: Final = {
    "temperature": _("Write it like 18.5 or 18.5 °C."),
    "surface temperature": _("Write it like 18.5 or 18.5 °C."),
    "humidity": _("Write it in percent, like 65."),
    "air speed": _("Write it in metres a second, like 0.2."),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One row as the file has it: when, and what each of our columns says; row counts from 1.

    why says what it lacks to be a reading, '' where it may be one; its time still tells how the
    file writes times.
    """

    row: int
    when: str
    said: Mapping[str, str]
    why: str = ""


def sort_rows(rows: Sequence[Sequence[str]], header: AirHeader) -> tuple[list[Line], list[Skip]]:
    """Part the rows below the header into those with a time and those left out, with why."""
    lines: list[Line] = []
    skipped: list[Skip] = []
    heads = [cell.strip() for cell in rows[header.row - 1]]
    for number, row in enumerate(rows[header.row :], start=header.row + 1):
        cells = [cell.strip() for cell in row]
        line = Line(number, _when(cells, header), _said(cells, header))
        why = _("the headings again") if cells == heads else _why_left_out(cells, line)
        if why:
            skipped.append(Skip(number, why))
        else:
            lines.append(replace(line, why=_why_no_reading(line, header)))
    return lines, skipped


def read_line(line: Line, at: datetime, header: AirHeader) -> tuple[Reading | None, list[Problem]]:
    """Read the values of a line; None with problems where one cannot be read."""
    values: dict[str, float | None] = {}
    problems = []
    for column, text in line.said.items():
        value, wrong = _value(column, text, header)
        values[column] = value
        if wrong:
            heard, remedy = header.heard[column], _REMEDIES[column]
            problems.append(Problem(wrong, remedy, row=line.row, column=heard, value=text))
    warm, damp = values["temperature"], values["humidity"]
    if problems or warm is None or damp is None:
        return None, problems
    panel, speed = values.get("surface temperature"), values.get("air speed")
    return Reading(at, warm, damp, panel, speed, "imported"), problems


def _value(column: str, text: str, header: AirHeader) -> tuple[float | None, str]:
    if column == "humidity":
        return read_humidity(text)
    if column != "air speed":
        return read_temperature(text, fahrenheit=header.fahrenheit.get(column, False))
    found = _SPEED.fullmatch(text.lower())
    if not found:
        return None, say("“{text}” is not an air speed.", text=text)
    return round(read_number(found[1]) * header.speed_factor, 4), ""


def _said(cells: Sequence[str], header: AirHeader) -> dict[str, str]:
    """Return the values a row names; a missing one of those not needed is left out."""
    said = {}
    for column in MEASURED:
        at = header.at.get(column, len(cells))
        text = cells[at] if at < len(cells) else ""
        if column in ("temperature", "humidity") or not _is_missing(text):
            said[column] = text
    return said


def _when(cells: Sequence[str], header: AirHeader) -> str:
    """Return the text of a row's time, put together where it stands in two columns."""
    if "date" not in header.at:
        place = header.at.get("time", len(cells))
        return cells[place] if place < len(cells) else ""
    day, clock = (
        cells[header.at[column]] if header.at[column] < len(cells) else ""
        for column in ("date", "clock")
    )
    if day == clock:  # one date cell of a workbook, shown once as the day and once as the time
        return day
    return " ".join((_MIDNIGHT.sub("", day), _DAY_NONE.sub("", clock))).strip()


def _why_left_out(cells: Sequence[str], line: Line) -> str:
    """Say why a row is none of a time, '' if it seems to be one."""
    first = next((cell for cell in cells if cell), "")
    if not first:
        return _("blank row")
    if first.startswith("#"):
        return _("a remark (starts with #)")
    values = (line.said["temperature"], line.said["humidity"])
    if not _has_digit(line.when):
        words = plain(line.when or first).split()
        if words and words[0] in _SUMMARIES:
            return _("a summary, not a reading")
        if not any(map(_has_digit, values)):
            return _("a remark")
    return ""


def _why_no_reading(line: Line, header: AirHeader) -> str:
    """Say which value a row lacks, '' if it has both."""
    for column in ("temperature", "humidity"):
        text = line.said[column]
        if column in header.at and _is_missing(text):
            quantity = known(column, "column")
            if not text:
                return say("no {quantity}, the sensor had no answer", quantity=quantity)
            return say(
                "no {quantity}, the sensor had no answer: “{text}” stands there",
                quantity=quantity,
                text=text,
            )
    return ""


def _is_missing(text: str) -> bool:
    if any(map(str.isdigit, text)) and not text.lower().startswith("err"):
        return False
    word = plain(text)
    return not word or word in _NO_ANSWER or word.startswith("err")


def _has_digit(text: str) -> bool:
    return any(map(str.isdigit, text))
