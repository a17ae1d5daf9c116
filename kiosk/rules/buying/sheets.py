"""Count the sheets to buy: by the plan where there is one, else by the bound and by area."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.buying.measures import SQUARE
from kiosk.rules.buying.model import BuyLine, Group
from kiosk.rules.lengths import Length, System, show, tape
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.cleats import saving
from kiosk.rules.sheets.model import NOTHING, Material, PlannedSheet, SheetSize
from kiosk.rules.sheets.stock import SizeKey, is_same, size_key
from kiosk.rules.sheets.tasks import by_material, size_of_sheet
from kiosk.rules.words import _, join, number, say, say_n


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What the jobs' plans settle.

    sheets are the new ones not begun, how many of each size; codes those of all parts.
    """

    sheets: Mapping[SheetSize, int] = field(default_factory=dict)
    codes: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """The sheets a shop has or can get.

    sizes are those in stock; count is how many are free for these jobs, None where nobody counted.
    usual is the size that is assumed for any other material, its material does not matter. With
    ignores_stock nothing is taken off for what is there.
    """

    usual: SheetSize
    sizes: tuple[SheetSize, ...] = ()
    kerf: Length = NOTHING
    ignores_stock: bool = False


@dataclass(frozen=True, slots=True)
class _Loose:
    """Parts without a plan, on sheets of one size: by the bound, and by area in sheets."""

    size: SheetSize
    least: int
    share: Fraction
    area: Fraction


def take_plans(sheets: Sequence[PlannedSheet], begun: frozenset[str]) -> Planned:
    """Return what planned sheets settle.

    Args:
        sheets: of the jobs' plans.
        begun: keys of those that are not bought: they lie on the saw, or nobody needs their parts.
    """
    counted: Counter[SheetSize] = Counter()
    codes: set[str] = set()
    for one in sheets:
        codes.update(codes_on(one))
        if not one.offcut and one.key not in begun:
            counted[size_of_sheet(one)] += 1
    return Planned(sheets=counted, codes=frozenset(codes))


def sheet_lines(
    uncut: Sequence[Piece],
    planned: Planned,
    supply: Supply,
    *,
    allowance: int,
    system: System = System.MM,
) -> Iterator[BuyLine | Problem]:
    """Yield a line for each size of each material.

    Without a plan, the number is the larger of the bound on sheets and of the parts' area with the
    allowance; offcuts are not counted on. allowance is in percent.
    """
    loose: dict[SizeKey, _Loose] = {}
    sizes = {size_key(size): size for size in planned.sheets}
    loose_pieces = (piece for piece in uncut if piece.code not in planned.codes)
    for material, pieces in by_material(loose_pieces).items():
        size = _size_of(material, supply)
        fitting = [one for one in pieces if _fits(one, size)]
        yield from (_too_large(one, size, system) for one in pieces if one not in fitting)
        if fitting:
            loose[size_key(size)] = _reckon(fitting, size, supply.kerf)
            sizes.setdefault(size_key(size), size)
    counts: Counter[SizeKey] = Counter()
    for size, count in planned.sheets.items():
        counts[size_key(size)] += count
    for key in sorted(sizes, key=lambda one: (one[0], one[1] or 0, *one[2:])):
        yield _line(
            sizes[key],
            counts[key],
            loose.get(key),
            supply,
            allowance=allowance,
            system=system,
        )


def _size_of(material: Material, supply: Supply) -> SheetSize:
    """Return the largest size in stock of a material, or what is assumed."""
    sizes = [one for one in supply.sizes if is_same(one.material, material)]
    usual = replace(supply.usual, material=material)
    return max(sizes, key=lambda one: (one.length * one.width, one.length), default=usual)


