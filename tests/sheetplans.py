"""Break the sample lists down, for tests of what is drawn of a plan."""

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from itertools import count
from pathlib import Path
from random import Random

import kiosk
from kiosk.figure.shapes import overlap
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.breakdown.plan import break_down
from kiosk.rules.lengths import Length, from_mm
from kiosk.rules.partlist import read
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.lines import cut_lines, freeing
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan
from kiosk.rules.sheets.strips import as_part, pair_cleats, plain
from kiosk.rules.sheets.views import PartName, SheetsView, SheetView
from kiosk.tables import read_table

DATA = Path(kiosk.__file__).parent / "data"
AT = datetime(2026, 3, 11, 9, 58, tzinfo=UTC)
METRIC = (2500, 1250)
INCH = (96 * 25.4, 48 * 25.4)


def pieces_of(file, times=1):
    """Return the pieces of a sample list with codes, and the name and unit of each."""
    rows, _problems = read_table(DATA / file)
    pieces, names, number = [], {}, count(1)
    for line in read(rows, units=None).lines:
        for _copy in range(line.quantity * times if line.kind != "wall" else 0):
            code = f"K7F{next(number):03d}X"
            names[code] = (line.part, line.unit)
            pieces.append(
                Piece(
                    code=code, part=line.part, length=line.length, width=line.width,
                    thickness=line.thickness, material=line.material, grain=line.grain,
                    bevel=line.bevel,
                )
            )  # fmt: skip
    return pieces, names


def _as_part(piece):
    sides = (piece.width, piece.length) if piece.grain == "width" else (piece.length, piece.width)
    return Part(code=piece.code, length=sides[0], width=sides[1], is_locked=bool(piece.grain))


def _numbered(sheets, before):
    """Return sheets named on from those before, with all pieces of their cuts."""
    for number, sheet in enumerate(sheets, 1):
        old, new = f"S{number}", f"S{number + before}"

        def again(name, old=old, new=new):
            return new + name.removeprefix(old) if name else ""

        cuts = tuple(
            replace(
                cut, piece_in=again(cut.piece_in), piece_out=again(cut.piece_out),
                rest=again(cut.rest),
            )
            for cut in sheet.cuts
        )  # fmt: skip
        offcuts = tuple(replace(one, piece=again(one.piece)) for one in sheet.offcuts)
        yield replace(sheet, name=new, cuts=cuts, offcuts=offcuts)


@cache
def a_plan(file="glaze-store.csv", size=METRIC, *, times=1, offcuts=(), tries=60, trim=10.0,
           sheets=None):  # fmt: skip
    """Return a plan of a sample list, the names of its parts and the codes with locked grain."""
    pieces, names = pieces_of(file, times)
    kerf, edge = from_mm(3.2), from_mm(trim)
    planned, bounds, out = [], [], []
    for material in dict.fromkeys(Material(one.material, one.thickness) for one in pieces):
        group = [
            p for p in pieces if (p.material, p.thickness) == (material.name, material.thickness)
        ]
        longest = Length(from_mm(size[0]) - 2 * edge)
        strips, _problems = pair_cleats(group, kerf=kerf, longest=longest)
        square = [_as_part(one) for one in plain(group, strips)]
        stocks = [
            Stock(code=code, length=from_mm(long), width=from_mm(wide), count=1, is_offcut=True)
            for code, long, wide in offcuts
        ]
        long, wide = map(from_mm, size)
        stocks.append(Stock(code="whole", length=long, width=wide, trim=edge, count=sheets))
        task = Task(parts=(*square, *map(as_part, strips)), stocks=tuple(stocks), kerf=kerf)
        found, problems = break_down(task, draw=Random(7).random, tries=tries)
        assert found is not None, problems
        held = {strip.code: strip for strip in strips}
        for sheet in _numbered(found.sheets, len(planned)):
            here = tuple(held[part.code] for part in sheet.parts if part.code in held)
            planned.append(
                PlannedSheet(
                    origin="P1", material=material, kerf=kerf, sheet=sheet, strips=here,
                    offcut=sheet.stock.code if sheet.stock.is_offcut else "", levels=found.levels,
                )
            )  # fmt: skip
        bounds.append((material, found.bound))
        for code in found.left_out:
            lanes = held[code].lanes if code in held else (((code, 0),),)
            out += [cleat for lane in lanes for cleat, _length in lane]
    plan = SheetPlan(
        id="P1", job="GLAZE", made=AT, sheets=tuple(planned), bounds=tuple(bounds),
        left_out=tuple(out),
    )  # fmt: skip
    return plan, names, frozenset(one.code for one in pieces if one.grain)


def lines_of(planned):
    return cut_lines(planned)


def a_view(*, done=0, **how):
    """Return a plan as it is shown, the first cuts of its first sheet made."""
    plan, names, _grained = a_plan(**how)
    sheets = []
    for number, planned in enumerate(plan.sheets):
        lines = cut_lines(planned)
        made = lines[:done] if number == 0 else ()
        sheets.append(
            SheetView(
                planned=planned, lines=lines, done=frozenset(line.number for line in made),
                next=len(made) + 1 if len(made) < len(lines) else None,
                parts=len(freeing(planned)), is_begun=bool(made),
                cut=frozenset(code for line in made for code in line.frees),
            )
        )  # fmt: skip
    return SheetsView(
        plan=plan, sheets=tuple(sheets), unplanned=plan.left_out,
        names={code: PartName(part, unit, "") for code, (part, unit) in names.items()},
    )  # fmt: skip


class Everything:
    """All messages there are, so that a strange language says each of them."""

    def __contains__(self, _message):
        return True


def assert_clean(figure):
    """Fail where letters touch others or leave the picture."""
    found = [(one, ink(one)) for one in figure.words]
    for at, (one, edges) in enumerate(found):
        left, top, right, bottom = one.edges
        assert min(left, top) >= 0, (one, one.edges)
        assert right <= figure.width, (one, one.edges)
        assert bottom <= figure.height, (one, one.edges)
        for other, others in found[at + 1 :]:
            assert not overlap(edges, others), (one, other)


def ink(one):
    """The letters themselves: between capitals and base line, as tails of one line may touch."""
    left, _top, right, _bottom = one.edges
    return left, one.y - 0.66 * one.size, right, one.y
