"""Draw the units of a wall with their cleats and screws, and write their words into them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Final

from kiosk.figure.shapes import PAPER, Box, Edges, Shape, Words, overlap
from kiosk.figure.wallfield import (
    WallField,
    WallLook,
    cleat_box,
    edges_of,
    say_state,
    unit_box,
)
from kiosk.figure.wallsigns import cleat_shapes, cross, progress_mark, state_shapes
from kiosk.figure.wallwords import Ground, around, block, forms
from kiosk.language import shown
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import ScrewAt, UnitHanging
from kiosk.rules.words import _, join, say
from labels.artwork.letters import plain

_CROSS: Final = 4.0
_MARK: Final = 15.0  # tick or ring of a unit's progress
_LEAST_MARK: Final = 7.0


@dataclass(slots=True)
class Drawn:
    """The units of a wall as they are drawn; places are those that can be tapped, small first."""

    shapes: list[Shape] = field(default_factory=list)
    over: list[Shape] = field(default_factory=list)
    places: list[tuple[str, Box]] = field(default_factory=list)


def screws_in_order(units: Sequence[UnitHanging]) -> tuple[tuple[UnitHanging, ScrewAt], ...]:
    """Return all screws with their units: unit by unit, from the top, from the left."""
    return tuple(
        (one, screw)
        for one in units
        for screw in sorted(one.screws, key=lambda found: (-found.y, found.x))
    )


def number_screws(units: Sequence[UnitHanging]) -> dict[tuple[int, int], int]:
    """Return the number of each screw by its place, from 1; one that two units name counts once."""
    found: dict[tuple[int, int], int] = {}
    for _unit, screw in screws_in_order(units):
        found.setdefault((screw.x, screw.y), len(found) + 1)
    return found


def draw_units(
    units: Sequence[UnitHanging], place: WallField, look: WallLook, ground: Ground
) -> Drawn:
    """Return units with cleats, screws and words; what found no room is in the legend.

    Large units lie under small ones. Panels have no words of their own here.
    """
    drawn = Drawn()
    boxes = [(one, box) for one in units if (box := unit_box(one.fitting, place))]
    boxes.sort(key=lambda pair: -_area(pair[1]))
    hooked = [pair for pair in boxes if pair[0].kind not in ("panel", "wall")]
    for one, box in hooked:
        progress = look.progress.get(one.unit, "")
        drawn.shapes += state_shapes(box, one.checked, progress)
    for one in units:
        cleat = cleat_box(one.fitting, place) if one.how is How.CLEAT else None
        if cleat:
            drawn.over += cleat_shapes(cleat)
    _draw_screws(units, place, look, ground, drawn)
    for at, (one, box) in enumerate(hooked):
        above = [edges_of(other) for _other, other in hooked[at + 1 :]]
        cleat = cleat_box(one.fitting, place) if one.how is How.CLEAT else None
        others = [edges_of(other) for _other, other in hooked if other is not box]
        _draw_words(one, _Spot(box, cleat, above, others), look, ground, drawn)
    _list_unplaced(units, [one.unit for one, _box in boxes], look, ground)
    drawn.places = [(one.unit, box) for one, box in reversed(hooked)]
    return drawn


def _area(box: Box) -> float:
    return (box.right - box.left) * (box.bottom - box.top)


# -- screws --------------------------------------------------------------------------------------


def _draw_screws(
    units: Sequence[UnitHanging], place: WallField, look: WallLook, ground: Ground, drawn: Drawn
) -> None:
    """Draw all crosses first, then their numbers; those without room are said in the legend."""
    found = {(screw.x, screw.y): one for one, screw in reversed(screws_in_order(units))}
    half = min(_CROSS, max(1.5, 18.0 * 1600 * place.scale))
    for x, y in found:
        at = place.x(x), place.y(y)
        drawn.over += cross(*at, half)
        ground.taken.append((at[0] - half, at[1] - half, at[0] + half, at[1] + half))
    left_out: dict[str, list[int]] = {}
    for (x, y), one in sorted(found.items(), key=lambda pair: look.numbers.get(pair[0], 0)):
        number = look.numbers.get((x, y))
        if number is None:
            continue
        dots = around(place.x(x), place.y(y), look.least, half + 1.5)
        words = ground.near(str(number), dots, look.least)
        if words:
            drawn.over += _backed(words)
        else:
            left_out.setdefault(one.unit, []).append(number)
    for unit, numbers in left_out.items():
        said = say("screws {numbers}", numbers=_runs(numbers))
        ground.entries.append((unit, shown(said)))


def _backed(words: Words) -> Iterator[Shape]:
    left, _top, right, _bottom = words.edges
    yield Box(left - 0.5, words.y - 0.72 * words.size, right + 0.5, words.y + 1, PAPER)
    yield words


def _runs(numbers: Sequence[int]) -> str:
    """Return numbers with those that follow one another as from – to."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