def _sides(piece: Piece, kerf: Length) -> tuple[int, int]:
    """Return a part's sides along and across a sheet's grain.

    A bevelled one counts with half of what two of them take as one strip, which no layout beats.
    """
    width = int(piece.width)
    if piece.bevel and piece.thickness:
        spared = saving(thickness=piece.thickness, tilt=piece.bevel, kerf=kerf)
        width -= -(-min(max(spared, 0), width) // 2)
    return _along(piece, width)


def _along(piece: Piece, width: int) -> tuple[int, int]:
    return (width, piece.length) if piece.grain == "width" else (piece.length, width)


def _fits(piece: Piece, size: SheetSize) -> bool:
    room = size.length - 2 * size.trim, size.width - 2 * size.trim
    way = _along(piece, piece.width)
    ways = [way] if piece.grain else [way, way[::-1]]
    return any(way[0] <= room[0] and way[1] <= room[1] for way in ways)


def _reckon(pieces: Sequence[Piece], size: SheetSize, kerf: Length) -> _Loose:
    alike = Counter((*_sides(one, kerf), bool(one.grain)) for one in pieces)
    parts = tuple(
        Part(code=str(at), length=length, width=width, quantity=count, is_locked=locked)
        for at, ((length, width, locked), count) in enumerate(alike.items())
    )
    stock = Stock(code="", length=size.length, width=size.width, trim=size.trim)
    least = least_sheets(Task(parts=parts, stocks=(stock,), kerf=kerf))
    # each part with one kerf beside it, as the bound counts
    taken = sum((one.length + kerf) * (one.width + kerf) * one.quantity for one in parts)
    room = (size.length - 2 * size.trim + kerf) * (size.width - 2 * size.trim + kerf)
    area = Fraction(sum(one.length * one.width for one in pieces), SQUARE)
    return _Loose(size, least, Fraction(taken, room), area)


def _line(
    size: SheetSize,
    planned: int,
    loose: _Loose | None,
    supply: Supply,
    *,
    allowance: int,
    system: System,
) -> BuyLine:
    by_area = loose.share * (100 + allowance) / 100 if loose else Fraction(0)
    guessed = max(loose.least, -(-by_area.numerator // by_area.denominator)) if loose else 0
    stock = _stock(size, supply)
    material = size.material
    sides = [size.length, size.width]
    sides += [material.thickness] if material.thickness is not None else []
    return BuyLine(
        group=Group.SHEETS,
        what=say(
            "{material}, {size}",
            material=material.name or _("Unnamed material"),
            size=_say_size(sides, system),
        ),
        amount=Decimal(max(0, planned + guessed - (stock or 0))),
        unit="sheets",
        needed=planned + (loose.share if loose else 0) + Fraction(0),
        basis=join((*_basis(planned, loose, guessed), _say_stock(stock, supply)), "; "),
    )


def _say_size(sides: Sequence[Length], system: System) -> str:
    """Return sides as `2440 × 1220 × 18 mm`; inches have their mark at each."""
    marked = [tape(side, system, unit_mark=system is System.INCH) for side in sides[:-1]]
    last = show if len(sides) > 2 else tape  # a thickness is said as everywhere
    return join([*marked, last(sides[-1], system)], " × ")


def _stock(size: SheetSize, supply: Supply) -> int | None:
    """Return how many sheets of a size are taken off, None where nobody counted."""
    known = {size_key(one): one.count for one in supply.sizes}
    return 0 if supply.ignores_stock else known.get(size_key(size))


def _basis(planned: int, loose: _Loose | None, guessed: int) -> Iterator[str]:
    if planned:
        yield say_n("{n} sheet by the plan", "{n} sheets by the plan", planned)
    if loose:
        yield say(
            "{n} without a plan, for {area} m² of parts: {least} at least, {share} by area",
            n=guessed,
            area=number(f"{float(loose.area):.2f}"),
            least=loose.least,
            share=number(f"{float(loose.share):.2f}"),
        )


def _say_stock(stock: int | None, supply: Supply) -> str:
    if supply.ignores_stock:
        return ""
    if stock is None:
        return _("nobody counted what is in stock")
    return say("less {n} in stock", n=stock)


def _too_large(piece: Piece, size: SheetSize, system: System) -> Problem:
    words = say(
        "{part} {code} fits on no sheet of {size}.",
        part=piece.part,
        code=piece.code,
        size=_say_size((size.length, size.width), system),
    )
    return Problem(words, _("Count larger sheets in stock, or mend its size in the list."))
