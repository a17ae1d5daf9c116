"""Turn a breakdown's sheets into those of a plan, each with a name of its own for ever."""

from __future__ import annotations

from dataclasses import replace

from kiosk.rules.breakdown.model import Breakdown, Sheet
from kiosk.rules.lengths import Length
from kiosk.rules.sheets.model import PlannedSheet
from kiosk.rules.sheets.tasks import MaterialTask


def planned_sheets(
    found: Breakdown, of: MaterialTask, *, origin: str, first: int
) -> tuple[PlannedSheet, ...]:
    """Return a breakdown's sheets as a plan holds them, named from a number on."""
    return tuple(
        planned_sheet(sheet, of, (origin, f"S{number}", found.levels))
        for number, sheet in enumerate(found.sheets, first)
    )


def planned_sheet(
    sheet: Sheet, of: MaterialTask, named: tuple[str, str, int | None]
) -> PlannedSheet:
    """Return one sheet as a plan holds it: named is origin, name and the limit of levels."""
    origin, name, levels = named
    lying = {part.code for part in sheet.parts}
    stock = replace(sheet.stock, count=1)
    return PlannedSheet(
        origin=origin,
        material=of.material,
        kerf=Length(of.task.kerf),
        sheet=_renamed(replace(sheet, stock=stock), name),
        strips=tuple(strip for strip in of.strips if strip.code in lying),
        offcut=stock.code if stock.is_offcut else "",
        levels=levels,
        least_offcut=Length(of.task.least_offcut),
    )


def renamed(planned: PlannedSheet, *, origin: str, name: str) -> PlannedSheet:
    """Return a sheet as another plan names it."""
    return replace(planned, origin=origin, sheet=_renamed(planned.sheet, name))


def left_out_of(found: Breakdown, of: MaterialTask) -> tuple[str, ...]:
    """Return the codes of parts that a breakdown leaves out, cleats in place of their strips."""
    strips = {strip.code: strip for strip in of.strips}
    codes: list[str] = []
    for one in found.left_out:
        lanes = strips[one].lanes if one in strips else (((one, 0),),)
        codes += [code for lane in lanes for code, _length in lane]
    return tuple(codes)


def _renamed(sheet: Sheet, name: str) -> Sheet:
    """Return a sheet under another name, with the names of its pieces."""
    before = len(sheet.name)

    def new(piece: str) -> str:
        return name + piece[before:] if piece else ""

    cuts = (
        replace(cut, piece_in=new(cut.piece_in), piece_out=new(cut.piece_out), rest=new(cut.rest))
        for cut in sheet.cuts
    )
    offcuts = (replace(one, piece=new(one.piece)) for one in sheet.offcuts)
    return replace(sheet, name=name, cuts=tuple(cuts), offcuts=tuple(offcuts))
