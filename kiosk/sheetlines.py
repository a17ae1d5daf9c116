"""Say sheets that are broken down, and their cuts, as lines of text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kiosk.report import count
from kiosk.rules.breakdown.model import Direction
from kiosk.rules.lengths import Length, System, show, tape
from kiosk.rules.sheets.model import CutLine, Material
from kiosk.rules.sheets.views import PartName, SheetView
from labels.codes import shown


def size_text(length: int, width: int, system: System) -> str:
    """Return length × width in a job's units."""
    first = tape(Length(length), system, unit_mark=system is System.INCH)
    return f"{first} × {tape(Length(width), system)}"


def material_text(material: Material, system: System) -> str:
    """Return a material with its thickness, which its name may say already."""
    name = material.name or "no material named"
    if material.thickness is None:
        return name
    return f"{name} ({show(material.thickness, system)})"


def sheet_head(view: SheetView, system: System) -> str:
    """Return what a sheet is, and how far its cuts are."""
    stock = view.planned.sheet.stock
    size = size_text(stock.length, stock.width, system)
    what = f"offcut {shown(view.planned.offcut)}, " if view.planned.offcut else ""
    name = material_text(view.planned.material, system)
    cuts = f"{len(view.done)} of {count(len(view.lines), 'cut')} made"
    parts = f"{len(view.cut)} of {count(view.parts, 'part')} cut"
    return f"{view.planned.sheet.name}  {name}: {what}{size}; {cuts}, {parts}"


def cut_lines_text(view: SheetView, names: Mapping[str, PartName], system: System) -> list[str]:
    """Return the cuts of a sheet, one a line, the next one marked."""
    told = []
    taken = {line.piece_in: line.number for line in view.lines}  # by its last cut
    for line in view.lines:
        state = "done" if line.number in view.done else "NEXT" if line.number == view.next else ""
        way = f"bevel {line.tilt:g}°" if line.tilt else str(line.direction)
        way = "trim" if line.is_trim else way
        head = f"{line.number:4} {state:4} {line.piece_in:10} {way:10}"
        goes_on = [taken.get(one, 0) > line.number for one in (line.piece_out, line.rest)]
        frees = [_part(code, names) for code in line.frees]
        out = "" if goes_on[0] or not frees else frees.pop(0)
        comes = f"{line.piece_out} = {out}" if out else line.piece_out
        if line.is_trim:
            edge = "long" if line.direction is Direction.RIP else "short"
            comes = f"{tape(Length(view.planned.sheet.stock.trim), system)} off a {edge} edge"
        elif line.rest:
            comes += f"; {_beside(line, frees, system, goes_on=goes_on[1])}"
        if line.tilt:
            comes += f"; long face {tape(line.long_face, system)}"
        told.append(f"{head} {tape(line.measure, system):>10}  {comes}")
    return told


def _beside(line: CutLine, frees: Sequence[str], system: System, *, goes_on: bool) -> str:
    """Return what remains beside what a cut takes off: a part, an offcut, more to cut, or waste."""
    if frees:
        return f"rest {line.rest} = {frees[0]}"
    size = size_text(line.rest_length, line.rest_width, system)
    if line.keeps_offcut:
        return f"offcut {line.rest} to keep, {size}"
    return f"rest {line.rest} {size}" if goes_on else f"waste {size}"


def _part(code: str, names: Mapping[str, PartName]) -> str:
    name = names.get(code)
    return f"{name.unit} {name.part} {shown(code)}" if name else shown(code)
