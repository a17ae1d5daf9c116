"""Make of a job's parts and the stock what is to be broken down, one task for each material.

Parts of one material and thickness are cut together; cleats lie in pairs in strips. Lengths are
whole units of 1/1600 mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from kiosk.rules.breakdown.intake import find_problems
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.lengths import Length, System, mm, show
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import KeptOffcut, Material, PlannedSheet, SheetSize, Strip
from kiosk.rules.sheets.stock import SizeKey, is_same, material_key, size_key
from kiosk.rules.sheets.stock import Stock as Store
from kiosk.rules.sheets.strips import as_part, pair_cleats, plain
from kiosk.rules.words import Phrase, _, join, say


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """What holds for every material: the blade, and the sheets of which nobody counted any.

    trim is what each edge of such a sheet loses; a remainder is kept from least_offcut on. system
    is how the shop reads lengths.
    """

    kerf: Length
    trim: Length
    least_offcut: Length
    length: Length
    width: Length
    system: System = System.MM


@dataclass(frozen=True, slots=True)
class Reserved:
    """What plans of other open jobs will cut: offcuts by code, and sheets by size."""

    offcuts: frozenset[str] = frozenset()
    sheets: Mapping[SizeKey, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialTask:
    """What is to be broken down of one material; is_assumed: nobody counted sheets of it."""

    material: Material
    task: Task
    strips: tuple[Strip, ...]
    pieces: tuple[Piece, ...]
    is_assumed: bool = False


def to_cut(units: Iterable[UnitState]) -> tuple[PieceState, ...]:
    """Return the parts that have still to be cut, in list order.

    Not those of a wall, of a unit that is gone, or that are recorded at any step already; nor those
    of a unit that went on without them being scanned, unless they were asked for after that.
    """
    found = []
    for unit in units:
        if unit.spec.kind == "wall" or unit.gone:
            continue
        last = unit.last.at if unit.last else None
        for piece in unit.pieces:
            is_new = last is None or (piece.born is not None and piece.born > last)
            if piece.needed and not piece.done and is_new:
                found.append(piece)
    return tuple(found)


def by_material(pieces: Iterable[Piece]) -> dict[Material, tuple[Piece, ...]]:
    """Return pieces by what they are cut from, in the order in which materials first come."""
    names: dict[tuple[str, Length | None], Material] = {}
    found: dict[Material, list[Piece]] = {}
    for piece in pieces:
        written = Material(" ".join(piece.material.split()), piece.thickness)
        material = names.setdefault(material_key(written), written)
        found.setdefault(material, []).append(piece)
    return {material: tuple(some) for material, some in found.items()}


def make_tasks(
    pieces: Sequence[Piece], store: Store, *, saw: Saw, reserved: Reserved | None = None
) -> tuple[tuple[MaterialTask, ...], tuple[Problem, ...]]:
    """Return a task for each material that can be cut, and all that is wrong, in words.

    A bevelled part that is in no strip is laid out square and named. A material with any other
    problem has no task.
    """
    tasks: list[MaterialTask] = []
    problems: list[Problem] = []
    for material, some in by_material(pieces).items():
        task, wrong = make_task(material, some, store, saw=saw, reserved=reserved)
        problems += wrong
        if task is not None:
            tasks.append(task)
    return tuple(tasks), tuple(problems)


def make_task(
    material: Material,
    pieces: Sequence[Piece],
    store: Store,
    *,
    saw: Saw,
    reserved: Reserved | None = None,
) -> tuple[MaterialTask | None, tuple[Problem, ...]]:
    """Return the task of one material, None where it cannot be cut, and what is wrong."""
    stocks, is_assumed = _stocks(material, store, saw, reserved or Reserved())
    if all(one.count == 0 for one in stocks):
        return None, (_none_left(material, saw),)
    of, wrong = lay_in(material, pieces, stocks, saw=saw)
    faults = find_problems(of.task)
    about, names = say_material(material, saw.system), {one.code: one for one in pieces}
    problems = tuple(_said(about, one, of.task, names) for one in (*wrong, *faults))
    return None if faults else replace(of, is_assumed=is_assumed), problems


def lay_in(
    material: Material, pieces: Sequence[Piece], stocks: Sequence[Stock], *, saw: Saw
) -> tuple[MaterialTask, tuple[Problem, ...]]:
    """Return the task to cut pieces from stocks, one of them at least there, cleats in strips.

    The problems are those of bevelled pieces that are in no strip; others are not looked for.
    """
    inner = [
        (one.length - 2 * one.trim, one.width - 2 * one.trim) for one in stocks if one.count != 0
    ]
    strips, wrong = pair_cleats(
        pieces,
        kerf=saw.kerf,
        longest=Length(max(length for length, _width in inner)),
        thickness=material.thickness,
        widest=Length(max(width for _length, width in inner)),
    )
    task = Task(
        parts=(*map(as_part, strips), *map(part_of, plain(pieces, strips))),
        stocks=tuple(stocks),
        kerf=saw.kerf,
        least_offcut=saw.least_offcut,
    )
    return MaterialTask(material=material, task=task, strips=strips, pieces=tuple(pieces)), wrong


def part_of(piece: Piece) -> Part:
    """Return a piece as what is laid out: its length runs with the grain where that matters."""
    is_across = piece.grain == "width"
    return Part(
        code=piece.code,
        length=piece.width if is_across else piece.length,
        width=piece.length if is_across else piece.width,
        is_locked=bool(piece.grain),
    )


def offcut_stock(one: KeptOffcut) -> Stock:
    """Return an offcut as what is cut from: its edges are sawn, none is trimmed (choice)."""
    return Stock(code=one.code, length=one.length, width=one.width, count=1, is_offcut=True)


def assumed_size(material: Material, saw: Saw) -> SheetSize:
    """Return the size that stands for sheets of a material of which nobody counted any."""
    return SheetSize(material=material, length=saw.length, width=saw.width, trim=saw.trim)


def size_of_sheet(planned: PlannedSheet) -> SheetSize:
    """Return which sheets in stock a planned one is of."""
    stock = planned.sheet.stock
    return SheetSize(
        material=planned.material,
        length=Length(stock.length),
        width=Length(stock.width),
        trim=Length(stock.trim),
    )


def reserved_by(sheets: Iterable[PlannedSheet]) -> Reserved:
    """Return what sheets that are not begun keep others from taking."""
    offcuts: set[str] = set()
    counts: dict[SizeKey, int] = {}
    for one in sheets:
        if one.offcut:
            offcuts.add(one.offcut)
        else:
            key = size_key(size_of_sheet(one))
            counts[key] = counts.get(key, 0) + 1
    return Reserved(frozenset(offcuts), counts)


def _stocks(
    material: Material, store: Store, saw: Saw, reserved: Reserved
) -> tuple[list[Stock], bool]:
    """Return what there is of a material, offcuts first, and whether sheets are assumed."""
    offcuts = [
        offcut_stock(one)
        for one in store.offcuts
        if is_same(one.material, material) and one.code not in reserved.offcuts
    ]
    counted = store.of(material)
    if not counted:
        return [*offcuts, _sheet_stock(assumed_size(material, saw), None)], True
    sheets = []
    for one in counted:
        taken = reserved.sheets.get(size_key(one.size), 0)
        left = None if one.left is None else max(one.left - taken, 0)
        sheets.append(_sheet_stock(one.size, left))
    return [*offcuts, *sheets], False


def _sheet_stock(size: SheetSize, count: int | None) -> Stock:
    code = f"{mm(size.length):g}x{mm(size.width):g}"
    return Stock(code=code, length=size.length, width=size.width, count=count, trim=size.trim)


def _none_left(material: Material, saw: Saw) -> Problem:
    return Problem(
        say(
            "{material}: there is no sheet of it left.", material=say_material(material, saw.system)
        ),
        _("Count the sheets anew, or buy some and count them."),
    )


def say_material(material: Material, system: System) -> Phrase:
    """Return what a material is called, with its thickness where one is known."""
    name = material.name or _("Unnamed material")
    if material.thickness is None:
        return say("{name}", name=name)
    return say("{name}, {thickness}", name=name, thickness=show(material.thickness, system))


def _said(about: Phrase, problem: Problem, task: Task, names: Mapping[str, Piece]) -> Problem:
    """Return a problem of a task with the names of material and part before it."""
    code = task.parts[problem.row - 1].code if problem.row else ""
    piece = names.get(code)
    named = join([about, piece.part], ", ") if piece else about
    return Problem(say("{about}: {what}", about=named, what=problem.message), problem.remedy)
