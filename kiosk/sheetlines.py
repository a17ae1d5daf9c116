"""Say sheets that are broken down, and their cuts, as lines of text."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.report import count
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.sheets.model import CutLine, Material, PlannedSheet
from kiosk.rules.sheets.views import PartName, SheetView
from labels.codes import shown


def size_text(length: int, width: int, system: System) -> str:
    """Return length × width in a job's units."""
    first = show(Length(length), system, unit_mark=system is System.INCH)
    return f"{first} × {show(Length(width), system)}"


def material_text(material: Material, system: System) -> str:
    """Return a material with its thickness, which its name may say already."""
    name = material.name or "no material named"
    if material.thickness is None:
        return name
    return f"{name}, {show(material.thickness, system)} thick"


def sheet_head(view: SheetView, system: System) -> str:
    """Return what a sheet is, and how far its cuts are."""
    stock = view.planned.sheet.stock
    size = size_text(stock.length, stock.width, system)
    what = f"offcut {shown(view.planned.offcut)}, " if view.planned.offcut else ""
    name = material_text(view.planned.material, system)
    cuts = f"{len(view.done)} of {count(len(view.lines), 'cut')} made"
    parts = f"{len(view.cut)} of {count(view.parts, 'part')} cut"
    return f"{view.planned.sheet.name}  {name}: {what}{size}; {cuts}, {parts}"


def codes_of(planned: PlannedSheet) -> tuple[str, ...]:
    """Return the codes of all parts of a sheet, cleats within strips among them."""
    strips = {strip.code: strip for strip in planned.strips}
    found: list[str] = []
    for one in planned.sheet.parts:
        strip = strips.get(one.code)
        found += [code for lane in strip.lanes for code, _n in lane] if strip else [one.code]
    return tuple(found)


def cut_lines_text(view: SheetView, names: Mapping[str, PartName], system: System) -> list[str]:
    """Return the cuts of a sheet, one a line, the next one marked."""
    told = []
    for line in view.lines:
        state = "done" if line.number in view.done else "NEXT" if line.number == view.next else ""
        way = f"{line.direction}{f' at {line.tilt:g}°' if line.tilt else ''}"
        head = f"{line.number:4} {state:4} {line.piece_in:10} {way:10}"
        told.append(f"{head} {show(line.measure, system):>10}  {_comes_out(line, names, system)}")
    return told


def _comes_out(line: CutLine, names: Mapping[str, PartName], system: System) -> str:
    if line.is_trim:
        return "trim the edge"
    said = [line.piece_out, *(f"= {_part(code, names)}" for code in line.frees)]
    if line.rest:
        size = size_text(line.rest_length, line.rest_width, system)
        kept = ", an offcut to keep" if line.keeps_offcut else ""
        return f"{' '.join(said)}; rest {line.rest} {size}{kept}"
    return " ".join(said)


def _part(code: str, names: Mapping[str, PartName]) -> str:
    name = names.get(code)
    return f"{name.unit} {name.part} {shown(code)}" if name else shown(code)
