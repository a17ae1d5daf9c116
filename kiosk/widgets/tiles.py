"""The tiles of the board: one unit in its slot, or an empty shelf."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.language import shown
from kiosk.theme import GROUND, SHELF, STATES, WHITE, Sizes, rgba
from kiosk.widgets.fewer import line_height
from kiosk.widgets.fitting import FitLabel, measure
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel

if TYPE_CHECKING:
    from kiosk.rules.floor import Tile

# A tile on a tall shelf is no taller than this many lines, so that it lies there as a thing does.
# Choice, by eye.
_TALLEST = 1.75
_MARK = 0.9  # of the letters' size: the mark weighs as much as the name beside it
# What is read first must have room first: a name, and a word such as "scuff first" (choice).
SAMPLE_UNIT, SAMPLE_WORD = "G00", "scuff first"


class TileBox(Panel):
    """One slot of a place; only fill, mark and words change, the slot never moves.

    Name and word have one size: the target where both fit, never below the least.
    """

    def __init__(self, sizes: Sizes) -> None:
        pad, self._space = sizes.gap * 0.8, sizes.gap * 0.8
        super().__init__(
            fill=GROUND, rest=GROUND, padding=[pad, sizes.outline], spacing=self._space
        )
        self._sizes, self._pad = sizes, pad
        least = sizes.board_least
        self._usable = [one for one in sizes.ladder if least <= one <= sizes.board] or [least]
        self.mark = Mark(size_hint_x=None, width=round(sizes.board * _MARK))
        self.unit = FitLabel(ladder=sizes.ladder, least=least, bold=True, size_hint_x=None)
        self.word = FitLabel(ladder=sizes.ladder, least=least, halign="right")
        for widget in (self.mark, self.unit, self.word):
            self.add_widget(widget)
        self.tile: Tile | None = None
        self._blank()
        self.fbind("size", self._share)

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
        self.line = self._sizes.outline
        self.fill, self.rest = look.fill, WHITE if resting else look.fill
        self.share = tile.share if resting else 1.0
        self.mark.shape, self.mark.tint = look.shape, look.text
        self.mark.share = tile.share
        self.unit.text, self.word.text = tile.unit, tile.word
        self.unit.color = self.word.color = rgba(look.text)
        self._share()

    def _share(self, *_: object) -> None:
        """Give name and word one size, and the name no more room than it needs."""
        if self.tile is None or min(self.width, self.height) < 2:
            return
        unit, word = shown(self.tile.unit), shown(self.tile.word)
        tall = self.height - 2 * self._sizes.outline
        for size in self._usable:
            name_px = measure(unit, font_size=size, bold=True, width=None)[0] + 2
            word_px = measure(word, font_size=size, bold=False, width=None)[0] + 2
            room = self._room(size)
            if name_px + word_px <= room and line_height(size) <= tall:
                break
        self.mark.width = round(size * _MARK)
        self.unit.most = self.word.most = size
        # where not both fit, the name comes first, but leaves the word its part
        self.unit.width = min(name_px, room * 0.6)

    def _room(self, size: int) -> float:
        return float(self.width) - 2 * self._pad - 2 * self._space - round(size * _MARK)

    def _blank(self) -> None:
        self.fill = self.rest = GROUND
        self.line, self.share = 0, 1.0
        self.mark.shape, self.unit.text, self.word.text = "", "", ""


class Slot(BoxLayout):
    """Where a tile stands: on its shelf, with air above it where the shelf is tall."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(
            orientation="vertical", padding=[sizes.gap * 0.8, sizes.gap * 0.5, sizes.gap * 0.8, 0]
        )
        self._tallest = round(line_height(sizes.board) * _TALLEST)
        self.box = TileBox(sizes)
        self.box.size_hint_y = None
        self.add_widget(Widget())
        self.add_widget(self.box)
        self.fbind("size", self._stand)

    def _stand(self, *_: object) -> None:
        self.box.height = max(2, min(self._tallest, self.height - self.padding[1]))


def shelf(sizes: Sizes) -> Widget:
    """Return the board a slot stands on."""
    return Panel(fill=SHELF, size_hint_y=None, height=shelf_height(sizes))


def shelf_height(sizes: Sizes) -> int:
    """Return how thick a shelf is, in pixels."""
    return round(sizes.outline * 1.6)


def least_slot(sizes: Sizes) -> tuple[float, float]:
    """Return width and height of the smallest slot in which a unit can be read, in pixels."""
    least = sizes.board_least
    words = sum(
        measure(text, font_size=least, bold=bold, width=None)[0] + 2
        for text, bold in ((SAMPLE_UNIT, True), (SAMPLE_WORD, False))
    )
    across = words + round(least * _MARK) + 4 * sizes.gap * 0.8 + 2 * sizes.gap * 0.8
    along = line_height(least) + 2 * sizes.outline + sizes.gap * 0.5 + shelf_height(sizes)
    return across, along
