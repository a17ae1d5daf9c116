"""Draw the screens of sheets and of the stock, in every state."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from PIL import Image

from kiosk.rules.lengths import System
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.views import Choice as Way
from kiosk.rules.sheets.views import SearchView, SheetsView, StockView
from kiosk.rules.words import _, say
from kiosk.screens.breakdesk import Ways
from kiosk.screens.buysamples import sample_buying
from kiosk.screens.desk import Desk
from kiosk.screens.partview import PartLine
from kiosk.screens.samples import SAMPLE_PARTS
from kiosk.screens.sheetdesk import Seen
from kiosk.screens.sheetpicture import draw_sheet, draw_way
from kiosk.screens.sheetsamples import (
    JOB,
    PROBLEM,
    sample_choices,
    sample_grained,
    sample_search,
    sample_stock,
    sample_view,
)
from kiosk.screens.sheetsview import Need, SeenJob
from kiosk.screens.stage import Stage
from kiosk.screens.stockadd import NO_NUMBER, Typed
from kiosk.screens.stockview import StockSeen
from kiosk.store import Job

_MM = System.MM
_SAID = say("Cut {number} of {sheet} is made", number=9, sheet="S1")
_FAULT = _("Sheet S4 is not shown, as it failed a check: two parts overlap.")
_REFUSED = _("G02 is on hold: coat failed. Nothing was recorded.")
_WRONG = _("Write it like 23 3/4.")
_NEED = (
    Need(
        say("{material}, {thickness}", material="birch ply", thickness="18 mm"),
        26,
        say("{n} sheets of {size}", n=4, size="2440 × 1220 mm"),
    ),
    Need(
        say("{material}, {thickness}", material="poplar ply", thickness="15 mm"),
        9,
        say("{size}: {many}", size="1525 × 1525 mm", many=_("as many as it takes")),
    ),
)
Put = tuple[str, Callable[[], object]]


def show_sheets(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    for name, put in (*_plans(desk), *_one(desk), *_stock(desk), *_buying(desk)):
        put()
        stage.step(3)
        yield name
    desk.open_bench()


def _plans(desk: Desk) -> Iterator[Put]:
    sheets, view = desk.shopdesk.sheets, sample_view(steps=9)
    breaking, search = sheets.breaking, sample_search()
    job = SeenJob(Job(JOB, "Glaze store"), _MM, None, SearchView(), _NEED)
    yield "sheets-need", lambda: sheets.show_need(job)
    yield "sheets-nothing", lambda: sheets.show_need(replace(job, need=()))
    yield "sheets-search", lambda: breaking.go_on(search, _MM, desk.open_bench)
    yield "sheets-search-none", lambda: breaking.show_nothing((PROBLEM,))
    ways = _drawn(desk)
    first = next(iter(ways))
    yield "sheets-trade", lambda: breaking.show_trade(search, ways, {}, first)
    yield "sheets-trade-other", lambda: breaking.show_trade(search, ways, {}, first, pick=1)
    yield "sheets", lambda: sheets.show(view, _MM, say("Kept: {ways}", ways=_("3 sheets")))
    lost = _lost(view)
    yield "sheets-lost", lambda: sheets.show(lost, _MM)
    yield "sheets-lost-parts", lambda: sheets.show_lost(lost, _MM)
    yield "sheets-anew", lambda: sheets.ask_anew(JOB, _MM)


def _drawn(desk: Desk) -> dict[Material, Ways]:
    found: dict[Material, list[tuple[Way, Image.Image]]] = {}
    for one in sample_choices():
        found.setdefault(one.material, []).append(
            (one, draw_way(one, desk.trim, count=2, system=_MM))
        )
    return dict(found)


def _lost(view: SheetsView) -> SheetsView:
    codes = tuple(view.names)[:3]
    return replace(view, unplanned=codes, faults=(_FAULT,))


def _one(desk: Desk) -> Iterator[Put]:
    one, view = desk.shopdesk.sheets.one, sample_view(steps=9)
    yield "sheet", lambda: one.show(_seen(desk, view, 0), _SAID)
    yield "sheet-refused", lambda: one.show(_seen(desk, view, 0), _REFUSED, is_loud=True)
    fresh = sample_view()
    yield "sheet-trim", lambda: one.show(_seen(desk, fresh, 0))
    yield "sheet-frees", lambda: one.show(_seen(desk, sample_view(steps=12), 0))
    last = fresh.sheets[-1]
    bevel = next(line.number for line in last.lines if line.tilt)
    made = sum(len(sheet.lines) for sheet in fresh.sheets[:-1]) + bevel - 1
    yield "sheet-bevel", lambda: one.show(_seen(desk, sample_view(steps=made), -1))
    yield "sheet-done", lambda: one.show(_seen(desk, sample_view(steps=made), 0), _SAID)
    yield "sheet-parts", one.show_parts
    yield "sheet-part", lambda: one.show_part(_part(), desk.open_bench)


def _part() -> PartLine:
    return replace(SAMPLE_PARTS[0], printed=1)


def _seen(desk: Desk, view: SheetsView, number: int) -> Seen:
    sheet = view.sheets[number]
    return Seen(
        view, sheet, draw_sheet(sheet, view.names, desk.trim, system=_MM, grained=sample_grained())
    )


def _stock(desk: Desk) -> Iterator[Put]:
    stock, view = desk.shopdesk.stock, sample_stock()
    materials = tuple(one.size.material for one in view.sizes)
    seen = StockSeen(view, materials, _MM)
    size, offcut = view.sizes[0], view.offcuts[0]
    yield "stock", lambda: stock.show(seen)
    yield "stock-none", lambda: stock.show(StockSeen(StockView(), materials, _MM))
    yield "stock-size", lambda: stock.show_size(seen, size)
    yield "stock-count", lambda: stock.ask_count(seen, size, "1.5", NO_NUMBER)
    yield "stock-offcut", lambda: stock.show_offcut(seen, offcut)
    yield "stock-gone", lambda: stock.ask_gone(seen, offcut)
    yield "stock-refused", lambda: stock.show_refused(PROBLEM.message)
    add = stock.add
    yield "stock-add", lambda: add.ask(materials, _MM)
    typed = Typed(_MM, is_offcut=True, material="birch ply", thickness="18 mm")
    yield "stock-length", lambda: add.ask_side(typed, "length", start=materials, text="812.5")
    inch = replace(typed, system=System.INCH)
    yield (
        "stock-length-inch",
        lambda: add.ask_side(inch, "width", start=materials, text="23 3", wrong=_WRONG),
    )
    yield "stock-how-many", lambda: add.ask_count(typed)


def _buying(desk: Desk) -> Iterator[Put]:
    buys, found, back = desk.shopdesk.buys, sample_buying(JOB), desk.open_bench
    yield "buying", lambda: buys.show(found, back)
    yield "buying-none", lambda: buys.show(replace(found, lines=()), back)
    yield "buying-notes", lambda: buys.show_notes(found, back)
