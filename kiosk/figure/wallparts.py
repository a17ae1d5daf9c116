"""Say in tables how a wall is made up: its panels and seams, cleats, studs and services."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.paperflow import Heading, Item, Para, Titles, table
from kiosk.figure.wallfloor import seams
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import UnitHanging, WallView
from kiosk.rules.lengths import Length, System
from kiosk.rules.tape import on_tape
from kiosk.rules.weights import say_weight
from kiosk.rules.words import _, join, known, number, say

_PANELS: Final = Titles(
    (
        _("which panel"),
        _("from"),
        _("to"),
        _("width"),
        _("left edge"),
        _("right edge"),
        _("loaded"),
    ),
    (0.14, 0.13, 0.13, 0.13, 0.17, 0.17, 0.13),
)
_CLEATS: Final = Titles(
    (_("unit"), _("left end"), _("lower edge"), _("length"), _("height"), _("rows of screws")),
    (0.14, 0.16, 0.16, 0.16, 0.14, 0.24),
)
_STUDS: Final = Titles(
    (_("stud"), _("width"), _("species"), _("weight on it"), _("pull on it")),
    (0.2, 0.15, 0.3, 0.18, 0.17),
)
_SERVICES: Final = Titles(
    (_("service"), _("left"), _("low"), _("width"), _("height")), (0.32, 0.17, 0.17, 0.17, 0.17)
)


def panel_items(wall: WallView, system: System) -> Iterator[Item]:
    """Yield each panel's place and width, what its edges bear on, and the seams."""
    if not wall.panels:
        return
    yield Heading(_("Panels"))
    rows = []
    for one in wall.panels:
        end = None if one.x is None or one.width is None else Length(one.x + one.width)
        loads = _("not known")
        if one.loads_kg is not None:
            loads = say_weight(one.loads_kg, system)
        rows.append(
            (
                one.unit, _said(one.x, system), _said(end, system), _said(one.width, system),
                _bears(is_on=one.left_on), _bears(is_on=one.right_on), loads,
            )
        )  # fmt: skip
    yield from table(_PANELS, rows)
    for seam in seams(wall):
        where = _("on a stud") if seam.on_stud else _("on NO stud")
        words = say("Seam of {left} and {right} at {at}: {where}", left=seam.left,
                    right=seam.right, at=on_tape(seam.at, system), where=where)  # fmt: skip
        yield Para(words, 13)
    for one in wall.panels:
        for note in one.notes:
            yield Para(note, 13, one.unit)


def _said(length: Length | None, system: System) -> str:
    return on_tape(length, system) if length is not None else _("not said")


def _bears(*, is_on: bool | None) -> str:
    if is_on is None:
        return _("not known")
    return _("on a stud") if is_on else _("on no stud")


def cleat_items(wall: WallView, units: Sequence[UnitHanging], system: System) -> Iterator[Item]:
    """Yield each unit's cleat, and the rows at the shop's pitch of each panel."""
    hooked = [one for one in units if one.how is How.CLEAT]
    rows = []
    for one in hooked:
        cleat = one.fitting.cleat
        above = join((on_tape(row, system) for row in cleat.rows), ", ") or _("not said")
        rows.append(
            (
                one.unit, _said(cleat.x, system), _said(cleat.y, system),
                _said(cleat.length, system), _said(cleat.height, system), above,
            )
        )  # fmt: skip
    pitched = [one for one in wall.panels if one.rows]
    if not rows and not pitched:
        return
    yield Heading(_("Cleats"))
    if rows:
        words = _("Lower edge from the datum; rows of screws above the cleat's lower edge.")
        yield Para(words, 13)
        yield from table(_CLEATS, rows)
    for panel in pitched:
        heights = join((on_tape(row, system) for row in panel.rows), ", ")
        words = say("{panel}: lower edges at the shop's pitch: {heights}", panel=panel.unit,
                    heights=heights)  # fmt: skip
        yield Para(words, 13)


def stud_items(wall: WallView, system: System) -> Iterator[Item]:
    """Yield each stud as measured, with the weight (kg) and pull (N) rated units bring to it."""
    if not wall.wall.studs:
        return
    yield Heading(_("Studs"))
    loads = {one.x: one for one in wall.studs}
    rows = []
    for stud in wall.wall.studs:
        load = loads.get(stud.x)
        rows.append(
            (
                on_tape(stud.x, system), on_tape(stud.width, system),
                stud.species or _("species unknown"),
                say_weight(load.load_kg, system) if load else "",
                number(f"{load.pull_n:.0f} N") if load else "",
            )
        )  # fmt: skip
    yield from table(_STUDS, rows)
    finder = on_tape(wall.wall.finder, system)
    yield Para(say("Found within {error}; drill a test hole.", error=finder), 13)


def service_items(wall: WallView, system: System) -> Iterator[Item]:
    """Yield each service by its lower left corner and size."""
    rows = [
        (
            known(one.kind, "service"), on_tape(one.x, system), on_tape(one.y, system),
            on_tape(one.width, system), on_tape(one.height, system),
        )
        for one in wall.wall.services
    ]  # fmt: skip
    if rows:
        yield Heading(_("Services to stay away from"))
        yield from table(_SERVICES, rows)
