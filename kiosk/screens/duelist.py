"""What a station has to do now, and what comes to it next: at most five lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.words import _, join, say, shaped
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.theme import GROUND, QUIET, STATES, rgba
from kiosk.widgets.fewer import FewerLabel
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel

if TYPE_CHECKING:
    from kiosk.rules.floor import Due

LINES = 5
NOTHING = _("Nothing is due here")
OPENING = _("Opening the shop…")  # scans are kept meanwhile
NO_JOB = _("No job yet: Shop, Take in a list")
_THEN = say("{rest}, then {step}", rest="", step="")  # as a standing says what follows a rest


class DueList(BoxLayout):
    """The list beside the answer; one line per unit: mark, unit, step, and why."""

    def __init__(
        self, trim: Trim, dues: Sequence[Due], *, lines: int = LINES, nothing: str = NOTHING
    ) -> None:
        """Take how many lines there is room for, and what to say where there are none."""
        sizes = trim.sizes
        super().__init__(orientation="vertical", spacing=sizes.gap)
        more = len(dues) - lines
        title = _("Due here")
        if more > 0:
            title = say("Due here: {n} of {total}", n=lines, total=len(dues))
        head = headline(trim, title if dues else nothing)
        head.size_hint_y, head.height, head.most = None, round(sizes.small * 1.8), sizes.small
        self.add_widget(head)
        for due in dues[:lines]:
            self.add_widget(_line(trim, due))
        for _spare in range(lines - len(dues[:lines])):
            self.add_widget(Widget())


def _before(words: str, then: str) -> str:
    return words.partition(then)[0]


def _line(trim: Trim, due: Due) -> Panel:
    sizes, look = trim.sizes, STATES.get(due.state, STATES["other"])
    row = Panel(fill=GROUND, line=sizes.outline, spacing=sizes.gap)
    badge = Panel(
        fill=look.fill,
        line=sizes.outline,
        padding=[sizes.gap * 0.6] * 4,
        size_hint_x=None,
        width=round(sizes.small * 1.9),
    )
    badge.add_widget(Mark(shape=look.shape, share=0.5, tint=look.text))
    row.add_widget(badge)
    words = BoxLayout(
        orientation="vertical", padding=[0, sizes.outline, sizes.gap * 0.6, sizes.outline]
    )
    words.add_widget(
        FitLabel(
            ladder=sizes.ladder,
            text=join([due.unit, due.words], "  "),
            bold=True,
            most=sizes.small,
            size_hint_y=1.1,
        )
    )
    # what follows a rest stands in the line above already
    why = shaped(due.why, _before, _THEN) if due.state == "resting" else due.why
    below = FewerLabel(
        ladder=sizes.ladder,
        most=round(sizes.small * 0.8),
        least=round(sizes.small * 0.6),
        color=rgba(QUIET),
    )
    # where both find no room, the reason says more than the name of a unit named above
    below.offer((join((due.name, why), ", "), why or due.name))
    words.add_widget(below)
    row.add_widget(words)
    return row
