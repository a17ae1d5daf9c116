"""The sentences that stand beside every number, and those a certain unit needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.rules.hanging.kinds import Board
from kiosk.rules.hanging.model import Hanging
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import Phrase, _, say

CABLES: Final = 31.75  # mm, 1 1/4 in: how far a bored hole for a cable lies from a stud's edge, NEC

ALWAYS: Final[tuple[Phrase, ...]] = (
    _(
        "This is no engineering approval. Local building, electrical and fire codes and a licensed"
        " professional govern; get one for public, commercial, school, care, seismic, rental or"
        " overhead use."
    ),
    _(
        "It holds only for sound wood studs that were found and verified, and screws of the stated"
        " size and penetration, pilot-drilled, not overdriven. No drywall screws."
    ),
    _(
        "Load it evenly and gently. Nobody climbs, hangs, sits or stands on it; nobody sleeps or"
        " sits below without a pull-lock. Heavy things low and toward the wall."
    ),
    _(
        "The stop must bear on the panel. Check hook and stop after loading, after a week, and"
        " every year. Fit anti-lift blocks: children, earthquakes, bumps."
    ),
    _(
        "Look for cables and pipes, switch off, use plates. No screws near outlets, stacks, party"
        " or fire-rated walls without approval."
    ),
    _(
        "Dry, indoors, under 38 °C. Wood goes on bending for years. Paint, wax and damp lower"
        " friction; none is counted."
    ),
)


def cautions(
    hanging: Hanging, *, penetration: float, hooks: bool, system: System = System.MM
) -> tuple[Phrase, ...]:
    """Return all sentences to print with a rating; penetration of its screws in mm.

    hooks says whether it stays on its cleat without a lock.
    """
    return (*ALWAYS, *_own(hanging, penetration, hooks=hooks, system=system))


def _own(hanging: Hanging, penetration: float, *, hooks: bool, system: System) -> Iterator[Phrase]:
    if penetration > CABLES:
        yield say(
            "Its screws reach {penetration} into the studs: more than {most} can meet a cable that"
            " no plate covers.",
            penetration=on_tape(from_mm(round(penetration, 1)), system, toward=Toward.LESS),
            most=on_tape(from_mm(CABLES), system),
        )
    if not hooks:
        yield _("Without its pull-lock it turns off the cleat: drive the lock before loading.")
    if hanging.cleat.board is Board.LUMBER:
        yield _("A lumber cleat is weakest across its grain; plywood is better.")
    if not hanging.unit.shelves:
        yield _("No shelf was entered: how far boards sag and what breaks them was not looked at.")
