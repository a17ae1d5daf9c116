"""Say of each measured wall what its floor, its panels and its studs need and get."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from kiosk.rules.hanging.fitting import Fitting, How
from kiosk.rules.hanging.hangviews import PanelSeam, Seam, StudLoad, UnitHanging, WallView
from kiosk.rules.hanging.inches import GRAVITY
from kiosk.rules.hanging.levelling import Reading, level
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.order import overlap
from kiosk.rules.hanging.panels import CLEARANCE, bears, two_panels
from kiosk.rules.hanging.rows import clear_above, cleat_rows, room
from kiosk.rules.hanging.sharedcleat import unit_load
from kiosk.rules.hanging.sharing import on_studs
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import Length, System, from_mm, mm
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import Phrase, _, join, say


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A panel of a wall with its fitting filled in."""

    unit: str
    fitting: Fitting


def see_wall(
    wall: MeasuredWall,
    units: Sequence[UnitHanging],
    *,
    panels: Sequence[Panel],
    pitch: Length,
    system: System = System.MM,
) -> WallView:
    """Return what a wall needs and gets; units are all on it, panels those of them that are."""
    readings = [Reading(at=one.x, height=one.level) for one in wall.floor]
    found = level(readings)
    under = found.under if found else ()
    placed = sorted((one for one in panels if one.fitting.x is not None), key=_left)
    seams = tuple(_seams(placed, wall))
    rows = tuple(_seen(one, wall, units, seams, pitch, system) for one in panels)
    return WallView(
        wall=wall,
        panels=rows,
        seams=seams,
        spacer=min((thick for _at, thick in under), default=None),
        shims=under,
        scribe=found.scribe if found else False,
        studs=_stud_loads(units),
        notes=(
            *_notes(wall, units, is_level=found is not None),
            *_proposed(wall, panels, system),
        ),
    )


def _left(panel: Panel) -> Length:
    return panel.fitting.x or NOTHING


def _seen(
    panel: Panel,
    wall: MeasuredWall,
    units: Sequence[UnitHanging],
    seams: Sequence[Seam],
    pitch: Length,
    system: System,
) -> PanelSeam:
    fitting = panel.fitting
    on_it = [one for one in units if one.fitting.on == panel.unit and one.how is How.CLEAT]
    gross = [one.rating.gross_kg if one.rating else None for one in on_it]
    known = [one for one in gross if one is not None]
    rows = _rows(fitting, on_it, pitch)
    left_on = right_on = None
    if fitting.x is not None and fitting.width is not None:
        left_on = _bears(fitting.x, wall)
        right_on = _bears(fitting.x + fitting.width, wall)
    return PanelSeam(
        unit=panel.unit,
        x=fitting.x,
        width=fitting.width,
        left_on=left_on,
        right_on=right_on,
        loads_kg=sum(known) if len(known) == len(gross) else None,
        rows=rows,
        notes=tuple(_panel_notes(panel, seams, wall, system)),
    )


def _bears(at: int, wall: MeasuredWall) -> bool:
    return any(bears(Length(at), one.x, stud_width=one.width) for one in wall.studs)


def _rows(fitting: Fitting, on_it: Sequence[UnitHanging], pitch: Length) -> tuple[Length, ...]:
    """Return the lower edges of cleats at the pitch, where the panel's place is known.

    The highest leaves room for the cleat and for lifting a unit on; its units' cleats say how high.
    """
    heights = [one.fitting.cleat.height for one in on_it if one.fitting.cleat.height]
    thick = [one.fitting.cleat.thickness for one in on_it if one.fitting.cleat.thickness]
    if fitting.y is None or fitting.height is None or not heights or not thick:
        return ()
    top = Length(fitting.y + fitting.height - max(heights) - room(max(thick)))
    rows = cleat_rows(top, fitting.y, pitch=pitch)
    is_clear = clear_above(rows, height=max(heights), thickness=max(thick))
    return rows if is_clear else ()


