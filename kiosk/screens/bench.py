"""The bench: the last answer, what is due here, and the buttons; always listening."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.floor import Due
from kiosk.rules.scanning import Answer
from kiosk.screens.answer import AnswerPanel
from kiosk.screens.choices import Choices
from kiosk.screens.duelist import LINES, DueList
from kiosk.screens.face import Choice, Signs, Status, Trim
from kiosk.screens.header import Header, StaleBand
from kiosk.screens.ragsband import RagsBand
from kiosk.widgets.panels import BigButton, gap


@dataclass(frozen=True, slots=True)
class BenchActs:
    """What the buttons of the bench do."""

    pad: Callable[[], object]
    problem: Callable[[], object]
    board: Callable[[], object]
    shop: Callable[[], object]
    rags: Callable[[], object]
    strike: Callable[[], object]
    station: Callable[[], object]


class BenchScreen(BoxLayout):
    """Header, answer with the due list or choices beside it, buttons."""

    def __init__(self, trim: Trim, status: Status, acts: BenchActs) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical")
        self._trim = trim
        self._dues: tuple[Due, ...] | None = None
        self._answer: Answer | None = None
        self._signs = Signs()
        self.choices: Choices | None = None
        self.header = Header(trim, status, on_station=acts.station)
        self.band = StaleBand(trim, status.stale)
        self._middle = BoxLayout(padding=[sizes.gap] * 4, spacing=sizes.gap * 2)
        self.add_widget(self.header)
        self.rags = RagsBand(trim, done=acts.rags)
        self.add_widget(self.band)
        self.add_widget(self.rags)
        self.add_widget(self._middle)
        self.add_widget(self._foot(acts))
        self.show_answer(None, "", ())

    def _foot(self, acts: BenchActs) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(
            size_hint_y=None,
            height=sizes.touch + 2 * sizes.gap,
            padding=[sizes.gap] * 4,
            spacing=sizes.gap,
        )
        self.pad = BigButton("Number pad", acts.pad, sizes=sizes)
        self.problem = BigButton("Problem", acts.problem, sizes=sizes)
        self.board = BigButton("Board", acts.board, sizes=sizes, size_hint_x=0.8)
        self.shop = BigButton("Shop", acts.shop, sizes=sizes, size_hint_x=0.8)
        self.strike = BigButton("Strike last", acts.strike, sizes=sizes, shape="cross")
        buttons: list[Widget] = [self.pad, self.problem, self.board, self.shop]
        # striking is kept apart from all that records, on the far side from the working hand
        buttons += [gap(sizes.apart), self.strike]
        for button in reversed(buttons) if self._trim.left_handed else buttons:
            row.add_widget(button)
        return row

    def show_status(self, status: Status) -> None:
        """Show station, person, clock, and since when there is no news."""
        self.header.show(status)
        self.band.show(status.stale)

    def show_answer(self, answer: Answer | None, title: str, choices: Sequence[Choice]) -> None:
        """Show an answer, with choices beside it where there are any, else the due list."""
        self._answer = answer
        self.choices = Choices(self._trim, title, choices) if choices else None
        self._lay_out()

    @property
    def dues(self) -> tuple[Due, ...]:
        """Return what is due here."""
        return self._dues or ()

    def show_due(self, dues: tuple[Due, ...]) -> None:
        """Show what is due here, unless choices wait for an answer or nothing changed."""
        if dues == self._dues:
            return
        self._dues = dues
        if self.choices is None:
            self._lay_out()

    def show_signs(self, signs: Signs) -> None:
        """Show the band of oily rags, and a dot at Shop where something waits to be read there."""
        if signs == self._signs:
            return
        self._signs = signs
        self.shop.show_mark("dot" if signs.unconfirmed or not signs.air_read else "")
        self._lay_out()

    def _lay_out(self) -> None:
        self._middle.clear_widgets()
        self._make_room()
        answer = AnswerPanel(self._trim, self._answer)
        # the band of the rags takes a line of the list, two from closing time on
        rags = self._signs.rags
        lines = LINES - (0 if rags is None else 2 if rags.pressing else 1)
        side: Widget = self.choices or DueList(self._trim, self._dues or (), lines=lines)
        answer.size_hint_x = 0.52 if self.choices else 0.62
        side.size_hint_x = 1 - answer.size_hint_x
        pair = [answer, side]
        for widget in reversed(pair) if self._trim.left_handed else pair:
            self._middle.add_widget(widget)

    def _make_room(self) -> None:
        """Let the band of the rags stand in place of the header while a question is open."""
        rags, asks = self._signs.rags, self.choices is not None
        self.rags.show(rags, squeezed=asks)
        hidden = rags is not None and asks
        if hidden and self.header.parent is not None:
            self.remove_widget(self.header)
        elif not hidden and self.header.parent is None:
            self.add_widget(self.header, index=len(self.children))
