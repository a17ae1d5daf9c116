"""Turn the stock of sheets and offcuts into the JSON keys of docs/formats.md and into text."""

from __future__ import annotations

from kiosk.report import Json, count
from kiosk.rules.lengths import System, mm
from kiosk.rules.sheets.views import OffcutView, SizeView, StockAnswer, StockView
from kiosk.sheetjson import material_json
from kiosk.sheetlines import material_text, size_text
from labels.codes import shown


def stock_json(view: StockView) -> Json:
    """Return the sheets that were counted, and the offcuts."""
    return {
        "sheets": [_size(one) for one in view.sizes],
        "offcuts": [_offcut(one) for one in view.offcuts],
    }


def _size(one: SizeView) -> Json:
    size = one.size
    return {
        **material_json(size.material),
        "length_mm": mm(size.length),
        "width_mm": mm(size.width),
        "trim_mm": mm(size.trim),
        "count": size.count,
        "used": one.used,
        "left": one.left,
        "planned": one.planned,
        "assumed": one.is_assumed,
    }


def _offcut(one: OffcutView) -> Json:
    offcut = one.offcut
    return {
        "code": offcut.code,
        **material_json(offcut.material),
        "length_mm": mm(offcut.length),
        "width_mm": mm(offcut.width),
        "job": offcut.job or None,
        "sheet": offcut.sheet or None,
        "piece": offcut.piece or None,
        "reserved": one.reserved or None,
    }


def stock_text(view: StockView, system: System) -> str:
    """Return the sheets that were counted, and the offcuts, in the shop's units."""
    lines = [_size_line(one, system) for one in view.sizes]
    if view.offcuts:
        lines += ["", "Offcuts", *(_offcut_line(one, system) for one in view.offcuts)]
    if not lines:
        return "Nothing is counted yet: cleatclock stock --count MATERIAL --size 2440x1220"
    return "\n".join(lines)


def _size_line(one: SizeView, system: System) -> str:
    size = one.size
    left = "as many as it takes" if one.left is None else f"{one.left} left"
    planned = f", {count(one.planned, 'sheet')} planned" if one.planned else ""
    assumed = "; nobody counted any, this size is assumed" if one.is_assumed else ""
    what = f"{material_text(size.material, system)}: {size_text(size.length, size.width, system)}"
    return f"{what}, {left}{planned}{assumed}"


def _offcut_line(one: OffcutView, system: System) -> str:
    offcut = one.offcut
    kept = f", planned for {one.reserved}" if one.reserved else ""
    source = f", of {offcut.job} {offcut.sheet.rpartition('/')[2]}" if offcut.job else ""
    size = size_text(offcut.length, offcut.width, system)
    name = material_text(offcut.material, system)
    return f"{shown(offcut.code)}  {name}: {size}{source}{kept}"


def answer_json(answer: StockAnswer) -> Json:
    """Return what became of a change to the stock."""
    return {
        "message": answer.message,
        "detail": answer.detail,
        "code": answer.code or None,
        "entry": answer.entry or None,
    }


def answer_text(answer: StockAnswer) -> str:
    """Return what became of a change to the stock, as text."""
    return "\n".join(line for line in (answer.message, answer.detail) if line)
