"""Say in tables what an installer needs beside a wall's drawing: order, screws, floor, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.figure.paperflow import Heading, Item, Para, Titles, table
from kiosk.figure.wallfield import say_check
from kiosk.figure.wallparts import cleat_items, panel_items, service_items, stud_items
from kiosk.figure.wallunits import number_screws, screws_in_order
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import HangingView, UnitHanging, WallView
from kiosk.rules.hanging.pounds import say_better
from kiosk.rules.lengths import Length, System
from kiosk.rules.reasons import say_reason
from kiosk.rules.tape import Toward, drill, on_tape
from kiosk.rules.words import _, join, say

_ORDER: Final = Titles((_("no."), _("unit"), _("may carry"), _("why here")), (0.07, 0.3, 0.2, 0.43))
_SCREWS: Final = Titles(
    (
        _("no."), _("unit"), _("x"), _("y"), _("stud"), _("screw"), _("into stud"), _("pilot"),
        _("through"), _("off end"),
    ),
    (0.06, 0.09, 0.12, 0.12, 0.12, 0.16, 0.11, 0.09, 0.1, 0.1),
)  # fmt: skip


def wall_items(view: HangingView, wall: WallView, system: System) -> Iterator[Item]:
    """Yield all that stands below a wall's drawing."""
    units = [one for one in view.units if one.wall == wall.wall.wall]
    yield from _notes(wall)
    yield from _order(view, units, system)
    yield from _against(units, system)
    yield from _screws(units, system)
    yield from _floor(wall, system)
    yield from panel_items(wall, system)
    yield from cleat_items(wall, units, system)
    yield from stud_items(wall, system)
    yield from service_items(wall, system)
    yield from _heed(units)


def _notes(wall: WallView) -> Iterator[Item]:
    for words in wall.notes:
        yield Para(words, 13, "!")


def _order(view: HangingView, units: Sequence[UnitHanging], system: System) -> Iterator[Item]:
    mine = {one.unit: one for one in units}
    steps = [one for one in view.order if one.unit in mine]
    if not steps:
        return
    yield Heading(_("Order of hanging"))
    rows = []
    for step in steps:
        one = mine[step.unit]
        name = one.name if one.name != one.unit else ""
        rows.append((str(step.number), join((one.unit, name)), say_check(one, system), step.why))
    yield from table(_ORDER, rows)


def _against(units: Sequence[UnitHanging], system: System) -> Iterator[Item]:
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
            yield Para(
                say("What would help: {change}", change=say_better(better, system)), 13, one.unit
            )


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
                str(numbers[at]), join((one.unit, *shares), ", "), on_tape(screw.x, system),
                on_tape(screw.y, system), on_tape(screw.stud, system),
                say("No. {gauge} × {length}", gauge=screw.gauge,
                    length=on_tape(screw.length, system)),
                on_tape(screw.penetration, system, toward=Toward.LESS),
                drill(screw.pilot, system, toward=Toward.LESS),
                drill(screw.clearance, system, toward=Toward.MORE),
                on_tape(screw.to_end, system),
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


def _floor(wall: WallView, system: System) -> Iterator[Item]:
    if not wall.shims:
        return
    yield Heading(_("Under the panels"))
    if wall.spacer is not None:
        spacer = on_tape(wall.spacer, system)
        yield Para(say("Spacer at the highest point of the floor: {spacer}", spacer=spacer), 13)
    if wall.scribe:
        words = _("The floor differs by more than shims should make up for: scribe the panels.")
        yield Para(words, 13, "!")
    titles = Titles((_("at"), _("spacer and shim together"), _("of it shim")), (0.3, 0.4, 0.3))
    rows = [
        (on_tape(at, system), on_tape(thick, system), _none_or(thick - (wall.spacer or 0), system))
        for at, thick in wall.shims
    ]
    yield from table(titles, rows)


def _none_or(length: int, system: System) -> str:
    return on_tape(Length(length), system) if length > 0 else _("no shim")


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
