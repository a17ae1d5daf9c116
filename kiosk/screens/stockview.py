"""What the screens of the stock say, read on the shop's thread."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kiosk.rules.lengths import PER_64TH, PER_MM, Length, System, show
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.stock import is_same
from kiosk.rules.sheets.views import OffcutView, SizeView, StockView
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.answer import keep_units
from kiosk.screens.face import ShopFace
from kiosk.screens.rows import Row
from kiosk.screens.sheetsview import see_materials
from kiosk.screens.sheetwords import say_material, say_size
from labels.codes import shown

_PER_HUNDREDTH = PER_MM // 100  # units in 0.01 mm, to which millimetres are written
NOBODY = _("Nobody counted sheets yet: layouts take as many of the settings' size as they need.")


@dataclass(frozen=True, slots=True)
class StockSeen:
    """The stock as it was seen, and the materials of open jobs beside it."""

    view: StockView
    materials: tuple[Material, ...]
    system: System


def as_typed(length: Length) -> str:
    """Return a length, 0 too, as it would have to be typed to give exactly itself, with its unit.

    One that is neither a whole 0.01 mm nor a whole 64th, as a thickness of 0.709 in, is written as
    a fraction: rounded it would be sheets of a material that no part is cut from.
    """
    if not length:
        return "0"
    if length % _PER_HUNDREDTH == 0:
        return str(show(length, System.MM))
    if length % PER_64TH == 0:
        return str(show(length, System.INCH))
    return f"{length}/{PER_MM} mm"


def materials_in(shop: ShopFace, view: StockView) -> tuple[Material, ...]:
    """Return the materials in stock and of parts still to be cut; those without a name left out.

    What no list names cannot be counted: nobody could tell which parts it is for.
    """
    found: list[Material] = []
    stocked = [one.size.material for one in view.sizes]
    stocked += [one.offcut.material for one in view.offcuts]
    for material in (*stocked, *see_materials(shop)):
        if material.name and not any(is_same(material, other) for other in found):
            found.append(material)
    return tuple(found)


def size_row(one: SizeView, system: System, act: Callable[[], object]) -> Row:
    """Return the row of sheets of one size."""
    size = say_size(one.size.length, one.size.width, system)
    count = _("any number") if one.left is None else say_n("{n} sheet", "{n} sheets", one.left)
    below = [size, _("assumed") if one.is_assumed else ""]
    if one.planned:
        below.append(say("{n} planned", n=one.planned))
    if one.left is not None and one.planned > one.left:
        below.append(say("{n} short", n=one.planned - one.left))
    is_short = one.left is not None and one.planned > one.left
    words = say_material(one.size.material, system)
    shape = "late" if is_short else ""
    return Row(keep_units(words), keep_units(join(below, ", ")), act, shape, count)


def offcut_row(one: OffcutView, system: System, act: Callable[[], object]) -> Row:
    """Return the row of an offcut."""
    offcut = one.offcut
    size = say_size(offcut.length, offcut.width, system)
    came = ""
    if offcut.job:
        came = say("left of {job} {sheet}", job=offcut.job, sheet=offcut.sheet.rpartition("/")[2])
    taken = say("for {job}", job=one.reserved) if one.reserved else ""
    words = say_material(offcut.material, system)
    below = join((say("offcut {code}", code=shown(offcut.code)), came, taken), ", ")
    return Row(keep_units(words), below, act, "", keep_units(size))


def say_left(one: SizeView) -> Phrase:
    """Return how a count came about."""
    if one.is_assumed:
        return NOBODY
    if one.size.count is None:
        counted = _("Said to be as many as it takes")
    else:
        counted = say("Counted last: {n}", n=one.size.count)
    begun = say("begun since: {n}", n=one.used) if one.used else ""
    planned = say("planned by open jobs: {n}", n=one.planned) if one.planned else ""
    return join((counted, begun, planned), "; ")
