"""The questions about how a unit hangs: one field at a time, each in the way its kind needs."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from kiosk.rules.hanging.kinds import Backing
from kiosk.rules.hanging.means import read_stock
from kiosk.rules.hanging.model import Lock, Screw
from kiosk.rules.lengths import Length, show
from kiosk.rules.words import _, capital, number, say
from kiosk.screens.askpads import HEAVIEST_KG, AskLength, Asks
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.figurepad import Ask
from kiosk.screens.fitfields import BY_SHOP, Field
from kiosk.screens.hangsview import Form
from kiosk.screens.hangwords import WORDS, say_screw
from kiosk.screens.jobview import say_name
from kiosk.screens.wordpad import AskWords, WordPad

MOST_PLIES, MOST_LOCKS = 40, 20  # more are slips (choice)
Back = Callable[[], object]
Put = Callable[[Any], object]  # Any: what the field holds


class FitAsk:
    """The pads and choices of a unit's form."""

    def __init__(self, desk: DeskFace, asks: Asks) -> None:
        self._desk, self._asks = desk, asks

    def ask(self, form: Form, field: Field, put: Put, back: Back) -> None:
        """Ask for a field; put is given its value, that of an empty form for nobody said."""
        match field.ask:
            case "size" | "place":
                self._length(form, field, put, back)
            case "whole" | "kg":
                self._figure(form, field, put, back)
            case "name":
                self._name(form, field, put, back)
            case "lock":
                self._lock(form, put, back)
            case _:
                self._choice(form, field, put, back)

    def _title(self, form: Form, field: Field) -> str:
        return say("{unit}: {what}, {line}", unit=form.unit, what=field.words, line=field.line)

    def _unsay(self, form: Form, field: Field, put: Put) -> Choice:
        """Return the way past a question: the part list's value, or nothing said."""
        words = _("As the list says") if field.is_said(form.known) else _("Nobody knows")
        if field.key == "drop":
            words = _("Not measured yet")
        return Choice(words, partial(put, field.unsaid))

    def _length(self, form: Form, field: Field, put: Put, back: Back) -> None:
        said: Length | None = field.of(form.said)
        typed = show(said, form.system, unit_mark=False) if said else ""
        asked = AskLength(
            self._title(form, field), field.ask, typed, extra=(self._unsay(form, field, put),)
        )
        self._asks.length(asked, form.system, put, back)

    def _figure(self, form: Form, field: Field, put: Put, back: Back) -> None:
        extra = (self._unsay(form, field, put),)
        title = self._title(form, field)
        if field.ask == "whole":

            def plies(value: float) -> None:
                put(int(value))

            high = float(MOST_PLIES)
            self._asks.figure(
                Ask(title), plies, back, low=1.0, high=high, is_whole=True, extra=extra
            )
            return
        now = field.of(form.said)
        typed = number(f"{now:g}") if now is not None else ""
        self._asks.figure(
            Ask(title, "kg", str(typed)), put, back, low=0.1, high=HEAVIEST_KG, extra=extra
        )

    def _name(self, form: Form, field: Field, put: Put, back: Back) -> None:
        ask = AskWords(self._title(form, field), field.of(form.said), may_be_empty=True, longest=20)
        self._desk.put(WordPad(self._desk.trim, ask, use=put, back=back))

    def _choice(self, form: Form, field: Field, put: Put, back: Back) -> None:
        now, options, read = self._options(form, field)
        title, line = say("{unit}: {what}", unit=form.unit, what=field.words), capital(field.line)

        def use(text: str) -> None:
            put(read(text))

        self._asks.choice(title, options, now, use, back, line=line)

    def _options(
        self, form: Form, field: Field
    ) -> tuple[str, list[tuple[str, str]], Callable[[str], Any]]:
        """Return what is chosen now, what may be, and how a choice is read."""
        said = field.of(form.said)
        match field.ask:
            case "wall":
                return said, [(name, name) for name in form.walls], str
            case "on":
                bare = ("", _("As the list says"))
                units = [(unit, say_name(unit, name)) for unit, name in form.others]
                return said, [bare, *units], str
            case "yes":
                return "yes" if said else "", [("yes", _("Yes")), ("", _("No"))], bool
            case "screw":
                return _screws(form, said)
        kind = field.kind
        assert kind is not None, "all else is one of a few"
        options: list[tuple[str, str]] = [
            (str(one), capital(words)) for one, words in WORDS[kind].items()
        ]
        if None is field.unsaid:
            is_wall = field.key == "backing"
            options.append(("", _("As the wall says") if is_wall else _("As the list says")))
        return str(said or ""), options, lambda text: kind(text) if text else None

    # -- the pull-lock ---------------------------------------------------------------------------

    def _lock(self, form: Form, put: Put, back: Back) -> None:
        """Ask with which screws a lock holds, then how many, then what they end in."""
        _now, stock, read = _screws(form, None)

        def use(text: str) -> None:
            if text == "none":
                put(None)
            else:
                self._lock_count(form, read(text), put, back)

        options = [one for one in stock if one[0]] + [("none", _("No lock"))]
        line = _("Screws through the hung strip into a stud, that hold the unit on its cleat.")
        title = say("{unit}: screws of its pull-lock", unit=form.unit)
        self._asks.choice(title, options, "", use, back, line=line)

    def _lock_count(self, form: Form, screw: Screw, put: Put, back: Back) -> None:
        def count(value: float) -> None:
            def ends(text: str) -> None:
                put(Lock(screw=screw, count=int(value), backing=Backing(text)))

            options = [(str(one), capital(words)) for one, words in WORDS[Backing].items()]
            title = say("{unit}: what do the lock's screws end in?", unit=form.unit)
            self._asks.choice(title, options, "", ends, back)

        ask = Ask(say("{unit}: how many lock screws?", unit=form.unit))
        self._asks.figure(ask, count, back, low=1.0, high=float(MOST_LOCKS), is_whole=True)


def _screws(
    form: Form, said: Screw | None
) -> tuple[str, list[tuple[str, str]], Callable[[str], Any]]:
    """Return the screws of the shop's stock to choose from, by their place in it."""
    stock, _why = read_stock(form.screws)
    options: list[tuple[str, str]] = [("", capital(BY_SHOP))]
    options += [(str(at), say_screw(one, form.system)) for at, one in enumerate(stock)]
    now = str(stock.index(said)) if said in stock else ""

    def read(text: str) -> Screw | None:
        return stock[int(text)] if text else None

    return now, options, read
