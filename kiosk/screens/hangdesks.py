"""The desks of walls and of hanging, each leading to the others."""

from __future__ import annotations

from typing import cast

from kiosk.screens.face import DeskFace, ShopFace
from kiosk.screens.fitdesk import FitDesk
from kiosk.screens.hangdesk import HangDesk, HangWays
from kiosk.screens.hangface import HangFace
from kiosk.screens.wallsdesk import WallsDesk


class HangDesks:
    """The walls of a job, a wall with what hangs on it, and how a unit hangs."""

    def __init__(self, shop: ShopFace, desk: DeskFace) -> None:
        face = cast("HangFace", shop)
        self.walls = WallsDesk(shop, face, desk)
        self.fit = FitDesk(shop, face, desk)
        self.wall = HangDesk(shop, face, desk, HangWays(self.walls.open, self.fit.open))
