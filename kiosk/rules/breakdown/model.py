"""Describe what is to be cut from which sheets, and the breakdown that comes out of it.

All lengths are whole units of 1/1600 mm, as in `kiosk.rules.lengths`. A sheet's grain runs along
its length; the length of a part whose grain is locked runs with it. All parts and sheets of one
task are of one material and thickness: the caller takes one such group at a time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from kiosk.rules.lengths import PER_MM

Draw = Callable[[], float]
"""A source of random numbers from 0 up to 1."""

LEAST_OFFCUT: Final = 150 * PER_MM  # choice: less than a hand and a fence can hold is waste


class Direction(StrEnum):
    """Which way a cut goes: a rip along the sheet's length, a crosscut along its width."""

    RIP = "rip"
    CROSSCUT = "crosscut"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Parts of one size; quantity 1 or more of them carry the same code."""

    code: str
    length: int
    width: int
    quantity: int = 1
    is_locked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Sheets of one size; count None is as many as it takes.

    trim is what each of the four edges loses before anything is cut, the blade included. An offcut
    is used before a new sheet is taken.
    """

    code: str
    length: int
    width: int
    count: int | None = None
    trim: int = 0
    is_offcut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is to be cut, from what, and how.

    kerf is what the blade takes. levels is how often the direction may change at most, the first
    level being rips and trims counted; None is no limit. A remainder whose both sides measure
    least_offcut or more is an offcut, any other is waste.
    """

    parts: tuple[Part, ...]
    stocks: tuple[Stock, ...]
    kerf: int = 0
    levels: int | None = None
    least_offcut: int = LEAST_OFFCUT


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A part on a sheet: its corner from the sheet's own corner, its size along the sheet."""

    code: str
    x: int
    y: int
    length: int
    width: int
    is_turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cut: piece_in becomes piece_out, which measures so much, and a rest.

    measure runs from the trimmed edge to the kept side of the blade: the width of piece_out for a
    rip, its length for a crosscut. rest is the name of what remains, with its size, '' where the
    blade takes all or only a trimmed edge falls off. part and rest_part are the codes of the parts
    this cut frees, '' for none.
    """

    number: int
    piece_in: str
    direction: Direction
    measure: int
    piece_out: str
    rest: str = ""
    rest_length: int = 0
    rest_width: int = 0
    part: str = ""
    rest_part: str = ""
    is_trim: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """A remainder that goes back to stock; piece is its name in the cuts."""

    piece: str
    x: int
    y: int
    length: int
    width: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet broken down; name is what its cuts call it, whole the part that it is uncut."""

    name: str
    stock: Stock
    parts: tuple[Placed, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]
    whole: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Breakdown:
    """All sheets; bound is how many new ones it takes at least, left_out what found no place.

    levels is the limit the layout was made under, None for none.
    """

    sheets: tuple[Sheet, ...]
    bound: int
    levels: int | None
    left_out: tuple[str, ...] = ()

    @property
    def taken(self) -> int:
        """Count the new sheets; offcuts are not counted."""
        return sum(not sheet.stock.is_offcut for sheet in self.sheets)

    @property
    def settings(self) -> int:
        """Count how often the fence is set: cuts that follow one of the same measure need none."""
        count = 0
        for sheet in self.sheets:
            keys = [(cut.direction, cut.measure) for cut in sheet.cuts if not cut.is_trim]
            count += sum(a != b for a, b in zip(keys, [None, *keys], strict=False))
        return count

    @property
    def cuts(self) -> int:
        """Count the cuts, those that trim edges included."""
        return sum(len(sheet.cuts) for sheet in self.sheets)

    @property
    def largest_offcut(self) -> int:
        """Return the area of the largest offcut, 0 where there is none."""
        pieces = (piece for sheet in self.sheets for piece in sheet.offcuts)
        return max((piece.length * piece.width for piece in pieces), default=0)
