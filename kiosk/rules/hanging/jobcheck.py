"""Check how the units of a job's measured walls hang: each rated with all that shares its cleat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kiosk.rules.hanging.carrying import Job, carrier_of, fill_in, on_wall
from kiosk.rules.hanging.complete import Filled
from kiosk.rules.hanging.fitting import How
from kiosk.rules.hanging.hangviews import HangingView, UnitHanging
from kiosk.rules.hanging.landing import cleat_of, in_the_way
from kiosk.rules.hanging.means import Means
from kiosk.rules.hanging.onwall import OnWall
from kiosk.rules.hanging.order import Hung, hanging_order
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.together import Rated, rate_cleat
from kiosk.rules.hanging.unitcheck import Checking, see_carried, see_hooked, see_screwed
from kiosk.rules.hanging.wallsum import Panel, see_wall
from kiosk.rules.naming import natural
from kiosk.rules.records import Allowed


def check_job(code: str, job: Job, *, allowed: Mapping[str, Allowed], means: Means) -> HangingView:
    """Return the check of a job's measured walls.

    Args:
        code: the job's.
        job: its units, and what people said of them and of its walls.
        allowed: by unit, a person's word for hanging it although it is refused.
        means: of the shop.
    """
    filled = fill_in(job)
    on_it = {name: one for name, one in filled.items() if one.fitting.wall in job.walls}
    carriers = {name: carrier_of(name, on_it) for name in on_it}
    placed = {
        name: on_wall(name, job, filled=on_it, carried=_carried(name, carriers))
        for name, one in on_it.items()
        if one.fitting.how is How.CLEAT
    }
    rated = _rate(placed, job, means)
    checking = Checking(job=job, filled=on_it, carriers=carriers, allowed=allowed, means=means)
    listed = _see(checking, placed, rated)
    return HangingView(
        job=code,
        walls=tuple(
            see_wall(
                wall,
                [one for one in listed if one.wall == wall.wall],
                panels=_panels(wall.wall, job, on_it),
                pitch=means.pitch,
                system=job.system,
            )
            for wall in sorted(job.walls.values(), key=lambda one: natural(one.wall))
        ),
        units=listed,
        order=hanging_order(_hung(job, on_it), system=job.system),
        unmeasured=tuple(name for name in filled if name not in on_it),
    )


def _see(
    checking: Checking, placed: Mapping[str, OnWall], rated: Mapping[str, Rated]
) -> tuple[UnitHanging, ...]:
    """Return what is said of each unit: first of those on cleats, then of what they carry."""
    units = {
        name: see_hooked(
            checking,
            one,
            rated=rated[name],
            beside={other: rated[other] for other in _beside(name, placed)},
        )
        for name, one in placed.items()
    }
    for name, filled in checking.filled.items():
        if filled.fitting.how is How.CARRIED:
            carrier = units.get(checking.carriers[name])
            units[name] = see_carried(checking, name, carrier=carrier)
        elif filled.fitting.how is How.SCREWED:
            units[name] = see_screwed(checking, name)
    return tuple(units[name] for name in checking.filled)


def _carried(name: str, carriers: Mapping[str, str]) -> list[str]:
    return [one for one, carrier in carriers.items() if carrier == name and one != name]


def _groups(placed: Mapping[str, OnWall]) -> dict[tuple[str, ...], list[str]]:
    """Return the units of each cleat: those of one name on one wall, else each its own."""
    found: dict[tuple[str, ...], list[str]] = {}
    for name in placed:
        found.setdefault(cleat_of(name, placed), []).append(name)
    return found


def _beside(name: str, placed: Mapping[str, OnWall]) -> tuple[str, ...]:
    """Return the units that share a unit's cleat."""
    mine = cleat_of(name, placed)
    return tuple(one for one in placed if one != name and cleat_of(one, placed) == mine)


def _rate(placed: Mapping[str, OnWall], job: Job, means: Means) -> dict[str, Rated]:
    found: dict[str, Rated] = {}
    for names in _groups(placed).values():
        units = {name: placed[name] for name in names}
        found |= rate_cleat(units, stock=means.stock, shop=means.shop, system=job.system)
    for name, refusal in in_the_way(placed):
        one = found[name]
        rating = Rating(limits={}, refusals=(*one.rating.refusals, refusal))
        found[name] = replace(one, rating=rating, screws=())
    return found


def _panels(wall: str, job: Job, filled: Mapping[str, Filled]) -> list[Panel]:
    return [
        Panel(unit=name, fitting=one.fitting)
        for name, one in filled.items()
        if one.fitting.wall == wall and job.specs[name].kind == "panel"
    ]


def _hung(job: Job, filled: Mapping[str, Filled]) -> list[Hung]:
    return [
        Hung(unit=name, kind=job.specs[name].kind, fitting=one.fitting, after=one.fitting.on)
        for name, one in filled.items()
    ]
