"""Lead through the page about this screen, and lay everything out anew once it is kept."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.config import Settings, running
from kiosk.rules.words import _
from kiosk.screens.face import DeskFace, Problems, ShopFace, Trim
from kiosk.screens.flow import say_problems
from kiosk.screens.rulerscreen import NEXT_START, RulerScreen, ScreenActs
from kiosk.theme import measure_screen


class RulerDesk:
    """The page behind the button Screen."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        self._shop, self._desk, self._back = shop, desk, back
        self._theme = shop.settings.theme

    def open(self, line: str = "") -> None:
        """Show the page; line is said below its title."""
        desk = self._desk
        back = desk.go_home if desk.post.home == "board" else self._back
        acts = ScreenActs(keep=self.keep, back=back)
        desk.put(
            RulerScreen(
                desk.trim,
                diagonal_in=round(desk.trim.sizes.diagonal_in, 1),
                theme=self._theme,
                acts=acts,
                line=line,
            )
        )

    def keep(self, diagonal_in: float, distance_m: float, theme: str) -> None:
        """Keep what was set, and lay the screens out by it; other colours wait for a start."""
        desk = self._desk
        names = ("screen_diagonal_in", "viewing_distance_m")
        if desk.post.home == "board":
            names = ("board_diagonal_in", "board_distance_m")
        values = dict(zip(names, (diagonal_in, distance_m), strict=True)) | {"theme": theme}

        def then(found: tuple[Settings, Problems]) -> None:
            kept, problems = found
            if problems:
                show = desk.show
                if isinstance(show, RulerScreen):
                    show.line.text = say_problems(problems)
                return
            self._shop.adopt(running(kept, self._shop.settings))
            self._theme = theme
            old = desk.trim
            sizes = measure_screen(
                old.sizes.width,
                old.sizes.height,
                diagonal_in=diagonal_in,
                distance_m=distance_m,
            )
            desk.fit(Trim(sizes, old.left_handed))
            self.open(NEXT_START)

        desk.ask(
            lambda: self._shop.keep_settings(values),
            then,
            lost=_("The settings were not kept. Try again."),
        )
