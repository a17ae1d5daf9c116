"""Read how a unit hangs from words such as `drop=140 mm`: all problems at once, key by key.

docs/formats.md lists the keys. What is left empty after the `=`, or is `unknown`, counts as not
said again.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from enum import StrEnum
from typing import Any, Final, TypeVar

from kiosk.rules.hanging.fitting import Expected, Fitting, How, WallCleat
from kiosk.rules.hanging.kinds import Backing, Board, Goods, Grain, Head, Steel, StopOn, StripFixing
from kiosk.rules.hanging.loads import BY_KEY
from kiosk.rules.hanging.model import Declared, Lock, Screw, Shelf
from kiosk.rules.hanging.screws import SIZES
from kiosk.rules.lengths import Length, parse
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, join, say

_Said = tuple[Any, str, str]
"""A value (Any: what its field holds), what is wrong with it, and the way out; '' where nothing."""
_Reader = Callable[[str, str], _Said]
"""Reads a text; the second argument is the unit of lengths that name none."""

_Thing = TypeVar("_Thing", Fitting, WallCleat, Screw)

_ZERO: Final = re.compile(r"0+(?:\.0*)?\s*[a-z'\"]*")
_SHORT: Final = re.compile(r"(?:no\.? *)?([0-9]+) *[x×] *(.+)")
_PARTED: Final = re.compile(r";|,\s+")  # a comma alone may belong to a number
_UNSAID: Final = ("", "unknown")
_SEVERAL: Final = {"shelf": "shelves", "expected": "expected"}
_CLEAT_NAMES: Final = {"glued": "is_glued"}


def change_fitting(
    fitting: Fitting, words: Sequence[str], *, unit: str = "mm"
) -> tuple[Fitting, tuple[Problem, ...]]:
    """Return a fitting with what was said changed, and all that was not understood of it.

    Args:
        fitting: as people said it, nothing filled in.
        words: each `key=value`; `shelf` and `expected` may come several times, and replace those
            there were.
        unit: the unit of lengths that name none: mm or inch.
    """
    problems: list[Problem] = []
    seen: set[str] = set()
    for word in sorted(words, key=_is_declared):
        key, equals, text = (part.strip() for part in word.partition("="))
        name = key.lower()
        if not equals or name not in KEYS:
            message = say("“{key}” says nothing of how a unit hangs.", key=key)
            help_words = say("Write key=value; keys are {keys}.", keys=", ".join(KEYS))
            problems.append(Problem(message, help_words, column=key, value=text or None))
            continue
        value: Any = None
        wrong: str = ""
        remedy = wrong
        if text.lower() not in _UNSAID:
            value, wrong, remedy = KEYS[name](text, unit)
        if name == "declared" and fitting.screw is None and not wrong:
            wrong, remedy = (
                _("It belongs to no screw."),
                _("Say which: screw=10 x 89 mm, steel wood"),
            )
        if wrong:
            problems.append(Problem(wrong, remedy, column=name, value=text))
            continue
        fitting = _put(fitting, name, value, is_first=name not in seen)
        seen.add(name)
    return fitting, tuple(problems)


def _is_declared(word: str) -> bool:
    """Say whether a word belongs to a screw, which must be known first."""
    return word.partition("=")[0].strip().lower() == "declared"


def _put(fitting: Fitting, key: str, value: Any, *, is_first: bool) -> Fitting:
    """Return a fitting with one value; None: as if nobody had said it."""
    if key in _SEVERAL:
        name = _SEVERAL[key]
        before = () if is_first else getattr(fitting, name)
        return _changed(fitting, name, (*before, value) if value is not None else ())
    if key == "declared" and fitting.screw is not None:
        return _changed(fitting, "screw", _changed(fitting.screw, "declared", value))
    group, dot, name = key.partition(".")
    if dot:
        name = _CLEAT_NAMES.get(name, name)
        unsaid = getattr(WallCleat(), name)
        cleat = _changed(fitting.cleat, name, unsaid if value is None else value)
        return _changed(fitting, group, cleat)
    return _changed(fitting, key, getattr(Fitting(), key) if value is None else value)


def _changed(thing: _Thing, name: str, value: Any) -> _Thing:
    change: dict[str, Any] = {name: value}
    return replace(thing, **change)


# -- single values -------------------------------------------------------------------------------


def _length(text: str, unit: str) -> _Said:
    if _ZERO.fullmatch(text.lower()):
        return Length(0), "", ""
    found, why = parse(text, unit)
    return found, why, _("Measure it, and write it such as 140 mm.") if why else ""


def _number(text: str, _unit: str) -> _Said:
    bare = text.lower().removesuffix("kg").removesuffix("°").strip().replace(",", ".")
    if not re.fullmatch(r"[0-9]{1,6}(?:\.[0-9]+)?", bare):
        return None, _("This is no number."), _("Write one such as 6.5.")
    return float(bare), "", ""


def _whole(text: str, _unit: str) -> _Said:
    if not re.fullmatch(r"[0-9]{1,3}", text):
        return None, _("This is no whole number."), _("Write one such as 2.")
    return int(text), "", ""


def _gauge(text: str, unit: str) -> _Said:
    value, wrong, remedy = _whole(text.lower().removeprefix("no.").strip(), unit)
    if not wrong and value in SIZES:
        return value, "", ""
    remedy = say("Write one of {names}.", names=", ".join(map(str, SIZES)))
    return None, _("This is no screw's number."), remedy


def _flag(text: str, _unit: str) -> _Said:
    if text.lower() not in ("yes", "no"):
        return None, _("This is neither yes nor no."), _("Write yes or no.")
    return text.lower() == "yes", "", ""


def _text(text: str, _unit: str) -> _Said:
    return text, "", ""


def _choice(kind: type[StrEnum]) -> _Reader:
    def read(text: str, _unit: str) -> _Said:
        word = re.sub(r"[\s-]+", "_", text.lower())
        if word not in list(kind):
            remedy = say("Write one of {names}.", names=", ".join(kind))
            return None, _("This is nothing that may be chosen."), remedy
        return kind(word), "", ""

    return read


def _use(text: str, _unit: str) -> _Said:
    word = text.lower().replace(" ", "_")
    if word not in BY_KEY:
        remedy = say("Write one of {names}.", names=", ".join(BY_KEY))
        return None, _("This is no use that is known here."), remedy
    return word, "", ""


def _lengths(text: str, unit: str) -> _Said:
    found = [_length(part.strip(), unit) for part in _PARTED.split(text)]
    wrong = next((one for one in found if one[1]), None)
    return wrong or (tuple(one[0] for one in found), "", "")


# -- things of several parts ---------------------------------------------------------------------


def _thing(
    make: Callable[..., Any],
    parts: Mapping[str, tuple[str, _Reader]],
    needed: Sequence[str],
    example: str,
    *,
    first: str = "",
) -> _Reader:
    """Return a reader of parts such as `span 530, depth 300`; Any: what make returns.

    parts gives the field and the reader of each; first is the part that a bare word is.
    """

    def read(text: str, unit: str) -> _Said:
        found: dict[str, Any] = {}
        wrongs: list[str] = []
        for piece in filter(None, (one.strip() for one in _PARTED.split(text))):
            name, _space, value = piece.replace("=", " ", 1).partition(" ")
            if name.lower() not in parts and first:
                name, value = first, piece
            if name.lower() not in parts:
                words = say("“{part}” is none of {names}.", part=piece, names=", ".join(parts))
                wrongs.append(words)
                continue
            field, reader = parts[name.lower()]
            found[field], why, remedy = reader(value.strip(), unit)
            if why:
                words = say("{part}: {why} {remedy}", part=name.lower(), why=why, remedy=remedy)
                wrongs.append(words)
        missing = [one for one in needed if parts[one][0] not in found]
        if missing:
            wrongs.append(say("{names}: not said.", names=join(missing, ", ")))
        if wrongs:
            return None, join(wrongs), say("Write it such as: {example}", example=example)
        return make(**found), "", ""

    return read


_SCREW_PARTS: Final[Mapping[str, tuple[str, _Reader]]] = {
    "gauge": ("gauge", _gauge),
    "length": ("length", _length),
    "steel": ("steel", _choice(Steel)),
    "head": ("head", _choice(Head)),
    "across": ("head_across", _length),
    "thread": ("thread", _length),
}


def _locked(*, count: int, backing: Backing = Backing.UNKNOWN, **screw: Any) -> Lock:
    return Lock(screw=Screw(**screw), count=count, backing=backing)


_A_SCREW: Final = "10 x 89 mm, steel wood, head pan"
_A_LOCK: Final = "count 2, 12 x 102 mm, steel wood, backing stud"


def _spelled(reader: _Reader) -> _Reader:
    """Let a screw's number and length be said in short, `10 x 89 mm`."""

    def read(text: str, unit: str) -> _Said:
        pieces = [one.strip() for one in _PARTED.split(text)]
        found = [_SHORT.fullmatch(one.lower()) for one in pieces]
        long = [f"gauge {two[1]}, length {two[2]}" if two else one
                for one, two in zip(pieces, found, strict=True)]  # fmt: skip
        return reader(", ".join(long), unit)

    return read


