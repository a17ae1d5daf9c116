"""Lay out the first page of what a job is sawn by: what is missing, what to fetch, what to heed.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.figure.paper import cell
from kiosk.figure.shapes import INK, PAPER, Box, Line, Shape, Words
from kiosk.figure.sheetmap import moved
from kiosk.figure.sheetnames import WIDER
from kiosk.figure.sheets import lay_out_sheet
from kiosk.figure.sheetsay import Names, say_material, say_size
from kiosk.figure.sheetsketch import Look
from kiosk.figure.sheettable import part_count
from kiosk.language import shown
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.lengths import System, show
from kiosk.rules.sheets.lines import count_settings
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.views import SheetsView, SheetView
from kiosk.rules.words import _, join, say, say_n
from labels.artwork.letters import LINE, fit, plain, wrap
from labels.codes import shown as grouped

_HEADING, _PLAIN, _LEAST = 20, 15, 9
_INDENT, _GAP = 28.0, 10.0
_ACROSS, _SMALL = 4, 12  # small pictures side by side, and the letters below them (choices)
_ROW: Final = 126.0

# Common practice, no source; the saw's own manual decides.
AT_THE_SAW: Final = (
    HAZARDS["blades"],
    _("Riving knife behind the blade; a push stick for what is narrow; nobody in line with it."),
    HAZARDS["dust"],
    _("Write each sheet's number on it before the first cut, and mark the trimmed edges: all "
      "measures run from them."),
    _("Write the name, such as S1.2, on each piece that is cut further: no label is printed for "
      "it."),
    _("A triangle in the list: set the fence anew. Lines on one bar keep the setting."),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Item:
    """A paragraph of the page: its size, whether it is loud, and whether it can be ticked."""

    text: str
    size: int = _PLAIN
    is_loud: bool = False
    can_tick: bool = False
    is_heading: bool = False


@dataclass(frozen=True, slots=True)
class _Row:
    """Small pictures of sheets side by side."""

    sheets: tuple[SheetView, ...]


def first_pages(
    view: SheetsView, names: Names, *, system: System, room: Box
) -> Iterator[list[Shape]]:
    """Yield the shapes of the first pages within a room; what is missing stands at the top."""
    shapes: list[Shape] = []
    y = room.top
    items = list(_items(view, names, system))
    for at, item in enumerate(items):
        tall = _tall(item, room)
        kept = tall
        if isinstance(item, _Item) and item.is_heading and at + 1 < len(items):
            kept += _tall(items[at + 1], room)
        if y + kept > room.bottom and y > room.top:
            yield shapes
            shapes, y = [], room.top
        shapes += _shapes(item, y, room)
        y += tall
    yield shapes


def _items(view: SheetsView, names: Names, system: System) -> Iterator[_Item | _Row]:
    yield from _missing(view, names)
    yield _Item(_("Fetch"), _HEADING, is_heading=True)
    for words in _fetch(view.sheets, system):
        yield _Item(words, _PLAIN + 1, can_tick=True)
    yield _Item(_("In all"), _HEADING, is_heading=True)
    for material in dict.fromkeys(one.planned.material for one in view.sheets):
        yield _Item(_total(view, material, system))
    yield from (_Item(note) for note in view.notes)
    yield _Item(_("At the saw"), _HEADING, is_heading=True)
    for kerf in sorted({one.planned.kerf for one in view.sheets}):
        blade = show(kerf, system)
        yield _Item(say("The blade takes {kerf}: with another blade the parts come out wrong.",
                        kerf=blade))  # fmt: skip
    yield from (_Item(words) for words in AT_THE_SAW)
    yield _Item(_("The sheets"), _HEADING, is_heading=True)
    for at in range(0, len(view.sheets), _ACROSS):
        yield _Row(view.sheets[at : at + _ACROSS])


def _missing(view: SheetsView, names: Names) -> Iterator[_Item]:
    """Yield what is on no sheet, loudly, and then which parts they are."""
    if view.unplanned:
        count = len(view.unplanned)
        yield _Item(
            say_n("{n} part is on no sheet", "{n} parts are on no sheet", count), _HEADING + 2,
            is_loud=True,
        )  # fmt: skip
        kinds = Counter(names.get(code, (code, "")) for code in view.unplanned)
        said = [
            say("{n} × {what}", n=n, what=join((unit, part))) for (part, unit), n in kinds.items()
        ]
        yield _Item(join(said, "; "))
        yield _Item(_("Get more sheets and plan again, or leave them for later."))
    if view.faults:
        words = say_n(
            "{n} sheet failed its check and is not here",
            "{n} sheets failed their check and are not here",
            len(view.faults),
        )
        yield _Item(words, _HEADING + 2, is_loud=True)
        yield from (_Item(fault) for fault in view.faults)


def _fetch(sheets: Sequence[SheetView], system: System) -> Iterator[str]:
    """Yield each size of sheet with how many to fetch and what they will be called."""
    kinds: dict[tuple[Material, int, int], list[str]] = {}
    for one in sheets:
        if one.planned.offcut or one.is_begun:
            continue
        stock = one.planned.sheet.stock
        key = (one.planned.material, stock.length, stock.width)
        kinds.setdefault(key, []).append(one.planned.sheet.name)
    for (material, length, width), called in kinds.items():
        yield say(
            "{n} × {material}, {size}: {sheets}", n=len(called),
            material=say_material(material, system), size=say_size(length, width, system),
            sheets=join(called, ", "),
        )  # fmt: skip
    for one in sheets:
        stock = one.planned.sheet.stock
        size = say_size(stock.length, stock.width, system)
        what, name = say_material(one.planned.material, system), one.planned.sheet.name
        if one.planned.offcut and not one.is_begun:
            code = grouped(one.planned.offcut)
            yield say("offcut {code} of {material}, {size}: {sheet}", code=code, material=what,
                      size=size, sheet=name)  # fmt: skip
        elif one.is_begun:
            yield say("already begun: {material}, {size}: {sheet}", material=what, size=size,
                      sheet=name)  # fmt: skip


def _total(view: SheetsView, material: Material, system: System) -> str:
    """Return what one material takes: sheets against the fewest possible, parts, cuts, settings."""
    sheets = [one for one in view.sheets if one.planned.material == material]
    new = sum(not one.planned.offcut for one in sheets)
    old = len(sheets) - new
    bound = dict(view.plan.bounds).get(material)
    kept = sum(len(one.planned.sheet.offcuts) for one in sheets)
    lines = [line for one in sheets for line in one.lines]
    taken = say_n("{n} new sheet", "{n} new sheets", new)
    parts = sum(part_count(one.lines, one.planned.sheet.whole) for one in sheets)
    return join(
        (
            join((say_material(material, system), taken), ": "),
            say("fewest possible {bound}", bound=bound) if bound is not None else "",
            say_n("{n} offcut used", "{n} offcuts used", old) if old else "",
            say_n("{n} part", "{n} parts", parts),
            say_n("{n} cut", "{n} cuts", len(lines)),
            say_n("{n} fence setting", "{n} fence settings",
                  sum(count_settings(one.lines) for one in sheets)),
            say_n("{n} offcut to stock", "{n} offcuts to stock", kept) if kept else "",
        ),
        ", ",
    )  # fmt: skip


# -- on the page ---------------------------------------------------------------------------------


def _lines(item: _Item, room: Box) -> list[str]:
    indent = _INDENT if item.can_tick or item.is_loud else 0
    words = plain(shown(item.text))
    return wrap(words, int((room.right - room.left - indent) / WIDER), item.size)


def _tall(item: _Item | _Row, room: Box) -> float:
    if isinstance(item, _Row):
        return _ROW
    lines = len(_lines(item, room)) * item.size * (LINE + 0.1)
    return lines + (26 if item.is_heading or item.is_loud else _GAP)


def _shapes(item: _Item | _Row, y: float, room: Box) -> Iterator[Shape]:
    if isinstance(item, _Item):
        yield from _item_shapes(item, y, room)
        return
    wide = (room.right - room.left) / _ACROSS
    for number, one in enumerate(item.sheets):
        x = room.left + number * wide
        size = (round(wide - 14), round(_ROW - 34))
        look = Look(lines=one.lines, done=one.done, cut=one.cut, is_bare=True)
        picture = lay_out_sheet(one.planned, {}, look, width=size[0], height=size[1])
        yield from moved(picture.figure.shapes, x, y + 6)
        parts = part_count(one.lines, one.planned.sheet.whole)
        said = join((one.planned.sheet.name, say_n("{n} part", "{n} parts", parts)), ": ")
        yield from cell(said, x, y + _ROW - 14, room=wide - 14, size=_SMALL, least=_LEAST)


def _item_shapes(item: _Item, y: float, room: Box) -> Iterator[Shape]:
    lines, pitch = _lines(item, room), item.size * (LINE + 0.1)
    x, base = room.left, y + item.size
    if item.is_loud:
        yield Box(room.left, y, room.right, y + len(lines) * pitch + 16, INK)
        x, base = x + _INDENT / 2, base + 8
    elif item.is_heading:
        base += 14
    elif item.can_tick:
        yield Box(x, y, x + 18, y + 18, edge=INK)
        x += _INDENT
    for number, line in enumerate(lines):
        said, size = fit(line, int(room.right - x), largest=item.size, least=_LEAST)
        colour = PAPER if item.is_loud else INK
        yield Words(x, base + number * pitch, said, size, colour=colour)
    if item.is_heading:
        under = base + 7
        yield Line(((room.left, under), (room.right, under)), 2.0, INK)
