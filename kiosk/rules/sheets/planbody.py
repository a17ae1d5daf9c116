"""Write the plan a job's sheets are cut by as the body of an entry."""

from __future__ import annotations

from itertools import chain
from typing import Any, Final

from kiosk.rules.breakdown.model import Cut, Placed
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan, Strip

VERSION: Final = 1


def as_body(plan: SheetPlan) -> dict[str, Any]:
    """Return a plan as a body; docs/formats.md says what each key holds.

    Its id, job and time are those of the entry.
    """
    materials = list(
        dict.fromkeys([*(one.material for one in plan.sheets), *(one for one, _n in plan.bounds)])
    )
    return {
        "version": VERSION,
        "materials": [[one.name, one.thickness] for one in materials],
        "bounds": [[materials.index(one), least] for one, least in plan.bounds],
        "left_out": list(plan.left_out),
        "sheets": [_sheet(one, materials) for one in plan.sheets],
    }


def _sheet(one: PlannedSheet, materials: list[Material]) -> dict[str, Any]:
    sheet = one.sheet
    stock = sheet.stock
    return {
        "origin": one.origin,
        "name": sheet.name,
        "material": materials.index(one.material),
        "kerf": one.kerf,
        "levels": one.levels,
        "least": one.least_offcut,
        "offcut": one.offcut,
        "stock": [stock.code, stock.length, stock.width, stock.trim],
        "whole": sheet.whole,
        "parts": [_part(part) for part in sheet.parts],
        "cuts": [_cut(cut) for cut in sheet.cuts],
        "offcuts": [
            [rest.piece, rest.x, rest.y, rest.length, rest.width] for rest in sheet.offcuts
        ],
        "strips": [_strip(strip) for strip in one.strips],
    }


def _part(part: Placed) -> list[Any]:
    return [part.code, part.x, part.y, part.length, part.width, int(part.is_turned)]


def _cut(cut: Cut) -> list[Any]:
    row: list[Any] = [
        cut.piece_in, str(cut.direction), cut.measure, cut.piece_out, cut.rest, cut.rest_length,
        cut.rest_width, cut.part, cut.rest_part, int(cut.is_trim),
    ]  # fmt: skip
    while not row[-1]:  # a measure is more than nothing, so that it ends there
        row.pop()
    return row


def _strip(strip: Strip) -> list[Any]:
    long_faces = strip.long_faces
    lanes = [list(chain.from_iterable(lane)) for lane in strip.lanes]
    sizes = [strip.length, strip.width, strip.thickness, strip.tilt, *long_faces, strip.setting]
    return [strip.code, *sizes, *lanes]
