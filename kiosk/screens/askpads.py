"""Ask for one length, figure or word on a pad; what was typed stays when it is wrong."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.hanging.typed import read_level, read_place
from kiosk.rules.lengths import Length, System, parse
from kiosk.rules.words import Phrase, _, number, say
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.figurepad import Ask, FigurePad
from kiosk.screens.flow import AskScreen
from kiosk.screens.lengthpad import pad_for, unit_of
from kiosk.screens.productscreens import page_of

MOST_CHOICES = 7  # buttons of 20 mm that fit beside Back
HEAVIEST_KG = 999.0  # of a unit, a load, a board; more is a slip (choice)
NO_FIGURE = _("Type a figure.")
Back = Callable[[], object]
Options = Sequence[tuple[str, str]]  # values and their words


@dataclass(frozen=True, slots=True)
class AskLength:
    """One length asked for: the question, what is typed already, what was wrong with it.

    may_be is 'size' above 0, 'place' from 0 on, 'level' below 0 too. extra are ways past the
    question: one, as a pad for inches has room for no more.
    """

    question: str
    may_be: str = "size"
    typed: str = ""
    wrong: str = ""
    extra: tuple[Choice, ...] = ()


class Asks:
    """The pads and choices of a form."""

    def __init__(self, desk: DeskFace) -> None:
        self._desk = desk

    def length(
        self, ask: AskLength, system: System, use: Callable[[Length], object], back: Back
    ) -> None:
        """Ask for a length in the shop's way."""

        def read(text: str) -> tuple[Length | None, str]:
            if ask.may_be == "level":
                return read_level(text, system=system)
            if ask.may_be == "place":
                return read_place(text, system=system)
            return parse(text, "inch" if system is System.INCH else "mm")

        def take(text: str) -> None:
            found, why = read(text)
            if found is None:
                self.length(replace(ask, typed=text, wrong=why), system, use, back)
            else:
                use(found)

        asked = Ask(
            ask.question,
            unit_of(system),
            ask.typed,
            ask.wrong,
            is_signed=ask.may_be == "level",
        )
        pad = pad_for(system, is_signed=ask.may_be == "level")
        self._desk.put(pad(self._desk.trim, asked, use=take, back=back, extra=ask.extra))

    def lengths(
        self,
        asked: Sequence[AskLength],
        system: System,
        use: Callable[..., object],
        back: Back,
        *found: Length,
    ) -> None:
        """Ask for several lengths, one after the other; use is given them all."""
        if not asked:
            use(*found)
            return

        def then(length: Length) -> None:
            self.lengths(asked[1:], system, use, back, *found, length)

        self.length(asked[0], system, then, back)

    def figure(
        self,
        ask: Ask,
        use: Callable[[float], object],
        back: Back,
        *,
        low: float = 0.0,
        high: float = 1000.0,
        is_whole: bool = False,
        extra: Sequence[Choice] = (),
    ) -> None:
        """Ask for a figure from low to high."""

        def take(text: str) -> None:
            again = partial(
                self.figure, use=use, back=back, low=low, high=high, is_whole=is_whole, extra=extra
            )
            try:
                value = float(text)
            except ValueError:
                again(replace(ask, typed=text, wrong=NO_FIGURE))
                return
            if is_whole and value != int(value):
                again(replace(ask, typed=text, wrong=_("Type a whole number.")))
            elif not low <= value <= high:
                again(replace(ask, typed=text, wrong=_say_range(low, high)))
            else:
                use(value)

        self._desk.put(FigurePad(self._desk.trim, ask, use=take, back=back, extra=extra))

    def choice(
        self,
        title: str,
        options: Options,
        now: str,
        use: Callable[[str], object],
        back: Back,
        *,
        line: str = "",
        page: int = 0,
    ) -> None:
        """Ask for one of a few; a tick stands at the one that is."""
        many = len(options) > MOST_CHOICES
        shown, pages = page_of(options, page, MOST_CHOICES - 1 if many else MOST_CHOICES)
        choices = [
            Choice(words, partial(use, value), "tick" if value == now else "")
            for value, words in shown
        ]
        if pages > 1:
            turn = partial(
                self.choice, title, options, now, use, back, line=line, page=(page + 1) % pages
            )
            choices.append(Choice(_("Others"), turn, "arrow"))
        choices.append(Choice(_("Back"), back, card=BACK))
        columns = 2 if len(choices) <= 6 else 3
        screen = AskScreen(self._desk.trim, title, choices, line=line, columns=columns)
        self._desk.put(screen)


def _say_range(low: float, high: float) -> Phrase:
    return say("{low} to {high} can be.", low=number(f"{low:g}"), high=number(f"{high:g}"))
