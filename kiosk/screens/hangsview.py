"""What the screens of walls and of hanging show, read on the shop's thread."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.hangviews import HangingView, HangStep, UnitHanging, WallView
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import System
from kiosk.rules.naming import natural
from kiosk.rules.route import State
from kiosk.screens.face import ShopFace
from kiosk.screens.hangface import HangFace
from kiosk.screens.sheetwords import system_of
from kiosk.store import Job


@dataclass(frozen=True, slots=True)
class WallsSeen:
    """The walls of a job: what its list calls walls, and those measured, by the wall's id."""

    job: str
    system: System
    names: tuple[tuple[str, str], ...]
    walls: tuple[MeasuredWall, ...] = ()

    def wall(self, name: str) -> MeasuredWall | None:
        """Return a wall as measured, None where nobody measured it."""
        return next((one for one in self.walls if one.wall == name), None)


@dataclass(frozen=True, slots=True)
class HangSeen:
    """The check of a job's walls, and which of its units are up."""

    job: Job
    system: System
    view: HangingView
    hung: frozenset[str] = frozenset()

    def wall(self, name: str) -> WallView | None:
        """Return one wall, the first where none has this name; None without any."""
        found = {one.wall.wall: one for one in self.view.walls}
        return found.get(name) or next(iter(found.values()), None)

    def steps(self, wall: str) -> tuple[tuple[HangStep, UnitHanging], ...]:
        """Return the units of a wall in the order they go up."""
        found = []
        for step in self.view.order:
            unit = self.view.unit(step.unit)
            if unit is not None and unit.wall == wall:
                found.append((step, unit))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Form:
    """How a unit hangs while it is entered: what people said, what is known, what changed.

    said is the draft; known is as it was filled in by the part list when the form was opened.
    others are the job's units it may hang on, with their names; walls the ids of its walls.
    """

    job: str
    unit: str
    name: str
    system: System
    said: Fitting
    known: Fitting
    others: tuple[tuple[str, str], ...] = ()
    walls: tuple[str, ...] = ()
    screws: str = ""
    is_changed: bool = False

    def with_said(self, said: Fitting) -> Form:
        """Return the form with another draft."""
        return replace(self, said=said, is_changed=True)


def see_walls(shop: ShopFace, walls: HangFace, job: str) -> WallsSeen:
    """Return the walls of a job."""
    measured = walls.walls(job)
    names = {
        one.unit: one.name for one in shop.standings() if one.job == job and one.kind == "wall"
    }
    names |= {one.wall: "" for one in measured if one.wall not in names}
    ordered = sorted(names.items(), key=lambda one: natural(one[0]))
    return WallsSeen(job, _system(shop, job), tuple(ordered), measured)


def see_hanging(shop: ShopFace, walls: HangFace, job: str) -> HangSeen:
    """Return the check of a job."""
    up = {one.unit for one in shop.standings() if one.job == job and one.state == State.HUNG}
    known = shop.jobs()[job]
    return HangSeen(known, _system(shop, job), walls.hanging(job), frozenset(up))


def see_form(shop: ShopFace, walls: HangFace, job: str, unit: str) -> Form:
    """Return how a unit hangs, to be entered."""
    listed = [one for one in shop.standings() if one.job == job]
    name = next((one.name for one in listed if one.unit == unit), "")
    others = [(one.unit, one.name) for one in listed if one.unit != unit and one.kind != "wall"]
    return Form(
        job,
        unit,
        name,
        _system(shop, job),
        walls.fittings(job).get(unit, Fitting()),
        walls.fitting(job, unit),
        tuple(sorted(others, key=lambda one: natural(one[0]))),
        tuple(name for name, _name in see_walls(shop, walls, job).names),
        shop.settings.screws,
    )


def _system(shop: ShopFace, job: str) -> System:
    known = shop.jobs().get(job)
    return system_of((known.units if known else "") or shop.settings.units)
