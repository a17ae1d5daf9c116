"""The clocks of a unit: a row for each stage, and the picture of the one that is waited for."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget
from PIL import Image

from kiosk.rules.words import _, join, shaped
from kiosk.screens.answer import begin_large, keep_units
from kiosk.screens.clockview import ClockRow, ClockView
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.theme import GROUND, INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel
from kiosk.widgets.picture import Picture

ROWS = 10  # a coat has no more stages
TYPICAL = _("* typical figure, not from the label")
CARE = _("Estimates are no guarantee: the label first, then a touch on a hidden spot.")


class ClockScreen(BoxLayout):
    """Title, a line for each stage, and a button for the picture."""

    def __init__(
        self,
        trim: Trim,
        view: ClockView,
        *,
        picture: Callable[[], object],
        back: Callable[[], object],
    ) -> None:
        sizes = trim.sizes
        super().__init__(
            orientation="vertical", padding=[sizes.gap] * 4, spacing=round(sizes.gap * 0.5)
        )
        head = headline(trim, keep_units(view.title))
        head.size_hint_y, head.height = None, round(sizes.body * 1.3)
        self.add_widget(head)
        if view.sentence:
            words = keep_units(begin_large(view.sentence))
            line = FitLabel(ladder=sizes.ladder, text=words, most=sizes.small, color=rgba(QUIET))
            line.size_hint_y, line.height = None, round(sizes.small * 1.3)
            self.add_widget(line)
        for row in view.rows[:ROWS]:
            self.add_widget(_line(trim, row))
        for _row in range(ROWS - len(view.rows)):
            self.add_widget(Widget())
        self.add_widget(self._foot(trim, view, picture=picture, back=back))

    def _foot(
        self,
        trim: Trim,
        view: ClockView,
        *,
        picture: Callable[[], object],
        back: Callable[[], object],
    ) -> BoxLayout:
        sizes = trim.sizes
        foot = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        foot.add_widget(BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.3))
        if view.rows:
            self.picture = BigButton(_("Picture"), picture, sizes=sizes, size_hint_x=0.4)
            foot.add_widget(self.picture)
        typical = join((TYPICAL, "."), "") if view.typical else ""
        words = join((typical, CARE)) if view.rows else ""
        foot.add_widget(
            FitLabel(ladder=sizes.ladder, text=words, most=sizes.small, color=rgba(QUIET))
        )
        return foot


def _line(trim: Trim, row: ClockRow) -> Panel:
    """Return a stage's line; what is held is inverted, and says so in a word."""
    sizes, held = trim.sizes, row.state == "held"
    ink = WHITE if held else INK
    line = Panel(
        fill=INK if held else GROUND,
        line=max(1, round(sizes.outline * 0.5)),
        padding=[sizes.gap, 0],
        spacing=sizes.gap,
    )
    mark = "*" if row.seed else ""
    cells = (
        (row.words, 0.9, True, ink, "left", 1.0),
        (
            shaped(row.time, lambda words: f"{words}{mark}".replace(" ", "\u00a0")),
            0.52,
            True,
            ink,
            "right",
            1.0,
        ),
        (row.state, 0.28, False, ink, "left", 0.9),
        (keep_units(row.sentence), 1.3, False, ink if held else QUIET, "left", 0.85),
    )
    for words, share, bold, tint, align, scale in cells:
        line.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                text=words,
                most=round(sizes.small * scale),
                bold=bold,
                color=rgba(tint),
                halign=align,
                size_hint_x=share,
            )
        )
    return line


class ClockPicture(BoxLayout):
    """The picture of a clock, and a way back."""

    def __init__(
        self, trim: Trim, image: Image.Image | None, *, back: Callable[[], object]
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        if image is None:
            words = _("Nothing on it has a clock yet.")
            self.add_widget(FitLabel(ladder=sizes.ladder, text=words, most=sizes.answer))
        else:
            self.add_widget(Picture(image))
        foot = BoxLayout(size_hint_y=None, height=sizes.touch)
        foot.add_widget(BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.3))
        foot.add_widget(Widget())
        self.add_widget(foot)


def picture_size(trim: Trim) -> tuple[int, int]:
    """Return the pixels there are for a picture above its button."""
    sizes = trim.sizes
    return sizes.width - 2 * sizes.gap, sizes.height - sizes.touch - 3 * sizes.gap
