"""Give each code that is held up to a camera once, however many frames show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from labels.reading.picture import Found

# Choices: what is in view is not meant by that; what somebody holds still in the middle is.
UNSEEN_AFTER_S: Final = 1.0  # a label has been taken away and shown again
HELD_FRAMES: Final = 3  # a quarter of a second, at twelve frames a second
MIDDLE: Final = 0.5  # of the picture's width and height
STILL: Final = 0.05  # of the picture's longer side, from one frame that shows it to the next

Spot = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Held:
    """The code that is aimed at: in how many frames, when last, and where its symbols were."""

    code: str = ""
    frames: int = 0
    last: float = 0.0
    spots: tuple[Spot, ...] = ()


class Watcher:
    """Turns what frame after frame shows into codes, each given once.

    A code is given when it lies in the middle of the picture, nearer there than any other, and is
    held still for some frames. It is given again only after it was out of sight for a time,
    wherever in the picture it was. So a label merely in view gives nothing, and neither does one
    that is carried past. Bars are misread now and then, but hardly some times alike.
    """

    def __init__(self, *, unseen_after: float = UNSEEN_AFTER_S) -> None:
        self._unseen_after = unseen_after
        self._given: dict[str, float] = {}
        self._held = _Held()

    @property
    def is_waiting(self) -> bool:
        """Tell whether a code is held up and is to be seen in some more frames."""
        return 0 < self._held.frames < HELD_FRAMES

    def see(self, found: Found, at: float, *, size: tuple[int, int]) -> tuple[str, ...]:
        """Take in one frame and return the codes that are new: one, or none.

        Args:
            found: what the frame shows.
            at: seconds on any clock that only goes forward.
            size: width and height of the picture, in the pixels of what was found.
        """
        self._given = {
            code: at if code in found.codes else last
            for code, last in self._given.items()
            if at - last <= self._unseen_after
        }
        if at - self._held.last > self._unseen_after:
            self._held = _Held()
        code = _aimed_at(found, size)
        if not code:
            if found.codes:
                self._held = _Held()
            return ()
        spots = tuple(find.middle for find in found.finds if find.code == code)
        is_still = code == self._held.code and _is_near(spots, self._held.spots, max(size) * STILL)
        self._held = _Held(code, self._held.frames + 1 if is_still else 1, at, spots)
        if self._held.frames < HELD_FRAMES or code in self._given:
            return ()
        self._given[code] = at
        return (code,)

    def forget(self) -> None:
        """Let every code in sight be given again, as after a screen was opened."""
        self._given, self._held = {}, _Held()


def _aimed_at(found: Found, size: tuple[int, int]) -> str:
    """Return the code nearest the picture's middle, or nothing where none lies there."""
    width, height = size
    inside = [
        (max(abs(2 * x / width - 1), abs(2 * y / height - 1)), find.code)
        for find in found.finds
        for x, y in (find.middle,)
    ]
    off, code = min(inside, default=(1.0, ""))
    return code if off <= MIDDLE else ""


def _is_near(spots: tuple[Spot, ...], before: tuple[Spot, ...], most: float) -> bool:
    """Tell whether a symbol is about where one was: not each reads in each frame."""
    return any(abs(x - u) <= most and abs(y - v) <= most for x, y in spots for u, v in before)
