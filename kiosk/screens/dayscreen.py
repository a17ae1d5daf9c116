"""Set a day by large buttons: days, weeks and four weeks on or back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from kiosk.rules.hangday import say_day, say_left
from kiosk.rules.words import _, join
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel, gap

_STEPS = (
    (_("− 1 day"), -1),
    (_("− 1 week"), -7),
    (_("− 4 weeks"), -28),
    (_("+ 1 day"), 1),
    (_("+ 1 week"), 7),
    (_("+ 4 weeks"), 28),
)


@dataclass(frozen=True, slots=True)
class DayActs:
    """What the screen of a day does; clear sets none."""

    use: Callable[[date], object]
    clear: Callable[[], object]
    back: Callable[[], object]


class DayScreen(BoxLayout):
    """The day, how far off it is, and the buttons that move it; nothing counts before Set it."""

    def __init__(self, trim: Trim, title: str, day: date, *, today: date, acts: DayActs) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap)
        self.day, self._today = day, today
        head = headline(trim, title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.4)
        self.add_widget(head)
        panel = Panel(fill=WHITE, line=sizes.outline, padding=[sizes.gap * 2, sizes.gap * 0.5])
        self.shown = FitLabel(ladder=sizes.ladder, bold=True, most=sizes.answer, halign="center")
        panel.add_widget(self.shown)
        self.add_widget(panel)
        self.keys: dict[str, BigButton] = {}
        grid = GridLayout(cols=3, rows=2, spacing=sizes.gap, size_hint_y=2.1)
        for words, days in _STEPS:
            key = BigButton(words, partial(self.move, days), sizes=sizes)
            self.keys[str(words)] = key
            grid.add_widget(key)
        self.add_widget(grid)
        foot = BoxLayout(size_hint_y=None, height=round(sizes.touch * 1.1), spacing=sizes.gap)
        foot.add_widget(BigButton(_("Back"), acts.back, sizes=sizes, size_hint_x=0.6))
        foot.add_widget(BigButton(_("No hang day"), acts.clear, sizes=sizes, shape="cross"))
        foot.add_widget(gap(sizes.apart))
        foot.add_widget(
            BigButton(
                _("Set it"),
                lambda: acts.use(self.day),
                sizes=sizes,
                shape="tick",
                fill=INK,
                ink=WHITE,
            )
        )
        self.add_widget(foot)
        self.move(0)

    def move(self, days: int) -> None:
        """Show a day so many days further on."""
        self.day += timedelta(days=days)
        self.shown.text = join((say_day(self.day), say_left(self.day, self._today)), ", ")