# -- words ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where a unit's words go: its box and cleat, the units that lie on it, and all others."""

    box: Box
    cleat: Box | None
    above: Sequence[Edges]
    others: Sequence[Edges]


def _draw_words(
    one: UnitHanging, spot: _Spot, look: WallLook, ground: Ground, drawn: Drawn
) -> None:
    """Write a unit's words where there is room, on paper so that no hatch runs through them."""
    _draw_mark(look.progress.get(one.unit, ""), spot, ground, drawn)
    state = say_state(one, look)
    found, is_whole = _fitting(one, spot, state, look, ground)
    if found is None:
        what = join((one.name if one.name != one.unit else "", state), ", ")
        if beside := _beside(one.unit, spot, look, ground):
            drawn.over += _backed(beside)
        ground.entries.append((plain(one.unit), shown(what)))
    elif not is_whole:
        what = join((one.name if one.name != one.unit else "", state), ", ")
        ground.entries.append((plain(one.unit), shown(what)))
    if found:
        words, edges = found
        ground.taken.append(edges)
        drawn.over.append(Box(*edges, PAPER))
        drawn.over += words


def _beside(unit: str, spot: _Spot, look: WallLook, ground: Ground) -> Words | None:
    """Return the name of a unit too small for it, written about it but in no other unit."""
    box = spot.box
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    across, down = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    dots = [
        *around(x, y, look.least, across + 3)[:2],
        ((x, box.top - 5), "middle"),
        ((x, y + down + 3 + 0.9 * look.least), "middle"),
    ]
    free = Ground(ground.inside, [*ground.taken, *spot.others])
    words = free.near(plain(unit), dots, look.least)
    ground.taken += free.taken[-1:] if words else ()
    return words


def _fitting(
    one: UnitHanging, spot: _Spot, state: str, look: WallLook, ground: Ground
) -> tuple[tuple[tuple[Words, ...], Edges] | None, bool]:
    """Return the words that fit and whether all was said: all of it small before less large."""
    box, above = spot.box, spot.above
    inner = Box(box.left + 2, box.top + 2, box.right - 2, box.bottom - 2)
    wide = inner.right - inner.left - 6
    # off its own cleat where that leaves room
    ways = ([*above, edges_of(spot.cleat)], above) if spot.cleat else (above,)
    for wanted, but in product((True, False), ways):
        for size in range(look.most, look.least - 1, -1):
            for lines, is_whole in forms(one.unit, one.name, state, wide=wide, size=size):
                if is_whole is wanted and (found := block(ground, lines, inner, size, but)):
                    return found, is_whole
    return None, False


def _draw_mark(progress: str, spot: _Spot, ground: Ground, drawn: Drawn) -> None:
    """Draw the sign of a unit's progress in the first of its corners that is free."""
    box = spot.box
    side = min(_MARK, 0.4 * (box.bottom - box.top), 0.3 * (box.right - box.left))
    if not progress or side < _LEAST_MARK:
        return
    for left, top in (
        (box.right - side - 5, box.bottom - side - 5), (box.left + 5, box.bottom - side - 5),
        (box.right - side - 5, box.top + 5), (box.left + 5, box.top + 5),
    ):  # fmt: skip
        mark = Box(left, top, left + side, top + side)
        edges = edges_of(mark, 1)
        if ground.is_free(edges) and not any(overlap(edges, other) for other in spot.above):
            ground.taken.append(edges)
            drawn.over += progress_mark(mark, progress)
            return


def _list_unplaced(
    units: Sequence[UnitHanging], placed: Sequence[str], look: WallLook, ground: Ground
) -> None:
    """Say in the legend which units cannot be drawn, and why."""
    for one in units:
        if one.unit not in placed and one.kind != "wall":
            why = _("nobody said where it hangs, or how large it is")
            name = one.name if one.name != one.unit else ""
            words = join((name, say_state(one, look), why), ", ")
            ground.entries.append((plain(one.unit), shown(words)))