_NUMBERS: Final = ("fax_mpa", "rho_fax", "fhead_mpa", "rho_fhead", "tension_n", "yield_nmm")
_DECLARED: Final = _thing(
    Declared,
    {one: (one, _number) for one in (*_NUMBERS, "outer_mm", "inner_mm", "head_mm")},
    ("outer_mm", "inner_mm", "head_mm"),
    "fax_mpa 11, fhead_mpa 10, tension_n 8000, yield_nmm 4700, outer_mm 5, inner_mm 3.2, head_mm 9",
)
_SHELF: Final = _thing(
    Shelf,
    {
        "span": ("span", _length),
        "depth": ("depth", _length),
        "thickness": ("thickness", _length),
        "grain": ("grain", _choice(Grain)),
        "kg": ("mass_kg", _number),
        "spans": ("spans", _whole),
        "overhang": ("overhang", _length),
    },
    ("span", "depth", "thickness", "grain", "kg"),
    "span 530, depth 300, thickness 18, grain along, kg 4.2, spans 2",
)
_EXPECTED: Final = _thing(
    Expected,
    {
        "use": ("use", _use),
        "length": ("length", _length),
        "depth": ("depth", _length),
        "kg": ("kg", _number),
    },
    (),
    "tools, length 800, depth 300",
    first="use",
)

