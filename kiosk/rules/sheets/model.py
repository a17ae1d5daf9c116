"""Name what a job's parts are cut from, and hold the breakdown that was chosen for it.

Lengths are whole units of 1/1600 mm; a sheet's grain runs along its length.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from kiosk.rules.breakdown.model import LEAST_OFFCUT, Direction, Sheet
from kiosk.rules.lengths import Length

NOTHING: Final = Length(0)
LEAST: Final = Length(LEAST_OFFCUT)


@dataclass(frozen=True, slots=True)
class Material:
    """What a sheet is made of, in the shop's words, and how thick; None where nobody said."""

    name: str
    thickness: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """Sheets of one size in stock; count None is as many as it takes, trim each edge's loss."""

    material: Material
    length: Length
    width: Length
    count: int | None = None
    trim: Length = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptOffcut:
    """An offcut in stock, with a code and a label of its own.

    job, sheet and piece say what it was left of, '' where a person measured it.
    """

    code: str
    material: Material
    length: Length
    width: Length
    job: str = ""
    sheet: str = ""
    piece: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip that one bevel cut parts into two lanes of cleats, or gives one lane its bevel.

    code stands for the strip in the breakdown. width is the strip's, thickness that of the sheet,
    tilt the blade's angle from square in degrees. long_faces are the wide faces of the two lanes,
    (long, 0) where there is one lane only; setting is the fence's measure for the bevel cut: the
    first lane's short face. lanes hold, in order from one end, code and length of each cleat; a
    lane is cut to length after the bevel.
    """

    code: str
    length: Length
    width: Length
    thickness: Length
    tilt: float
    long_faces: tuple[Length, Length]
    setting: Length
    lanes: tuple[tuple[tuple[str, Length], ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """One line of the sequence a person follows, bevel cuts among the others.

    measure runs from the trimmed edge (of a bevel: from the square edge) to the kept side. frees
    are the codes of the parts this cut frees, in the order their labels are due: piece_out first.
    tilt is the blade's, 0 for a square cut; long_face is then what the kept side measures on the
    upper face, for a saw on a rail. rest is the name of what remains, '' for nothing;
    keeps_offcut says that what remains goes back to stock.
    """

    number: int
    piece_in: str
    direction: Direction
    measure: Length
    piece_out: str
    rest: str = ""
    rest_length: Length = NOTHING
    rest_width: Length = NOTHING
    frees: tuple[str, ...] = ()
    tilt: float = 0.0
    long_face: Length = NOTHING
    is_trim: bool = False
    keeps_offcut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSheet:
    """One sheet of a plan: where its parts lie and how it is cut.

    origin is the id of the plan in which it stood first; with sheet.name it names the sheet for
    ever, as later plans take over what is begun. offcut is the code of the offcut it is cut from,
    '' for a new sheet. Codes within sheet are those of pieces and of strips. What remains goes back
    to stock where both its sides measure least_offcut or more.
    """

    origin: str
    material: Material
    kerf: Length
    sheet: Sheet
    strips: tuple[Strip, ...] = ()
    offcut: str = ""
    levels: int | None = None
    least_offcut: Length = LEAST

    @property
    def key(self) -> str:
        """Return what names the sheet in the log."""
        return f"{self.origin}/{self.sheet.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlan:
    """The breakdown a job is cut by, latest one counts.

    bounds says of each material how many new sheets it takes at least. left_out are the codes of
    parts that found no place.
    """

    id: str
    job: str
    made: datetime
    sheets: tuple[PlannedSheet, ...]
    bounds: tuple[tuple[Material, int], ...] = ()
    left_out: tuple[str, ...] = ()
