"""The shop's air: large figures, where they are from, and the curve of a day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.relativelayout import RelativeLayout
from kivy.uix.widget import Widget

from kiosk.language import shown
from kiosk.rules.words import _, say, shaped
from kiosk.screens.airview import AirView, Day, Figure, Strip
from kiosk.screens.answer import begin_large, keep_units
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.airline import AirLine
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel, gap

TITLE = _("Air of the shop")
NO_CURVE = _("Type what a thermometer and a hygrometer show, and the clocks run by your own air.")


@dataclass(frozen=True, slots=True)
class AirActs:
    """What the buttons of the air screen do."""

    type_in: Callable[[], object]
    what_if: Callable[[], object]
    strike: Callable[[], object]
    back: Callable[[], object]


class AirScreen(BoxLayout):
    """Title, figures, source, curve, buttons; `said` is a line about what was just recorded."""

    def __init__(
        self, trim: Trim, view: AirView, acts: AirActs, *, said: str = "", sensors: str = ""
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._trim = trim
        self.add_widget(self._head(view, said))
        if view.figures:
            self.add_widget(self._figures(view.figures))
        self.add_widget(self._source(view, sensors))
        if view.day is not None:
            self.add_widget(_curves(trim, view.day))
        else:
            words = NO_CURVE if not view.figures else ""
            self.add_widget(FitLabel(ladder=sizes.ladder, text=words, most=sizes.body))
        self.add_widget(self._foot(view, acts))

    def _head(self, view: AirView, said: str) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=round(sizes.body * 1.5), spacing=sizes.gap)
        title = say("{title} (estimate)", title=TITLE) if view.estimated and view.figures else TITLE
        row.add_widget(headline(self._trim, title, share=0.8))
        if said:
            label = FitLabel(ladder=sizes.ladder, text=said, most=sizes.small, halign="right")
            label.bold = True
            row.add_widget(label)
        return row

    def _figures(self, figures: tuple[Figure, ...]) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(
            size_hint_y=None, height=round(sizes.answer * 1.75), spacing=round(sizes.gap * 0.6)
        )
        for figure in figures:
            row.add_widget(self._figure(figure))
        return row

    def _figure(self, figure: Figure) -> Panel:
        sizes = self._trim.sizes
        cell = Panel(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline,
            padding=[sizes.gap * 0.7, sizes.gap * 0.5],
        )
        for words, most, bold, tint, share in (
            (figure.name, sizes.small, False, QUIET, 0.62),
            (keep_spaces(figure.value), round(sizes.answer * 0.8), True, INK, 1.0),
        ):
            label = FitLabel(ladder=sizes.ladder, text=words, most=most, bold=bold)
            label.color, label.halign, label.size_hint_y = rgba(tint), "center", share
            cell.add_widget(label)
        return cell

    def _source(self, view: AirView, sensors: str) -> BoxLayout:
        sizes = self._trim.sizes
        lines = [begin_large(words) for words in (view.source, view.after, sensors) if words]
        box = BoxLayout(
            orientation="vertical", size_hint_y=None, height=round(sizes.small * 1.3 * len(lines))
        )
        most = sizes.small if view.figures else sizes.body
        if not view.figures:
            box.height = round(sizes.body * 1.5 * len(lines))
        for at, words in enumerate(lines):
            tint = INK if at == 0 else QUIET
            box.add_widget(
                FitLabel(ladder=sizes.ladder, text=keep_units(words), most=most, color=rgba(tint))
            )
        return box

    def _foot(self, view: AirView, acts: AirActs) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        self.back = BigButton(_("Back"), acts.back, sizes=sizes, size_hint_x=0.6)
        self.type_in = BigButton(
            _("Type a reading"), acts.type_in, sizes=sizes, fill=INK, ink=WHITE, size_hint_x=1.2
        )
        self.what_if = BigButton(_("What if"), acts.what_if, sizes=sizes, size_hint_x=0.7)
        buttons: list[Widget] = [self.back, self.type_in, self.what_if]
        self.strike: BigButton | None = None
        if view.strike_at is not None:
            self.strike = BigButton(_("Strike last typed"), acts.strike, sizes=sizes, shape="cross")
            buttons += [gap(sizes.apart), self.strike]
        for button in reversed(buttons) if self._trim.left_handed else buttons:
            row.add_widget(button)
        return row


def keep_spaces(text: str) -> str:
    """Return a figure that is never broken before its unit."""
    return shaped(text, lambda words: words.replace(" ", "\u00a0"))


def _curves(trim: Trim, day: Day) -> BoxLayout:
    """Return a curve for each strip, one below the other, and the times below them."""
    sizes = trim.sizes
    box = BoxLayout(orientation="vertical", spacing=round(sizes.gap * 0.5))
    for strip in day.strips:
        box.add_widget(_strip(trim, strip, day))
    times = BoxLayout(size_hint_y=None, height=round(sizes.small * 1.1))
    times.add_widget(gap(_margin(trim)))
    times.add_widget(Times(trim, day))
    box.add_widget(times)
    return box


def _margin(trim: Trim) -> int:
    return round(trim.sizes.small * 5.2)


def _strip(trim: Trim, strip: Strip, day: Day) -> BoxLayout:
    row = BoxLayout()
    row.add_widget(_scale(trim, strip))
    row.add_widget(
        AirLine(
            strip.values,
            low=strip.low,
            high=strip.high,
            now=day.now,
            read_until=day.read_until,
            ticks=[share for share, _words in day.ticks],
            line=max(2.0, trim.sizes.outline * 0.8),
        )
    )
    return row


def _scale(trim: Trim, strip: Strip) -> BoxLayout:
    """Return the words at the left of a curve: its name, and the ends of its scale."""
    sizes = trim.sizes
    scale = BoxLayout(
        orientation="vertical",
        size_hint_x=None,
        width=_margin(trim),
        padding=[0, 0, round(sizes.gap * 0.6), 0],
    )
    most = round(sizes.small * 0.8)
    for words, bold, align in (
        (strip.high_words, False, "top"),
        (strip.name, True, "middle"),
        (strip.low_words, False, "bottom"),
    ):
        scale.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                text=keep_spaces(words),
                most=most,
                bold=bold,
                halign="right",
                valign=align,
            )
        )
    return scale


class Times(RelativeLayout):
    """The words of the times below a curve, 'now' among them; none lies over another."""

    def __init__(self, trim: Trim, day: Day) -> None:
        super().__init__()
        sizes = trim.sizes
        self._labels: list[tuple[float, FitLabel]] = []
        for share, words in [(day.now, _("now")), *day.ticks]:
            label = FitLabel(
                ladder=sizes.ladder,
                text=keep_spaces(words),
                most=round(sizes.small * 0.8),
                bold=words == "now",
                halign="center",
                size_hint=(None, 1),
                width=round(sizes.small * 0.42 * (len(shown(words)) + 1)),
            )
            self._labels.append((share, label))
            self.add_widget(label)
        self.bind(size=self._place)
        self._place()

    def _place(self, *_: object) -> None:
        taken: list[tuple[float, float]] = []
        for share, label in self._labels:
            left = min(max(self.width * share - label.width / 2, 0), self.width - label.width)
            right = left + label.width
            free = all(right <= low or left >= high for low, high in taken)
            label.opacity = 1 if free else 0
            label.x = left
            label.height = self.height if free else 0
            label.size_hint_y = 1 if free else None
            if free:
                taken.append((left, right))
