"""How large this screen is and from how far it is read: set against a real tape measure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.words import _, join, number, say
from kiosk.screens.face import Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.theme import GOOD_ANGLE, INK, WHITE, Sizes, measure_screen, rgba, text_px
from kiosk.widgets.fewer import line_height
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

DIAGONALS, DISTANCES = (5.0, 120.0), (0.3, 15.0)  # inches and metres, as the settings allow
HOW = _("Hold a tape measure to the screen. Change the diagonal until both rulers agree with it.")
NEXT_START = _("Kept. Other colours come with the next start.")
_SAMPLE = _("G08  coat 2")


@dataclass(frozen=True, slots=True)
class ScreenActs:
    """What the buttons of the page do; keep is given diagonal, distance and theme."""

    keep: Callable[[float, float, str], object]
    back: Callable[[], object]


class RulerScreen(BoxLayout):
    """Two rulers at true size, the diagonal and the distance with their buttons, and a sample."""

    stays = True  # a tape measure takes longer to fetch than a screen left alone stays

    def __init__(
        self, trim: Trim, *, diagonal_in: float, theme: str, acts: ScreenActs, line: str = ""
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap)
        self._trim, self._acts = trim, acts
        self.diagonal_in, self.distance_m, self.theme = diagonal_in, sizes.distance_m, theme
        self.head = headline(trim, _("This screen"))
        self.head.size_hint_y, self.head.height = None, line_height(sizes.body)
        self.line = quiet_line(trim, line or HOW)
        self.line.size_hint_y, self.line.height = None, round(line_height(sizes.small) * 1.1)
        self.ruler = Ruler(sizes)
        self.diagonal, self.distance = self._value(), self._value()
        small, large = (_("− 0.1"), _("+ 0.1")), (_("− 1"), _("+ 1"))
        self.steps = [
            self._button(words, partial(self.change_diagonal, by))
            for words, by in ((large[0], -1.0), (small[0], -0.1), (small[1], 0.1), (large[1], 1.0))
        ]
        self.nearer = self._button(_("Nearer"), partial(self.change_distance, -1))
        self.farther = self._button(_("Farther"), partial(self.change_distance, 1))
        self.sample = Sample(trim)
        for widget in (self.head, self.line, self.ruler):
            self.add_widget(widget)
        self.add_widget(self._row(self.diagonal, *self.steps))
        self.add_widget(self._row(self.distance, self.nearer, self.farther))
        self.add_widget(self.sample)
        self.colours = self._button("", self.turn_theme)
        self.keep = BigButton(_("Keep"), self._keep, sizes=sizes, shape="tick")
        self.back = BigButton(_("Back"), acts.back, sizes=sizes)
        self.add_widget(self._row(self.colours, self.keep, self.back))
        self._show()

    def change_diagonal(self, by: float) -> None:
        """Take the screen for larger or smaller."""
        self.diagonal_in = _held(self.diagonal_in + by, DIAGONALS)
        self._show()

    def change_distance(self, way: int) -> None:
        """Read the board from farther off, or from nearer: finer steps at arm's length."""
        at = self.distance_m + way * 0.01
        step = 0.1 if at < 2 else 0.5
        self.distance_m = _held(self.distance_m + way * step, DISTANCES)
        self._show()

    def press(self, key: int) -> bool:
        """Act on a key, for a screen that nobody can touch; tell whether it was one of ours."""
        acts: dict[int, Callable[[], object]] = {
            275: partial(self.change_diagonal, 0.1),  # right
            276: partial(self.change_diagonal, -0.1),  # left
            273: partial(self.change_distance, 1),  # up
            274: partial(self.change_distance, -1),  # down
            13: self._keep,
            27: self._acts.back,
        }
        if key in acts:
            acts[key]()
        return key in acts

    def turn_theme(self) -> None:
        """Choose the other colours."""
        self.theme = "light" if self.theme == "dark" else "dark"
        self._show()

    def _keep(self) -> None:
        self._acts.keep(self.diagonal_in, self.distance_m, self.theme)

    def _show(self) -> None:
        sizes = self._trim.sizes
        # the window's own pixels over the stated diagonal
        px_per_mm = sizes.px_per_mm * sizes.diagonal_in / self.diagonal_in
        self.ruler.show(px_per_mm)
        self.diagonal.text = say(
            "Diagonal {inches}\u00a0in, {cm}\u00a0cm",
            inches=number(f"{self.diagonal_in:.1f}"),
            cm=f"{self.diagonal_in * 2.54:.0f}",
        )
        self.distance.text = say(
            "Read from {metres}\u00a0m", metres=number(f"{self.distance_m:.1f}")
        )
        board = measure_screen(
            sizes.width, sizes.height, diagonal_in=self.diagonal_in, distance_m=self.distance_m
        ).board  # larger than need be where the screen has room for it
        self.sample.show(max(board, text_px(GOOD_ANGLE, self.distance_m, px_per_mm)))
        dark = self.theme == "dark"
        self.colours.label.text = _("Colours: dark") if dark else _("Colours: light")

    def _value(self) -> FitLabel:
        sizes = self._trim.sizes
        return FitLabel(ladder=sizes.ladder, bold=True, most=sizes.body, size_hint_x=1.9)

    def _button(self, words: str, act: Callable[[], object]) -> BigButton:
        return BigButton(words, act, sizes=self._trim.sizes)

    def _row(self, *widgets: Widget) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap * 2)
        for widget in widgets:
            row.add_widget(widget)
        return row