def _panel_notes(
    panel: Panel, seams: Sequence[Seam], wall: MeasuredWall, system: System
) -> Iterator[Phrase]:
    fitting = panel.fitting
    if fitting.x is None or fitting.width is None:
        yield _("Nobody said where it goes: seams and studs were not looked at.")
        return
    if fitting.x + fitting.width + CLEARANCE > wall.width or fitting.x < CLEARANCE:
        yield say(
            "Less than {gap} is free at the wall's end.",
            gap=on_tape(CLEARANCE, system, toward=Toward.MORE),
        )
    for one in seams:
        if one.left != panel.unit:
            continue
        if one.gap < CLEARANCE:
            yield say(
                "Less than {gap} is free between it and {other}.",
                gap=on_tape(CLEARANCE, system, toward=Toward.MORE),
                other=one.right,
            )
        if not one.on_stud:
            yield say(
                "Its seam with {other} at {at} lies on no stud.",
                other=one.right,
                at=on_tape(one.at, system),
            )


def _seams(placed: Sequence[Panel], wall: MeasuredWall) -> Iterator[Seam]:
    """Yield the seam of each panel with the next one beside it; placed are from left to right."""
    for at, one in enumerate(placed):
        other = next((each for each in placed[at + 1 :] if _beside(one, each)), None)
        if one.fitting.width is None or other is None:
            continue
        end = _left(one) + one.fitting.width
        gap = _left(other) - end
        middle = Length(end + gap // 2)
        yield Seam(
            left=one.unit,
            right=other.unit,
            at=middle,
            gap=Length(gap),
            on_stud=_bears(middle, wall),
        )


def _beside(one: Panel, other: Panel) -> bool:
    """Say whether two panels share a seam: one beside the other, not over it, and near."""
    mine, its = one.fitting, other.fitting
    near = _left(other) - _left(one) - (mine.width or 0) <= 10 * CLEARANCE
    if mine.y is None or its.y is None or mine.height is None or its.height is None:
        return near
    return near and mine.y < its.y + its.height and its.y < mine.y + mine.height


def _stud_loads(units: Sequence[UnitHanging]) -> tuple[StudLoad, ...]:
    """Return what all rated units bring to the studs when loaded as they are rated."""
    loads, reached = [], {}
    for one in units:
        if one.hanging is None or one.rating is None or not one.rating.is_rated:
            continue
        load = unit_load(one.unit, one.hanging, rating=one.rating)
        loads.append(replace(load, cleat=one.unit))
        reached[one.unit] = [mm(stud) for stud in one.hanging.wall.studs]
    found = on_studs(loads, reached)
    return tuple(
        StudLoad(x=from_mm(at), load_kg=one.load / GRAVITY, pull_n=one.pull)
        for at, one in sorted(found.items())
    )


def _notes(wall: MeasuredWall, units: Sequence[UnitHanging], *, is_level: bool) -> Iterator[Phrase]:
    if not is_level:
        yield _("The floor was not measured at two places or more: no shims are known.")
    without = [one.unit for one in units if one.how is How.CLEAT and one.net_kg is None]
    if without:
        yield say(
            "What {units} would bring is not in the sums, as they have no number.",
            units=join(without, ", "),
        )
    for one in units:
        if _is_beyond(one.fitting, wall):
            yield say("{unit} reaches beyond the wall: look at x, y and sizes.", unit=one.unit)
    hooked = [one for one in units if one.how is How.CLEAT and one.kind != "panel"]
    for one, other in combinations(hooked, 2):
        if overlap(one.fitting, other.fitting):
            yield say(
                "{unit} and {other} are entered in one place: look at x, y and sizes.",
                unit=one.unit,
                other=other.unit,
            )


def _is_beyond(one: Fitting, wall: MeasuredWall) -> bool:
    right = (one.x or 0) + (one.width or 0)
    return right > wall.width or (one.y or 0) + (one.height or 0) > wall.height


def _proposed(wall: MeasuredWall, panels: Sequence[Panel], system: System) -> Iterator[Phrase]:
    """Yield how two panels nobody placed would fill the wall, with their seam on a stud."""
    widths = [one.fitting.width for one in panels if one.fitting.x is None]
    known = [one for one in widths if one is not None]
    if len(panels) != 2 or len(known) != 2:
        return
    found = two_panels(wall.width, tuple(one.x for one in wall.studs), widest=max(known))
    if found is not None and found.stud is not None:
        yield say(
            "Two panels fill it as {left} and {right}, their seam on the stud at {stud}.",
            left=on_tape(found.left, system),
            right=on_tape(found.right, system),
            stud=on_tape(found.stud, system),
        )
