"""One sheet at the saw: its picture to scale, the next cut in large words, and Cut made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget
from PIL import Image

from kiosk.rules.cards import BACK, NUMBERS, YES
from kiosk.rules.words import _
from kiosk.screens.answer import keep_units
from kiosk.screens.choices import add_number
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.sheetwords import CutWords
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel, gap
from kiosk.widgets.sight import Sight

PANEL = 0.38  # of the width, beside the picture (choice)
MAIN = 1.5  # of a touch target: what is tapped at every cut is 30 mm high


@dataclass(frozen=True, slots=True)
class SheetShown:
    """What the screen of a sheet shows; cut is None where the sheet is cut up.

    far says how far it is, said what was just done. is_loud: that must not be overlooked.
    """

    title: str
    far: str
    cut: CutWords | None
    image: Image.Image
    said: str = ""
    is_loud: bool = False


@dataclass(frozen=True, slots=True)
class SheetActs:
    """What the screen of a sheet does; before and after are None where there is no other sheet.

    tap is given where the picture was touched: shares of its width and height, from its left top.
    """

    made: Callable[[], object]
    strike: Callable[[], object]
    tap: Callable[[float, float], object]
    parts: Callable[[], object]
    back: Callable[[], object]
    before: Callable[[], object] | None = None
    after: Callable[[], object] | None = None


class SheetScreen(BoxLayout):
    """Title, what was just done, the picture with the next cut beside it, and the ways on.

    It stays while one cuts: sheet goods take longer than a screen left alone.
    """

    stays = True

    def __init__(self, trim: Trim, shown: SheetShown, acts: SheetActs) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap * 0.6)
        self._trim, self.shown = trim, shown
        self.made: BigButton | None = None
        self.add_widget(self._head(shown))
        self.said = quiet_line(trim, shown.said)
        self.said.bold, self.said.valign = True, "middle"
        self.said.size_hint_y, self.said.height = None, round(sizes.small * 1.3)
        if shown.is_loud:
            self.said.color = rgba(INK)
        self.add_widget(self.said)
        self.picture = Sight(shown.image, acts.tap)
        self.picture.size_hint_x = 1 - PANEL
        side = self._side(shown.cut, acts)
        side.size_hint_x = PANEL
        middle = BoxLayout(spacing=sizes.gap)
        for widget in (side, self.picture) if trim.left_handed else (self.picture, side):
            middle.add_widget(widget)
        self.add_widget(middle)
        self.add_widget(self._foot(acts))
        go_on = acts.made if shown.cut is not None else acts.after
        main = (Choice("", go_on, card=YES),) if go_on else ()
        self.asked = (*main, Choice("", acts.back, card=BACK))

    def tell(self, words: str) -> None:
        """Say something in place of what was just done."""
        self.said.text = words

    def _head(self, shown: SheetShown) -> Widget:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=round(sizes.body * 1.05), spacing=sizes.gap)
        row.add_widget(headline(self._trim, keep_units(shown.title)))
        far = headline(self._trim, shown.far, share=0.5)
        far.halign = "right"
        row.add_widget(far)
        return row

    def _side(self, cut: CutWords | None, acts: SheetActs) -> Widget:
        """Return the next cut in words above the button that records it."""
        sizes = self._trim.sizes
        box = BoxLayout(orientation="vertical", spacing=sizes.gap)
        if cut is None:
            box.add_widget(self._cut_up())
            return box
        words = Panel(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline,
            padding=[sizes.gap, sizes.gap * 0.4],
        )
        for line in self._lines(cut):
            words.add_widget(line)
        box.add_widget(words)
        self.made = BigButton(
            _("Cut made"),
            acts.made,
            sizes=sizes,
            shape="tick",
            fill=INK,
            ink=WHITE,
            most=sizes.answer,
            size_hint_y=None,
            height=round(sizes.touch * MAIN),
        )
        add_number(self.made, NUMBERS[0], self._trim)
        self.made.children[-1].color = rgba(WHITE)  # as the words of this button are
        box.add_widget(self.made)
        return box

    def _cut_up(self) -> Widget:
        sizes = self._trim.sizes
        panel = Panel(orientation="vertical", fill=WHITE, line=sizes.outline, padding=sizes.gap)
        panel.add_widget(Mark(shape="ticks"))
        label = FitLabel(ladder=sizes.ladder, text=_("All of this sheet is cut"), bold=True)
        label.most, label.halign = sizes.answer, "center"
        panel.add_widget(label)
        return panel

    def _lines(self, cut: CutWords) -> list[Widget]:
        sizes, small = self._trim.sizes, self._trim.sizes.small
        lines: list[Widget] = [
            self._label(cut.title, round(small * 0.9), 0.55, tint=QUIET),
            self._label(cut.kind, round(small * 1.5), 0.95, bold=True),
            self._label(cut.measure, sizes.answer, 1.7, bold=True),
            self._label(
                cut.from_where, round(small * 0.9), 1.1 if cut.is_bevel else 0.6, tint=QUIET
            ),
            self._becomes(cut),
        ]
        if cut.rest:
            lines.append(self._label(cut.rest, round(small * 0.9), 0.8, tint=QUIET))
        if cut.frees:
            lines.append(self._marked("tick", cut.frees, 1.15, bold=True))
        if cut.same:
            lines.append(self._marked("dot", cut.same, 0.65, scale=0.95))
        if cut.caution:
            lines.append(self._marked("late", cut.caution, 1.25, scale=0.85))
        return lines

    def _label(
        self, words: str, most: int, share: float, *, bold: bool = False, tint: str = INK
    ) -> FitLabel:
        ladder = self._trim.sizes.ladder
        label = FitLabel(ladder=ladder, text=keep_units(words), most=most, bold=bold)
        label.color, label.size_hint_y = rgba(tint), share
        return label

    def _becomes(self, cut: CutWords) -> Widget:
        """Return the piece that is cut, an arrow, and what comes of it."""
        sizes, small = self._trim.sizes, self._trim.sizes.small
        row = BoxLayout(spacing=sizes.gap, size_hint_y=0.8)
        came = self._label(cut.piece_in, round(small * 1.2), 1, bold=True)
        came.size_hint_x = 0.55
        row.add_widget(came)
        if cut.piece_out:
            row.add_widget(Mark(shape="arrow", size_hint_x=None, width=small))
            row.add_widget(self._label(cut.piece_out, round(small * 1.2), 1, bold=True))
        return row

    def _marked(
        self, shape: str, words: str, share: float, *, scale: float = 1.05, bold: bool = False
    ) -> Widget:
        sizes = self._trim.sizes
        row = BoxLayout(spacing=sizes.gap * 0.6, size_hint_y=share)
        row.add_widget(Mark(shape=shape, size_hint_x=None, width=round(sizes.small * 0.8)))
        row.add_widget(self._label(words, round(sizes.small * scale), 1, bold=bold))
        return row

    def _foot(self, acts: SheetActs) -> BoxLayout:
        """Return the ways on; striking stands apart, on the far side from Cut made."""
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        self.strike = BigButton(_("Strike last"), acts.strike, sizes=sizes, shape="cross")
        buttons: list[Widget] = [self.strike, gap(sizes.apart)]
        buttons.append(BigButton(_("Back"), acts.back, sizes=sizes, size_hint_x=0.7))
        buttons.append(BigButton(_("Parts"), acts.parts, sizes=sizes, size_hint_x=0.7))
        if acts.before is not None:
            buttons.append(BigButton(_("Sheet before"), acts.before, sizes=sizes))
        if acts.after is not None:
            buttons.append(BigButton(_("Next sheet"), acts.after, sizes=sizes, shape="arrow"))
        for button in reversed(buttons) if self._trim.left_handed else buttons:
            row.add_widget(button)
        return row
