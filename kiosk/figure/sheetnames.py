"""Write the names of a sheet's parts into them; what is too small gets a letter and a legend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from kiosk.figure.shapes import INK, Box, Edges, Words, overlap
from kiosk.language import shown
from kiosk.rules.words import say
from labels.artwork.letters import ABOVE, LINE, plain, width_of

_PAD: Final = 3.0
WIDER: Final = 1.03
_LETTERS: Final = "ABCDEFGHJKMNPQRSTUVWXYZ"  # no I, L, O: they look like digits


@dataclass(frozen=True, slots=True)
class Name:
    """What stands in a part: its name, its unit and its size; unit and size may be empty."""

    part: str
    unit: str
    size: str

    @property
    def whole(self) -> str:
        """Return all of it on one line."""
        return " ".join(text for text in (self.unit, self.part, self.size) if text)


@dataclass(frozen=True, slots=True)
class Written:
    """The words of one part as they were laid out.

    is_key tells that only a letter found room, is_whole that name, unit and size did.
    """

    words: tuple[Words, ...]
    is_key: bool = False
    is_whole: bool = False


@lru_cache(maxsize=1024)
def _forms(name: Name) -> tuple[tuple[str, ...], ...]:
    """Return the six ways to write everything, then those without the size."""
    part, unit, size = plain(name.part), plain(name.unit), plain(name.size)
    split = (unit, *part.split())
    sides = (*size.split(" × ")[:-1], size.rsplit(" × ", 1)[-1])
    both = f"{unit} {part}".strip()
    broken = (f"{sides[0]} ×", sides[1]) if len(sides) == 2 else (size,)
    forms = (
        (part, unit, size), (both, size), (part, f"{unit} {size}".strip()),
        (" ".join(filter(None, (unit, part, size))),), (*split, size), (*split, *broken),
        (both,), (part, unit), split,
    )  # fmt: skip
    return tuple(tuple(line for line in form if line) for form in forms)


@lru_cache(maxsize=8192)
def wide_of(text: str, size: int) -> float:
    """Return how wide a text may come out when it is drawn larger than it was measured.

    Letters are rounded to whole dots one by one: measured at 9 to 19 dots and drawn 1.3 to 4 times
    as large, lines of 110 letters were up to 3 % wider.
    """
    return width_of(text, size) * WIDER


def write_name(
    name: Name, rooms: Sequence[Box], *, most: int, least: int, key: str = ""
) -> Written | None:
    """Return the words of a part in the first of some rooms that takes them; None if none does.

    Everything small comes before less of it large; the key is the last way.
    """
    forms = _forms(name)
    for few in (forms[:6], forms[6:]):
        for size in range(most, least - 1, -1):
            for form in few:
                for room in rooms:
                    if _fits(form, room, size):
                        return Written(tuple(_set(form, room, size)), is_whole=few == forms[:6])
    for size in range(most - 4, least - 3, -1) if key else ():
        for room in rooms:
            # a letter has neither accent nor tail: it may fill more of its room
            if wide_of(key, size) + 2 <= room.right - room.left and 0.8 * size <= (
                room.bottom - room.top
            ):
                return Written(tuple(_set((key,), room, size)), is_key=True)
    return None


def _fits(form: Sequence[str], room: Box, size: int) -> bool:
    wide, tall = room.right - room.left - 2 * _PAD, room.bottom - room.top
    if len(form) * size * LINE > tall:
        return False
    return all(wide_of(line, size) <= wide for line in form)


def _set(form: Sequence[str], room: Box, size: int) -> Iterator[Words]:
    middle = (room.left + room.right) / 2
    top = (room.top + room.bottom - len(form) * size * LINE) / 2
    for number, line in enumerate(form):
        yield Words(middle, top + number * size * LINE + ABOVE * size, line, size, "middle", INK)


def rooms_of(box: Box, taken: Sequence[Edges]) -> list[Box]:
    """Return a box, and where something lies in it what is free beside, above and below."""
    inside = [one for one in taken if overlap(one, (box.left, box.top, box.right, box.bottom))]
    if not inside:
        return [box]
    left, top = min(one[0] for one in inside), min(one[1] for one in inside)
    right, bottom = max(one[2] for one in inside), max(one[3] for one in inside)
    found = [
        Box(right, box.top, box.right, box.bottom), Box(box.left, box.top, left, box.bottom),
        Box(box.left, bottom, box.right, box.bottom), Box(box.left, box.top, box.right, top),
    ]  # fmt: skip
    found = [one for one in found if one.right > one.left and one.bottom > one.top]
    return sorted(found, key=lambda one: -(one.right - one.left) * (one.bottom - one.top))


def key_of(number: int) -> str:
    """Return the letter of the legend's line with a number from 0: A, B … Z, AA, AB."""
    behind = _LETTERS[number % len(_LETTERS)]
    return key_of(number // len(_LETTERS) - 1) + behind if number >= len(_LETTERS) else behind


def legend_words(name: Name, count: int) -> str:
    """Return a line of the legend in the language in use: what it is, and how many there are."""
    words = plain(name.whole)
    return words if count == 1 else shown(say("{what}, {n} times", what=words, n=count))
