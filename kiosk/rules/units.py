"""Bring the rows of a part list together to units that agree with themselves and each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Final

from kiosk.rules.cells import Reading
from kiosk.rules.columns import Header, plain
from kiosk.rules.guesses import guess_kind
from kiosk.rules.parts import PartLine
from kiosk.rules.problems import Problem
from kiosk.rules.values import Finish
from kiosk.rules.words import _, join, known, say

# Words in place of a support that say: on the wall itself.
_ON_THE_WALL: Final = frozenset(("", "none", "wall", "wand", "mur", "pared", "muur", "no", "n a"))
_AGREE: Final = ("kind", "wall", "hangs_on")
_DIFFER: Final = {
    "kind": _("The kind of {unit} is “{held}” in row {row} and “{other}” here."),
    "wall": _("The wall of {unit} is “{held}” in row {row} and “{other}” here."),
    "hangs_on": _("The support of {unit} is “{held}” in row {row} and “{other}” here."),
    "finish": _("The finish of {unit} is “{held}” in row {row} and “{other}” here."),
}


@dataclass(slots=True)
class _Unit:
    """A unit while its rows are gathered; first tells in which row a value was first stated."""

    unit: str
    rows: list[Reading] = field(default_factory=list)
    values: dict[str, str] = field(default_factory=dict)
    first: dict[str, int] = field(default_factory=dict)
    finish: Finish | None = None


def settle_units(
    readings: Sequence[Reading], header: Header
) -> tuple[list[PartLine], list[Problem], list[str]]:
    """Make the lines of all whole rows, with (problems between rows, notes on what was assumed).

    A value of the unit stated in one row holds for all its rows. Kind, finish, wall and support
    must not be stated differently; of different names or positions the first one holds.
    """
    notes: list[str] = []
    problems: list[Problem] = []
    units = _gather(readings, header, problems, notes)
    for unit in units.values():
        problems += _settle(unit, header, notes)
    problems += _check_supports(units, header)
    _name_kinds(units, notes)
    lines = [
        _line(reading, unit) for unit in units.values() for reading in unit.rows if reading.whole
    ]
    return sorted(lines, key=lambda line: line.row), problems, notes


def _gather(
    readings: Sequence[Reading], header: Header, problems: list[Problem], notes: list[str]
) -> dict[str, _Unit]:
    """Sort the rows to units by id, capital or small letters alike."""
    units: dict[str, _Unit] = {}
    above = ""
    filled: list[int] = []
    for reading in readings:
        name = reading.unit.get("unit", "")
        if "unit" not in header.at:
            name = _own_name(reading, units)
        elif not name and above:
            name = above
            filled.append(reading.row)
        elif not name:
            problems.append(_no_unit(header, reading.row))
            continue
        above = name
        units.setdefault(name.casefold(), _Unit(name)).rows.append(reading)
    if filled:
        notes.append(say("No unit given, so the one above was taken: {rows}.", rows=_rows(filled)))
    return units


def _own_name(reading: Reading, units: Mapping[str, _Unit]) -> str:
    """Name a unit after its part, with a number where that name is taken."""
    part = reading.texts["part"] or f"Row {reading.row}"
    name, number = part, 1
    while name.casefold() in units:
        number += 1
        name = f"{part} ({number})"
    return name


def _settle(unit: _Unit, header: Header, notes: list[str]) -> Iterator[Problem]:
    """Find the values of one unit, and where its rows disagree."""
    for reading in unit.rows:
        for column, value in reading.unit.items():
            held = unit.values.setdefault(column, value)
            first = unit.first.setdefault(column, reading.row)
            if held.casefold() == value.casefold() or column == "unit":
                continue
            if column in _AGREE:
                yield _conflict(unit.unit, column, (held, first), (value, reading.row), header)
            else:
                notes.append(
                    say(
                        "{unit} is “{held}” in row {first} and “{value}” in row {row}; the first "
                        "was taken.",
                        unit=unit.unit,
                        held=held,
                        first=first,
                        value=value,
                        row=reading.row,
                    )
                )
        if reading.finish is None:
            continue
        if unit.finish is None:
            unit.finish, unit.first["finish"] = reading.finish, reading.row
        elif unit.finish != reading.finish:
            one, other = _finish_words(unit.finish), _finish_words(reading.finish)
            first = unit.first["finish"]
            yield _conflict(unit.unit, "finish", (one, first), (other, reading.row), header)


def _check_supports(units: Mapping[str, _Unit], header: Header) -> Iterator[Problem]:
    """Replace each support by the unit's own spelling; find unknown ones, itself and loops."""
    walls = {unit.values["wall"].casefold() for unit in units.values() if "wall" in unit.values}
    supports: dict[str, str] = {}
    for key, unit in units.items():
        wall = units.get(unit.values.get("wall", "").casefold())
        if wall is not None:
            unit.values["wall"] = wall.unit
        said = unit.values.get("hangs_on", "")
        target = units.get(said.casefold())
        if target is not None:
            unit.values["hangs_on"] = target.unit
            supports[key] = said.casefold()
        elif plain(said) in _ON_THE_WALL or said.casefold() in walls:
            unit.values["hangs_on"] = ""
        else:
            near = get_close_matches(said, [other.unit for other in units.values()], n=1)
            remedy = say("Did you mean {near}?", near=near[0]) if near else ""
            write = _("Write the unit as it stands in the unit column, or leave the cell empty.")
            why = say(
                "{unit} hangs on “{said}”, which is not in this list.", unit=unit.unit, said=said
            )
            yield _support_problem(unit, header, why, join([remedy, write]))
    yield from _find_loops(units, supports, header)


