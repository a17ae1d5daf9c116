"""Measure parts for what is bought by area, by length and by number; all exact."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final

from kiosk.rules.lengths import PER_MM
from kiosk.rules.parts import Piece

METRE: Final = 1000 * PER_MM
SQUARE: Final = METRE * METRE
# Screws by length in mm, as they are sold (common practice, no source).
SCREWS: Final = (12, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 100)
_KEPT: Final = 3  # mm of board in front of a screw's point (common practice, no source)
_HELD: Final = Fraction(5, 2)  # a screw into an edge is so many thicknesses long, likewise


def face(piece: Piece) -> Fraction:
    """Return the area of one face in m²."""
    return Fraction(piece.length * piece.width, SQUARE)


def edge(piece: Piece) -> Fraction:
    """Return the length of all four edges in m."""
    return Fraction(2 * (piece.length + piece.width), METRE)


def surface(piece: Piece) -> Fraction:
    """Return the area of both faces and all edges in m²; a bevel counts as a square edge."""
    return 2 * face(piece) + edge(piece) * Fraction(piece.thickness or 0, METRE)


def body(pieces: Iterable[Piece]) -> Piece | None:
    """Return the largest square part, which the others are joined to; None where there is none."""
    square = [piece for piece in pieces if not piece.bevel]
    return max(square, key=lambda one: (one.length * one.width, one.code), default=None)


def joined(pieces: Sequence[Piece], share: Fraction) -> Fraction:
    """Return the area of the joints of a unit in m².

    A bevelled part is joined with its long face, any other but the largest with a share of its
    edges, from 0 to 1.
    """
    largest = body(pieces)
    return sum(
        (
            face(one) if one.bevel else edge(one) * Fraction(one.thickness or 0, METRE) * share
            for one in pieces
            if one is not largest
        ),
        Fraction(0),
    )


def screws(piece: Piece, share: Fraction, pitch: Fraction) -> int:
    """Return how many screws join a part: along a bevelled one, or along a share of its edges.

    pitch is in mm.
    """
    if piece.bevel:
        return 1 + _up(Fraction(piece.length, PER_MM) / pitch)
    return _up(edge(piece) * 1000 * share / pitch)


def screw_length(piece: Piece) -> int:
    """Return which screws join a part of some thickness, their length in mm.

    Flat on a board of its own thickness, the longest that does not come through; into an edge, the
    shortest that is two and a half thicknesses long.
    """
    thick = Fraction(piece.thickness or 0, PER_MM)
    if piece.bevel:
        return max((one for one in SCREWS if one <= 2 * thick - _KEPT), default=SCREWS[0])
    return min((one for one in SCREWS if one >= _HELD * thick), default=SCREWS[-1])


def _up(value: Fraction) -> int:
    return -(-value.numerator // value.denominator)
