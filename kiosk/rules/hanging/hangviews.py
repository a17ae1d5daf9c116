"""What the check of a job's walls says: for screens, cards, drawings and the command."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kiosk.rules.hanging.assumed import Assumption
from kiosk.rules.hanging.fitting import Allowed, Fitting, How
from kiosk.rules.hanging.model import Hanging
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.refusals import Refusal
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import Length
from kiosk.rules.words import Phrase


class Checked(StrEnum):
    """What the check of hanging came to for a unit; the words are those of docs/formats.md."""

    NOT_CHECKED = "not_checked"
    RATED = "rated"
    REFUSED = "refused"
    ALLOWED = "allowed"  # refused, and a person goes ahead all the same
    CARRIED = "carried"  # another unit carries it: its load counts there
    SCREWED = "screwed"  # a panel on its own screws, or a door: no cleat to rate


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewAt:
    """One screw of a unit's cleat, from the wall's left end and the datum.

    stud is the middle of the stud it meets; to_edge how far it is from the stud's nearer edge at
    worst, the finder's error taken off; to_end from the cleat's nearer end. pilot and clearance are
    drills in mm: in the stud, and through cleat and panel.
    """

    x: Length
    y: Length
    gauge: int
    length: Length
    penetration: Length
    stud: Length
    to_edge: Length
    to_end: Length
    pilot: float
    clearance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Better:
    """A change that would let a unit carry more, in words; kg before (None: no number), after."""

    words: Phrase
    before: int | None
    after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitHanging:
    """One unit of a measured wall.

    fitting is what counts: what people said, filled in from the part list. hanging is what was
    rated, None where too much is unknown. refusals are all reasons for no number, those of `rating`
    among them. load_kg is what is expected on it, None where nobody said; fits whether the rating
    is enough for it. carried_by names the unit its load counts to. self_kg is its own weight with
    what hangs on it.
    """

    unit: str
    name: str
    kind: str
    wall: str
    checked: Checked
    how: How
    words: Phrase
    fitting: Fitting
    self_kg: float | None = None
    hanging: Hanging | None = None
    rating: Rating | None = None
    refusals: tuple[Refusal, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    cautions: tuple[Phrase, ...] = ()
    screws: tuple[ScrewAt, ...] = ()
    better: tuple[Better, ...] = ()
    load_kg: float | None = None
    fits: bool | None = None
    load_words: Phrase | None = None
    allowed: Allowed | None = None
    carried_by: str = ""
    shares_with: tuple[str, ...] = ()

    @property
    def net_kg(self) -> int | None:
        """Return what may be put on it, whole kg, None where it is not rated."""
        return self.rating.net_kg if self.rating else None


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelSeam:
    """A panel of a wall: where it is, and what is wrong with how it meets the studs.

    right_on and left_on say whether its ends bear on a stud, None where its place was not said.
    loads_kg is what the units on it weigh with all they may carry, None where one of them has no
    number. rows are the lower edges of cleats at the shop's pitch, from the top.
    """

    unit: str
    x: Length | None
    width: Length | None
    left_on: bool | None = None
    right_on: bool | None = None
    loads_kg: float | None = None
    rows: tuple[Length, ...] = ()
    notes: tuple[Phrase, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Where two panels side by side meet: its middle, what is free in it, whether on a stud.

    gap is below nothing where they are entered over each other.
    """

    left: str
    right: str
    at: Length
    gap: Length
    on_stud: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StudLoad:
    """What all units bring to one stud when loaded: weight in kg, pull in N."""

    x: Length
    load_kg: float
    pull_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WallView:
    """One measured wall: what its floor asks for, its panels, and what its studs get.

    spacer goes under the highest point of the floor; shims are (x, thickness) along it. notes are
    sentences for who installs.
    """

    wall: MeasuredWall
    panels: tuple[PanelSeam, ...] = ()
    seams: tuple[Seam, ...] = ()
    spacer: Length | None = None
    shims: tuple[tuple[Length, Length], ...] = ()
    scribe: bool = False
    studs: tuple[StudLoad, ...] = ()
    notes: tuple[Phrase, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HangStep:
    """One unit in the order of hanging, from 1, and why it comes here."""

    number: int
    unit: str
    why: Phrase


@dataclass(frozen=True, slots=True, kw_only=True)
class HangingView:
    """The hanging of a job: its measured walls, every unit on them, and in which order they go up.

    Units on walls nobody measured stand in unmeasured; nothing was checked for them.
    """

    job: str
    walls: tuple[WallView, ...] = ()
    units: tuple[UnitHanging, ...] = ()
    order: tuple[HangStep, ...] = ()
    unmeasured: tuple[str, ...] = ()

    def unit(self, unit: str) -> UnitHanging | None:
        """Return what is said of one unit, None where its wall is not measured."""
        return next((one for one in self.units if one.unit == unit), None)
