"""Draw the cuts of a sheet: lines where the blade goes, and the numbers that belong to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import cos, pi, sin
from typing import Final

from kiosk.figure.shapes import GREY, INK, PAPER, Area, Box, Dot, Edges, Line, Shape, Words, overlap
from kiosk.figure.sheetfield import Field, Traced
from labels.artwork.letters import LINE, width_of

_THIN, _NEXT, _GAP = 1.4, 5.0, 3.0
_LEAD: Final = 6.0  # from a number in the margin to the edge of its sheet
_ALONG: Final = (0.5, 0.06, 0.94, 0.2, 0.8, 0.35, 0.65, 0.12, 0.88, 0.28, 0.72)
_ASIDE: Final = (0.0, 0.5, -0.5, 1.0, -1.0, 1.5, -1.5, 2.0, -2.0, 2.6, -2.6, 3.3, -3.3)
_DASH: Final = (5.0, 4.0)


@dataclass(slots=True)
class Spots:
    """What room is taken in a picture, and the letters of its numbers, from most to least."""

    inside: Edges
    most: int
    least: int
    taken: list[Edges] = field(default_factory=list)

    def hold(self, edges: Edges) -> None:
        """Take a room whatever lies there."""
        self.taken.append(edges)

    def take(self, edges: Edges) -> bool:
        """Take a room where it is free and within the picture; tell whether it was."""
        left, top, right, bottom = self.inside
        if edges[0] < left or edges[1] < top or edges[2] > right or edges[3] > bottom:
            return False
        if any(overlap(edges, one) for one in self.taken):
            return False
        self.taken.append(edges)
        return True


def cut_lines_drawn(
    traced: Sequence[Traced], place: Field, *, done: frozenset[int], next_line: int | None
) -> Iterator[Shape]:
    """Yield the lines of all cuts: a gap where one is made, the next one thick with its piece."""
    for one in traced:
        number, is_made = one.line.number, one.line.number in done
        if one.hidden is not None and not is_made:
            box = place.box(one.hidden)
            yield Line(((box.left, box.top), (box.right, box.bottom)), 1.0, GREY, _DASH)
        if one.line.is_trim:
            yield from _edge_gone(one, place) if is_made else ()
        elif number != next_line and not is_made:
            yield Line(_ends(one, place), max(_THIN, _width(one, place)), INK)
    gaps = [one for one in traced if one.line.number in done and not one.line.is_trim]
    for wide, colour in ((_GAP + 2, INK), (_GAP, PAPER)):
        for one in gaps:
            yield Line(_ends(one, place), wide, colour)
    for one in traced:
        if one.line.number == next_line:
            yield outline(place.box(one.piece), 3.0)
            yield Line(_ends(one, place), _NEXT, INK)


def _edge_gone(one: Traced, place: Field) -> Iterator[Shape]:
    """Yield nothing where an edge was trimmed off: paper over it."""
    blade, trim = place.box(one.blade), place.trim * place.scale
    whole = place.whole
    if _is_upright(one, place):
        is_near = blade.left - whole.left < trim
        left = whole.left - 1 if is_near else blade.left
        yield Box(left, whole.top - 1, blade.right if is_near else whole.right + 1,
                  whole.bottom + 1, PAPER)  # fmt: skip
        return
    is_near = blade.top - whole.top < trim
    top = whole.top - 1 if is_near else blade.top
    yield Box(whole.left - 1, top, whole.right + 1,
              blade.bottom if is_near else whole.bottom + 1, PAPER)  # fmt: skip


def outline(box: Box, width: float) -> Line:
    """Return a thick line round a box, within its edges."""
    left, top = box.left + width / 2, box.top + width / 2
    right, bottom = box.right - width / 2, box.bottom - width / 2
    dots = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    return Line(dots, width, INK)


def next_number(one: Traced, place: Field, spots: Spots) -> Iterator[Shape]:
    """Yield the number of the next cut in a disc, at the first spot that is free."""
    text, size = str(one.line.number), spots.most
    radius = max(width_of(text, size) / 2 + 4, 0.75 * size)
    for x, y, lead in _spots(one, place, (2 * radius, 2 * radius)):
        if spots.take((x - radius, y - radius, x + radius, y + radius)):
            if lead:
                yield Line(lead, 2.0, INK)
            yield ring(x, y, radius)
            yield Words(x, y + 0.36 * size, text, size, "middle", PAPER)
            return


def ring(x: float, y: float, radius: float) -> Area:
    """Return a filled circle."""
    turns = [2 * pi * step / 32 for step in range(32)]
    return Area(tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns), INK)


def numbers(
    traced: Sequence[Traced], place: Field, spots: Spots, *, but: frozenset[int]
) -> Iterator[Shape]:
    """Yield the numbers of all cuts but some; one for which no room is left is left out."""
    ways = [(one, _way(one, place)) for one in traced]
    for one in traced:
        if one.line.number not in but:
            others = [way for other, way in ways if other is not one]
            yield from _number(one, place, spots, others)


def _way(one: Traced, place: Field) -> Edges:
    (x, y), (to_x, to_y) = _ends(one, place)
    return x - 1, y - 1, to_x + 1, to_y + 1


def _number(one: Traced, place: Field, spots: Spots, others: Sequence[Edges]) -> Iterator[Shape]:
    """Yield a number at the first free spot, best where no other cut runs through it."""
    text = str(one.line.number)
    for size in range(spots.most, spots.least - 1, -2):
        wide, tall = width_of(text, size) + 4.0, size * LINE
        found = [
            (spot, Words(spot[0], spot[1] + 0.34 * size, text, size, "middle", INK))
            for spot in _spots(one, place, (wide, tall))
        ]
        free = [(spot, words, words.edges) for spot, words in found]
        clear = [one for one in free if not any(overlap(one[2], way) for way in others)]
        for (x, y, lead), words, (left, top, right, bottom) in (*clear, *free):
            if spots.take((left - 2, top, right + 2, bottom)):
                if lead:
                    yield Line(lead, 1.0, GREY)
                # no taller than digits are, so that the line is seen again above and below
                half = size * 0.46
                yield Box(x - wide / 2, y - half, x + wide / 2, y + half, fill=PAPER)
                yield words
                return


def room_for(most: int) -> float:
    """Return how wide the margin beside a sheet must be for the numbers there."""
    return width_of("888", most) + _LEAD + 6


def _spots(
    one: Traced, place: Field, size: tuple[float, float]
) -> Iterator[tuple[float, float, tuple[Dot, ...]]]:
    """Yield where a number of some width and height may stand, and the line that leads there."""
    (x, y), (to_x, to_y) = _ends(one, place)
    wide, tall = size
    whole, near = place.whole, place.trim * place.scale + 1
    upright = x == to_x
    for aside in _ASIDE:
        if upright:
            at = x + aside * wide
            if y - whole.top <= near:
                yield at, whole.top - _LEAD - tall / 2, ((x, whole.top), (at, whole.top - _LEAD))
            if whole.bottom - to_y <= near:
                edge = whole.bottom
                yield at, edge + _LEAD + tall / 2, ((x, edge), (at, edge + _LEAD))
        else:
            at = y + aside * tall
            if x - whole.left <= near:
                yield whole.left - _LEAD - wide / 2, at, ((whole.left, y), (whole.left - _LEAD, at))
            if whole.right - to_x <= near:
                edge = whole.right
                yield edge + _LEAD + wide / 2, at, ((edge, y), (edge + _LEAD, at))
        if not aside and not one.line.is_trim:
            room = (tall if upright else wide) / 2
            yield from _on_line((x, y), (to_x, to_y), room)


def _on_line(start: Dot, end: Dot, room: float) -> Iterator[tuple[float, float, tuple[Dot, ...]]]:
    (x, y), (to_x, to_y) = start, end
    length = (to_x - x) + (to_y - y)
    if length < 2 * room:
        return
    for share in _ALONG:
        at = min(max(share * length, room), length - room) / length
        yield x + (to_x - x) * at, y + (to_y - y) * at, ()


def _ends(one: Traced, place: Field) -> tuple[Dot, Dot]:
    """Return the middle line of the blade's way, from above or from the left."""
    box = place.box(one.blade)
    if _is_upright(one, place):
        middle = (box.left + box.right) / 2
        return (middle, box.top), (middle, box.bottom)
    middle = (box.top + box.bottom) / 2
    return (box.left, middle), (box.right, middle)


def _is_upright(one: Traced, place: Field) -> bool:
    return (one.line.direction == "crosscut") is not place.is_turned


def _width(one: Traced, place: Field) -> float:
    box = place.box(one.blade)
    return box.right - box.left if _is_upright(one, place) else box.bottom - box.top
