"""Name the few shapes a picture is made of, and its few colours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from labels.artwork.letters import ABOVE, BELOW, plain, width_of

# Told apart by lightness too, so that a grey print can be read (choices).
PAPER: Final = "#ffffff"
INK: Final = "#1a1a1a"
GREY: Final = "#595959"
HATCH: Final = "#8c8c8c"
RULE: Final = "#dddddd"
BAND: Final = "#cfcfcf"
BLUE: Final = "#0a4a8a"
ORANGE: Final = "#b85c00"

# What each colour becomes on a dark screen: words keep 7:1 on the paper there (choices).
DARK: Final[Mapping[str, str]] = {
    PAPER: "#15181b",
    INK: "#f2f0ea",
    GREY: "#b9b9b5",
    HATCH: "#8c8c8c",
    RULE: "#3a3d40",
    BAND: "#44494e",
    BLUE: "#8ccbff",
    ORANGE: "#ffb45c",
}

Dot = tuple[float, float]
Edges = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(frozen=True, slots=True)
class Line:
    """A run of straight lines; dash is how much is drawn and left out in turn, empty for all."""

    points: tuple[Dot, ...]
    width: float = 1.0
    colour: str = INK
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """A filled shape between points."""

    points: tuple[Dot, ...]
    colour: str = BAND


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle; an empty colour leaves its inside or its edge out."""

    left: float
    top: float
    right: float
    bottom: float
    fill: str = ""
    edge: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """A text on one line; x is its start, middle or end as anchor says, y its base line."""

    x: float
    y: float
    text: str
    size: int
    anchor: str = "start"
    colour: str = INK

    @property
    def width(self) -> int:
        """Return how wide the letters are."""
        return width_of(plain(self.text), self.size)

    @property
    def edges(self) -> Edges:
        """Return the box that the letters lie in, with room for accents and tails."""
        left = self.x - self.width * {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        top, bottom = self.y - ABOVE * self.size, self.y + BELOW * self.size
        return left, top, left + self.width, bottom


Shape = Line | Area | Box | Words


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture: its size and its shapes, each over those before it, and all words on top."""

    width: int
    height: int
    shapes: tuple[Shape, ...]

    @property
    def words(self) -> tuple[Words, ...]:
        """Return all words of the picture."""
        return tuple(shape for shape in self.shapes if isinstance(shape, Words))


def overlap(one: Edges, other: Edges) -> bool:
    """Tell whether two boxes share more than an edge."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def hatch(box: Box, *, lean: int, gap: float, colour: str = HATCH) -> list[Line]:
    """Return lines across a box: lean 1 rises to the right, -1 falls, 0 does both."""
    if lean == 0:
        both = (hatch(box, lean=way, gap=gap * 1.5, colour=colour) for way in (1, -1))
        return [line for lines in both for line in lines]
    found = []
    tall = box.bottom - box.top
    # counted from the picture's left, so that the lines of boxes side by side run on
    number = (box.left - tall) // gap + 1
    while number * gap < box.right:
        foot = number * gap
        first, last = max(foot, box.left), min(foot + tall, box.right)
        if first < last:
            ends = [(first, first - foot), (last, last - foot)]
            high = [(x, box.bottom - up if lean > 0 else box.top + up) for x, up in ends]
            found.append(Line(tuple(high), 0.8, colour))
        number += 1
    return found


def disc(x: float, y: float, radius: float) -> Area:
    """Return a dot large enough to see, as eight corners."""
    half = radius * 0.7
    ring: Sequence[Dot] = (
        (radius, 0), (half, half), (0, radius), (-half, half),
        (-radius, 0), (-half, -half), (0, -radius), (half, -half),
    )  # fmt: skip
    return Area(tuple((x + dx, y + dy) for dx, dy in ring), INK)
