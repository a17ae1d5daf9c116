"""Draw the page about the screen in its states, for the guide and for tests."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.screens.stage import Stage


def show_screen_page(stage: Stage) -> Iterator[str]:
    """Put the page about this screen up, as it is and at the ends of what may be set."""
    desk = stage.app.desk
    ruler = desk.shopdesk.ruler
    ruler.open()
    stage.settle()
    yield "screen"
    page = desk.show
    page.change_diagonal(-200)
    page.change_distance(200)
    stage.settle()
    yield "screen-tiny"
    page.change_diagonal(200)
    while page.distance_m > 0.3:
        page.change_distance(-1)
    page.turn_theme()
    stage.settle()
    yield "screen-huge"
