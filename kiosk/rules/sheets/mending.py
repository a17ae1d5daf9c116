"""Find a place for a part that must be cut again: an offcut, a sheet not begun, or a new layout.

What is begun stays as it is: a person may stand at it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from kiosk.rules.breakdown.model import Draw
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.checks import codes_on, find_faults
from kiosk.rules.sheets.model import PlannedSheet, SheetPlan
from kiosk.rules.sheets.planned import left_out_of, planned_sheets, renamed
from kiosk.rules.sheets.stock import Stock as Store
from kiosk.rules.sheets.stock import is_same
from kiosk.rules.sheets.tasks import (
    MaterialTask,
    Reserved,
    Saw,
    by_material,
    lay_in,
    make_task,
    offcut_stock,
)
from kiosk.rules.words import Phrase, say
from labels.codes import shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What a place is looked for with.

    wanted are the job's pieces by code, waiting the codes of those that are not cut yet, begun the
    keys of sheets that are. reserved is what other jobs will cut. origin names the new plan. draw
    and tries are as for the search of a layout.
    """

    store: Store
    saw: Saw
    reserved: Reserved
    wanted: Mapping[str, Piece]
    waiting: Collection[str]
    begun: Collection[str]
    origin: str
    draw: Draw
    tries: int


def next_number(sheets: Iterable[PlannedSheet]) -> int:
    """Return the number of a job's next sheet, so that no name comes twice."""
    names = (sheet.sheet.name[1:] for sheet in sheets)
    return max((int(name) for name in names if name.isdecimal()), default=0) + 1


def place(
    plan: SheetPlan, piece: Piece, *, means: Means, spoiled: str = ""
) -> tuple[SheetPlan, Phrase]:
    """Return a plan with a place for one more piece, and where that is.

    Where the spoiled part it stands for lies on a sheet that is not begun, it takes that place.
    Else first the smallest offcut in stock that it fits on; then a sheet that is not begun; then
    all sheets of its material that are not begun are laid out anew with it. Where even that finds
    none it is left out.
    """
    for found in chain(_instead(plan, piece, spoiled, means), _places(plan, piece, means)):
        if not any(find_faults(one, means.wanted) for one in found.new):
            sheets = (*found.kept, *found.new)
            return replace(plan, sheets=sheets, left_out=found.left_out), found.words
    left = tuple(dict.fromkeys([*plan.left_out, piece.code]))
    words = say("{part} found no place: there is no sheet for it.", part=piece.part)
    return replace(plan, left_out=left), words


@dataclass(frozen=True, slots=True)
class _Place:
    """One way to place a piece: the sheets that stay, and those that are new."""

    kept: tuple[PlannedSheet, ...]
    new: tuple[PlannedSheet, ...]
    left_out: tuple[str, ...]
    words: Phrase


def _instead(plan: SheetPlan, piece: Piece, spoiled: str, means: Means) -> Iterator[_Place]:
    """Yield the place of a part that was spoiled before it was cut, of the same size."""
    for before in plan.sheets:
        if before.key in means.begun or spoiled not in codes_on(before):
            continue
        name = f"S{next_number(plan.sheets)}"
        new = renamed(_swapped(before, spoiled, piece.code), origin=means.origin, name=name)
        kept = tuple(one for one in plan.sheets if one is not before)
        words = say(
            "{part} takes the place of the spoiled one on {sheet}, which is {name} from now on.",
            part=piece.part,
            sheet=before.sheet.name,
            name=name,
        )
        yield _Place(kept, (new,), plan.left_out, words)


def _swapped(planned: PlannedSheet, old: str, new: str) -> PlannedSheet:
    """Return a sheet with another code for one of its parts."""
    codes = {old: new}
    sheet = planned.sheet
    cuts = (
        replace(
            cut,
            part=codes.get(cut.part, cut.part),
            rest_part=codes.get(cut.rest_part, cut.rest_part),
        )
        for cut in sheet.cuts
    )
    strips = (
        replace(
            strip,
            lanes=tuple(
                tuple((codes.get(code, code), length) for code, length in lane)
                for lane in strip.lanes
            ),
        )
        for strip in planned.strips
    )
    parts = (replace(one, code=codes.get(one.code, one.code)) for one in sheet.parts)
    whole = codes.get(sheet.whole, sheet.whole)
    sheet = replace(sheet, parts=tuple(parts), cuts=tuple(cuts), whole=whole)
    return replace(planned, sheet=sheet, strips=tuple(strips))


