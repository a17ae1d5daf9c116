"""Put units on their walls: on which, behind which panel, and with what they carry."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from kiosk.rules.hanging.complete import Filled, complete
from kiosk.rules.hanging.fitting import Fitting, How, WallCleat
from kiosk.rules.hanging.onwall import OnWall, middle_of
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import Length, System
from kiosk.rules.naming import natural
from kiosk.rules.parts import UnitSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job's units and what people said of them and of its walls, each by its id."""

    specs: Mapping[str, UnitSpec]
    fittings: Mapping[str, Fitting]
    walls: Mapping[str, MeasuredWall]
    system: System = System.MM


def fill_in(job: Job) -> dict[str, Filled]:
    """Return the fitting of each unit but the walls themselves, filled in, as people count them.

    What was said of a cleat that several units share holds for all of them.
    """
    names = sorted((one for one, spec in job.specs.items() if spec.kind != "wall"), key=natural)
    said = {name: job.fittings.get(name, Fitting()) for name in names}
    placed = {name: replace(one, wall=wall_of(name, job)) for name, one in said.items()}
    alike = _alike(placed.values())
    return {
        name: complete(
            job.specs[name],
            replace(one, cleat=_merged(one.cleat, alike.get((one.wall, one.cleat.name)))),
            specs=job.specs,
            system=job.system,
        )
        for name, one in placed.items()
    }


def wall_of(name: str, job: Job) -> str:
    """Return the wall a unit is on: as said, as listed, or that of what it hangs on; '' unknown."""
    seen: set[str] = set()
    while name in job.specs and name not in seen:
        seen.add(name)
        spec, said = job.specs[name], job.fittings.get(name, Fitting())
        if said.wall or spec.wall:
            return said.wall or spec.wall
        name = said.on or spec.hangs_on
        if name in job.specs and job.specs[name].kind == "wall":
            return name
    return ""


def carrier_of(name: str, filled: Mapping[str, Filled]) -> str:
    """Return the unit on a cleat that carries this one in the end, '' for none; itself if it does.

    What is carried by a unit with its own screws, or in a ring, is carried by none that is rated.
    """
    seen: set[str] = set()
    while name in filled and name not in seen:
        seen.add(name)
        if filled[name].fitting.how is not How.CARRIED:
            return name if filled[name].fitting.how is How.CLEAT else ""
        name = filled[name].fitting.on
    return ""


def on_wall(name: str, job: Job, *, filled: Mapping[str, Filled], carried: Sequence[str]) -> OnWall:
    """Return a unit that hooks on a cleat of a measured wall, with the weight of all it carries.

    What it carries hangs as far out as was said, else by its kind. One of them without a weight
    or a distance leaves it without one. A door that says nothing else carries no load.
    """
    fitting = filled[name].fitting
    parts = [(fitting.self_kg, fitting.self_out)]
    loads = [fitting.load_out]
    for one in carried:
        its, kind = filled[one].fitting, job.specs[one].kind
        front = _in_front(fitting, its, kind=kind)
        out = next((at for at in (its.self_out, its.load_out) if at is not None), front)
        parts.append((its.self_kg, out))
        if its.load_out is not None or kind != "door":
            loads.append(out if its.load_out is None else its.load_out)
    known = [out for out in loads if out is not None]
    return OnWall(
        spec=job.specs[name],
        wall=job.walls[fitting.wall],
        fitting=fitting,
        self_kg=_sum(kg for kg, _out in parts),
        self_out=_resultant(parts),
        load_out=max(known) if len(known) == len(loads) else None,
        asides=_asides(name, job, filled, carried),
        panel=_panel(fitting, filled),
        low=filled[fitting.on].fitting.y if fitting.on in filled else None,
    )


def _in_front(carrier: Fitting, carried: Fitting, *, kind: str) -> Length | None:
    """Return how far out the middle of what a unit carries is; None where that is unknown.

    All stands in front of it, a divider in it: who knows that it is nearer says so (choice, to the
    safe side). Half a door's thickness is left out.
    """
    if carrier.depth is None or carrier.cleat.thickness is None:
        return None
    front = Length(carrier.depth + carrier.cleat.thickness)
    if kind == "door":
        return front
    if carried.depth is None or carrier.load_out is None:
        return None
    half = (carried.depth + 1) // 2
    if kind == "divider":
        return max(carrier.load_out, Length(carrier.cleat.thickness + half))
    return Length(front + half)


def _asides(
    name: str, job: Job, filled: Mapping[str, Filled], carried: Sequence[str]
) -> tuple[Length, ...]:
    """Return where along the wall else the load may be: with what is carried, as far as was said.

    Doors bring their weight alone: it counts where all weights are together.
    """
    mine = filled[name].fitting
    places = [(one, middle_of(filled[one].fitting)) for one in carried]
    known = [(one, at) for one, at in places if at is not None]
    parts = [(mine.self_kg, middle_of(mine))]
    parts += [(filled[one].fitting.self_kg, at) for one, at in known]
    loaded = [at for one, at in known if job.specs[one].kind != "door"]
    weights = _resultant(parts) if known else None
    return (*loaded, *([] if weights is None else [weights]))


def _sum(masses: Iterable[float | None]) -> float | None:
    listed = list(masses)
    # one that is below nothing would make room for more
    known = [one for one in listed if one is not None and one >= 0]
    return sum(known) if len(known) == len(listed) else None


def _resultant(parts: list[tuple[float | None, Length | None]]) -> Length | None:
    """Return how far out several weights hang together, rounded up; None where one is unknown."""
    if len(parts) == 1:
        return parts[0][1]
    turning, mass = 0.0, 0.0
    for kg, out in parts:
        if kg is None or out is None:
            return None
        turning, mass = turning + kg * out, mass + kg
    return Length(-int(-turning // mass)) if mass else parts[0][1]


def _panel(fitting: Fitting, filled: Mapping[str, Filled]) -> tuple[Length, Length] | None:
    on = filled[fitting.on].fitting if fitting.on in filled else None
    if on is None or on.x is None or on.width is None:
        return None
    return on.x, Length(on.x + on.width)


def _alike(fittings: Iterable[Fitting]) -> dict[tuple[str, str], WallCleat]:
    """Return what anybody said of each cleat that has a name, the first word of each."""
    found: dict[tuple[str, str], WallCleat] = {}
    for one in fittings:
        if one.cleat.name:
            key = (one.wall, one.cleat.name)
            found[key] = _merged(found.get(key, one.cleat), one.cleat)
    return found


def _merged(cleat: WallCleat, more: WallCleat | None) -> WallCleat:
    """Return a cleat in which what was not said is as in another."""
    if more is None:
        return cleat
    unsaid = WallCleat()
    change: dict[str, Any] = {
        one.name: getattr(more, one.name)
        for one in fields(WallCleat)
        if getattr(cleat, one.name) == getattr(unsaid, one.name)
    }
    return replace(cleat, **change)
