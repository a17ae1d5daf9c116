"""Sheets of a glaze store's shelves for pictures: laid out by the same rules as a job's own."""

from __future__ import annotations

import random
from collections.abc import Collection, Mapping
from datetime import UTC, datetime
from functools import cache

from kiosk.rules.breakdown.model import Breakdown
from kiosk.rules.breakdown.plan import options
from kiosk.rules.lengths import Length, System, from_mm, show
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import (
    CutLine,
    KeptOffcut,
    Material,
    PlannedSheet,
    SheetPlan,
    SheetSize,
)
from kiosk.rules.sheets.planned import planned_sheets
from kiosk.rules.sheets.progress import progress
from kiosk.rules.sheets.stock import Stock
from kiosk.rules.sheets.tasks import MaterialTask, Saw, make_tasks
from kiosk.rules.sheets.views import (
    Choice,
    MaterialSearch,
    OffcutView,
    PartName,
    SearchView,
    SheetsView,
    SheetView,
    SizeView,
    StockView,
)
from kiosk.rules.words import _
from labels.codes import code_for

JOB, _TRIES, _SEED = "GLAZE", 200, 7
_MADE = datetime(2026, 3, 11, 8, 0, tzinfo=UTC)
_PLY, _BACK = "birch ply", "poplar ply"
# unit, part, how many, length, width, thickness, material, grain, bevel
_ROWS = (
    ("G01", "Side", 3, 690, 280, 18, _PLY, "length", 0.0),
    ("G02", "Side", 3, 690, 350, 18, _PLY, "length", 0.0),
    ("G02", "Board", 3, 564, 350, 18, _PLY, "length", 0.0),
    ("G04", "Kick board", 1, 1180, 240, 18, _PLY, "length", 0.0),
    ("G01", "Board", 4, 564, 280, 18, _PLY, "length", 0.0),
    ("G05", "Tray end", 3, 380, 300, 18, _PLY, "length", 0.0),
    ("G03", "Board", 3, 564, 240, 18, _PLY, "length", 0.0),
    ("G03", "Side", 4, 690, 350, 18, _PLY, "length", 0.0),
    ("G04", "Rail", 2, 910, 190, 18, _PLY, "length", 0.0),
    *((unit, "Cleat", 2, 564, 90, 15, _BACK, "length", 45.0) for unit in ("G01", "G02", "G03")),
    *((unit, "Back", 1, 760, 596, 15, _BACK, "", 0.0) for unit in ("G01", "G02", "G03")),
)
SAW = Saw(
    kerf=from_mm(3.2),
    trim=from_mm(5),
    least_offcut=from_mm(150),
    length=from_mm(2440),
    width=from_mm(1220),
)


@cache
def sample_pieces() -> Mapping[str, tuple[str, Piece]]:
    """Return the parts by code, each with its unit."""
    found: dict[str, tuple[str, Piece]] = {}
    for unit, part, count, length, width, thickness, material, grain, bevel in _ROWS:
        for _number in range(count):
            code = code_for("K", 9000 + len(found))
            found[code] = (
                unit,
                Piece(
                    code=code,
                    part=part,
                    length=from_mm(length),
                    width=from_mm(width),
                    thickness=from_mm(thickness),
                    material=material,
                    grain=grain,
                    bevel=bevel,
                ),
            )
    return found


@cache
def _tasks() -> tuple[tuple[MaterialTask, tuple[Breakdown, ...]], ...]:
    pieces = [piece for _unit, piece in sample_pieces().values()]
    tasks, _problems = make_tasks(pieces, Stock(), saw=SAW)
    found = []
    for task in tasks:
        # a seed, so that the pictures are the same each time
        draw = random.Random(_SEED).random
        found.append((task, options(task.task, draw=draw, tries=_TRIES)[0]))
    return tuple(found)


@cache
def sample_choices() -> tuple[Choice, ...]:
    """Return the ways to break the parts down; of the first material there are several."""
    found = []
    for task, ways in _tasks():
        for number, way in enumerate(ways):
            found.append(_choice(task, number, way))
    return tuple(found)


