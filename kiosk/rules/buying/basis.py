"""Say how an amount was reckoned, from the area, the length or the number it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Final

from kiosk.rules.buying.model import BuyLine, Group, Need
from kiosk.rules.words import number, say, say_n


def say_basis(need: Need) -> str:
    """Return in words where the amount of a need comes from, allowance left aside."""
    return _WORDS[need.group](need)


def say_amount(line: BuyLine) -> str:
    """Return how much to buy with what it is counted in: `3 sheets`, `1.2 l`, `140`."""
    if line.group is Group.SHEETS:
        return say_n("{n} sheet", "{n} sheets", int(line.amount))
    if line.group is Group.DISCS:
        return say_n("{n} disc", "{n} discs", int(line.amount))
    if line.group is Group.SCREWS:
        return f"{line.amount:f}"
    return say("{amount} {unit}", amount=number(f"{line.amount:f}"), unit=line.unit)


def _figure(value: Fraction, places: int = 2) -> str:
    """Return a figure with as many places as say something."""
    text = f"{float(value):.{places}f}"
    return number(text.rstrip("0").rstrip(".") if "." in text else text)


def _spread(need: Need) -> str:
    return say(
        "{area} m² in all coats left together, {rate} m² a litre",
        area=_figure(need.measure),
        rate=_figure(need.rate),
    )


def _wall_filler(need: Need) -> str:
    return say(
        "{area} m² of wall in all fillings left together, {depth} mm deep",
        area=_figure(need.measure),
        depth=_figure(need.rate),
    )


def _filler(need: Need) -> str:
    return say(
        "{length} m of edges, {rate} ml a metre",
        length=_figure(need.measure),
        rate=_figure(need.rate * 1000),
    )


def _glue(need: Need) -> str:
    return say(
        "{area} m² of joints, {rate} g on a square metre",
        area=_figure(need.measure),
        rate=_figure(need.rate),
    )


def _screws(need: Need) -> str:
    return say_n(
        "{number} screws in {n} part, {pitch} mm apart",
        "{number} screws in {n} parts, {pitch} mm apart",
        int(need.measure),
        number=_figure(need.amount, 0),
        pitch=_figure(need.rate),
    )


def _edging(need: Need) -> str:
    return say(
        "{length} m of edges, and {more} m for their ends",
        length=_figure(need.measure),
        more=_figure(need.amount - need.measure),
    )


def _cleats(need: Need) -> str:
    return say_n(
        "{length} m in {n} part; in place of cutting them from sheets",
        "{length} m in {n} parts; in place of cutting them from sheets",
        int(need.measure),
        length=_figure(need.amount),
    )


def _discs(need: Need) -> str:
    return say(
        "{area} m² in all sandings left together, {rate} m² a disc",
        area=_figure(need.measure),
        rate=_figure(need.rate),
    )


_WORDS: Final[Mapping[Group, Callable[[Need], str]]] = {
    Group.CLEATS: _cleats,
    Group.GLUE: _glue,
    Group.SCREWS: _screws,
    Group.EDGING: _edging,
    Group.FILLER: _filler,
    Group.WALL_FILLER: _wall_filler,
    Group.COAT: _spread,
    Group.STRIPE: _spread,
    Group.WALL_PAINT: _spread,
    Group.DISCS: _discs,
}
