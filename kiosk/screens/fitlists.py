"""What there may be several of in a fitting: rows of screws, loads expected, shelves."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Final

from kiosk.rules.hanging.fitting import Expected
from kiosk.rules.hanging.kinds import Grain
from kiosk.rules.hanging.loads import GOODS
from kiosk.rules.hanging.model import Shelf
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.words import Phrase, _, capital, say
from kiosk.screens.askpads import HEAVIEST_KG, AskLength, Asks
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.figurepad import Ask
from kiosk.screens.fitfields import Field, say_expected
from kiosk.screens.hangsview import Form
from kiosk.screens.hangwords import WORDS, say_kg, say_length, say_one, say_size
from kiosk.screens.rows import Listed, ListScreen, Row

LISTS: Final = ("rows", "expected", "shelves")
_DEEP = _("How deep is it, front to back?")
Back = Callable[[], object]
Put = Callable[[tuple[Any, ...]], object]  # Any: rows, loads or shelves


class FitLists:
    """The lists of a unit's form: a tap takes one out, Add asks for one more."""

    def __init__(self, desk: DeskFace, asks: Asks) -> None:
        self._desk, self._asks = desk, asks

    def show(self, form: Form, field: Field, put: Put, back: Back, page: int = 0) -> None:
        """Show the list of a field."""
        kept: tuple[Any, ...] = field.of(form.said)
        rows = []
        for at, one in enumerate(kept):
            words, value = say_item(one, form.system)
            less = kept[:at] + kept[at + 1 :]
            rows.append(Row(words, _("tap to take it out"), partial(put, less), "cross", value))
        title = say("{unit}: {what}", unit=form.unit, what=field.words)
        listed = Listed(title, rows, capital(field.line), _("None is entered."))
        again = partial(self.show, form, field, put, back)

        def keep(one: object) -> None:
            put((*kept, one))

        extra = (Choice(_("Add"), partial(self._add, form, field, keep, again), "tick"),)
        screen = ListScreen(self._desk.trim, listed, turn=again, back=back, page=page, extra=extra)
        self._desk.put(screen)

    def _add(self, form: Form, field: Field, keep: Callable[[Any], object], back: Back) -> None:
        match field.ask:
            case "rows":
                ask = AskLength(_("How far is the row above the cleat's lower edge?"))
                self._asks.length(ask, form.system, keep, back)
            case "expected":
                self._expected(form, keep, back)
            case _:
                self._shelf(form, keep, back)

    # -- loads -----------------------------------------------------------------------------------

    def _expected(self, form: Form, keep: Callable[[Any], object], back: Back) -> None:
        def use(key: str) -> None:
            if not key:
                ask = Ask(say("{unit}: how heavy is it, weighed?", unit=form.unit), "kg")
                weighed = lambda kg: keep(Expected(kg=kg))  # noqa: E731 - one word
                self._asks.figure(ask, weighed, back, low=0.1, high=HEAVIEST_KG)
                return

            def sides(length: Length, depth: Length) -> None:
                keep(Expected(use=key, length=length, depth=depth))

            asked = (
                _likely(form, _("How long is it, along shelf or rail?"), "width"),
                _likely(form, _DEEP, "depth"),
            )
            self._asks.lengths(asked, form.system, sides, back)

        options = [(one.key, capital(one.name)) for one in GOODS]
        options.insert(0, ("", _("Weighed")))
        title = say("{unit}: what is put on it?", unit=form.unit)
        self._asks.choice(title, options, "none", use, back)

    # -- shelves ---------------------------------------------------------------------------------

    def _shelf(self, form: Form, keep: Callable[[Any], object], back: Back) -> None:
        def sides(span: Length, depth: Length, thickness: Length) -> None:
            def grain(text: str) -> None:
                def heavy(kg: float) -> None:
                    keep(
                        Shelf(
                            span=span,
                            depth=depth,
                            thickness=thickness,
                            grain=Grain(text),
                            mass_kg=kg,
                        )
                    )

                ask = Ask(_("How heavy is the board itself?"), "kg")
                self._asks.figure(ask, heavy, back, low=0.0, high=HEAVIEST_KG)

            options = [(str(one), capital(words)) for one, words in WORDS[Grain].items()]
            self._asks.choice(_("Which way runs its face grain?"), options, "", grain, back)

        asked = (
            AskLength(_("How far does it span, free between its supports?")),
            _likely(form, _DEEP, "depth"),
            AskLength(_("How thick is it?")),
        )
        self._asks.lengths(asked, form.system, sides, back)


def _likely(form: Form, question: Phrase, side: str) -> AskLength:
    """Ask for a length that is often one of the unit's own: that is typed already."""
    likely: Length | None = getattr(form.said, side) or getattr(form.known, side)
    typed = show(likely, form.system, unit_mark=False) if likely else ""
    return AskLength(question, typed=typed)


def say_item(one: object, system: System) -> tuple[str, str]:
    """Return one of several in words, and its figure."""
    if isinstance(one, Shelf):
        size = say_size(one.span, one.depth, system)
        words = say("spans {size}, {grain}", size=size, grain=say_one(one.grain))
        return capital(words), say_length(one.thickness, system)
    if isinstance(one, Expected):
        if one.kg is not None:
            return _("Weighed"), say_kg(one.kg)
        sides = ""
        if one.length is not None and one.depth is not None:
            sides = str(say_size(one.length, one.depth, system))
        return say_expected((one,)), sides
    assert isinstance(one, int), "rows are lengths"
    return _("Row above the lower edge"), say_length(Length(one), system)
