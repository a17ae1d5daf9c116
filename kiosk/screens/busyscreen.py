"""Say what is going on, for as long as it takes."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock
from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import Phrase, _, join, say_n
from kiosk.screens.face import Trim
from kiosk.theme import QUIET, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton

SLOW_S = 5  # folders that answer do so within a second or two; choice


class BusyScreen(BoxLayout):
    """Words, a pie that turns once a minute, the seconds, and the way to the bench.

    What goes on ends by itself; who leaves finds it done in the list of jobs.
    """

    def __init__(
        self,
        trim: Trim,
        words: Phrase,
        *,
        to_bench: Callable[[], object],
        cancel: Callable[[], object] | None = None,
        slow: str = "",
    ) -> None:
        """Take `cancel`, the way back, and what to say where it takes longer than usual."""
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap * 2)
        self.mark = Mark(shape="clock")
        self.add_widget(self.mark)
        label = FitLabel(ladder=sizes.ladder, text=words, bold=True, most=sizes.answer)
        label.halign = "center"
        self.add_widget(label)
        self.told = FitLabel(ladder=sizes.ladder, most=sizes.body, color=rgba(QUIET))
        self.told.halign, self.told.size_hint_y = "center", 0.5
        self.add_widget(self.told)
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap * 2)
        if cancel is not None:
            row.add_widget(BigButton(_("Cancel"), cancel, sizes=sizes))
        row.add_widget(BigButton(_("To the bench"), to_bench, sizes=sizes))
        self.add_widget(row)
        self._seconds, self._slow = 0, slow
        self._event = Clock.schedule_interval(self._count, 1)
        self.bind(parent=self._left)

    def _count(self, _dt: float) -> None:
        self.count()

    def count(self, seconds: int = 1) -> None:
        """Let seconds go by, and say how many there were."""
        self._seconds += seconds
        self.mark.share = self._seconds % 60 / 60
        words = say_n("for {n} second", "for {n} seconds", self._seconds)
        if self._slow and self._seconds >= SLOW_S:
            words = join((words, self._slow), ". ")
        self.told.text = words

    def _left(self, _screen: object, parent: object) -> None:
        if parent is None:
            self._event.cancel()
