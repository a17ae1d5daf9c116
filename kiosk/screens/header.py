"""The head of every bench screen: station, shop and person, clock, and a word when news stopped."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import join
from kiosk.screens.face import Linked, Status, Trim
from kiosk.theme import GROUND, INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel


class Header(Panel):
    """Station as a button, a middle line, the clock; a band below it when news stopped."""

    def __init__(self, trim: Trim, status: Status, *, on_station: Callable[[], object]) -> None:
        sizes = trim.sizes
        super().__init__(
            orientation="horizontal",
            fill=INK,
            size_hint_y=None,
            height=sizes.touch,
            spacing=sizes.gap * 2,
        )
        self.station = BigButton(
            status.station,
            on_station,
            sizes=sizes,
            shape="arrow",
            most=round(sizes.touch * 0.5),
            fill=GROUND,
            size_hint_x=0.62,
        )
        self.station.label.halign = "left"
        self.middle = FitLabel(ladder=sizes.ladder, most=sizes.body, color=rgba(WHITE))
        self.clock = FitLabel(
            ladder=sizes.ladder,
            most=round(sizes.touch * 0.5),
            color=rgba(WHITE),
            bold=True,
            halign="right",
            size_hint_x=0.2,
        )
        self.link = LinkMark(trim, tint=WHITE)
        self._lines = BoxLayout(orientation="vertical")
        self._lines.add_widget(self.middle)
        self.add_widget(self.station)
        self.add_widget(self._lines)
        self.add_widget(self.clock)
        end = BoxLayout(size_hint_x=None, width=sizes.gap)
        self.add_widget(end)
        self.show(status)

    def show(self, status: Status) -> None:
        """Show who works where, and the time."""
        self.station.label.text = status.station
        self.middle.text = join((status.person, status.mark), ", ")
        self.clock.text = status.clock
        self.link.show(status.link)
        has_link, is_shown = any(status.link), self.link.parent is not None
        if has_link != is_shown:
            (self._lines.add_widget if has_link else self._lines.remove_widget)(self.link)


class LinkMark(BoxLayout):
    """How the kiosk stands to the others: a mark, and a word beside it."""

    def __init__(self, trim: Trim, *, tint: str) -> None:
        sizes = trim.sizes
        super().__init__(spacing=sizes.gap * 0.5, size_hint_y=0.8)
        self.mark = Mark(size_hint_x=None, width=round(sizes.small * 0.8), tint=tint)
        self.label = FitLabel(ladder=sizes.ladder, most=sizes.small, color=rgba(tint))
        self.add_widget(self.mark)
        self.add_widget(self.label)

    def show(self, link: Linked) -> None:
        """Show a shape and words."""
        self.mark.shape, self.label.text = link[:2]


class StaleBand(Panel):
    """A band that says since when the screen has had no news; without words it has no height."""

    def __init__(self, trim: Trim, words: str = "", *, read_from_afar: bool = False) -> None:
        sizes = trim.sizes
        super().__init__(fill=WHITE, size_hint_y=None, height=0, padding=[sizes.gap * 2, 0])
        self._size = max(sizes.small, sizes.board_least) if read_from_afar else sizes.small
        self._tall = round(self._size * (1.35 if read_from_afar else 1.8))
        self._line = sizes.outline
        self.label = FitLabel(
            ladder=sizes.ladder, most=self._size, bold=True, color=rgba(INK), halign="center"
        )
        self.add_widget(self.label)
        self.show(words)

    def show(self, words: str) -> None:
        """Show the words, or nothing where there are none."""
        self.label.text = words
        self.height = self._tall if words else 0
        self.line = self._line if words else 0
        self.opacity = 1 if words else 0


def headline(trim: Trim, text: str, *, share: float = 1.0) -> FitLabel:
    """Return a title line; share is its part of a row's width."""
    return FitLabel(
        ladder=trim.sizes.ladder, text=text, bold=True, most=trim.sizes.body, size_hint_x=share
    )


def quiet_line(trim: Trim, text: str) -> FitLabel:
    """Return a line of secondary words."""
    return FitLabel(
        ladder=trim.sizes.ladder, text=text, most=trim.sizes.small, color=rgba(QUIET), valign="top"
    )
