"""The answer cards: printed codes that do what a tap would, for gloves and for a dead panel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.words import Phrase, _, say
from labels.codes import CAPACITY, code_for, parse

# The same codes in every shop, so that a card needs no entry in any log. They are the last numbers
# of one letter's counter, which counts up from 1: no kiosk cuts twenty million parts.
LETTER: Final = "X"
NUMBERS: Final = tuple("12345678")
YES, BACK = "yes", "back"


@dataclass(frozen=True, slots=True)
class Card:
    """One card: its key, what stands on it, what it is for, and its place in the counter.

    A place, once given, is never given to another card: cards hang on walls for years.
    """

    key: str
    title: Phrase
    purpose: Phrase
    place: int

    @property
    def code(self) -> str:
        """Return the code on the card."""
        return code_for(LETTER, CAPACITY - 1 - self.place)


_WRONG = _("Scan the part or unit first, then this card.")
_ANSWERS = _("It answers a question on the screen; there is none now.")


def _number(word: str) -> Card:
    return Card(
        word, say("Number {n}", n=word), _("It picks the answer with this number."), 19 + int(word)
    )


CARDS: Final = (
    Card(YES, _("Yes"), _ANSWERS, 0),
    Card(BACK, _("Back"), _ANSWERS, 1),
    Card("strike", _("Strike last"), _("It strikes the last entry of this kiosk."), 2),
    Card("problem", _("Problem"), _("It asks what is wrong with the part scanned last."), 3),
    Card("spoiled", _("Part spoiled"), _WRONG, 4),
    Card("missing", _("Part missing"), _WRONG, 5),
    Card("failed_coat", _("Coat failed"), _WRONG, 6),
    Card("too_tacky", _("Too tacky"), _WRONG, 7),
    Card("other", _("Something else"), _WRONG, 8),
    Card("board", _("Board"), _("It shows the board."), 9),
    Card("stations", _("Stations"), _("It asks which station this is."), 10),
    Card("rags", _("Oily rags are out"), _("It ticks off the oily rags; there are none now."), 11),
    Card("wipe", _("Wipe the screen"), _("It makes the screen deaf to touch for a while."), 12),
    Card("shop", _("Shop"), _("It shows the shop's own matters."), 13),
    *(_number(word) for word in NUMBERS),
)  # fmt: skip
_BY_CODE: Final = {card.code: card for card in CARDS}


def read_card(text: str, *, layout: str = "") -> Card | None:
    """Return the card a scanned text is the code of, None where it is no card's."""
    code = parse(text, layout=layout).code
    return _BY_CODE.get(code) if code else None
