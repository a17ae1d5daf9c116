"""Turn sheets that are broken down, and their cuts, into the JSON keys of docs/formats.md."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kiosk.report import Json
from kiosk.rules.breakdown.model import Offcut, Placed
from kiosk.rules.lengths import Length, mm
from kiosk.rules.sheets.lines import count_settings
from kiosk.rules.sheets.model import CutLine, Material, PlannedSheet, Strip
from kiosk.rules.sheets.views import PartName, SheetView

Names = Mapping[str, PartName]
"""The names of parts by their codes."""
Box = tuple[int, int, int, int]
"""Corner from the sheet's own corner, and size: x, y, length, width."""


def sheet_json(view: SheetView, names: Names) -> Json:
    """Return one sheet: what it is, what lies where, the cuts in order, and how far they are."""
    planned, lines = view.planned, view.lines
    sheet, freed = planned.sheet, {code: line.number for line in lines for code in line.frees}
    return {
        "sheet": sheet.name,
        "key": view.key,
        **material_json(planned.material),
        "length_mm": mm(Length(sheet.stock.length)),
        "width_mm": mm(Length(sheet.stock.width)),
        "trim_mm": mm(Length(sheet.stock.trim)),
        "kerf_mm": mm(planned.kerf),
        "offcut": planned.offcut or None,
        "parts": [
            one | {"cut": freed.get(one["code"]), "is_cut": one["code"] in view.cut}
            for one in parts_json(planned, names)
        ],
        "cuts": [line_json(line) | {"done": line.number in view.done} for line in lines],
        "offcuts": [_offcut(one) for one in sheet.offcuts],
        "strips": [strip_json(one) for one in planned.strips],
        "settings": count_settings(lines),
        "begun": view.is_begun,
        "cuts_done": len(view.done),
        "next_cut": view.next,
        "parts_cut": len(view.cut),
        "spoiled": sorted(view.spoiled),
        "unlisted": sorted(view.unlisted),
    }


def _offcut(one: Offcut) -> Json:
    return {
        "piece": one.piece,
        "x_mm": mm(Length(one.x)),
        "y_mm": mm(Length(one.y)),
        "length_mm": mm(Length(one.length)),
        "width_mm": mm(Length(one.width)),
    }


def material_json(material: Material) -> Json:
    """Return a material under the keys every answer about sheets has for it."""
    thick = material.thickness
    return {
        "material": material.name or None,
        "thickness_mm": None if thick is None else mm(thick),
    }


def line_json(line: CutLine) -> Json:
    """Return one cut of the sequence."""
    return {
        "number": line.number,
        "piece_in": line.piece_in,
        "direction": str(line.direction),
        "measure_mm": mm(line.measure),
        "piece_out": line.piece_out,
        "rest": line.rest or None,
        "rest_length_mm": mm(line.rest_length) if line.rest else None,
        "rest_width_mm": mm(line.rest_width) if line.rest else None,
        "tilt": line.tilt,
        "long_face_mm": mm(line.long_face) if line.tilt else None,
        "trim": line.is_trim,
        "frees": list(line.frees),
        "keeps_offcut": line.keeps_offcut,
    }


def strip_json(strip: Strip) -> Json:
    """Return a strip that a bevel cut parts into lanes of cleats."""
    return {
        "code": strip.code,
        "length_mm": mm(strip.length),
        "width_mm": mm(strip.width),
        "tilt": strip.tilt,
        "setting_mm": mm(strip.setting),
        "long_faces_mm": [mm(face) for face in strip.long_faces],
        "lanes": [
            [{"code": code, "length_mm": mm(length)} for code, length in lane]
            for lane in strip.lanes
        ],
    }


def parts_json(planned: PlannedSheet, names: Names) -> Iterator[Json]:
    """Yield the parts on a sheet with their places; cleats lie within their strip.

    The two lanes of a strip overlap in plan, as the blade goes through at an angle: each cleat is
    as wide as its long face.
    """
    strips = {strip.code: strip for strip in planned.strips}
    for placed in planned.sheet.parts:
        strip = strips.get(placed.code)
        if strip is None:
            place = (placed.x, placed.y, placed.length, placed.width)
            yield _part(placed, place, names) | {"strip": None}
            continue
        for code, place in _cleats(placed, strip, planned.kerf):
            yield _part(placed, place, names, code=code) | {"strip": strip.code}


def _cleats(placed: Placed, strip: Strip, kerf: int) -> Iterator[tuple[str, Box]]:
    """Yield code and place of each cleat of a strip, lane by lane from one end."""
    for number, (lane, face) in enumerate(zip(strip.lanes, strip.long_faces, strict=False)):
        along, across = 0, strip.width - face if number else 0
        for code, length in lane:
            if placed.is_turned:
                yield code, (placed.x + across, placed.y + along, face, length)
            else:
                yield code, (placed.x + along, placed.y + across, length, face)
            along += length + kerf


def _part(placed: Placed, place: Box, names: Names, *, code: str = "") -> Json:
    code = code or placed.code
    name = names.get(code)
    x, y, length, width = (mm(Length(one)) for one in place)
    return {
        "code": code,
        "unit": name.unit if name else None,
        "part": name.part if name else None,
        "x_mm": x,
        "y_mm": y,
        "length_mm": length,
        "width_mm": width,
        "turned": placed.is_turned,
    }
