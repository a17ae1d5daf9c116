"""Find every reason for which a unit gets no number, before anything is reckoned."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import isfinite
from typing import Final

from kiosk.rules.hanging.kinds import Backing, Goods, Grain, Premises, Soundness, Spot
from kiosk.rules.hanging.model import Hanging, Shelf, Use, Wall
from kiosk.rules.hanging.refusals import (
    BACKINGS,
    GOODS,
    PREMISES,
    SPOTS,
    Refusal,
    Why,
    no_stud,
    one_stud,
    to_a_professional,
)
from kiosk.rules.hanging.refusingcleat import refuse_cleat
from kiosk.rules.hanging.refusingscrew import refuse_layers, refuse_screw
from kiosk.rules.hanging.refusingstop import refuse_stop
from kiosk.rules.hanging.service import HOTTEST
from kiosk.rules.hanging.species import DENSEST, LIGHTEST
from kiosk.rules.lengths import System, mm, show
from kiosk.rules.words import Phrase, _, capital, say

NEAREST_STUDS: Final = 100.0  # mm: nearer ones are one stud measured twice (choice)


def refuse(hanging: Hanging, *, system: System = System.MM) -> tuple[Refusal, ...]:
    """Return all reasons for no number, none where a unit can be rated; system is the reader's.

    Figures nobody can have measured are told alone, as all else would be nonsense.
    """
    figures = tuple(_refuse_figures(hanging))
    if figures:
        return figures
    return (
        *_refuse_use(hanging.use),
        *_refuse_wall(hanging, system),
        *refuse_screw(hanging.screw),
        *refuse_layers(hanging, system),
        *refuse_cleat(hanging, system),
        *refuse_stop(hanging, system),
        *_refuse_shelves(hanging.unit.shelves),
    )


def _refuse_figures(hanging: Hanging) -> Iterator[Refusal]:
    wrong = [name for name, one in _above_nothing(hanging) if not (isfinite(one) and one > 0)]
    wrong += [name for name, one in _not_less(hanging) if not (isfinite(one) and one >= 0)]
    if not wrong and sum(one.mass_kg for one in hanging.unit.shelves) > hanging.unit.self_mass_kg:
        message = _("The shelves weigh more than the whole unit.")
        yield Refusal(Why.FIGURES, message, _("Enter the unit's weight with its shelves."))
    for name in dict.fromkeys(wrong):
        message = say("{name} cannot be so; it was not measured.", name=capital(name))
        yield Refusal(Why.FIGURES, message, _("Measure it, and enter it again."))


def _above_nothing(hanging: Hanging) -> Iterator[tuple[Phrase, float]]:
    """Yield what must measure something."""
    unit, cleat = hanging.unit, hanging.cleat
    yield _("how far out the load is"), unit.load_out
    yield _("how far out the unit's own weight is"), unit.self_out
    yield _("the touching length of the strip"), unit.strip
    yield _("the cleat's thickness"), cleat.thickness
    yield _("the cleat's height"), cleat.height
    if unit.drop is not None:
        yield _("the stop's distance"), unit.drop
    for screw in (hanging.screw, *([unit.lock.screw] if unit.lock else ())):
        yield _("the screw's length"), screw.length
        if screw.thread is not None:
            yield _("the screw's thread"), screw.thread
        if screw.head_across is not None:
            yield _("the head's width"), screw.head_across
    for shelf in unit.shelves:
        yield _("a shelf's span"), shelf.span
        yield _("a shelf's depth"), shelf.depth
        yield _("a shelf's thickness"), shelf.thickness


def _not_less(hanging: Hanging) -> Iterator[tuple[Phrase, float]]:
    """Yield what may be nothing, but not less."""
    unit, wall = hanging.unit, hanging.wall
    yield _("the unit's own weight"), unit.self_mass_kg
    yield _("the panel's thickness"), wall.panel
    yield _("the gypsum's thickness"), wall.gypsum
    yield _("the hollow behind the panel"), wall.void
    for shelf in unit.shelves:
        yield _("a shelf's weight"), shelf.mass_kg
        yield _("a shelf's overhang"), shelf.overhang


def _refuse_use(use: Use) -> Iterator[Refusal]:
    if use.goods is not Goods.STORED:
        yield to_a_professional(Why.GOODS, GOODS[use.goods])
    if use.spot is not Spot.DRY_INDOORS:
        yield to_a_professional(Why.SPOT, SPOTS[use.spot])
    if use.premises is not Premises.PRIVATE:
        yield to_a_professional(Why.PREMISES, PREMISES[use.premises])
    if not use.celsius <= HOTTEST:
        yield to_a_professional(
            Why.HEAT, say("At more than {most:.0f} °C nothing is known of the wood.", most=HOTTEST)
        )


def _refuse_wall(hanging: Hanging, system: System) -> Iterator[Refusal]:
    wall = hanging.wall
    if wall.backing in BACKINGS:
        yield no_stud(wall.backing)
    elif wall.soundness is not Soundness.SOUND:
        message = (
            _("The studs are damaged, notched or cracked.")
            if wall.soundness is Soundness.DAMAGED
            else _("Nobody looked whether the studs are sound.")
        )
        yield Refusal(Why.UNSOUND, message, _("Look at the studs; mend or choose others."))
    studs = sorted(set(wall.studs))
    near = [a for a, b in pairwise(studs) if mm(b) - mm(a) < NEAREST_STUDS]
    if wall.backing is Backing.STUD and len(studs) < 2:
        yield one_stud()
    elif near:
        message = say("Two studs near {at} are one measured twice.", at=show(near[0], system))
        yield Refusal(Why.STUDS_NEAR, message, _("Enter each stud once, by its middle."))
    elif studs and not studs[0] <= hanging.unit.middle <= studs[-1]:
        message = _("The unit's middle lies beside all the studs its cleat is screwed to.")
        yield Refusal(Why.BESIDE, message, _("Move the unit, or screw the cleat to one stud more."))
    yield from _refuse_gravity(wall)


def _refuse_gravity(wall: Wall) -> Iterator[Refusal]:
    if wall.gravity is not None and not LIGHTEST <= wall.gravity <= DENSEST:
        message = say(
            "A specific gravity of {gravity:.2f} is outside {least} to {most}.",
            gravity=wall.gravity,
            least=LIGHTEST,
            most=DENSEST,
        )
        yield Refusal(Why.GRAVITY, message, _("Leave it empty for an unknown stud."))


def _refuse_shelves(shelves: tuple[Shelf, ...]) -> Iterator[Refusal]:
    if any(shelf.grain is Grain.UNKNOWN for shelf in shelves):
        message = _(
            "Nobody knows which way a shelf's grain runs; across, it bends three times as much."
        )
        yield Refusal(Why.SHELF, message, _("Look at the face: along the span, or across?"))
    if any(shelf.spans not in (1, 2) for shelf in shelves):
        message = _("A shelf has one span or two equal ones here.")
        yield Refusal(Why.SHELF, message, _("Enter it as several shelves."))
