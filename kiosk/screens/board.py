"""The board: where everything stands, read from across the shop and never touched."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.floor import Floor, Place
from kiosk.rules.rags import Rags
from kiosk.screens.bands import BandsBody
from kiosk.screens.face import Trim
from kiosk.screens.header import StaleBand
from kiosk.screens.ragsband import RagsBand
from kiosk.theme import GROUND, INK, STATES, WHITE, Sizes, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel
from kiosk.widgets.tiles import TileBox, shelf

# Below this a shelf is too low for a word beside a unit's name, whatever the screen.
_LEAST_TILE = 0.055


def choose_layout(floor: Floor, sizes: Sizes) -> str:
    """Return 'places' where they can be read from the stated distance, else 'bands'."""
    if not floor.places or sizes.is_board_small:
        return "bands"
    slots = max(len(place.slots) for place in floor.places)
    tile = sizes.height * 0.7 / max(slots, 1)
    if tile < sizes.height * _LEAST_TILE or tile * 0.6 < sizes.board_least:
        return "bands"
    return "places"


class BoardScreen(BoxLayout):
    """Counts above, places with their slots or three bands, next hands below."""

    def __init__(
        self, trim: Trim, *, layout: str = "", back: Callable[[], object] | None = None
    ) -> None:
        super().__init__(orientation="vertical")
        self._trim, self._layout, self._back = trim, layout, back
        self._signature: object = None
        self.tiles: list[list[TileBox]] = []
        self.bands: BandsBody | None = None
        self.stale = StaleBand(trim)
        self.rags = RagsBand(trim)

    def show(self, floor: Floor) -> None:
        """Show a floor; widgets are made anew only where places or layout changed."""
        layout = self._layout or choose_layout(floor, self._trim.sizes)
        signature = (layout, tuple((one.name, len(one.slots)) for one in floor.places))
        if signature != self._signature:
            self._signature = signature
            self._build(floor, layout)
        self._hands.text = floor.next_hands
        self._clock.text = floor.clock
        if self.bands is not None:
            self.bands.show(floor)
            return
        for count, band in zip(self._counts, floor.bands, strict=False):
            count.text = f"{band.count} {band.title}"
        for column, head, place in zip(self.tiles, self._heads, floor.places, strict=True):
            head.text = f"{place.name}  {place.more}" if place.more else place.name
            for box, tile in zip(column, place.slots, strict=True):
                box.show(tile)

    def show_stale(self, words: str) -> None:
        """Say since when there is no news, or nothing."""
        self.stale.show(words)

    def show_rags(self, rags: Rags | None) -> None:
        """Say that oily rags are out, or nothing."""
        self.rags.show(rags)

    def _build(self, floor: Floor, layout: str) -> None:
        self.clear_widgets()
        self.tiles, self.bands = [], None
        self._heads: list[FitLabel] = []
        sizes = self._trim.sizes
        self._clock = FitLabel(
            ladder=sizes.ladder, most=round(sizes.board * 1.1), halign="right", size_hint_x=0.45
        )
        self._hands = FitLabel(ladder=sizes.ladder, most=sizes.board, bold=True, color=rgba(WHITE))
        if layout == "places":
            self.add_widget(self._counts_row(floor))
            self.add_widget(self.stale)
            self.add_widget(self.rags)
            self.add_widget(self._columns(floor))
        else:
            self.bands = BandsBody(self._trim, floor)
            self.add_widget(self.stale)
            self.add_widget(self.rags)
            self.add_widget(self.bands)
        self.add_widget(self._foot(with_clock=layout != "places"))

    def _counts_row(self, floor: Floor) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(
            size_hint_y=0.14, padding=[sizes.gap * 2, sizes.gap], spacing=sizes.gap * 1.5
        )
        self._counts: list[FitLabel] = []
        for band in floor.bands:
            look = STATES.get(band.state, STATES["other"])
            badge = Panel(
                fill=look.fill,
                line=sizes.outline,
                padding=[sizes.gap] * 4,
                size_hint_x=None,
                width=round(sizes.height * 0.11),
            )
            badge.add_widget(Mark(shape=look.shape, share=0.35, tint=look.text))
            row.add_widget(badge)
            count = FitLabel(ladder=sizes.ladder, bold=True, most=round(sizes.board * 1.4))
            self._counts.append(count)
            row.add_widget(count)
        row.add_widget(self._clock)
        return row

    def _columns(self, floor: Floor) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(padding=[sizes.gap * 2, 0, sizes.gap * 2, sizes.gap], spacing=sizes.gap * 3)
        for place in floor.places:
            row.add_widget(self._column(place))
        return row

    def _column(self, place: Place) -> BoxLayout:
        sizes = self._trim.sizes
        column = BoxLayout(orientation="vertical")
        head = FitLabel(
            ladder=sizes.ladder,
            bold=True,
            most=round(sizes.board * 0.75),
            halign="center",
            size_hint_y=None,
            height=round(sizes.height * 0.085),
        )
        self._heads.append(head)
        column.add_widget(head)
        posts = Panel(orientation="vertical", fill=GROUND, padding=[sizes.outline * 2, 0])
        boxes = []
        for _ in place.slots:
            slot = BoxLayout(padding=[sizes.gap, sizes.gap * 0.8, sizes.gap, 0])
            box = TileBox(sizes, most=sizes.board)
            slot.add_widget(box)
            boxes.append(box)
            posts.add_widget(slot)
            posts.add_widget(shelf(sizes.outline * 2))
        self.tiles.append(boxes)
        column.add_widget(posts)
        return column

    def _foot(self, *, with_clock: bool) -> Widget:
        sizes = self._trim.sizes
        foot = Panel(
            fill=INK,
            size_hint_y=None,
            height=sizes.touch if self._back else round(sizes.height * 0.1),
            padding=[sizes.gap * 2, 0, 0 if self._back else sizes.gap * 2, 0],
            spacing=sizes.gap,
        )
        foot.add_widget(self._hands)
        if with_clock:
            self._clock.color = rgba(WHITE)
            self._clock.size_hint_x = 0.2
            foot.add_widget(self._clock)
        if self._back:
            foot.add_widget(BigButton("Back", self._back, sizes=sizes, size_hint_x=0.2))
        return foot
