"""Say in which order the units of a job's walls go up, and why each comes where it does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.fitting import Fitting, How
from kiosk.rules.hanging.hangviews import HangStep
from kiosk.rules.hanging.rows import lift
from kiosk.rules.lengths import Length, System
from kiosk.rules.naming import Natural, natural
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import Phrase, _, join, say

_RANKS: Final = {"panel": 1, "divider": 2, "rail": 3, "shelf": 4, "box": 4, "door": 5}
_FIRST: Final[Mapping[str, Phrase]] = {
    "panel": _("panels come first: other units hang on them"),
    "divider": _("dividers come before rails and shelves"),
    "rail": _("rails come before shelves"),
    "door": _("doors come last, when all hangs"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Hung:
    """A unit to go up: its kind, how it hangs, and the unit that must be up before it, '' none."""

    unit: str
    kind: str
    fitting: Fitting
    after: str = ""


def hanging_order(units: Sequence[Hung], *, system: System = System.MM) -> tuple[HangStep, ...]:
    """Return the order in which units go up, with reasons.

    Supports first; then dividers, rails, shelves and boxes from the top down, as nothing is hung
    below yet to lean over or drop on; doors last (common practice, no source). A unit that would
    hit a higher one when it is lifted on, goes up before that one, whatever the rest says. A ring
    of supports is broken at the unit that would be next.
    """
    by_name = {one.unit: one for one in units}
    before = {one.unit: {one.after} & set(by_name) - {one.unit} for one in units}
    lower = dict(_blocked(units))
    for name, above in lower.items():
        for other in above:
            before[other].add(name)
    steps: list[HangStep] = []
    left = dict(by_name)
    while left:
        free = [one for one in left.values() if not before[one.unit] & left.keys()]
        one = min(free or left.values(), key=_rank)
        del left[one.unit]
        why = _why(one, by_name, lower, system)
        steps.append(HangStep(number=len(steps) + 1, unit=one.unit, why=why))
    return tuple(steps)


def lifted_over(one: Fitting, other: Fitting) -> bool:
    """Say whether a unit on its way onto its cleat passes where another hangs above it.

    It comes from its final place, higher by the hook's depth and what is free above that. False
    where places or sizes were not said, or where the other does not hang wholly above it.
    """
    mine, its = _box(one), _box(other)
    thickness = one.cleat.thickness
    if mine is None or its is None or thickness is None or one.wall != other.wall:
        return False
    (left, low, right, high), (its_left, its_low, its_right, _high) = mine, its
    beside = its_right <= left or right <= its_left
    return not beside and low < high <= its_low < high + lift(thickness)


def overlap(one: Fitting, other: Fitting) -> bool:
    """Say whether two units of one wall are entered in one place."""
    mine, its = _box(one), _box(other)
    if mine is None or its is None or one.wall != other.wall:
        return False
    across = mine[0] < its[2] and its[0] < mine[2]
    return across and mine[1] < its[3] and its[1] < mine[3]


def _box(one: Fitting) -> tuple[int, int, int, int] | None:
    """Return left, low, right and high of a unit, None where any was not said."""
    if one.x is None or one.y is None or one.width is None or one.height is None:
        return None
    return one.x, one.y, one.x + one.width, one.y + one.height


def _blocked(units: Sequence[Hung]) -> Iterator[tuple[str, list[str]]]:
    """Yield each unit on a cleat with all others that it would hit when it is lifted on."""
    hooked = [one for one in units if one.fitting.how is How.CLEAT and one.kind != "panel"]
    for one in hooked:
        above = [
            other.unit
            for other in hooked
            if other.unit not in (one.unit, one.after) and lifted_over(one.fitting, other.fitting)
        ]
        if above:
            yield one.unit, sorted(above, key=natural)


def _rank(one: Hung) -> tuple[int, int, int, Natural]:
    fitting = one.fitting
    top = (fitting.y or 0) + (fitting.height or 0) if fitting.y is not None else -1
    return _RANKS.get(one.kind, 4), -top, fitting.x or 0, natural(one.unit)


def _why(
    one: Hung, by_name: Mapping[str, Hung], lower: Mapping[str, list[str]], system: System
) -> Phrase:
    if one.unit in lower:
        room: Length = lift(one.fitting.cleat.thickness or Length(0))
        return say(
            "before {other}: it is lifted {room} to hook on, and would hit it",
            other=join(lower[one.unit], ", "),
            room=on_tape(room, system, toward=Toward.MORE),
        )
    support = by_name.get(one.after)
    if support is not None and support.kind != "panel":
        return say("after {other}, which holds it", other=one.after)
    if one.kind in _FIRST:
        return _FIRST[one.kind]
    if _box(one.fitting) is None:
        return _(
            "its place or size (x, y, width, height) was not said: whether it can be lifted on was"
            " not looked at"
        )
    return _("from the top down: nothing hangs below yet to drop on")
