"""What installers must know of a wall: where it begins, its shims, its seams, notes, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.rules.hanging.hangviews import WallView
from kiosk.rules.lengths import System
from kiosk.rules.words import _, join, say
from kiosk.screens.hangwords import say_length
from kiosk.screens.rows import Row


def notes_of(view: WallView, system: System) -> list[Row]:
    """Return what there is to know of a wall, as rows to read."""
    return [*_floor(view, system), *_panels(view, system), *_words(view)]


def _floor(view: WallView, system: System) -> Iterator[Row]:
    if view.spacer is not None:
        words = say("Spacer under the highest point of the floor")
        yield Row(words, "", None, "dot", say_length(view.spacer, system))
    if view.scribe:
        words = _("The floor falls so far that the panels are scribed to it")
        yield Row(words, "", None, "late")
    if view.shims:
        places = (
            say("at {x}: {shim}", x=say_length(x, system), shim=say_length(shim, system))
            for x, shim in view.shims
        )
        yield Row(_("Shims under the panels, from the left end"), join(places, "; "), None, "dot")


def _panels(view: WallView, system: System) -> Iterator[Row]:
    for one in view.panels:
        rows = join((say_length(row, system) for row in one.rows), ", ")
        below = say("lower edges of cleats from the datum: {rows}", rows=rows) if one.rows else ""
        words = say("Panel {unit}", unit=one.unit)
        notes = join(one.notes, " ")
        shape = "late" if one.left_on is False or one.right_on is False else "dot"
        yield Row(words, join((notes, below), ". "), None, shape)


def _words(view: WallView) -> Iterator[Row]:
    for note in view.notes:
        yield Row(note, "", None, "dot")
