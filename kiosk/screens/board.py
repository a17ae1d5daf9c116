"""The board: where everything stands, read from across the shop and never touched."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.language import shown
from kiosk.rules.words import _
from kiosk.screens.asksign import ask_sign
from kiosk.screens.bands import BandsBody
from kiosk.screens.boardplan import HEADER, choose_layout, foot_height, head_height
from kiosk.screens.duelist import OPENING
from kiosk.screens.face import Linked, Trim
from kiosk.screens.header import StaleBand
from kiosk.screens.ragsband import RagsBand
from kiosk.theme import INK, STATES, WHITE, Sizes, rgba
from kiosk.widgets.fewer import FewerLabel
from kiosk.widgets.fitting import FitLabel, measure
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel
from kiosk.widgets.tiles import Slot, TileBox, shelf

if TYPE_CHECKING:
    from kiosk.rules.floor import Floor, Place
    from kiosk.rules.rags import Rags

__all__ = ["BoardScreen", "choose_layout"]


class BoardScreen(BoxLayout):
    """Counts above, places with their slots or three bands, next hands below."""

    def __init__(
        self,
        trim: Trim,
        *,
        layout: str = "",
        back: Callable[[], object] | None = None,
        ask: Callable[[], object] | None = None,
    ) -> None:
        """Take what a tap on Back does, and what one on the sign that something is asked does."""
        super().__init__(orientation="vertical")
        self._trim, self._layout, self._back, self._ask = trim, layout, back, ask
        self._asked = 0
        self.foot: Panel | None = None
        self.sign: BigButton | None = None
        self._signature: object = None
        self.tiles: list[list[TileBox]] = []
        self.bands: BandsBody | None = None
        self.stale = StaleBand(trim, read_from_afar=True)
        self.rags = RagsBand(trim)
        self.link = BoardLink(trim.sizes, has_words=back is None)
        # until the first floor comes
        sizes = trim.sizes
        self.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                least=sizes.board_least,
                most=sizes.board,
                bold=True,
                text=OPENING,
                halign="center",
            )
        )

    def show(self, floor: Floor) -> None:
        """Show a floor; widgets are made anew only where places or layout changed."""
        layout = self._layout or choose_layout(floor, self._trim.sizes)
        signature = (layout, tuple((one.name, len(one.slots)) for one in floor.places))
        if signature != self._signature:
            self._signature = signature
            self._build(floor, layout)
        self.hands.offer(floor.hands or (floor.next_hands,), or_nothing=True)
        self.clock.text = floor.clock
        if self.bands is not None:
            self.bands.show(floor)
            return
        for (count, title), band in zip(self._counts, floor.bands, strict=False):
            count.text, title.text = str(band.count), band.title
            count.width = measure(count.text, font_size=int(count.most), bold=True, width=None)[0]
        for column, head, place in zip(self.tiles, self.heads, floor.places, strict=True):
            head.show(place)
            for box, tile in zip(column, place.slots, strict=True):
                box.show(tile)

    def show_stale(self, words: str) -> None:
        """Say since when there is no news, or nothing."""
        self.stale.show(words)

    def show_link(self, link: Linked) -> None:
        """Show how the shop's kiosks stand to each other, or nothing where there is one."""
        self.link.show(link)

    def show_rags(self, rags: Rags | None) -> None:
        """Say that oily rags are out, or nothing."""
        self.rags.show(rags)

    def show_questions(self, count: int) -> None:
        """Say how many things are asked, or nothing."""
        if count != self._asked:
            self._asked = count
            self._put_sign()

    def _put_sign(self) -> None:
        """Put the sign before what else stands at the end of the foot."""
        if self.foot is None:
            return
        if self.sign is not None:
            self.foot.remove_widget(self.sign)
            self.sign = None
        touched = bool(self._back or self._asked)
        self.foot.height = foot_height(self._trim.sizes, has_back=touched)
        if self._asked and self._ask is not None:
            tall = round(self.foot.height)
            self.sign = ask_sign(self._trim, self._asked, self._ask, height=tall)
            self.foot.add_widget(self.sign, index=1 if self._back else 0)

    def _build(self, floor: Floor, layout: str) -> None:
        self.clear_widgets()
        self.sign = None
        self.tiles, self.bands = [], None
        self.heads: list[PlaceHead] = []
        sizes = self._trim.sizes
        self.clock = FitLabel(
            ladder=sizes.ladder,
            least=sizes.board_least,
            most=sizes.board,
            halign="right",
            size_hint_x=None,
        )
        clock_size = max(sizes.board_least, sizes.board)
        self.clock.width = measure("00:00", font_size=clock_size, bold=False, width=None)[0] + 4
        self.hands = FewerLabel(
            ladder=sizes.ladder,
            least=sizes.board_least,
            most=sizes.board,
            bold=True,
            color=rgba(WHITE),
        )
        if layout == "places":
            self.add_widget(self._counts_row(floor))
            self._add_signs()
            self.add_widget(self._columns(floor))
        else:
            self.bands = BandsBody(self._trim, floor)
            self._add_signs()
            self.add_widget(self.bands)
        self.foot = self._foot(with_clock=layout != "places")
        self.add_widget(self.foot)
        self._put_sign()

    def _add_signs(self) -> None:
        self.add_widget(self.stale)
        self.add_widget(self.rags)

    def _counts_row(self, floor: Floor) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(
            size_hint_y=HEADER, padding=[sizes.gap * 2, sizes.gap * 0.5], spacing=sizes.gap
        )
        self._counts: list[tuple[FitLabel, FitLabel]] = []
        giant = round(sizes.board * 1.5)
        for band in floor.bands:
            look = STATES.get(band.state, STATES["other"])
            badge = Panel(
                fill=look.fill,
                line=sizes.outline,
                padding=[sizes.gap] * 4,
                size_hint_x=None,
                width=round(sizes.board * 1.4),
            )
            badge.add_widget(Mark(shape=look.shape, share=0.35, tint=look.text))
            row.add_widget(badge)
            least: dict[str, Any] = {
                "ladder": sizes.ladder,
                "least": sizes.board_least,
                "bold": True,
            }
            count = FitLabel(most=giant, size_hint_x=None, **least)
            title = FitLabel(most=sizes.board, **least)
            self._counts.append((count, title))
            row.add_widget(count)
            row.add_widget(title)
        row.add_widget(self.clock)
        return row

    def _columns(self, floor: Floor) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(padding=[sizes.gap * 2, 0, sizes.gap * 2, sizes.gap], spacing=sizes.gap)
        for place in floor.places:
            row.add_widget(self._column(place))
        return row

    def _column(self, place: Place) -> BoxLayout:
        sizes = self._trim.sizes
        column = BoxLayout(orientation="vertical")
        head = PlaceHead(sizes)
        self.heads.append(head)
        column.add_widget(head)
        rack, shelves = BoxLayout(), BoxLayout(orientation="vertical")
        boxes = []
        for _at in place.slots:
            slot = Slot(sizes)
            boxes.append(slot.box)
            shelves.add_widget(slot)
            shelves.add_widget(shelf(sizes))
        self.tiles.append(boxes)
        for part in (_post(sizes), shelves, _post(sizes)):
            rack.add_widget(part)
        column.add_widget(rack)
        return column

    def _foot(self, *, with_clock: bool) -> Panel:
        sizes = self._trim.sizes
        foot = Panel(
            fill=INK,
            size_hint_y=None,
            height=foot_height(sizes, has_back=self._back is not None),
            padding=[sizes.gap * 2, 0, 0 if self._back else sizes.gap * 2, 0],
            spacing=sizes.gap,
        )
        foot.add_widget(self.hands)
        if self.link.parent is not None:
            self.link.parent.remove_widget(self.link)
        foot.add_widget(self.link)
        if with_clock:
            self.clock.color = rgba(WHITE)
            foot.add_widget(self.clock)
        if self._back:
            back = BigButton(_("Back"), self._back, sizes=sizes, size_hint_x=None)
            back.width = max(sizes.touch, round(sizes.width * 0.15))
            foot.add_widget(back)
        return foot


