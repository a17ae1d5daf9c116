"""Ask for sheets or an offcut that are new: material, thickness, length, width, and how many."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from kiosk.rules.cards import BACK
from kiosk.rules.lengths import System, parse
from kiosk.rules.sheets.model import Material
from kiosk.rules.words import Phrase, _, say
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.figurepad import Ask, FigurePad
from kiosk.screens.flow import AskScreen
from kiosk.screens.lengthpad import pad_for, unit_of
from kiosk.screens.productscreens import page_of
from kiosk.screens.sheetwords import say_material
from kiosk.screens.stockview import as_typed
from kiosk.screens.wordpad import AskWords, WordPad

MOST_CHOICES = 7  # buttons of 20 mm that fit beside Another and Back
NO_NUMBER = _("Type a whole number.")
SIDES = ("thickness", "length", "width")
_ASKED = {
    "thickness": _("How thick?"),
    "length": _("How long, along the grain?"),
    "width": _("How wide, across the grain?"),
}


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed so far; an empty thickness is one that nobody says."""

    system: System
    is_offcut: bool = False
    material: str = ""
    thickness: str = ""
    length: str = ""
    width: str = ""
    count: str = ""


class StockAdd:
    """The questions, one after the other."""

    def __init__(
        self, desk: DeskFace, *, use: Callable[[Typed], object], back: Callable[[], object]
    ) -> None:
        """Take `use`, which keeps what was typed, and `back`, which leads to the stock."""
        self._desk, self._use, self._back = desk, use, back

    def ask(
        self,
        materials: Sequence[Material],
        system: System,
        *,
        is_offcut: bool = False,
        page: int = 0,
    ) -> None:
        """Ask of which material."""
        typed = Typed(system, is_offcut)
        few = len(materials) <= MOST_CHOICES
        shown, pages = page_of(materials, page, MOST_CHOICES if few else MOST_CHOICES - 1)
        choices = []
        for one in shown:
            words = say_material(one, system)
            thickness = as_typed(one.thickness) if one.thickness is not None else ""
            chosen = replace(typed, material=one.name, thickness=thickness)
            choices.append(Choice(words, partial(self.ask_side, chosen, "length", start=materials)))
        if pages > 1:
            turn = partial(self.ask, materials, system, is_offcut=is_offcut, page=page + 1)
            choices.append(Choice(_("Others"), turn, "arrow"))
        choices.append(Choice(_("Another material"), partial(self.ask_name, typed, materials)))
        choices.append(Choice(_("Back"), self._back, card=BACK))
        title = _("An offcut of what?") if is_offcut else _("Sheets of what?")
        self._desk.put(AskScreen(self._desk.trim, title, choices, columns=3))

    def ask_name(self, typed: Typed, start: Sequence[Material]) -> None:
        """Ask for the name of a material, as part lists write it."""

        def use(words: str) -> None:
            self.ask_side(replace(typed, material=words), "thickness", start=start)

        ask = AskWords(_("Which material? As the part lists write it"), typed.material, longest=60)
        back = partial(self.ask, start, typed.system, is_offcut=typed.is_offcut)
        self._desk.put(WordPad(self._desk.trim, ask, use=use, back=back))

    def ask_side(
        self,
        typed: Typed,
        side: str,
        *,
        start: Sequence[Material],
        text: str = "",
        wrong: str = "",
    ) -> None:
        """Ask for thickness, length or width; what was typed stays when it is wrong."""
        unit = unit_of(typed.system)

        def use(words: str) -> None:
            length, why = parse(words, unit)
            if length is None:
                self.ask_side(typed, side, start=start, text=words, wrong=why)
            else:
                now: dict[str, Any] = {side: f"{words} {unit}"}
                self._after(replace(typed, **now), side, start)

        ask = Ask(self._question(typed, side), unit, text, wrong)
        back = partial(self.ask, start, typed.system, is_offcut=typed.is_offcut)
        pad = pad_for(typed.system)(self._desk.trim, ask, use=use, back=back)
        self._desk.put(pad)

    def _question(self, typed: Typed, side: str) -> Phrase:
        return say("{material}: {asked}", material=typed.material, asked=_ASKED[side])

    def _after(self, typed: Typed, side: str, start: Sequence[Material]) -> None:
        if side != SIDES[-1]:
            self.ask_side(typed, SIDES[SIDES.index(side) + 1], start=start)
        elif typed.is_offcut:
            self._use(typed)
        else:
            self.ask_count(typed)

    def ask_count(self, typed: Typed, wrong: str = "") -> None:
        """Ask how many sheets there are; as many as it takes is an answer too."""

        def use(text: str) -> None:
            if text.isdigit():
                self._use(replace(typed, count=text))
            else:
                self.ask_count(typed, NO_NUMBER)

        many = Choice(_("As many as it takes"), partial(self._use, typed))
        ask = Ask(_("How many sheets are there?"), "", "", wrong)
        pad = FigurePad(self._desk.trim, ask, use=use, back=self._back, extra=(many,))
        self._desk.put(pad)
