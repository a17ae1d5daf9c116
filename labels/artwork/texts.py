"""What a label says: of a part, of a unit, or of a place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias


@dataclass(frozen=True, slots=True)
class LabelText:
    """What the label of a part says.

    title names the part; all but the code may be empty. grain is the side that runs with the grain.
    What does not fit is left off: the job first, then material, a note, next station, size, unit.
    The code is always there, and a size is whole or not there.
    """

    code: str
    title: str = ""
    unit: str = ""
    size: str = ""
    next_station: str = ""
    grain: Literal["length", "width"] | str | None = None
    job: str = ""
    material: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class UnitText:
    """What the label of an assembled unit says: its name very large, below it what it is.

    title says what it is, as `wall panel`. What does not fit is left off: the note first, then next
    station, job, title. Code and unit are always there.
    """

    code: str
    title: str
    unit: str
    job: str
    next_station: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class PlaceText:
    """What the label of a rack or place says: its name, and the slot, as large as they fit."""

    code: str
    title: str
    slot: str = ""


Label: TypeAlias = LabelText | UnitText | PlaceText