KEYS: Final[Mapping[str, _Reader]] = {
    "wall": _text,
    "how": _choice(How),
    "on": _text,
    **dict.fromkeys(("x", "y", "width", "height", "depth"), _length),
    "cleat.name": _text,
    **dict.fromkeys(
        ("cleat.x", "cleat.y", "cleat.length", "cleat.height", "cleat.thickness"), _length
    ),
    "cleat.board": _choice(Board),
    "cleat.plies": _whole,
    "cleat.glued": _flag,
    "cleat.rows": _lengths,
    "cleat.bevel": _number,
    "screw": _spelled(_thing(Screw, _SCREW_PARTS, ("gauge", "length"), _A_SCREW)),
    "declared": _DECLARED,
    "backing": _choice(Backing),
    **dict.fromkeys(("panel", "void", "load_out", "self_out", "drop", "strip"), _length),
    "stop_on": _choice(StopOn),
    "strip_fixing": _choice(StripFixing),
    "lock": _spelled(
        _thing(
            _locked,
            {"count": ("count", _whole), **_SCREW_PARTS, "backing": ("backing", _choice(Backing))},
            ("count", "gauge", "length"),
            _A_LOCK,
            first="count",
        )
    ),
    "self_kg": _number,
    "shelf": _SHELF,
    "goods": _choice(Goods),
    "expected": _EXPECTED,
}
"""What may be said of a fitting, key by key, and how it is read."""
