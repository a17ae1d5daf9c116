"""Say what is wrong with a wall as measured, thing by thing, before it is kept."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from kiosk.rules.hanging.refusing import NEAREST_STUDS
from kiosk.rules.hanging.service import HOTTEST
from kiosk.rules.hanging.species import GRAVITIES
from kiosk.rules.hanging.wall import (
    LAYERS,
    SERVICES,
    FloorLevel,
    Layer,
    MeasuredWall,
    Service,
    Stud,
)
from kiosk.rules.lengths import LONGEST, Length, System, from_mm, mm, show
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

STUD_WIDTHS: Final = (20.0, 200.0)  # mm: outside of it something else was measured (choice)
COLDEST: Final = -30.0  # °C, of a wall (choice)
WORST_FINDER: Final = from_mm(30)  # a stud finder that errs by more finds no stud (choice)


def check_wall(wall: MeasuredWall, *, system: System = System.MM) -> tuple[Problem, ...]:
    """Return all problems of a wall, none where it is sound; column is the thing's field.

    What nobody said is no problem here: what hangs on the wall is refused until somebody does.
    """
    return tuple(
        problem
        for found in (
            wrong_size(wall),
            *(wrong_stud(one, wall, system) for one in wall.studs),
            wrong_studs(wall, system),
            *(wrong_floor(one, wall, system) for one in wall.floor),
            *(wrong_layer(one) for one in wall.layers),
            *(wrong_service(one, wall) for one in wall.services),
            wrong_facts(wall),
        )
        for problem in found
    )


def wrong_size(wall: MeasuredWall) -> Iterator[Problem]:
    """Yield what is wrong with a wall's width and height."""
    for column, side, value in (
        ("width", _("width"), wall.width),
        ("height", _("height"), wall.height),
    ):
        if not 0 < value <= LONGEST:
            message = say("The wall's {side} was not measured.", side=side)
            yield Problem(message, _("Measure it, and enter it."), column=column)


def wrong_stud(one: Stud, wall: MeasuredWall, system: System) -> Iterator[Problem]:
    """Yield what is wrong with one stud."""
    at = show(one.x, system)
    if not 0 <= one.x <= wall.width:
        message = say("The stud at {at} lies beside the wall.", at=at)
        yield Problem(message, _("Measure from the wall's left end."), column="x", value=at)
    if not STUD_WIDTHS[0] <= mm(one.width) <= STUD_WIDTHS[1]:
        wide = show(one.width, system) if one.width else "0"
        message = say("The stud at {at} is {wide} wide; that is no stud.", at=at, wide=wide)
        yield Problem(message, _("Measure how wide its face is."), column="width", value=wide)
    if one.species and one.species not in GRAVITIES:
        message = say("“{species}” is no species that is known here.", species=one.species)
        names = ", ".join(GRAVITIES)
        remedy = say("Leave it empty if you do not know, or write one of {names}.", names=names)
        yield Problem(message, remedy, column="species", value=one.species)


def wrong_studs(wall: MeasuredWall, system: System) -> Iterator[Problem]:
    """Yield studs that are entered twice."""
    for one, other in pairwise(sorted(stud.x for stud in wall.studs)):
        if mm(Length(other - one)) < NEAREST_STUDS:
            at = show(one, system)
            message = say("Two studs near {at} are one measured twice.", at=at)
            yield Problem(message, _("Enter each stud once, by its middle."), column="x", value=at)


def wrong_floor(one: FloorLevel, wall: MeasuredWall, system: System) -> Iterator[Problem]:
    """Yield what is wrong with one reading of the floor."""
    if not 0 <= one.x <= wall.width:
        at = show(one.x, system)
        message = say("The floor at {at} lies beside the wall.", at=at)
        yield Problem(message, _("Measure from the wall's left end."), column="x", value=at)


def wrong_layer(one: Layer) -> Iterator[Problem]:
    """Yield what is wrong with one layer between panel and stud."""
    if one.name not in LAYERS:
        message = say("“{name}” is no layer that is known here.", name=one.name)
        remedy = say("Write one of {names}.", names=", ".join(LAYERS))
        yield Problem(message, remedy, column="name", value=one.name)
    if one.thickness <= 0:
        message = say("How thick the layer of {name} is was not measured.", name=one.name)
        yield Problem(message, _("Measure it, or leave the layer out."), column="thickness")


def wrong_service(one: Service, wall: MeasuredWall) -> Iterator[Problem]:
    """Yield what is wrong with one service."""
    if one.kind not in SERVICES:
        message = say("“{name}” is no service that is known here.", name=one.kind)
        remedy = say("Write one of {names}.", names=", ".join(SERVICES))
        yield Problem(message, remedy, column="kind", value=one.kind)
    if one.x > wall.width or one.y > wall.height:
        message = say("A service of the kind {kind} lies beside the wall.", kind=one.kind)
        yield Problem(message, _("Enter the lower left corner."), column="x")
    if one.width <= 0 or one.height <= 0:
        message = say("A service of the kind {kind} has no size.", kind=one.kind)
        remedy = _("Enter how wide and high the place is where no screw may be.")
        yield Problem(message, remedy, column="width")


def wrong_facts(wall: MeasuredWall) -> Iterator[Problem]:
    """Yield what is wrong with what is said of the wall as a whole."""
    if not wall.wall:
        yield Problem(_("Nobody said which wall it is."), _("Choose one."), column="wall")
    if not COLDEST <= wall.celsius <= HOTTEST:
        message = say("{celsius:.0f} °C is no wall's temperature.", celsius=wall.celsius)
        yield Problem(message, _("Enter the warmest it gets."), column="celsius")
    if not Length(0) <= wall.finder <= WORST_FINDER:
        message = _("So wrong no stud finder is.")
        yield Problem(message, _("Enter its error in mm, such as 3."), column="finder")
