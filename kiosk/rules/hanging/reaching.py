"""Find the studs a unit's cleat is screwed to, and where each of its screws goes."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.hangviews import ScrewAt
from kiosk.rules.hanging.model import Screw
from kiosk.rules.hanging.panels import PANEL_EDGE
from kiosk.rules.hanging.screws import SIZES, holes
from kiosk.rules.hanging.studs import Zone, clashes, reached, screw_points, window
from kiosk.rules.hanging.wall import MeasuredWall, Service, Stud
from kiosk.rules.lengths import Length, System, from_mm, mm
from kiosk.rules.tape import on_tape
from kiosk.rules.words import Phrase, _, known, say

END: Final = from_mm(15)  # of a cleat, at least, to its first screw (choice)
KEEP_OUT: Final = from_mm(30)  # around a service, for what a drill wanders (choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """The studs a cleat is screwed to, and why it leaves others out although it lies on them.

    near_service says that one of them is left out for a service.
    """

    studs: tuple[Stud, ...] = ()
    left_out: tuple[Phrase, ...] = ()
    near_service: bool = False


def reach_studs(
    fitting: Fitting,
    wall: MeasuredWall,
    *,
    gauge: int,
    panel: tuple[Length, Length] | None = None,
    spared: Container[Length] = (),
    system: System = System.MM,
) -> Reached:
    """Return the studs that a cleat's screws of this gauge may count on, by measured positions.

    Left out is a stud too narrow for the screw with the finder's error; one at the panel's end,
    where screws only locate the panel; one where a screw would come near a service.

    Args:
        fitting: filled in.
        wall: as measured.
        gauge: the screws' number.
        panel: from where to where the panel reaches, None where nobody said or there is none.
        spared: studs that are better left without a screw, by `together`.
        system: how lengths are shown.
    """
    cleat = fitting.cleat
    if cleat.x is None or cleat.length is None:
        return Reached()
    by_x = {one.x: one for one in wall.studs}
    on_cleat = [by_x[x] for x in reached(cleat.x, cleat.length, studs=tuple(by_x), end=END)]
    found = [
        (
            stud,
            _too_narrow(stud, wall, gauge, system)
            or _at_end(stud, panel, system)
            or _spared(stud, spared, system),
            _at_service(stud, fitting, wall, system),
        )
        for stud in on_cleat
    ]
    left_out = [why or service for _stud, why, service in found]
    return Reached(
        studs=tuple(stud for stud, why, service in found if not why and not service),
        left_out=tuple(one for one in left_out if one),
        near_service=any(service for _stud, _why, service in found),
    )


def _too_narrow(stud: Stud, wall: MeasuredWall, gauge: int, system: System) -> Phrase | None:
    size = SIZES.get(gauge)
    if not size or window(mm(stud.width), shank=size.shank, error=mm(wall.finder)) > 0:
        return None
    words = _("The stud at {at} is left out: too narrow for No. {gauge} found this exactly.")
    return say(words, at=on_tape(stud.x, system), gauge=gauge)


def _at_end(stud: Stud, panel: tuple[Length, Length] | None, system: System) -> Phrase | None:
    if not panel or min(mm(stud.x) - mm(panel[0]), mm(panel[1]) - mm(stud.x)) >= PANEL_EDGE:
        return None
    words = _("The stud at {at} is left out: there the panel ends, and screws only locate it.")
    return say(words, at=on_tape(stud.x, system))


def _spared(stud: Stud, spared: Container[Length], system: System) -> Phrase | None:
    if stud.x not in spared:
        return None
    words = _("The stud at {at} is left out: with a screw in it one stud would bear more of all.")
    return say(words, at=on_tape(stud.x, system))


def _at_service(stud: Stud, fitting: Fitting, wall: MeasuredWall, system: System) -> Phrase | None:
    service = next(_near(fitting, wall, stud.x), None)
    if service is None:
        return None
    return say(
        "The stud at {at} is left out: a screw would come too near: {service}.",
        at=on_tape(stud.x, system),
        service=known(service.kind, "service"),
    )


def _near(fitting: Fitting, wall: MeasuredWall, stud: Length) -> Iterator[Service]:
    """Yield the services that a screw at this stud would come near."""
    cleat = fitting.cleat
    if cleat.y is None:
        return
    points = screw_points(cleat.y, cleat.rows, studs=(stud,))
    for service in wall.services:
        if clashes(points, (_zone(service),), margin=KEEP_OUT):
            yield service


def _zone(service: Service) -> Zone:
    return Zone(
        name=service.kind,
        left=service.x,
        right=Length(service.x + service.width),
        low=service.y,
        high=Length(service.y + service.height),
    )


def screws_of(
    fitting: Fitting,
    wall: MeasuredWall,
    *,
    screw: Screw,
    studs: tuple[Stud, ...],
    penetration: float,
    gravity: float,
) -> tuple[ScrewAt, ...]:
    """Return where each screw of a cleat goes; nothing where its place was not said.

    penetration in mm and the studs' specific gravity are those of the rating.
    """
    cleat = fitting.cleat
    if cleat.x is None or cleat.y is None or cleat.length is None or screw.gauge not in SIZES:
        return ()
    by_x, drills = {one.x: one for one in studs}, holes(screw.gauge, gravity)
    right = Length(cleat.x + cleat.length)
    return tuple(
        ScrewAt(
            x=point.x,
            y=point.y,
            gauge=screw.gauge,
            length=screw.length,
            penetration=from_mm(round(penetration, 2)),
            stud=point.stud,
            to_edge=Length(by_x[point.stud].width // 2 - wall.finder),
            to_end=Length(min(point.x - cleat.x, right - point.x)),
            pilot=drills.stud,
            clearance=drills.clearance,
        )
        for point in screw_points(cleat.y, cleat.rows, studs=tuple(by_x))
    )
