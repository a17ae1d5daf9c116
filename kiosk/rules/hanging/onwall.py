"""Make of a unit's fitting and its wall what a rating needs, and say what nobody said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.fitting import Fitting, WallCleat
from kiosk.rules.hanging.kinds import Backing, Premises, Spot
from kiosk.rules.hanging.model import NOTHING, Cleat, Hanging, Screw, Unit, Use, Wall
from kiosk.rules.hanging.reaching import Reached, reach_studs
from kiosk.rules.hanging.refusals import Refusal, Why
from kiosk.rules.hanging.refusing import refuse
from kiosk.rules.hanging.sharing import worst_share
from kiosk.rules.hanging.species import GRAVITIES, stud_gravity
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import LONGEST, Length, System, from_mm, mm
from kiosk.rules.parts import UnitSpec
from kiosk.rules.words import Phrase, _, capital, say


def middle_of(fitting: Fitting) -> Length | None:
    """Return where along the wall a unit's middle is, None where place or width is not known."""
    if fitting.x is None or fitting.width is None:
        return None
    return Length(fitting.x + fitting.width // 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnWall:
    """A unit on a measured wall, its fitting filled in.

    self_kg and self_out are those of all it carries too, load_out the furthest of them. panel is
    from where to where its panel reaches, low that one's lower edge, None where nobody said. asides
    are places along the wall where its load may be beside its middle, with what it carries. spared
    are studs that get no screw although the cleat lies on them.
    """

    spec: UnitSpec
    wall: MeasuredWall
    fitting: Fitting
    self_kg: float | None
    self_out: Length | None
    load_out: Length | None
    panel: tuple[Length, Length] | None = None
    low: Length | None = None
    asides: tuple[Length, ...] = ()
    spared: frozenset[Length] = frozenset()

    @property
    def middle(self) -> Length | None:
        """Return where along the wall its middle is, None where its place or width is not known."""
        return middle_of(self.fitting)

    def load_at(self, studs: Sequence[Length]) -> Length | None:
        """Return where along the wall its load counts: where one of these studs gets most of it.

        All of it, as nobody says how much of it is where (choice, to the safe side).
        """
        if self.middle is None or len(studs) < 2:
            return self.middle
        at, strip = [mm(one) for one in studs], mm(self.touching or NOTHING)
        return max(
            (self.middle, *self.asides),
            key=lambda one: worst_share(at, mm(one), touching=strip),
        )

    @property
    def touching(self) -> Length | None:
        """Return how much of the strip lies before the cleat, None where nobody said its length."""
        strip, cleat, middle = self.fitting.strip, self.fitting.cleat, self.middle
        if strip is None:
            return None
        if cleat.x is None or cleat.length is None or middle is None:
            return min(strip, _or(cleat.length, LONGEST))
        left = max(middle - strip // 2, cleat.x)
        right = min(middle - strip // 2 + strip, cleat.x + cleat.length)
        return Length(max(right - left, 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What is to be rated, or what stands against it; reached are the cleat's studs.

    hanging is None only where refusals say that something needed was not said.
    """

    reached: Reached
    hanging: Hanging | None = None
    refusals: tuple[Refusal, ...] = ()


# what is asked for: in words, the value, what stands in for it while all else is looked at, and
# what that stand-in must not be blamed for
_Ask = tuple[Phrase, Callable[[OnWall], object], frozenset[Why]]
_LAYERS: Final = frozenset({Why.SHORT_SCREW, Why.GAP})
_STUDS: Final = frozenset({Why.ONE_STUD, Why.STUDS_NEAR, Why.BESIDE})
_THICK: Final = frozenset({Why.THIN, Why.ROWS, Why.UNHOOKS, Why.LOAD_INSIDE}) | _LAYERS
_OUT: Final = frozenset({Why.UNHOOKS, Why.LOAD_INSIDE})
_ASKED: Final[tuple[_Ask, ...]] = (
    (_("the unit's left end"), lambda one: one.fitting.x, frozenset({Why.BESIDE})),
    (_("the unit's width"), lambda one: one.fitting.width, frozenset({Why.BESIDE})),
    (_("the cleat's left end"), lambda one: one.fitting.cleat.x, _STUDS),
    (_("the cleat's lower edge"), lambda one: one.fitting.cleat.y, frozenset()),
    (_("the cleat's length"), lambda one: one.fitting.cleat.length, _STUDS),
    (_("the cleat's thickness"), lambda one: one.fitting.cleat.thickness, _THICK),
    (_("the cleat's height"), lambda one: one.fitting.cleat.height, frozenset({Why.ROWS})),
    (_("the panel's thickness"), lambda one: one.fitting.panel, _LAYERS),
    (_("the hollow behind the panel"), lambda one: one.fitting.void, _LAYERS),
    (_("how far out the load is"), lambda one: one.load_out, _OUT),
    (_("how far out the unit's own weight is"), lambda one: one.self_out, _OUT),
    (_("the unit's own weight"), lambda one: one.self_kg, frozenset()),
    (_("the touching length of the strip"), lambda one: one.fitting.strip, frozenset()),
    (_("where the wall is"), lambda one: one.wall.spot, frozenset()),
    (_("what kind of premises it is"), lambda one: one.wall.premises, frozenset()),
)


def build(one: OnWall, screw: Screw, *, system: System = System.MM) -> Built:
    """Return what is to be rated of a unit with these screws, or all that stands against it."""
    reached = reach_studs(
        one.fitting,
        one.wall,
        gauge=screw.gauge,
        panel=one.panel,
        spared=one.spared,
        system=system,
    )
    unsaid = [(words, hides) for words, given, hides in _ASKED if given(one) is None]
    hanging = _hanging(one, screw, reached)
    own = [
        Refusal(
            Why.UNSAID,
            say("{what}: nobody said.", what=capital(words)),
            _("Measure it, and enter it."),
        )
        for words, _hides in unsaid
    ]
    own += _keep_out(reached)
    own += _off_cleat(one)
    if not own:
        return Built(reached=reached, hanging=hanging)
    hidden = frozenset[Why]().union(*(hides for _words, hides in unsaid))
    if reached.near_service:
        hidden |= {Why.ONE_STUD, Why.BESIDE}
    more = [found for found in refuse(hanging, system=system) if found.why not in hidden]
    return Built(
        reached=reached,
        hanging=None if unsaid else hanging,
        refusals=(*own, *more),
    )


def _keep_out(reached: Reached) -> Iterator[Refusal]:
    """Yield that services leave fewer than two studs."""
    if reached.near_service and len(reached.studs) < 2:
        message = _("Screws would come near a service; fewer than two studs are left.")
        yield Refusal(Why.SERVICE, message, _("Move the cleat away from it."))


def _off_cleat(one: OnWall) -> Iterator[Refusal]:
    """Yield that a unit is entered where its cleat is not."""
    if one.fitting.strip and not one.touching:
        message = _("The unit is entered beside its cleat: nothing of its strip touches it.")
        yield Refusal(Why.BESIDE, message, _("Look at where unit and cleat begin."))


def _hanging(one: OnWall, screw: Screw, reached: Reached) -> Hanging:
    """Return what is to be rated; what nobody said is stood in for, and never rated."""
    fitting, cleat = one.fitting, one.fitting.cleat
    stand_in = from_mm(18)
    return Hanging(
        unit=Unit(
            load_out=_or(one.load_out, stand_in),
            self_out=_or(one.self_out, stand_in),
            self_mass_kg=one.self_kg or 0.0,
            drop=fitting.drop,
            stop_on=fitting.stop_on,
            strip=_or(fitting.strip and (one.touching or stand_in), stand_in),
            strip_fixing=fitting.strip_fixing,
            middle=one.load_at([stud.x for stud in reached.studs]) or NOTHING,
            shelves=fitting.shelves,
            lock=fitting.lock,
        ),
        cleat=_cleat(cleat, stand_in),
        wall=_behind(one, reached),
        screw=screw,
        use=Use(
            goods=fitting.goods,
            spot=one.wall.spot or Spot.DRY_INDOORS,
            premises=one.wall.premises or Premises.PRIVATE,
            celsius=one.wall.celsius,
            is_damp=one.wall.is_damp,
        ),
    )


def _cleat(cleat: WallCleat, stand_in: Length) -> Cleat:
    return Cleat(
        board=cleat.board,
        thickness=_or(cleat.thickness, stand_in),
        height=_or(cleat.height, Length(10 * stand_in)),
        rows=cleat.rows,
        plies=cleat.plies,
        is_glued=cleat.is_glued,
        bevel=cleat.bevel,
    )


def _or(said: Length | None, stand_in: Length) -> Length:
    return stand_in if said is None else said


def _behind(one: OnWall, reached: Reached) -> Wall:
    """Return what lies behind the cleat; of several species of studs the lightest counts.

    What was said of the whole wall goes before what a unit says, unless it is studs or nothing.
    """
    fitting, backing = one.fitting, one.wall.backing
    if fitting.backing is not None and backing in (Backing.STUD, Backing.UNKNOWN):
        backing = fitting.backing
    species = [stud.species if stud.species in GRAVITIES else "" for stud in reached.studs]
    return Wall(
        backing=backing,
        soundness=one.wall.soundness,
        studs=tuple(stud.x for stud in reached.studs),
        panel=fitting.panel or NOTHING,
        gypsum=one.wall.gypsum,
        void=Length((fitting.void or NOTHING) + one.wall.void),
        species=min(species, key=stud_gravity, default=""),
    )
