"""Lay out the paper a wall is hung by: the drawing to scale, then screws, shims, panels, order.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Final

from kiosk.figure.paper import SIZES, write_pages
from kiosk.figure.paperflow import Picture, flow, one_line
from kiosk.figure.shapes import GREY, INK, Box, Figure, Line, Shape
from kiosk.figure.wall import WallPicture, lay_out_wall, units_on
from kiosk.figure.wallfield import WallLook, floor_dips
from kiosk.figure.walltables import wall_items
from kiosk.figure.wallunits import number_screws
from kiosk.rules.hangday import say_day
from kiosk.rules.hanging.hangviews import HangingView, WallView
from kiosk.rules.lengths import System
from kiosk.rules.words import join, say

_EDGE, _HEAD, _FOOT = 50.0, 46.0, 22.0
_MOST, _LEAST = 13, 9  # letters of the drawing, read from near (choices)
_TALLEST: Final = 0.72  # of a page that the drawing takes at most (choice)
_ABOUT: Final = 170.0  # about what words and signs take above and below a wall
_SHRUNK: Final = 0.88  # a wall that takes this share of the width is large enough (choice)
_MORE: Final = (0, 40, 80, 140, 220, 320)  # room for a legend below it, tried in turn


@dataclass(frozen=True, slots=True, kw_only=True)
class WallHead:
    """What stands on all pages; at is in the shop's zone, system is how the job reads lengths.

    name is that of the wall; progress is `wallfield.HUNG` or `READY` by unit.
    """

    at: datetime
    name: str = ""
    job_name: str = ""
    shop: str = ""
    system: System = System.MM
    progress: Mapping[str, str] = field(default_factory=dict)


def draw_wall_pages(
    view: HangingView, wall: WallView, path: Path, *, head: WallHead, paper: str
) -> tuple[Path, ...]:
    """Write a wall's drawing and tables to a PDF, or to PNG pictures, one a page.

    Args:
        view: the check of the wall's job.
        wall: one of its walls.
        path: the file, `.pdf` or `.png`; its folder must exist.
        head: what stands on all pages.
        paper: a4 or letter.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    figures = lay_out_wall_pages(view, wall, head, size=SIZES[paper])
    return write_pages(figures, path, title="Wall", made=head.at)


def lay_out_wall_pages(
    view: HangingView, wall: WallView, head: WallHead, *, size: tuple[int, int]
) -> list[Figure]:
    """Return the pages: the drawing, then all that is measured, driven and hung."""
    room = Box(_EDGE, _EDGE + _HEAD, size[0] - _EDGE, size[1] - _EDGE - _FOOT)
    picture = draw_plan(view, wall, head, room=(room.right - room.left, room.bottom - room.top))
    drawing = Picture(picture.figure.shapes, picture.figure.height)
    bodies = flow([drawing, *wall_items(view, wall, head.system)], room, room)
    return [
        Figure(*size, (*_frame(view, wall, head, size, (number, len(bodies))), *body))
        for number, body in enumerate(bodies, 1)
    ]


def draw_plan(
    view: HangingView, wall: WallView, head: WallHead, *, room: tuple[float, float]
) -> WallPicture:
    """Return the drawing for paper, no taller than it must be for a wall as wide as the page."""
    units = units_on(wall, view.units)
    look = WallLook(progress=head.progress, numbers=number_screws(units), system=head.system,
                    most=_MOST, least=_LEAST)  # fmt: skip
    width, most = round(room[0]), room[1] * _TALLEST
    shape = (wall.wall.height + floor_dips(wall.wall)) / wall.wall.width
    heights = [round(min(width * shape + _ABOUT + more, most)) for more in _MORE]
    found = []
    for tall in dict.fromkeys(heights):
        found.append(lay_out_wall(wall, view.units, look, width=width, height=max(tall, 260)))
        full = found[-1].field.scale * wall.wall.width > _SHRUNK * width
        if not found[-1].unlisted and full:
            break
    return min(found, key=lambda one: (one.unlisted, -round(one.field.scale * 1e7)))


def _frame(
    view: HangingView,
    wall: WallView,
    head: WallHead,
    size: tuple[int, int],
    number: tuple[int, int],
) -> Iterator[Shape]:
    """Yield what stands at the head and at the foot of a page."""
    room = size[0] - 2 * _EDGE
    named = join((say("Wall {wall}", wall=wall.wall.wall), head.name), " ")
    words = join((head.shop, join((named, view.job, head.job_name), ", ")), ": ")
    yield from one_line(words, _EDGE, _EDGE + 22, room=room * 0.7, size=24, least=_LEAST)
    when = say("{day}, {time}", day=say_day(head.at.date()), time=f"{head.at:%H:%M}")
    yield from one_line(when, size[0] - _EDGE, _EDGE + 22, room=room * 0.28, size=15,
                        least=_LEAST, anchor="end")  # fmt: skip
    yield Line(((_EDGE, _EDGE + 34), (size[0] - _EDGE, _EDGE + 34)), 2.0, INK)
    page = say("page {number} of {all}", number=number[0], all=number[1])
    foot = join((view.job, say("Wall {wall}", wall=wall.wall.wall), page), ", ")
    yield from one_line(foot, size[0] / 2, size[1] - _EDGE + 10, room=room, size=12, least=_LEAST,
                        anchor="middle", colour=GREY)  # fmt: skip
