"""Say in tables what an installer needs beside a wall's drawing: order, screws, floor, panels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.paperflow import Heading, Item, Para, Titles, table
from kiosk.figure.wallfield import say_check
from kiosk.figure.wallfloor import seams
from kiosk.figure.wallunits import number_screws, screws_in_order
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import HangingView, UnitHanging, WallView
from kiosk.rules.lengths import Length, System, from_mm, show
from kiosk.rules.reasons import say_reason
from kiosk.rules.words import _, join, known, number, say

_ORDER: Final = Titles((_("no."), _("unit"), _("may carry"), _("why here")), (0.07, 0.3, 0.2, 0.43))
_SCREWS: Final = Titles(
    (
        _("no."), _("unit"), _("x"), _("y"), _("stud"), _("screw"), _("into stud"), _("pilot"),
        _("through"), _("off end"),
    ),
    (0.06, 0.09, 0.12, 0.12, 0.12, 0.16, 0.11, 0.09, 0.1, 0.1),
)  # fmt: skip
_PANELS: Final = Titles(
    (_("panel"), _("from"), _("to"), _("width"), _("left edge"), _("right edge"), _("loaded")),
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


def wall_items(view: HangingView, wall: WallView, system: System) -> Iterator[Item]:
    """Yield all that stands below a wall's drawing."""
    units = [one for one in view.units if one.wall == wall.wall.wall]
    yield from _notes(wall)
    yield from _order(view, units)
    yield from _against(units)
    yield from _screws(units, system)
    yield from _floor(wall, system)
    yield from _panels(wall, system)
    yield from _cleats(wall, units, system)
    yield from _studs(wall, system)
    yield from _services(wall, system)
    yield from _heed(units)


def _notes(wall: WallView) -> Iterator[Item]:
    for words in (*wall.cautions, *wall.notes):
        yield Para(words, 13, "!")


def _order(view: HangingView, units: Sequence[UnitHanging]) -> Iterator[Item]:
    mine = {one.unit: one for one in units}
    steps = [one for one in view.order if one.unit in mine]
    if not steps:
        return
    yield Heading(_("Order of hanging"))
    rows = []
    for step in steps:
        one = mine[step.unit]
        name = one.name if one.name != one.unit else ""
        rows.append((str(step.number), join((one.unit, name)), say_check(one), step.why))
    yield from table(_ORDER, rows)


def _against(units: Sequence[UnitHanging]) -> Iterator[Item]:
    """Yield what stands against units, what would help, and on whose word one goes up."""
    refused = [one for one in units if one.refusals]
    if refused:
        yield Heading(_("Not rated, and why"))
    for one in refused:
        if one.allowed:
            words = say(
                "{unit}: OVERRIDE by {person}: {reason}",
                unit=one.unit,
                person=one.allowed.person or _("nobody named"),
                reason=say_reason(one.allowed.reason),
            )
            yield Para(words, is_loud=True)
        for refusal in one.refusals:
            yield Para(join((refusal.message, refusal.remedy)), 13, one.unit)
        for better in one.better:
            yield Para(say("What would help: {change}", change=better.words), 13, one.unit)


def _screws(units: Sequence[UnitHanging], system: System) -> Iterator[Item]:
    numbers, seen, rows = number_screws(units), set[tuple[int, int]](), []
    for one, screw in screws_in_order(units):
        at = (screw.x, screw.y)
        if at in seen:
            continue
        seen.add(at)
        shares = (other for other in one.shares_with if other != one.unit)
        rows.append(
            (
                str(numbers[at]), join((one.unit, *shares), ", "), show(screw.x, system),
                show(screw.y, system), show(screw.stud, system),
                say("No. {gauge} × {length}", gauge=screw.gauge,
                    length=show(screw.length, system)),
                show(screw.penetration, system), _drill(screw.pilot), _drill(screw.clearance),
                show(screw.to_end, system),
            )
        )  # fmt: skip
    without = [one.unit for one in units if one.how is How.CLEAT and not one.screws]
    if not rows and not without:
        return
    yield Heading(_("Screws of the cleats"))
    if rows:
        words = _(
            "x from the wall's left end, y from the datum, to the middle of each screw. Pilot hole"
            " in the stud, larger hole through cleat and panel. Find each stud's edges first."
        )
        yield Para(words, 13)
        yield from table(_SCREWS, rows, size=12)
    if without:
        names = join(without, ", ")
        yield Para(say("No screws are given for {units}: not rated.", units=names), 13, "!")


