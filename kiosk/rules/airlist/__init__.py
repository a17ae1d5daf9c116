"""Read a logger's file, of any order and language, to readings of the air and every problem."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from typing import Final

from kiosk.rules.air import Reading, check_reading
from kiosk.rules.airlist.dates import UNCLEAR, place_times, read_times
from kiosk.rules.airlist.headings import MEASURED, NEEDED, TOP_ROWS, AirHeader, find_air_header
from kiosk.rules.airlist.lines import Line, read_line, sort_rows
from kiosk.rules.problems import Problem, Skip
from kiosk.rules.words import _, capital, join, known, say, say_n

__all__ = ("MOST_ROWS", "AirList", "read_air_list")

MOST_ROWS: Final = 600_000  # a reading a minute for a year are 525,600
_NO_HEADER: Final = _("no header row was found to read it by")
_WRITE_TIME: Final = _("Write it like 2026-03-05 08:00.")
_SAY_ORDER: Final = _("Say which it is: day-first or month-first.")
_NAME_ZONE: Final = _("Set the logger's clock, or name the zone, as in 2026-03-05T08:00+01:00.")


@dataclass(frozen=True, slots=True, kw_only=True)
class AirList:
    """Everything a reading found: the readings by time, what is wrong, what was left out.

    Take it in only while problems is empty. header_row counts from 1, None where no header was
    found. columns maps each header that was understood, as written, to our word for it; ignored
    names the other headers. notes say in words what was assumed. Each row below the header is a
    reading, has problems, or is named in skipped.
    """

    readings: tuple[Reading, ...]
    problems: tuple[Problem, ...]
    skipped: tuple[Skip, ...]
    header_row: int | None
    columns: Mapping[str, str]
    ignored: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def read_air_list(
    rows: Sequence[Sequence[str]],
    *,
    now: datetime,
    zone: tzinfo,
    dates: str | None = None,
    fahrenheit: bool = False,
) -> AirList:
    """Read a logger's file; rows are all rows of the file, the first is row 1.

    Needed are columns for the time (or date and clock time), temperature and humidity; those for a
    panel's temperature and the air's speed are read too. A temperature is in the unit its cell
    names, else its heading, else °F where fahrenheit is True, else °C. Times without a zone are in
    the one the heading names, else in `zone`. dates ("day-first", "month-first") settles what the
    file leaves open. Refused: what `check_reading` refuses, more than 600,000 rows. Left out and
    named: blank rows, remarks, summaries, repeated headings, rows without a value, doubles.
    """
    if len(rows) > MOST_ROWS:
        words = say(
            "The file has {n:,} rows; the most is {most_rows:,}.", n=len(rows), most_rows=MOST_ROWS
        )
        return _nothing((Problem(words, _("Export a shorter time, such as one year.")),))
    header = find_air_header(rows)
    if header is None:
        return _without_header(rows)
    lines, skipped = sort_rows(rows, header)
    missing = [column for column in NEEDED if column not in header.heard]
    if missing:
        columns = join((known(column, "column") for column in missing), _(" or the "))
        why = say("the file has no column for the {columns}", columns=columns)
        skipped += [Skip(line.row, why) for line in lines]
        return _result(header, (), [_missing(header, column) for column in missing], skipped)
    skipped += [Skip(line.row, line.why) for line in lines if line.why]
    timed, problems, unclear = _times_of(lines, header, zone, dates)
    unnamed = dict.fromkeys(("temperature", "surface temperature"), fahrenheit)
    units = replace(header, fahrenheit=unnamed | dict(header.fahrenheit))
    read, wrong = _read_lines(timed, units, now)
    readings, doubles, notes = _settle_doubles(read)
    notes = [*_unit_notes(lines, header, "°F" if fahrenheit else "°C"), *notes]
    return _result(header, readings, [*problems, *wrong], [*skipped, *unclear, *doubles], notes)


def _read_lines(
    timed: Sequence[tuple[Line, datetime]], header: AirHeader, now: datetime
) -> tuple[list[tuple[int, Reading]], list[Problem]]:
    """Read the values of all lines: the readings with their rows, and every problem."""
    read: list[tuple[int, Reading]] = []
    problems: list[Problem] = []
    for line, at in timed:
        reading, found = read_line(line, at, header)
        found += () if reading is None else _check(reading, line, header, now)
        problems += found
        if reading is not None and not found:
            read.append((line.row, reading))
    return read, problems


def _result(
    header: AirHeader,
    readings: Iterable[Reading],
    problems: Iterable[Problem],
    skipped: Iterable[Skip],
    notes: Iterable[str] = (),
) -> AirList:
    return AirList(
        readings=tuple(readings),
        problems=tuple(sorted(problems, key=lambda problem: problem.row or 0)),
        skipped=tuple(sorted(skipped, key=lambda skip: skip.row)),
        header_row=header.row,
        columns={header.heard[column]: column for column in header.at},
        ignored=header.ignored,
        notes=tuple(notes),
    )


def _nothing(problems: tuple[Problem, ...], skipped: tuple[Skip, ...] = ()) -> AirList:
    return AirList(readings=(), problems=problems, skipped=skipped, header_row=None, columns={})


def _without_header(rows: Sequence[Sequence[str]]) -> AirList:
    """Leave every row out, and say that the headings are missing."""
    words = _("No row with headings for time, temperature and humidity was found.")
    problem = Problem(
        message=words if rows else _("The file is empty."),
        remedy=say(
            "Put the headings Time, Temperature and Humidity above the rows, within "
            "the first {top_rows} rows.",
            top_rows=TOP_ROWS,
        ),
    )
    return _nothing((problem,), tuple(Skip(n, _NO_HEADER) for n in range(1, len(rows) + 1)))


def _missing(header: AirHeader, column: str) -> Problem:
    named = known(column, "column")
    words = say("The file has no column for the {column}.", column=named)
    remedy = say("Add one headed {column}.", column=capital(named))
    return Problem(words, remedy, row=header.row, column=column)


def _times_of(
    lines: Sequence[Line], header: AirHeader, zone: tzinfo, dates: str | None
) -> tuple[list[tuple[Line, datetime]], list[Problem], list[Skip]]:
    """Read the times of all lines: those that have one, problems, and those it is unclear for."""
    texts = [line.when for line in lines]
    times = list(zip(lines, read_times(texts, dates=dates or header.dates), strict=True))
    unclear = [line for line, at in times if at == UNCLEAR and not line.why]
    problems = [
        _wrong(line, header, say("“{text}”: {why}.", text=line.when, why=UNCLEAR), _SAY_ORDER)
        for line in unclear[:1]
    ]
    for line, at in times:
        if isinstance(at, str) and at != UNCLEAR and not line.why:
            problems.append(_wrong(line, header, at, _WRITE_TIME))
    known = [(line, at) for line, at in times if isinstance(at, datetime)]
    placed = place_times([(at, line.said) for line, at in known], zone=header.zone or zone)
    timed = []
    for (line, _stamp), moment in zip(known, placed, strict=True):
        if moment is not None and not line.why:
            timed.append((line, moment))
        elif not line.why:
            words = say("“{when}” does not exist: the clocks went forward over it.", when=line.when)
            problems.append(_wrong(line, header, words, _NAME_ZONE))
    return timed, problems, [Skip(line.row, UNCLEAR) for line in unclear[1:]]


def _wrong(line: Line, header: AirHeader, words: str, remedy: str) -> Problem:
    """Return what is wrong with the time of a line."""
    return Problem(words, remedy, row=line.row, column=header.heard["time"], value=line.when)


def _check(reading: Reading, line: Line, header: AirHeader, now: datetime) -> list[Problem]:
    """Return what makes a reading impossible, named as the file has it."""
    found = []
    for problem in check_reading(reading, now=now, oldest=None):
        column = problem.column or ""
        value = line.said.get(column, line.when)
        found.append(replace(problem, row=line.row, column=header.heard[column], value=value))
    return found


def _settle_doubles(
    read: Sequence[tuple[int, Reading]],
) -> tuple[list[Reading], list[Skip], list[str]]:
    """Keep one reading per moment, the later row's: (readings by time, those left out, notes)."""
    kept: dict[datetime, tuple[int, Reading]] = {}
    skipped: list[Skip] = []
    replaced: list[tuple[int, int]] = []
    for row, reading in read:
        before = kept.get(reading.at)
        if before is not None and before[1] == reading:
            skipped.append(Skip(row, say("the same reading as in row {before}", before=before[0])))
            continue
        if before is not None:
            skipped.append(
                Skip(before[0], say("row {row} has other values for the same time", row=row))
            )
            replaced.append((before[0], row))
        kept[reading.at] = (row, reading)
    notes: list[str] = []
    if replaced:
        old, new = replaced[0]
        words = say_n(
            "Of two rows for one time the later counts, such as row {new} and not row {old}.",
            "Of two rows for {n} times the later counts, such as row {new} and not row {old}.",
            len(replaced),
            new=new,
            old=old,
        )
        notes = [words]
    return [kept[at][1] for at in sorted(kept)], skipped, notes


def _unit_notes(lines: Sequence[Line], header: AirHeader, unit: str) -> list[str]:
    """Say what was taken as °C or °F unsaid, and whose time it is by the heading."""
    notes: list[str] = []
    for column in MEASURED:
        temperature = column in ("temperature", "surface temperature")
        if temperature and column in header.at and column not in header.fahrenheit:
            cells = (line.said.get(column, "") for line in lines)
            if any(cell[-1:].isdigit() for cell in cells):
                words = say(
                    "“{heard}” names no unit: it is taken as {unit}.",
                    heard=header.heard[column],
                    unit=unit,
                )
                notes.append(words)
    if header.zone is not None:
        notes.append(say("Times are in {zone}, as their heading says.", zone=header.zone))
    return notes
