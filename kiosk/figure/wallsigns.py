"""Draw the signs of a wall's drawing: screws, studs, services, states."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.figure.shapes import (
    BAND,
    BLUE,
    GREY,
    HATCH,
    INK,
    ORANGE,
    PAPER,
    RULE,
    Area,
    Box,
    Line,
    Shape,
    hatch,
)
from kiosk.figure.sheetcuts import ring
from kiosk.figure.sheetlegend import tick
from kiosk.rules.hanging.hangviews import Checked

DASH: Final = (9.0, 4.0, 2.0, 4.0)  # of a middle line
DOTS: Final = (3.0, 3.0)  # of where no screw may come


def frame(box: Box, width: float, colour: str, dash: tuple[float, ...] = ()) -> Line:
    """Return the edge of a box as a line of some width."""
    dots = (
        (box.left, box.top), (box.right, box.top), (box.right, box.bottom),
        (box.left, box.bottom), (box.left, box.top),
    )  # fmt: skip
    return Line(dots, width, colour, dash)


def cross(x: float, y: float, half: float) -> Iterator[Line]:
    """Yield a screw: a cross about its middle."""
    yield Line(((x - half, y - half), (x + half, y + half)), 1.6, INK)
    yield Line(((x - half, y + half), (x + half, y - half)), 1.6, INK)


def state_shapes(box: Box, checked: Checked, progress: str) -> Iterator[Shape]:
    """Yield the ground and edge of a unit: each state differs by shape, not by colour alone.

    Hung is grey with a tick, ready has a ring; not rated is hatched with a thick edge, an override
    is hatched both ways, not checked is dashed.
    """
    fill = BAND if progress == "hung" else PAPER
    yield Box(box.left, box.top, box.right, box.bottom, fill)
    if checked in (Checked.REFUSED, Checked.ALLOWED):
        yield from hatch(box, lean=0 if checked is Checked.ALLOWED else -1, gap=12.0)
        yield frame(box, 3.0, ORANGE)
    elif checked is Checked.RATED:
        yield frame(box, 2.0, BLUE)
    elif checked is Checked.NOT_CHECKED:
        yield frame(box, 2.0, GREY, (8.0, 6.0))
    else:
        yield frame(box, 1.2, INK)


def progress_mark(box: Box, progress: str) -> Iterator[Shape]:
    """Yield the tick of a hung unit or the ring of one that is ready, filling a small box."""
    if progress == "hung":
        yield tick(box)
    elif progress == "ready":
        radius = min(box.right - box.left, box.bottom - box.top) / 2
        yield ring((box.left + box.right) / 2, (box.top + box.bottom) / 2, radius)


def service_shapes(box: Box, keep_out: Box) -> Iterator[Shape]:
    """Yield a service, hatched, in the dotted frame no screw may come into."""
    yield Box(box.left, box.top, box.right, box.bottom, PAPER)
    yield from hatch(box, lean=1, gap=5.0, colour=INK)
    yield frame(box, 1.2, INK)
    yield frame(keep_out, 1.0, ORANGE, DOTS)


def datum_mark(x: float, y: float) -> Area:
    """Return the triangle that stands on the datum."""
    return Area(((x, y), (x - 6, y - 10), (x + 6, y - 10)), INK)


# -- what they mean ------------------------------------------------------------------------------


def wall_sign(sign: str, box: Box) -> Iterator[Shape]:
    """Yield a sign of a wall's drawing within a box; any other name is that of a state."""
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    match sign:
        case "stud":
            yield Box(x - 5, box.top, x + 5, box.bottom, RULE)
            yield Line(((x, box.top), (x, box.bottom)), 1.2, GREY, DASH)
        case "service":
            inner = Box(box.left + 4, box.top + 4, box.right - 4, box.bottom - 4)
            yield from service_shapes(inner, box)
        case "cleat":
            yield from cleat_shapes(Box(box.left, y - 4, box.right, y + 4))
        case "screw":
            yield from cross(x, y, 4.5)
        case "datum":
            yield Line(((box.left, y + 5), (box.right, y + 5)), 1.2, INK)
            yield datum_mark(x, y + 5)
        case "floor":
            yield Line(((box.left, y), (box.right, y)), 3.0, INK)
        case "panel":
            yield frame(box, 1.6, HATCH, (12.0, 3.0))
        case "hung" | "ready":
            yield from progress_mark(Box(x - 8, box.top, x + 8, box.bottom), sign)
        case _:
            yield from state_shapes(box, Checked(sign), "")


def cleat_shapes(box: Box) -> Iterator[Shape]:
    """Yield a cleat: its outline, and near its tip the line where the bevel begins."""
    yield frame(box, 1.2, INK)
    root = box.top + 0.25 * (box.bottom - box.top)
    yield Line(((box.left, root), (box.right, root)), 0.8, INK)
