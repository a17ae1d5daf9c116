"""The fields of a unit's fitting: what each is called, what was said of it, what is known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

from kiosk.rules.hanging.fitting import Fitting, How
from kiosk.rules.hanging.kinds import Backing, Board, Goods, StopOn, StripFixing
from kiosk.rules.hanging.loads import BY_KEY
from kiosk.rules.hanging.model import Lock
from kiosk.rules.lengths import System
from kiosk.rules.words import Phrase, _, capital, join, say, say_n
from kiosk.screens.hangsview import Form
from kiosk.screens.hangwords import (
    NOT_SAID,
    say_kg,
    say_length,
    say_lengths,
    say_one,
    say_screw,
)

FROM_LIST: Final = _("from the part list")
BY_SHOP: Final = _("the best of the shop's stock")
_EMPTY: Final = Fitting()


@dataclass(frozen=True, slots=True)
class Field:
    """One thing of a fitting: where it is kept, its words, and how it is asked for.

    ask is 'size' or 'place' for lengths, 'choice' for one of kind, 'yes', 'whole', 'kg',
    'name', or the name of what it is itself. line says what it means; is_needed: without it the
    unit is refused.
    """

    key: str
    words: Phrase
    ask: str
    line: Phrase
    kind: type[StrEnum] | None = None
    is_needed: bool = True

    def of(self, fitting: Fitting) -> Any:  # Any: what the field holds
        """Return its value in a fitting."""
        if self.key.startswith("cleat."):
            return getattr(fitting.cleat, self.key.removeprefix("cleat."))
        return getattr(fitting, self.key)

    def put(self, fitting: Fitting, value: Any) -> Fitting:
        """Return a fitting with another value in it."""
        if self.key.startswith("cleat."):
            inner: dict[str, Any] = {self.key.removeprefix("cleat."): value}
            return replace(fitting, cleat=replace(fitting.cleat, **inner))
        change: dict[str, Any] = {self.key: value}
        return replace(fitting, **change)

    @property
    def unsaid(self) -> Any:
        """Return the value that says that nobody said it."""
        return self.of(_EMPTY)

    def is_said(self, fitting: Fitting) -> bool:
        """Tell whether somebody said it."""
        return bool(self.of(fitting) != self.unsaid)

    def is_open(self, form: Form) -> bool:
        """Tell whether the unit is refused for want of it."""
        return self.is_needed and not (self.is_said(form.said) or self.is_said(form.known))

    def say(self, form: Form) -> tuple[str, str]:
        """Return its value, and where it is from."""
        if self.is_said(form.said):
            return say_value(self, self.of(form.said), form.system), _("as entered")
        if self.is_said(form.known):
            return say_value(self, self.of(form.known), form.system), FROM_LIST
        return say_value(self, self.unsaid, form.system), ""


@dataclass(frozen=True, slots=True)
class Section:
    """Fields that are entered together; at most eight, so that they fit one page."""

    key: str
    words: Phrase
    fields: tuple[Field, ...]

    def say(self, form: Form) -> str:
        """Return what of it is missing still."""
        missing = [one.words for one in self.fields if one.is_open(form)]
        if not missing:
            return _("all is said")
        names = join(missing[:3], ", ")
        rest = len(missing) - 3
        more = say_n("and {n} more", "and {n} more", rest) if rest > 0 else ""
        return say("missing: {names}", names=join((names, more)))

    def is_open(self, form: Form) -> bool:
        """Tell whether the unit is refused for want of any of it."""
        return any(one.is_open(form) for one in self.fields)


SECTIONS: Final = (
    Section(
        "place",
        _("Where it hangs"),
        (
            Field("wall", _("Wall"), "wall", _("by its id in the list")),
            Field("how", _("How"), "choice", _("what holds it"), How, is_needed=False),
            Field("on", _("On"), "on", _("panel or unit; empty: the bare wall"), is_needed=False),
            Field("x", _("Left end"), "place", _("of the unit, from the wall's left end")),
            Field("y", _("Lower edge"), "place", _("of the unit, from the datum up")),
            Field("width", _("Width"), "size", _("of the unit, along the wall")),
            Field("height", _("Height"), "size", _("of the unit"), is_needed=False),
            Field("depth", _("Depth"), "size", _("out from the wall"), is_needed=False),
        ),
    ),
    Section(
        "cleat",
        _("Its cleat on the wall"),
        (
            Field("cleat.x", _("Cleat's left end"), "place", _("from the wall's left end")),
            Field("cleat.y", _("Cleat's lower edge"), "place", _("from the datum up")),
            Field("cleat.length", _("Cleat's length"), "size", _("along the wall")),
            Field("cleat.height", _("Cleat's height"), "size", _("to its tip")),
            Field("cleat.thickness", _("Cleat's thickness"), "size", _("as thick as the strip")),
            Field("cleat.board", _("Cleat's board"), "choice", _("what it is made of"), Board),
            Field("cleat.plies", _("Plies"), "whole", _("of plywood, counted at an edge")),
            Field(
                "cleat.name",
                _("Shared cleat"),
                "name",
                _("one name for all units on it; empty: its own"),
                is_needed=False,
            ),
        ),
    ),
    Section(
        "screws",
        _("Screws and what they pass"),
        (
            Field("cleat.rows", _("Screw rows"), "rows", _("above the cleat's lower edge")),
            Field("screw", _("Screw"), "screw", _("number and length"), is_needed=False),
            Field(
                "cleat.is_glued",
                _("Cleat glued"),
                "yes",
                _("to its panel, besides the screws"),
                is_needed=False,
            ),
            Field("panel", _("Panel behind it"), "place", _("its thickness; 0 on the bare wall")),
            Field("void", _("Hollow behind it"), "place", _("that nobody filled; 0 for none")),
            Field(
                "backing",
                _("Screws end in"),
                "choice",
                _("where it is not as the wall says"),
                Backing,
                is_needed=False,
            ),
        ),
    ),
    Section(
        "load",
        _("Stop, strip, weight"),
        (
            Field("drop", _("Stop's drop"), "size", _("middle of the bevel to middle of the stop")),
            Field("stop_on", _("Stop bears on"), "choice", _("where it touches"), StopOn),
            Field("load_out", _("Load hangs out"), "size", _("panel's face to the load's middle")),
            Field("self_out", _("Own weight out"), "size", _("the same of its own weight")),
            Field("self_kg", _("Own weight"), "kg", _("weighed; else by its pieces")),
            Field("strip", _("Strip touches"), "size", _("length that lies on the cleat")),
            Field(
                "strip_fixing", _("Strip joined"), "choice", _("to the unit"), StripFixing
            ),
            Field("lock", _("Pull-lock"), "lock", _("screws that hold it down"), is_needed=False),
        ),
    ),
    Section(
        "use",
        _("What it is for"),
        (
            Field("goods", _("It carries"), "choice", _("what is put on it"), Goods,
                  is_needed=False),
            Field("expected", _("Expected load"), "expected", _("compared with what it may carry"),
                  is_needed=False),
            Field("shelves", _("Shelves"), "shelves", _("for how far boards sag"),
                  is_needed=False),
        ),
    ),
)  # fmt: skip


def field_of(key: str) -> Field:
    """Return a field by its key."""
    return next(one for section in SECTIONS for one in section.fields if one.key == key)


def say_value(field: Field, value: Any, system: System) -> str:
    """Return a value in words; Any: what the field holds."""
    if field.key == "drop" and value is None:
        return _("not measured yet")
    if field.key == "backing" and value is None:
        return _("as the wall says")
    if field.ask in ("size", "place"):
        return say_length(value, system)
    if field.ask in _ABSENT and not value:
        return _ABSENT[field.ask]
    if not value:
        return NOT_SAID if field.is_needed else _("without")
    return _SAY[field.ask](value, system)


def say_lock(lock: Lock, system: System) -> Phrase:
    """Return how many screws of a lock there are, and which."""
    return say("{n} × {screw}", n=lock.count, screw=say_screw(lock.screw, system))


def say_expected(expected: tuple[Any, ...]) -> str:
    """Return what is to be stored."""
    if not expected:
        return NOT_SAID
    words = []
    for one in expected:
        use = BY_KEY[one.use].name if one.use in BY_KEY else _("weighed")
        words.append(say_kg(one.kg) if one.kg is not None else use)
    return capital(join(words, ", "))


_ABSENT: Final[Mapping[str, Phrase]] = {
    "yes": _("no"),
    "screw": BY_SHOP,
    "shelves": _("none entered"),
    "expected": NOT_SAID,
}
_SAY: Final[Mapping[str, Callable[[Any, System], str]]] = {
    "choice": lambda value, _system: say_one(value),
    "yes": lambda _value, _system: _("yes"),
    "whole": lambda value, _system: str(value),
    "kg": lambda value, _system: say_kg(value),
    "rows": say_lengths,
    "screw": say_screw,
    "lock": say_lock,
    "expected": lambda value, _system: say_expected(value),
    "shelves": lambda value, _system: say_n("{n} shelf", "{n} shelves", len(value)),
    "wall": lambda value, _system: str(value),
    "on": lambda value, _system: str(value),
    "name": lambda value, _system: str(value),
}
