"""The tiles of the board: one unit in its slot, or an empty shelf."""

from __future__ import annotations

from kivy.uix.widget import Widget

from kiosk.rules.floor import Tile
from kiosk.theme import GROUND, SHELF, STATES, WHITE, Sizes, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel


class TileBox(Panel):
    """One slot of a place; only fill, mark and words change, the slot never moves."""

    def __init__(self, sizes: Sizes, *, most: int) -> None:
        super().__init__(
            fill=GROUND, rest=GROUND, padding=[sizes.gap, sizes.gap * 0.6], spacing=sizes.gap
        )
        self._line = sizes.outline
        self.mark = Mark(size_hint_x=None, width=round(most * 0.95))
        self.unit = FitLabel(ladder=sizes.ladder, bold=True, most=most, size_hint_x=0.62)
        self.word = FitLabel(ladder=sizes.ladder, most=most, halign="right")
        for widget in (self.mark, self.unit, self.word):
            self.add_widget(widget)
        self.tile: Tile | None = None
        self._blank()

    def show(self, tile: Tile | None) -> None:
        """Show a unit, or the empty slot."""
        if tile == self.tile:
            return
        self.tile = tile
        if tile is None:
            self._blank()
            return
        look = STATES.get(tile.state, STATES["other"])
        resting = tile.state == "resting"
        self.line = self._line
        self.fill, self.rest = look.fill, WHITE if resting else look.fill
        self.share = tile.share if resting else 1.0
        self.mark.shape, self.mark.tint = look.shape, look.text
        self.mark.share = tile.share
        self.unit.text, self.word.text = tile.unit, tile.word
        self.unit.color = self.word.color = rgba(look.text)

    def _blank(self) -> None:
        self.fill = self.rest = GROUND
        self.line, self.share = 0, 1.0
        self.mark.shape, self.unit.text, self.word.text = "", "", ""


def shelf(height: float) -> Widget:
    """Return the board a slot stands on."""
    return Panel(fill=SHELF, size_hint_y=None, height=height)
