"""The board as it would be in another air, marked so that nobody takes it for the board."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.floor import Floor
from kiosk.rules.words import _, say
from kiosk.screens.answer import begin_large, keep_units
from kiosk.screens.board import BoardScreen
from kiosk.screens.face import Trim
from kiosk.theme import INK, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel


def say_supposed(words: str) -> str:
    """Return the words of the band: what is supposed, and that it leaves no trace."""
    return say("{air} from now: nothing of this is recorded", air=begin_large(words))


class WhatIfScreen(Panel):
    """An inverted band with the supposed air and a way back, above a framed board."""

    def __init__(self, trim: Trim, floor: Floor, words: str, *, back: Callable[[], object]) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", fill=INK)
        band = BoxLayout(size_hint_y=None, height=sizes.touch, padding=[sizes.gap * 2, 0, 0, 0])
        band.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                text=keep_units(say_supposed(words)),
                bold=True,
                most=round(sizes.answer * 0.8),
                color=rgba(WHITE),
            )
        )
        self.back = BigButton(_("Back"), back, sizes=sizes, size_hint_x=0.2)
        band.add_widget(self.back)
        self.add_widget(band)
        framed = Panel(padding=[sizes.outline * 4, 0, sizes.outline * 4, sizes.outline * 2])
        framed.fill = INK
        self.board = BoardScreen(trim)
        self.board.show(floor)
        inner = Panel()
        inner.add_widget(self.board)
        framed.add_widget(inner)
        self.add_widget(framed)
