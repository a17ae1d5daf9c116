"""Where a material can be broken down in several ways: a card each, one of them chosen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget
from PIL import Image

from kiosk.rules.cards import BACK, YES
from kiosk.rules.lengths import System
from kiosk.rules.sheets.views import Choice as Way
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.productscreens import page_of
from kiosk.screens.sheetwords import say_size
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, gap
from kiosk.widgets.picture import Picture

CARDS = 3  # side by side, so that a picture is still told apart (choice)
TRADE = _("Fewer sheets, or fewer settings of the fence? Each card shows its first sheet.")


@dataclass(frozen=True, slots=True)
class TradeShown:
    """What the screen shows: the material, its ways with a picture each, and which is chosen."""

    title: str
    ways: Sequence[tuple[Way, Image.Image]]
    chosen: int
    system: System


@dataclass(frozen=True, slots=True)
class TradeActs:
    """What the screen of a choice does; pick is given the number of a way."""

    pick: Callable[[int], object]
    keep: Callable[[], object]
    turn: Callable[[int], object]
    back: Callable[[], object]


class TradeScreen(BoxLayout):
    """A title, the cards, and Keep this."""

    stays = True

    def __init__(self, trim: Trim, shown: TradeShown, acts: TradeActs, *, page: int = 0) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self._trim, self.shown = trim, shown
        self.cards: dict[int, BigButton] = {}
        ways, pages = page_of(shown.ways, page, CARDS)
        head = headline(trim, shown.title)
        head.size_hint_y, head.height = None, round(sizes.body * 1.2)
        self.add_widget(head)
        self.line = quiet_line(trim, TRADE)
        self.line.size_hint_y, self.line.height = None, round(sizes.small * 1.3)
        self.add_widget(self.line)
        row = BoxLayout(spacing=sizes.gap)
        for way, image in ways:
            self.cards[way.number] = self._card(way, image, partial(acts.pick, way.number))
            row.add_widget(self.cards[way.number])
        for _card in range(min(2, CARDS) - len(ways)):
            row.add_widget(Widget())
        self.add_widget(row)
        self.add_widget(self._foot(acts, page, pages))
        self.asked = (Choice("", acts.keep, card=YES), Choice("", acts.back, card=BACK))

    def tell(self, words: str) -> None:
        """Say something above the cards."""
        self.line.text = words

    def _card(self, way: Way, image: Image.Image, act: Callable[[], object]) -> BigButton:
        """Return a card; the chosen one has a tick, a word and a thick edge."""
        sizes, is_chosen = self._trim.sizes, way.number == self.shown.chosen
        card = BigButton("", act, sizes=sizes, padding=[sizes.gap * 1.4] * 4)
        card.remove_widget(card.label)
        card.line = sizes.outline * (3 if is_chosen else 1)
        box = BoxLayout(orientation="vertical", spacing=sizes.gap * 0.6)
        mark = BoxLayout(size_hint_y=None, height=round(sizes.body * 0.9), spacing=sizes.gap)
        if is_chosen:
            mark.add_widget(Mark(shape="tick", size_hint_x=None, width=sizes.body))
        words = _("chosen") if is_chosen else _("tap to choose")
        mark.add_widget(FitLabel(ladder=sizes.ladder, text=words, most=sizes.small, bold=is_chosen))
        box.add_widget(mark)
        box.add_widget(Picture(image))
        lines = (
            (say_way(way), round(sizes.small * 1.3), True, INK, 2.3),
            (say_more(way, self.shown.system), round(sizes.small * 0.9), False, QUIET, 2.3),
        )
        for text, most, bold, tint, share in lines:
            label = FitLabel(ladder=sizes.ladder, text=keep_units(text), most=most, bold=bold)
            label.color = rgba(tint)
            label.size_hint_y, label.height = None, round(sizes.small * share)
            box.add_widget(label)
        card.add_widget(box)
        return card

    def _foot(self, acts: TradeActs, page: int, pages: int) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(size_hint_y=None, height=round(sizes.touch * 1.2), spacing=sizes.gap)
        self.keep = BigButton(
            _("Keep this"), acts.keep, sizes=sizes, shape="tick", fill=INK, ink=WHITE
        )
        buttons: list[Widget] = [BigButton(_("Back"), acts.back, sizes=sizes, size_hint_x=0.5)]
        if pages > 1:
            turn = partial(acts.turn, (page + 1) % pages)
            buttons.append(BigButton(_("Other ways"), turn, sizes=sizes, shape="arrow"))
        buttons += [gap(sizes.apart), self.keep]
        for button in reversed(buttons) if self._trim.left_handed else buttons:
            row.add_widget(button)
        return row


def say_way(way: Way) -> Phrase:
    """Return what a way costs: sheets, and settings of the fence."""
    sheets = say_n("{n} sheet", "{n} sheets", way.sheets)
    if way.offcuts:
        offcuts = say_n("{n} offcut", "{n} offcuts", way.offcuts)
        sheets = say("{sheets} and {offcuts}", sheets=sheets, offcuts=offcuts)
    settings = say_n("{n} setting", "{n} settings", way.settings)
    return say("{sheets}, {settings}", sheets=sheets, settings=settings)


def say_more(way: Way, system: System) -> Phrase:
    """Return what else tells ways apart: cuts, what remains, what has no place."""
    cuts = say_n("{n} cut", "{n} cuts", way.cuts)
    rest = _("no offcut worth keeping")
    if way.largest_offcut is not None:
        rest = say("largest offcut {size}", size=say_size(*way.largest_offcut, system))
    out = ""
    if way.left_out:
        count = len(way.left_out)
        out = say_n("{n} part without a place", "{n} parts without a place", count)
    return join((cuts, rest, out), "; ")


def card_room(trim: Trim, count: int) -> tuple[int, int]:
    """Return the pixels there are for the picture on a card, of so many side by side."""
    sizes, cards = trim.sizes, min(max(count, 2), CARDS)
    wide = (sizes.width - (cards + 1) * sizes.gap) / cards - 2.8 * sizes.gap
    heads = round(sizes.body * 2.1) + round(sizes.small * 5.9)
    tall = sizes.height - heads - round(sizes.touch * 1.2) - 9 * sizes.gap
    return int(wide), int(tall)
