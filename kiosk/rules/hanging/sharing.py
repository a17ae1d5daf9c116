"""How studs share what hangs on a cleat, and what cleats and studs carry together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass


def bearing(studs: Sequence[float], middle: float, *, touching: float) -> list[float]:
    """Return the studs that bear a unit: those its strip lies on, from left to right.

    touching is the strip's length about the middle, mm. Where none of them is on one side of the
    middle, the next one there is taken too. A cleat that runs on bends, and brings nothing to studs
    further off (choice, to the safe side: the reckoning takes the unit as stiff, not the cleat).
    """
    left = max((one for one in studs if one <= middle), default=None)
    right = min((one for one in studs if one >= middle), default=None)
    near = {one for one in studs if abs(one - middle) <= touching / 2}
    near |= {one for one in (left, right) if one is not None}
    if len(near) < 2:  # just before one stud, or beside all of them
        near |= set(sorted(studs, key=lambda one: abs(one - middle))[:2])
    return sorted(near)


def shares(studs: Sequence[float], middle: float, *, touching: float) -> tuple[float, ...]:
    """Return the share of a load that each stud's screws take, by their positions, mm.

    Those that bear the unit share as a stiff unit brings it: 1/n and what the distance from their
    middle adds; others take nothing. Derived for this tool. A share below nothing means that this
    stud is lifted. Where a unit hangs off the middle, one stud more on the far side may bring more
    to the nearest one; `together` then leaves that stud without a screw.

    Raises:
        ValueError: fewer than two studs, or all at one place.
    """
    bearers = bearing(studs, middle, touching=touching)
    if len(bearers) < 2:
        raise ValueError("one stud does not keep a cleat from turning")
    centre = sum(bearers) / len(bearers)
    spread = sum((one - centre) ** 2 for one in bearers)
    return tuple(
        1 / len(bearers) + (middle - centre) * (one - centre) / spread if one in bearers else 0.0
        for one in studs
    )


def worst_share(studs: Sequence[float], middle: float, *, touching: float) -> float:
    """Return the largest share of a load that one stud's screws take."""
    return max(shares(studs, middle, touching=touching))


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One unit's forces on its cleat: where its middle is, mm, its load, N, its moment, N mm.

    touching is how long its strip touches about its middle, mm;
    moment turns the cleat, from `prying`.
    """

    unit: str
    cleat: str
    middle: float
    touching: float
    load: float
    pull: float
    moment: float


@dataclass(frozen=True, slots=True)
class Sum:
    """What several units bring together: load and pull in N, moment in N mm."""

    load: float
    pull: float
    moment: float


def at_studs(loads: Iterable[Load], studs: Sequence[float]) -> tuple[Sum, ...]:
    """Return what the units of one cleat bring to each stud it is screwed to.

    Where a unit would lift a stud that is counted as nothing, as another may not be there when it
    is needed (choice, to the safe side).
    """
    found = [Sum(0.0, 0.0, 0.0) for _stud in studs]
    for one in loads:
        for at, share in enumerate(shares(studs, one.middle, touching=one.touching)):
            part, before = max(share, 0.0), found[at]
            found[at] = Sum(
                before.load + part * one.load,
                before.pull + part * one.pull,
                before.moment + part * one.moment,
            )
    return tuple(found)


def on_studs(loads: Sequence[Load], reached: Mapping[str, Sequence[float]]) -> dict[float, Sum]:
    """Return what the units on all cleats bring to each stud of a wall, by its position.

    reached names each cleat's studs. The strength of a stud itself is for who built the wall to
    say: this is what to tell them.
    """
    found: dict[float, Sum] = {}
    for cleat, studs in reached.items():
        own = at_studs((one for one in loads if one.cleat == cleat), studs)
        for stud, more in zip(studs, own, strict=True):
            before = found.get(stud, Sum(0.0, 0.0, 0.0))
            found[stud] = Sum(
                before.load + more.load, before.pull + more.pull, before.moment + more.moment
            )
    return found