def _find_loops(
    units: Mapping[str, _Unit], supports: Mapping[str, str], header: Header
) -> Iterator[Problem]:
    """Follow each support to the wall; a way that comes back is one problem for each loop."""
    done: set[str] = set()
    for key in supports:
        way: list[str] = []
        at: str | None = key
        while at is not None and at not in done:
            done.add(at)
            way.append(at)
            at = supports.get(at)
        if at in way:
            loop = [units[name].unit for name in (*way[way.index(at) :], at)]
            itself = len(loop) == 2
            why = (
                say("{unit} hangs on itself.", unit=loop[0])
                if itself
                else say("{way}: a circle.", way=join(loop, _(" hangs on ")))
            )
            yield _support_problem(units[at], header, why, _("One of them must hang on the wall."))


def _name_kinds(units: Mapping[str, _Unit], notes: list[str]) -> None:
    """Give each unit a name and a kind, and say which kinds were guessed."""
    guessed: dict[str, list[str]] = {}
    for unit in units.values():
        name = unit.values.setdefault("unit_name", unit.unit)
        if "kind" not in unit.values:
            unit.values["kind"] = guess_kind(name) or guess_kind(unit.unit) or "panel"
            guessed.setdefault(unit.values["kind"], []).append(unit.unit)
    notes += [
        say(
            "Kind not given, taken for {kind}: {units}.",
            kind=known(kind, "kind"),
            units=_some(names),
        )
        for kind, names in guessed.items()
    ]


def _line(reading: Reading, unit: _Unit) -> PartLine:
    finish = unit.finish or Finish("", accent=False)
    return PartLine(
        part=reading.texts["part"],
        unit=unit.unit,
        unit_name=unit.values["unit_name"],
        kind=unit.values["kind"],
        length=reading.sizes["length"],
        width=reading.sizes["width"],
        thickness=reading.sizes.get("thickness"),
        quantity=reading.quantity,
        material=reading.texts["material"],
        grain=reading.texts["grain"],
        edge=reading.texts["edge"],
        bevel=reading.bevel,
        finish=finish.key,
        accent=finish.accent,
        wall=unit.values.get("wall", ""),
        position=unit.values.get("position", ""),
        hangs_on=unit.values["hangs_on"],
        note=reading.texts["note"],
        row=reading.row,
    )


def _finish_words(finish: Finish) -> str:
    key = finish.key or known("none")
    return say("{finish} + stripe", finish=key) if finish.accent else key


def _conflict(
    unit: str, column: str, held: tuple[str, int], other: tuple[str, int], header: Header
) -> Problem:
    return Problem(
        message=say(_DIFFER[column], unit=unit, held=held[0], row=held[1], other=other[0]),
        remedy=_("Write the same in all rows of a unit, or only in its first row."),
        row=other[1],
        column=header.heard[column],
        value=other[0],
    )


def _support_problem(unit: _Unit, header: Header, why: str, remedy: str) -> Problem:
    said = unit.values["hangs_on"]
    return Problem(why, remedy, unit.first["hangs_on"], header.heard["hangs_on"], said)


def _no_unit(header: Header, row: int) -> Problem:
    remedy = _("Write the unit this part belongs to.")
    return Problem(_("The unit is missing."), remedy, row, header.heard["unit"], "")


def _rows(numbers: list[int]) -> str:
    return (
        say("row {row}", row=numbers[0])
        if len(numbers) == 1
        else say("rows {rows}", rows=_some([str(n) for n in numbers]))
    )


def _some(names: list[str]) -> str:
    rest = len(names) - 8
    first = ", ".join(names[:8])
    return say("{names} and {n} more", names=first, n=rest) if rest > 0 else first
