"""Draw walls for the screen, on the shop's thread, and find what lies under a touch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from PIL import Image

from kiosk.figure import DARK, to_png
from kiosk.figure.shapes import Figure, Words
from kiosk.figure.wall import WallPicture, lay_out_wall
from kiosk.figure.wallfield import HUNG, WallLook
from kiosk.palette import is_dark
from kiosk.rules.hanging.hangviews import WallView
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import System
from kiosk.screens.besidescreen import picture_room
from kiosk.screens.face import Trim
from kiosk.screens.hangsview import HangSeen

LETTERS = 18  # of a picture before it is made larger, as it draws its words
EDGE = 14.0  # beside the wall, as it is drawn
LEAST = (400, 300)  # what a picture of a wall takes at least


@dataclass(frozen=True, slots=True)
class DrawnWall:
    """A wall as it was drawn, and its picture in the pixels of the screen."""

    image: Image.Image
    picture: WallPicture

    def unit_at(self, across: float, down: float) -> str | None:
        """Return the unit at shares of the picture's width and height, None for none."""
        figure = self.picture.figure
        return self.picture.unit_at(across * figure.width, down * figure.height)


def draw_hanging(seen: HangSeen, wall: str, trim: Trim) -> DrawnWall | None:
    """Return the picture of a measured wall with its units; None where there is none."""
    view = seen.wall(wall)
    if view is None:
        return None
    progress = dict.fromkeys(seen.hung, HUNG)
    return _draw(view, seen, progress, trim)


def draw_bare(wall: MeasuredWall, trim: Trim, *, system: System) -> Image.Image | None:
    """Return the picture of a wall as it is entered; None as long as it has no size."""
    if wall.width <= 0 or wall.height <= 0:
        return None
    return _draw(WallView(wall=_within(wall)), None, {}, trim, system=system).image


def _within(wall: MeasuredWall) -> MeasuredWall:
    """Return the wall without what was entered beside it: that is said in words, not drawn."""
    return replace(
        wall,
        studs=tuple(one for one in wall.studs if 0 <= one.x <= wall.width),
        floor=tuple(one for one in wall.floor if 0 <= one.x <= wall.width),
        services=tuple(
            one
            for one in wall.services
            if one.x + one.width <= wall.width and one.y + one.height <= wall.height
        ),
    )


def _draw(
    view: WallView,
    seen: HangSeen | None,
    progress: Mapping[str, str],
    trim: Trim,
    *,
    system: System = System.MM,
) -> DrawnWall:
    # drawn small and made larger, so that its letters are read from where the other words are
    scale = max(1.0, trim.sizes.small * 0.6 / LETTERS)
    room = picture_room(trim)
    wide, tall = (max(least, round(side / scale)) for side, least in zip(room, LEAST, strict=True))
    look = WallLook(progress=progress, system=seen.system if seen else system, is_bare=True)
    picture = lay_out_wall(view, seen.view.units if seen else (), look, width=wide, height=tall)
    picture = replace(picture, figure=_trimmed(picture))
    image = to_png(picture.figure, scale, tints=DARK if is_dark() else {})
    return DrawnWall(image, picture)


def _trimmed(picture: WallPicture) -> Figure:
    """Return the picture without what is empty at its right: a high wall stands in the middle."""
    figure = picture.figure
    words = [one.edges[2] for one in figure.shapes if isinstance(one, Words)]
    used = max((*words, picture.field.whole.right)) + EDGE
    return replace(figure, width=min(figure.width, round(used)))
