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
from kiosk.screens.duelist import DueList
from kiosk.screens.face import Choice, Status, Trim
from kiosk.screens.header import Header, StaleBand
from kiosk.widgets.panels import BigButton, gap


@dataclass(frozen=True, slots=True)
class BenchActs:
    """What the buttons of the bench do."""

    pad: Callable[[], object]
    problem: Callable[[], object]
    board: Callable[[], object]
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
        self.choices: Choices | None = None
        self.header = Header(trim, status, on_station=acts.station)
        self.band = StaleBand(trim, status.stale)
        self._middle = BoxLayout(padding=[sizes.gap] * 4, spacing=sizes.gap * 2)
        self.add_widget(self.header)
        self.add_widget(self.band)
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
        self.strike = BigButton("Strike last", acts.strike, sizes=sizes, shape="cross")
        buttons: list[Widget] = [self.pad, self.problem, self.board]
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

    def show_due(self, dues: tuple[Due, ...]) -> None:
        """Show what is due here, unless choices wait for an answer or nothing changed."""
        if dues == self._dues:
            return
        self._dues = dues
        if self.choices is None:
            self._lay_out()

    def _lay_out(self) -> None:
        self._middle.clear_widgets()
        answer = AnswerPanel(self._trim, self._answer)
        side: Widget = self.choices or DueList(self._trim, self._dues or ())
        answer.size_hint_x = 0.52 if self.choices else 0.62
        side.size_hint_x = 1 - answer.size_hint_x
        pair = [answer, side]
        for widget in reversed(pair) if self._trim.left_handed else pair:
            self._middle.add_widget(widget)
