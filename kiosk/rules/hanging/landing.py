"""Find cleats that are in each other's way, and stops that bear on another cleat or on nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations, permutations

from kiosk.rules.hanging.onwall import OnWall
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.words import Phrase, _, say


def cleat_of(name: str, placed: Mapping[str, OnWall]) -> tuple[str, ...]:
    """Return which cleat a unit hooks on: one that several share by its name, else its own."""
    fitting = placed[name].fitting
    return (fitting.wall, fitting.cleat.name) if fitting.cleat.name else (name,)


def in_the_way(placed: Mapping[str, OnWall]) -> Iterator[tuple[str, Refusal]]:
    """Yield each unit with what is wrong with where its cleat or its stop is among the others."""
    for first, second in combinations(placed, 2):
        if _same_place(first, second, placed):
            yield first, _in_one_place(second)
            yield second, _in_one_place(first)
    for name, other in permutations(placed, 2):
        if _stop_on(name, other, placed):
            yield name, _lands(say("Its stop bears where the cleat of {unit} is.", unit=other))
    for name, one in placed.items():
        at = _stop(one)
        if at is not None and one.low is not None and at < one.low:
            yield name, _lands(_("Its stop is below its panel and bears on nothing."))


@dataclass(frozen=True, slots=True)
class _Box:
    """A cleat on its wall."""

    left: int
    low: int
    right: int
    high: int


def _box(one: OnWall) -> _Box | None:
    cleat = one.fitting.cleat
    if cleat.x is None or cleat.y is None or cleat.length is None or cleat.height is None:
        return None
    return _Box(cleat.x, cleat.y, cleat.x + cleat.length, cleat.y + cleat.height)


def _both(
    name: str, other: str, placed: Mapping[str, OnWall], *, wide: bool = False
) -> tuple[_Box, _Box] | None:
    """Return the cleats of two units where one is over or below the other on one surface.

    wide says that the first counts as wide as the unit on it, as its back is.
    """
    one, two = placed[name], placed[other]
    mine, its = _box(one), _box(two)
    at, width = one.fitting.x, one.fitting.width
    if wide and mine is not None and at is not None and width is not None:
        mine = replace(mine, left=min(mine.left, at), right=max(mine.right, at + width))
    is_same = (one.fitting.wall, one.fitting.on) == (two.fitting.wall, two.fitting.on)
    if not is_same or cleat_of(name, placed) == cleat_of(other, placed):
        return None
    if mine is None or its is None or mine.right <= its.left or its.right <= mine.left:
        return None
    return mine, its


def _same_place(first: str, second: str, placed: Mapping[str, OnWall]) -> bool:
    both = _both(first, second, placed)
    return both is not None and both[0].low < both[1].high and both[1].low < both[0].high


def _stop_on(name: str, other: str, placed: Mapping[str, OnWall]) -> bool:
    """Say whether a unit's stop bears on another cleat: on its bevel, or held off the panel."""
    both, at = _both(name, other, placed, wide=True), _stop(placed[name])
    return both is not None and at is not None and both[1].low <= at <= both[1].high


def _stop(one: OnWall) -> int | None:
    """Return how high the middle of what a unit's stop bears with is above the datum."""
    cleat, drop = one.fitting.cleat, one.fitting.drop
    if cleat.y is None or cleat.height is None or cleat.thickness is None or drop is None:
        return None
    return cleat.y + cleat.height - cleat.thickness // 2 - drop


def _in_one_place(other: str) -> Refusal:
    message = say("Its cleat is entered where that of {unit} is.", unit=other)
    return Refusal(Why.CLEATS, message, _("Give them one cleat by one name, or mend the places."))


def _lands(message: Phrase) -> Refusal:
    return Refusal(Why.STOP_LANDS, message, _("Move the cleat or the stop, or fill the hollow."))