def _places(plan: SheetPlan, piece: Piece, means: Means) -> Iterator[_Place]:
    """Yield the ways to place a piece, the least change first."""
    ((material, _pieces),) = by_material([piece]).items()
    fresh = [
        one for one in plan.sheets if is_same(one.material, material) and one.key not in means.begun
    ]
    for planned in _on_offcuts(plan, piece, means):
        words = say(
            "{part} is cut from offcut {code}.", part=piece.part, code=shown(planned.offcut)
        )
        yield _Place(plan.sheets, (planned,), plan.left_out, words)
    for before in sorted(fresh, key=lambda one: -_largest(one)):
        for planned in _with(before, piece, plan, means):
            kept = tuple(one for one in plan.sheets if one is not before)
            words = say(
                "{part} goes onto {sheet}, laid out anew as {name}.",
                part=piece.part,
                sheet=before.sheet.name,
                name=planned.sheet.name,
            )
            yield _Place(kept, (planned,), plan.left_out, words)
    yield from _anew(plan, piece, fresh, means)


def _on_offcuts(plan: SheetPlan, piece: Piece, means: Means) -> Iterator[PlannedSheet]:
    """Yield sheets of one offcut with the piece alone, the smallest offcut first."""
    taken = {one.offcut for one in plan.sheets} | means.reserved.offcuts
    ((material, _pieces),) = by_material([piece]).items()
    for one in means.store.offcuts:
        if one.code not in taken and is_same(one.material, material):
            of, _problems = lay_in(material, [piece], [offcut_stock(one)], saw=means.saw)
            yield from _whole(of, plan, means, tries=0)


def _with(
    before: PlannedSheet, piece: Piece, plan: SheetPlan, means: Means
) -> Iterator[PlannedSheet]:
    """Yield a sheet that is not begun with one more piece on it."""
    lying = _waiting_on([before], means)
    pieces, stocks = [*lying, piece], [before.sheet.stock]
    of, _problems = lay_in(before.material, pieces, stocks, saw=means.saw)
    yield from _whole(of, plan, means, tries=means.tries)


def _whole(
    of: MaterialTask, plan: SheetPlan, means: Means, *, tries: int
) -> Iterator[PlannedSheet]:
    """Yield the one sheet of a task if all its parts are on it."""
    found, _problems = break_down(of.task, draw=means.draw, tries=tries)
    if found is not None and not found.left_out:
        first = next_number(plan.sheets)
        yield from planned_sheets(found, of, origin=means.origin, first=first)


def _anew(
    plan: SheetPlan, piece: Piece, fresh: Sequence[PlannedSheet], means: Means
) -> Iterator[_Place]:
    """Yield all sheets that are not begun laid out anew with the piece."""
    ((material, _pieces),) = by_material([piece]).items()
    pieces = [*_waiting_on(fresh, means), piece]
    of, _problems = make_task(material, pieces, means.store, saw=means.saw, reserved=means.reserved)
    found, _why = break_down(of.task, draw=means.draw, tries=means.tries) if of else (None, ())
    if of is None or found is None:
        return
    left = left_out_of(found, of)
    first = next_number(plan.sheets)
    new = planned_sheets(found, of, origin=means.origin, first=first)
    kept = tuple(one for one in plan.sheets if one not in fresh)
    words = say("Sheets that are not begun are laid out anew with {part}.", part=piece.part)
    if piece.code not in left:
        yield _Place(kept, new, tuple(dict.fromkeys([*plan.left_out, *left])), words)


def _waiting_on(sheets: Iterable[PlannedSheet], means: Means) -> list[Piece]:
    """Return the pieces of sheets that have still to be cut."""
    codes = (code for one in sheets for code in codes_on(one))
    return [means.wanted[code] for code in codes if code in means.waiting]


def _largest(planned: PlannedSheet) -> int:
    """Return the area of the largest remainder of a sheet."""
    return max((one.length * one.width for one in planned.sheet.offcuts), default=0)
