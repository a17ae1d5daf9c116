"""What the first screen of a job's sheets shows, read on the shop's thread."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.rules.lengths import System
from kiosk.rules.parts import Piece
from kiosk.rules.scanning import Answer
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.stock import is_same
from kiosk.rules.sheets.tasks import by_material, to_cut
from kiosk.rules.sheets.views import SearchView, SheetsView, SizeView, StockView
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.face import ShopFace
from kiosk.screens.sheetface import SheetFace
from kiosk.screens.sheetwords import say_material, say_size, system_of
from kiosk.store import Job

ASSUMED = _("as many as it takes, nobody counted any")


@dataclass(frozen=True, slots=True)
class Need:
    """What a job has still to be cut of one material, and what from, in words."""

    words: str
    parts: int
    source: str


@dataclass(frozen=True, slots=True)
class SeenJob:
    """A job, how it writes lengths, its plan if one was kept, and what is being looked for.

    need says, where there is no plan, what is to be cut from what.
    """

    job: Job
    system: System
    view: SheetsView | None
    search: SearchView
    need: tuple[Need, ...] = ()


def see_job(shop: ShopFace, sheets: SheetFace, code: str) -> SeenJob:
    """Return what there is of a job's sheets."""
    job = shop.jobs()[code]
    system = system_of(job.units)
    view, search = sheets.sheets(code), sheets.sheet_search()
    need = () if view is not None else see_need(shop, sheets.stock(), code, system)
    return SeenJob(job, system, view, search, need)


def see_need(shop: ShopFace, stock: StockView, code: str, system: System) -> tuple[Need, ...]:
    """Return what a job has still to be cut, by material."""
    return tuple(
        Need(say_material(material, system), len(some), say_source(stock, material, system))
        for material, some in see_materials(shop, code).items()
    )


def see_materials(shop: ShopFace, job: str = "") -> dict[Material, tuple[Piece, ...]]:
    """Return what is still to be cut by material, of one job or of all that are open."""
    of = [one for one in shop.standings() if one.job == (job or one.job)]
    units = [shop.find_unit(f"{one.job}/{one.unit}") for one in of]
    states = [one.state for one in units if not isinstance(one, Answer)]
    return by_material(one.piece for one in to_cut(states))


def say_source(stock: StockView, material: Material, system: System) -> Phrase:
    """Return what a material is cut from: sheets by size, and offcuts."""
    sizes = [one for one in stock.sizes if is_same(one.size.material, material)]
    offcuts = sum(is_same(one.offcut.material, material) for one in stock.offcuts)
    said = [say_sheets(one, system) for one in sizes if one.left != 0]
    if offcuts:
        said.append(say_n("{n} offcut", "{n} offcuts", offcuts))
    if not sizes:
        said.append(say("sheets as in the settings, {many}", many=ASSUMED))
    return join(said or [_("no sheet of it is left")], ", ")


def say_sheets(one: SizeView, system: System) -> Phrase:
    """Return how many sheets there are of a size."""
    size = say_size(one.size.length, one.size.width, system)
    if one.is_assumed:
        return say("{size}: {many}", size=size, many=ASSUMED)
    if one.left is None:
        return say("{size}: as many as it takes", size=size)
    return say_n("{n} sheet of {size}", "{n} sheets of {size}", one.left, size=size)


def say_need(need: tuple[Need, ...]) -> Phrase:
    """Return what is to be cut of which materials, and what from, in sentences."""
    return join(
        (
            say_n(
                "{material}: {n} part from {source}.",
                "{material}: {n} parts from {source}.",
                one.parts,
                material=one.words,
                source=one.source,
            )
            for one in need
        ),
        " ",
    )
