"""Refuse units without a stop that bears, and units that would turn off their cleat."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.rules.hanging.fasteners import layers
from kiosk.rules.hanging.hooking import NEAR, least_drop
from kiosk.rules.hanging.kinds import Backing, StopOn
from kiosk.rules.hanging.model import Hanging, Lock
from kiosk.rules.hanging.refusals import LANDINGS, Refusal, Why, at_least
from kiosk.rules.hanging.refusingscrew import refuse_screw, short_screw
from kiosk.rules.lengths import System, mm, show
from kiosk.rules.words import _, say


def refuse_stop(hanging: Hanging, system: System) -> Iterator[Refusal]:
    """Yield what is wrong with the stop, and whether the unit unhooks."""
    unit = hanging.unit
    if unit.stop_on is StopOn.NONE:
        message = _("The unit has no stop: its back would swing to the wall and off the cleat.")
        yield Refusal(Why.NO_STOP, message, _("Make the back longer, flush to the bottom."))
    elif unit.stop_on in LANDINGS:
        remedy = _("Move the cleat or the stop, or fill the hollow.")
        yield Refusal(Why.STOP_LANDS, LANDINGS[unit.stop_on], remedy)
    if unit.stop_on is not StopOn.NONE and unit.drop is None:
        message = _("Nobody measured how far below the bevel the stop bears.")
        yield Refusal(Why.STOP_UNMEASURED, message, _("Measure it."))
    contact = mm(hanging.cleat.thickness) / 2
    if min(mm(unit.load_out), mm(unit.self_out)) < contact:
        message = _("The load lies inside the bevel; that cannot be.")
        yield Refusal(Why.LOAD_INSIDE, message, _("Measure from the panel's face."))
    elif unit.drop is not None and unit.lock is None:
        yield from _unhooks(hanging, contact, system)
    if unit.lock is not None:
        yield from _refuse_lock(hanging, unit.lock, system)


def reach(hanging: Hanging) -> float:
    """Return how far out all is taken to hang, mm: load or own weight, whichever is further."""
    return max(mm(hanging.unit.load_out), mm(hanging.unit.self_out))


def _unhooks(hanging: Hanging, contact: float, system: System) -> Iterator[Refusal]:
    need = least_drop(out=reach(hanging), contact=contact)
    if hanging.unit.drop is not None and mm(hanging.unit.drop) < need * (1 - NEAR):
        message = say(
            "The unit turns off its cleat: its stop bears {drop} below the bevel and needs {need}.",
            drop=show(hanging.unit.drop, system),
            need=at_least(need, system),
        )
        remedy = _("Make the back longer, or fit a pull-lock into a stud.")
        yield Refusal(Why.UNHOOKS, message, remedy)


def _refuse_lock(hanging: Hanging, lock: Lock, system: System) -> Iterator[Refusal]:
    if lock.backing is not Backing.STUD or lock.count < 1:
        message = _("The pull-lock is not screwed into a stud; plywood alone has no value for it.")
        yield Refusal(Why.LOCK, message, _("Screw it through the hung strip into a stud."))
    yield from refuse_screw(lock.screw)
    # through the hung strip, which is as thick as the cleat, and all that is behind the cleat
    yield from short_screw(lock.screw, layers(hanging.cleat, hanging.wall).passed, system=system)
