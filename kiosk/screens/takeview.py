"""What the screens of taking in say of a list: pieces, problems, columns and differences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kiosk.actions import TakenIn
from kiosk.rules.drafts import Heading
from kiosk.rules.headings import MEANINGS, NOTHING
from kiosk.rules.lengths import System, show
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.revision import Change, Size, UnitChange
from kiosk.rules.words import Phrase, _, join, known, say, say_n, shaped
from kiosk.screens.face import ShopFace
from kiosk.screens.jobview import say_name
from kiosk.screens.rows import Row
from kiosk.store import Job

UNITS: Mapping[str, Phrase] = {
    "mm": _("millimetres"),
    "in": _("inches"),
    "cm": _("centimetres"),
    "m": _("metres"),
    "ft": _("feet"),
}
_CHANGED: Mapping[str, Phrase] = {
    "name": _("name"),
    "accent": _("accent"),
    **{name: MEANINGS[name] for name in ("kind", "finish", "wall", "position", "hangs_on")},
}
_FATES: Mapping[str, tuple[str, Phrase]] = {
    "added": ("tick", _("added")),
    "gone": ("cross", _("gone")),
    "changed": ("arrow", _("changed")),
    "protected": ("bars", _("cut already, stays")),
}


@dataclass(frozen=True, slots=True)
class Draft:
    """A list on its way in: its file and what a person has said of it; job is one to revise.

    hang_day is a day that was promised, as it is written in a job.
    """

    file: Path
    job: str = ""
    units: str | None = None
    columns: Mapping[str, str] = field(default_factory=dict)
    hang_day: str = ""


def look_at(shop: ShopFace, draft: Draft) -> TakenIn:
    """Return what a list would bring; nothing is kept."""
    job = shop.jobs().get(draft.job, Job(draft.job))
    return shop.take_in(
        draft.file,
        job,
        units=draft.units,
        columns=draft.columns,
        revise=bool(draft.job),
        dry_run=True,
    )


def system_of(taken: TakenIn) -> System:
    """Return the system the lengths of a list are shown in: its own."""
    return System.INCH if taken.listed is not None and taken.listed.in_inches else System.MM


def say_found(taken: TakenIn) -> Phrase:
    """Return how many pieces and units were understood."""
    pieces = say_n("{n} piece", "{n} pieces", taken.pieces)
    units = say_n("{n} unit", "{n} units", len(taken.units))
    return say("{pieces} in {units}", pieces=pieces, units=units)


def say_longest(taken: TakenIn) -> Phrase:
    """Return how large the longest piece is in both systems, so that a wrong unit shows at once."""
    pieces = [piece for unit in taken.units for piece in unit.pieces if unit.kind != "wall"]
    if not pieces:
        return _("no piece to cut was understood")
    longest = max(pieces, key=lambda piece: (piece.length, piece.width))
    sides = (longest.length, longest.width)
    metric, inch = (join((show(side, system) for side in sides), " × ") for system in System)
    return say("longest piece {metric}, that is {inch}", metric=_tight(metric), inch=_tight(inch))


def say_void(count: int) -> Phrase:
    """Return what to do about labels that were printed before their parts changed."""
    return say_n(
        "{n} part has a new code: take its old label off and print the new one.",
        "{n} parts have new codes: take their old labels off and print the new ones.",
        count,
    )


def piece_rows(taken: TakenIn) -> list[Row]:
    """Return the pieces as rows, like ones of a unit together."""
    system, rows = system_of(taken), []
    for unit in taken.units:
        counts = Counter((one.part, _sides(one, system), one.material) for one in unit.pieces)
        for (part, sides, material), count in counts.items():
            words = say("{n} × {part}", n=count, part=part)
            about = say_name(unit.unit, unit.name)
            rows.append(Row(words, join((about, sides, material), ", ")))
    return rows


def problem_rows(problems: tuple[Problem, ...]) -> list[Row]:
    """Return problems as rows: what is wrong, then where, what stood there and the way out."""
    return [
        Row(one.message, join((say_place(one), one.remedy), ". "), shape="question")
        for one in problems
    ]


def say_place(one: Problem) -> Phrase:
    """Return row, column and cell of a problem, nothing where it has none."""
    row = say("Row {n}", n=one.row) if one.row is not None else ""
    column = say("column {name}", name=known(one.column, "column")) if one.column else ""
    value = say("“{value}”", value=one.value) if one.value else ""
    return join((row, column, value), ", ")


def say_meaning(heading: Heading) -> Phrase:
    """Return what a column was read as."""
    return MEANINGS[heading.meaning] if heading.meaning else _("left out")


def name_column(draft: Draft, taken: TakenIn, heading: str, meaning: str) -> dict[str, str]:
    """Return what columns mean once one more is named: what meant it before means nothing then."""
    said = {
        name: NOTHING if meaning == word else word
        for name, word in draft.columns.items()
        if name != heading
    }
    for other in taken.listed.headings if taken.listed else ():
        if meaning != NOTHING and other.meaning == meaning and other.name != heading:
            said[other.name] = NOTHING
    return {**said, heading: meaning}


def change_rows(taken: TakenIn) -> list[Row]:
    """Return what a revised list changes, as rows."""
    found, system = taken.revision, system_of(taken)
    if found is None:
        return []
    rows = [
        _change_row(fate, change, system)
        for fate in ("protected", "changed", "added", "gone")
        for change in getattr(found, fate)
    ]
    rows += [_unit_row(one) for one in found.unit_changes]
    rows += [
        Row(say("{unit}: no longer on the list", unit=u), "", None, "cross")
        for u in found.units_gone
    ]
    return rows


def _change_row(fate: str, one: Change, system: System) -> Row:
    shape, word = _FATES[fate]
    before, after = _size(one.size_before, system), _size(one.size_after, system)
    count = one.quantity_before or one.quantity_after
    words = say("{fate}: {n} × {part} of {unit}", fate=word, n=count, part=one.part, unit=one.unit)
    if fate == "protected":
        wanted = say("the list wants {size}", size=after) if after else _("the list has it no more")
        return Row(words, join((before, wanted), "; "), None, shape)
    if fate == "changed" and before != after:
        return Row(words, say("{before} becomes {after}", before=before, after=after), None, shape)
    return Row(words, after or before, None, shape)


def _unit_row(one: UnitChange) -> Row:
    words = say("changed: {what} of {unit}", what=_CHANGED[one.what], unit=one.unit)
    before, after = (
        known(value, one.what) if value else _("nothing") for value in (one.before, one.after)
    )
    below = say("{before} becomes {after}", before=before, after=after)
    return Row(words, below, None, "arrow")


def _sides(piece: Piece, system: System) -> str:
    return _size((piece.length, piece.width, piece.thickness), system)


def _size(size: Size | None, system: System) -> str:
    if size is None:
        return ""
    return _tight(join((show(side, system) for side in size if side is not None), " × "))


def _tight(words: str) -> str:
    """Return a size that no line breaks."""
    return shaped(words, lambda said: said.replace(" ", "\u00a0"))
