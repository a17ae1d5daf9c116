"""Reckon what a unit weighs from its pieces, on the heavy side: its own weight lowers its load."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from kiosk.rules.hanging.kinds import Board
from kiosk.rules.lengths import mm
from kiosk.rules.parts import Piece

# kg per m³ with about 12 % moisture, from memory, each at the upper end of what is usual: what a
# word in a material's name means; the first that fits is taken
_DENSITIES: Final[tuple[tuple[str, float], ...]] = (
    ("steel", 7900.0),
    ("metal", 7900.0),
    ("alumin", 2800.0),
    ("stone", 3000.0),
    ("granite", 3000.0),
    ("marble", 3000.0),
    ("concrete", 2500.0),
    ("cement", 2000.0),
    ("tile", 2500.0),
    ("glass", 2600.0),
    ("mirror", 2600.0),
    ("acrylic", 1200.0),
    ("compact", 1450.0),
    ("laminate", 1450.0),
    ("hpl", 1450.0),
    ("hardboard", 1050.0),
    ("mdf", 800.0),
    ("particle", 720.0),
    ("chipboard", 720.0),
    ("osb", 680.0),
    ("plywood", 720.0),
    ("multiplex", 720.0),
    ("sperrholz", 720.0),
    ("ply", 720.0),
    ("oak", 780.0),
    ("beech", 780.0),
    ("maple", 750.0),
    ("pine", 600.0),
    ("spruce", 500.0),
    ("larch", 650.0),
)
HEAVIEST: Final = 800.0  # kg per m³ for a material nobody knows (choice: the heaviest wood here)
_BOARDS: Final = (
    ("mdf", Board.MDF),
    ("particle", Board.PARTICLEBOARD),
    ("chipboard", Board.PARTICLEBOARD),
    ("plywood", Board.PLYWOOD),
    ("multiplex", Board.PLYWOOD),
    ("sperrholz", Board.PLYWOOD),
    ("lumber", Board.LUMBER),
    ("timber", Board.LUMBER),
    ("solid", Board.LUMBER),
)


def density(material: str) -> float:
    """Return kg per m³ of a material by its name; that of the heaviest wood where no word is known.

    What is heavier than wood goes first: plywood under glass counts as glass.
    """
    plain = material.casefold()
    return next((found for word, found in _DENSITIES if word in plain), HEAVIEST)


def board_of(material: str) -> Board:
    """Return what a material is by its name; UNKNOWN where it does not say."""
    plain = material.casefold()
    return next((board for word, board in _BOARDS if word in plain), Board.UNKNOWN)


def weigh(pieces: Iterable[Piece]) -> float | None:
    """Return what pieces weigh together, kg, without hardware; None where one has no thickness.

    None as well where there are no pieces: nothing is known then.
    """
    found = [_piece_kg(one) for one in pieces]
    known = [one for one in found if one is not None]
    return sum(known) if known and len(known) == len(found) else None


def _piece_kg(piece: Piece) -> float | None:
    if piece.thickness is None:
        return None
    volume = mm(piece.length) * mm(piece.width) * mm(piece.thickness) / 1e9
    return volume * density(piece.material)