class BoardLink(BoxLayout):
    """How the kiosks stand to each other: a mark, and one word where they are not together.

    The line belongs to the next hands: no more room is taken than that needs. A bench that shows
    the board has the words in its own head.
    """

    def __init__(self, sizes: Sizes, *, has_words: bool) -> None:
        super().__init__(spacing=sizes.gap * 0.5, size_hint_x=None, width=0, opacity=0)
        self._has_words = has_words
        self._size = max(sizes.small, sizes.board_least)
        self.mark = Mark(size_hint_x=None, width=round(self._size * 0.8), tint=WHITE)
        self.words = FitLabel(ladder=sizes.ladder, most=self._size, color=rgba(WHITE))
        self.add_widget(self.mark)
        self.add_widget(self.words)

    def show(self, link: Linked) -> None:
        """Show a shape, and a word with any but the tick of being together; or nothing."""
        shape, _words, brief = link
        self.opacity = 1 if brief else 0
        self.mark.shape = shape
        self.words.text = brief if self._has_words and shape != "tick" else ""
        wide = 0
        if self.words.text:
            text = shown(self.words.text)
            wide = measure(text, font_size=self._size, bold=False, width=None)[0] + 4
        self.width = self.mark.width + self.spacing + wide if brief else 0


class PlaceHead(BoxLayout):
    """A place's name, and what found no slot in it."""

    def __init__(self, sizes: Sizes) -> None:
        from kiosk.rules.floor import Place  # loaded with the first floor

        super().__init__(size_hint_y=None, height=head_height(sizes), spacing=sizes.gap)
        self._sizes = sizes
        self._size = max(round(sizes.board * 0.85), sizes.board_least)
        words: dict[str, Any] = {
            "ladder": sizes.ladder,
            "least": sizes.board_least,
            "most": self._size,
        }
        self.name = FitLabel(bold=True, halign="center", **words)
        self.more = FewerLabel(halign="right", **words)
        self.add_widget(self.name)
        self.fbind("size", self._share)
        self._place = Place("", (), "")

    def show(self, place: Place) -> None:
        """Show the name, and beside it what found no slot."""
        if place.name == self._place.name and place.more == self._place.more:
            return
        self._place = place
        self.name.text = place.name
        self.name.halign = "left" if place.more else "center"
        if (self.more.parent is not None) != bool(place.more):
            (self.add_widget if place.more else self.remove_widget)(self.more)
        self.padding = [self._sizes.gap if place.more else 0, 0]
        self._share()

    def _share(self, *_: object) -> None:
        size = self._size
        if not self._place.more:
            self.name.size_hint_x, self.name.most = 1, size
            return
        # the name takes what it needs, the rest says how many more there are; both in the largest
        # letters in which they fit side by side
        name, more = shown(self._place.name), shown(self._place.more)
        least = self._sizes.board_least
        for size in (*(one for one in self._sizes.ladder if least < one <= self._size), least):
            wide = measure(name, font_size=size, bold=True, width=None)[0]
            beside = measure(more, font_size=size, bold=False, width=None)[0]
            if wide + beside + 3 * self._sizes.gap <= self.width:
                break
        self.name.most = self.more.most = size
        self.name.size_hint_x = None
        self.name.width = min(wide + 4, self.width * 0.7)
        forms = (self._place.more, self._place.brief or self._place.more)
        # where the words find no room in another language, the number alone does
        self.more.offer((*forms, f"+{self._place.left}") if self._place.left else forms)


def _post(sizes: Sizes) -> Widget:
    """Return the upright at the side of a place's shelves."""
    return Panel(fill=INK, size_hint_x=None, width=round(sizes.outline * 1.6))