def _drill(diameter: float) -> str:
    return number(f"{diameter:.1f} mm")


def _floor(wall: WallView, system: System) -> Iterator[Item]:
    if not wall.shims:
        return
    yield Heading(_("Under the panels"))
    if wall.spacer is not None:
        spacer = show(wall.spacer, system)
        yield Para(say("Spacer at the highest point of the floor: {spacer}", spacer=spacer), 13)
    if wall.scribe:
        words = _("The floor differs by more than shims should make up for: scribe the panels.")
        yield Para(words, 13, "!")
    titles = Titles((_("at"), _("spacer and shim together"), _("of it shim")), (0.3, 0.4, 0.3))
    rows = [
        (show(at, system), show(thick, system), _none_or(thick - (wall.spacer or 0), system))
        for at, thick in wall.shims
    ]
    yield from table(titles, rows)


def _none_or(length: int, system: System) -> str:
    return show(Length(length), system) if length > 0 else _("none")


def _panels(wall: WallView, system: System) -> Iterator[Item]:
    if not wall.panels:
        return
    yield Heading(_("Panels"))
    rows = []
    for one in wall.panels:
        end = None if one.x is None or one.width is None else Length(one.x + one.width)
        loads = _("not known")
        if one.loads_kg is not None:
            loads = number(f"{one.loads_kg:.1f} kg")
        rows.append(
            (
                one.unit, _said(one.x, system), _said(end, system), _said(one.width, system),
                _bears(is_on=one.left_on), _bears(is_on=one.right_on), loads,
            )
        )  # fmt: skip
    yield from table(_PANELS, rows)
    for at, left, right, is_on in seams(wall):
        where = _("on a stud") if is_on else _("on NO stud")
        words = say("Seam of {left} and {right} at {at}: {where}", left=left, right=right,
                    at=show(at, system), where=where)  # fmt: skip
        yield Para(words, 13)
    for one in wall.panels:
        for note in one.notes:
            yield Para(note, 13, one.unit)


def _said(length: Length | None, system: System) -> str:
    return show(length, system) if length is not None else _("not said")


def _bears(*, is_on: bool | None) -> str:
    if is_on is None:
        return _("not known")
    return _("on a stud") if is_on else _("on no stud")


def _cleats(wall: WallView, units: Sequence[UnitHanging], system: System) -> Iterator[Item]:
    hooked = [one for one in units if one.how is How.CLEAT]
    rows = []
    for one in hooked:
        cleat = one.fitting.cleat
        above = join((show(row, system) for row in cleat.rows), ", ") or _("not said")
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
        heights = join((show(row, system) for row in panel.rows), ", ")
        words = say("{panel}: lower edges at the shop's pitch: {heights}", panel=panel.unit,
                    heights=heights)  # fmt: skip
        yield Para(words, 13)


def _studs(wall: WallView, system: System) -> Iterator[Item]:
    if not wall.wall.studs:
        return
    yield Heading(_("Studs"))
    loads = {one.x: one for one in wall.studs}
    rows = []
    for stud in wall.wall.studs:
        load = loads.get(stud.x)
        rows.append(
            (
                show(stud.x, system), show(stud.width, system),
                stud.species or _("species unknown"),
                number(f"{load.load_kg:.1f} kg") if load else "",
                number(f"{load.pull_n:.0f} N") if load else "",
            )
        )  # fmt: skip
    yield from table(_STUDS, rows)
    finder = show(from_mm(wall.wall.finder / 1600), system)
    yield Para(say("Found within {error}; drill a test hole.", error=finder), 13)


def _services(wall: WallView, system: System) -> Iterator[Item]:
    rows = [
        (
            known(one.kind, "service"), show(one.x, system), show(one.y, system),
            show(one.width, system), show(one.height, system),
        )
        for one in wall.wall.services
    ]  # fmt: skip
    if rows:
        yield Heading(_("Services to stay away from"))
        yield from table(_SERVICES, rows)


def _heed(units: Sequence[UnitHanging]) -> Iterator[Item]:
    """Yield the cautions of every rating once, then those of single units with their names."""
    yield Heading(_("Heed"))
    for words in ALWAYS:
        yield Para(words, 13, "•")
    own: dict[str, list[str]] = {}
    kept = {}
    for one in units:
        for words in one.cautions:
            if words not in ALWAYS:
                own.setdefault(str(words), []).append(one.unit)
                kept[str(words)] = words
    for text, names in own.items():
        yield Para(say("{units}: {words}", units=join(names, ", "), words=kept[text]), 13, "•")