def _choice(task: MaterialTask, number: int, way: Breakdown) -> Choice:
    planned = planned_sheets(way, task, origin="sample", first=1)
    sides = [(one.length, one.width) for sheet in way.sheets for one in sheet.offcuts]
    length, width = max(sides, key=lambda two: two[0] * two[1], default=(0, 0))
    return Choice(
        material=task.material,
        number=number,
        planned=planned,
        sheets=way.taken,
        offcuts=0,
        bound=way.bound,
        cuts=way.cuts,
        settings=way.settings,
        levels=way.levels,
        largest_offcut=(Length(length), Length(width)) if length else None,
    )


def sample_names(system: System = System.MM) -> dict[str, PartName]:
    """Return what the parts are called."""
    found = {}
    for code, (unit, piece) in sample_pieces().items():
        sides = [show(side, system, unit_mark=False) for side in (piece.length, piece.width)]
        found[code] = PartName(piece.part, unit, f"{sides[0]} × {sides[1]} mm")
    return found


def sample_grained() -> frozenset[str]:
    """Return the codes of the parts whose grain matters."""
    return frozenset(code for code, (_unit, piece) in sample_pieces().items() if piece.grain)


def sample_view(*, steps: int = 0) -> SheetsView:
    """Return a plan whose cuts are made up to so many, sheet after sheet."""
    sheets = []
    first = 1
    left = steps
    for task, ways in _tasks():
        for planned in planned_sheets(ways[0], task, origin="K-sample", first=first):
            lines = cut_lines(planned)
            made = frozenset(line.number for line in lines[:left])
            left = max(0, left - len(lines))
            cut = {code for line in lines if line.number in made for code in line.frees}
            sheets.append(_sheet_view(planned, lines, cut, made))
        first = len(sheets) + 1
    plan = SheetPlan(
        id="K-sample", job=JOB, made=_MADE, sheets=tuple(one.planned for one in sheets)
    )
    return SheetsView(plan=plan, sheets=tuple(sheets), names=sample_names())


def _sheet_view(
    planned: PlannedSheet, lines: tuple[CutLine, ...], cut: Collection[str], made: Collection[int]
) -> SheetView:
    far = progress(lines, cut=cut, made=made)
    return SheetView(
        planned=planned,
        lines=lines,
        done=far.done,
        next=far.next,
        parts=len(codes_on(planned)),
        cut=frozenset(cut),
        is_begun=bool(made),
    )


def sample_search(*, is_running: bool = True) -> SearchView:
    """Return a search that goes on: one material is done, with the other it has just begun."""
    ways = sample_choices()
    counts = {task.material: len(task.pieces) for task, _ways in _tasks()}
    materials = tuple(
        MaterialSearch(
            material=material,
            parts=count,
            sheets=next(one.sheets for one in ways if one.material == material),
            bound=next(one.bound for one in ways if one.material == material),
            settings=next(one.settings for one in ways if one.material == material),
            is_done=not is_running or number > 0,
        )
        for number, (material, count) in enumerate(counts.items())
    )
    return SearchView(
        job=JOB,
        is_running=is_running,
        share=0.4 if is_running else 1.0,
        seconds=7.0,
        materials=materials,
        has_choices=True,
    )


PROBLEM = Problem(
    _("birch ply: there is no sheet of it left."),
    _("Count the sheets anew, or buy some and count them."),
)


def sample_stock() -> StockView:
    """Return a stock of two sizes and two offcuts, one of them planned for a job."""
    ply, back = Material(_PLY, from_mm(18)), Material(_BACK, from_mm(15))
    sizes = (
        SizeView(
            size=SheetSize(
                material=ply, length=from_mm(2440), width=from_mm(1220), count=6, trim=from_mm(5)
            ),
            used=2,
            left=4,
            planned=2,
        ),
        SizeView(
            size=SheetSize(material=back, length=from_mm(1525), width=from_mm(1525)),
            is_assumed=True,
            planned=1,
        ),
    )
    offcuts = (
        KeptOffcut(
            code=code_for("K", 9100),
            material=ply,
            length=from_mm(812),
            width=from_mm(300),
            job="KILN",
            sheet="K-1/S2",
            piece="S2.4",
        ),
        KeptOffcut(
            code=code_for("K", 9101), material=ply, length=from_mm(1220), width=from_mm(410)
        ),
    )
    views = (OffcutView(offcut=offcuts[0], reserved=JOB), OffcutView(offcut=offcuts[1]))
    return StockView(sizes=sizes, offcuts=views)