class Ruler(Widget):
    """A ruler of 100 mm above one of 4 in, as long as they should be on this screen."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint_y=None, height=round(sizes.touch * 1.05))
        self._sizes, self.px_per_mm = sizes, sizes.px_per_mm
        words: dict[str, Any] = {
            "ladder": sizes.ladder,
            "most": sizes.small,
            "size_hint": (None,) * 2,
        }
        self.mm = FitLabel(text=_("100 mm"), valign="top", **words)
        self.inches = FitLabel(text=_("4 in"), valign="bottom", **words)
        self.add_widget(self.mm)
        self.add_widget(self.inches)
        for name in ("pos", "size"):
            self.fbind(name, self._draw)

    def show(self, px_per_mm: float) -> None:
        """Draw the rulers at so many pixels a millimetre."""
        self.px_per_mm = px_per_mm
        self._draw()

    def _draw(self, *_args: object) -> None:
        self.canvas.before.clear()
        middle, thick = self.y + self.height / 2, max(2, self._sizes.outline / 2)
        with self.canvas.before:
            Color(*rgba(INK))
            self._scale([float(at) for at in range(0, 101, 10)], middle + thick, 1, thick)
            self._scale([at * 25.4 for at in range(5)], middle - thick, -1, thick)
        tall = line_height(self._sizes.small)
        for label, length in ((self.mm, 100.0), (self.inches, 101.6)):
            end = self.x + length * self.px_per_mm + self._sizes.gap
            wide = round(self._sizes.small * 4.2)
            if end + wide > self.x + self.width:  # its name stands within it, before the last tick
                end -= wide + 2 * self._sizes.gap
            label.size = (wide, tall)
            label.pos = (end, middle + thick if label is self.mm else middle - thick - tall)

    def _scale(self, marks: list[float], y: float, way: int, thick: float) -> None:
        """Draw a line with a tick at each mark, in millimetres; the outer edges are the length."""
        length = marks[-1] * self.px_per_mm
        Rectangle(pos=(self.x, y - thick / 2), size=(length, thick))
        for at in marks:
            tall = self.height * (0.42 if at in (marks[0], marks[-1]) else 0.22)
            x = (
                self.x
                + at * self.px_per_mm
                - (thick if at == marks[-1] else thick / 2 if at else 0)
            )
            Rectangle(pos=(x, y if way > 0 else y - tall), size=(thick, tall))


class Sample(Panel):
    """A line of the board at the size that is read from the distance, as far as it fits."""

    def __init__(self, trim: Trim) -> None:
        sizes = trim.sizes
        super().__init__(fill=WHITE, line=sizes.outline, padding=[sizes.gap * 2, sizes.outline])
        self._trim = trim
        self._size = 0.0
        self.words = FitLabel(ladder=sizes.ladder, text=_SAMPLE, bold=True, halign="center")
        self.add_widget(self.words)
        self.fbind("size", self._fit)

    def show(self, size: float) -> None:
        """Show the line at a font size, in pixels."""
        self._size = size
        self._fit()

    def _fit(self, *_args: object) -> None:
        room, size = self.height - 2 * self._trim.sizes.outline, round(self._size)
        self.is_whole = line_height(size) <= room if size < self._trim.sizes.height else False
        if self.is_whole:
            self.words.ladder, self.words.most, self.words.text = (size,), size, _SAMPLE
        else:
            self.words.ladder = self._trim.sizes.ladder
            self.words.most = self._trim.sizes.body
            self.words.text = join(
                (
                    _("Letters this large leave room for the three counts only."),
                    _("Read the board from nearer, or hang up a larger screen."),
                )
            )


def _held(value: float, between: tuple[float, float]) -> float:
    return round(min(max(value, between[0]), between[1]), 1)
