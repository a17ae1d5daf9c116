"""The first frame: the screen that was on before, drawn before the rest is loaded."""

from __future__ import annotations

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.lang import Builder
from kivy.uix.widget import Widget

from kiosk.config import Settings
from kiosk.screens.face import Post, Trim, status_of
from kiosk.theme import GROUND, measure_screen, rgba


def draw_first(settings: Settings, post: Post, *, shown: str) -> None:
    """Draw one frame of the bench or the board, its lists still empty and saying so.

    The window's events are not fetched here: whatever is scanned, typed or tapped from now on waits
    in the queue of the system for the screen that takes its place, and nothing is lost.

    shown: 'bench' or 'board', as it was when the kiosk ended.
    """
    Window.clearcolor = rgba(GROUND)
    screen = _screen(settings, post, shown)
    Window.add_widget(screen)
    for _turn in range(2):  # texts are measured in the first, what they moved in the second
        Builder.sync()
        Clock.tick_draw()
    Window.dispatch("on_draw")
    Window.dispatch("on_flip")
    Window.remove_widget(screen)


def trim_for(settings: Settings, home: str) -> Trim:
    """Return how screens are laid out in this window; a board may have sizes of its own."""
    diagonal_in, distance_m = settings.screen_diagonal_in, settings.viewing_distance_m
    if home == "board":  # it may hang at another screen of the same computer
        diagonal_in = settings.board_diagonal_in or diagonal_in
        distance_m = settings.board_distance_m or distance_m
    sizes = measure_screen(
        *(int(side) for side in Window.size), diagonal_in=diagonal_in, distance_m=distance_m
    )
    return Trim(sizes, settings.left_handed)


def _screen(settings: Settings, post: Post, shown: str) -> Widget:
    # only the one that is shown is loaded
    trim = trim_for(settings, post.home)
    if "board" in (post.home, shown):
        from kiosk.screens.board import BoardScreen

        return BoardScreen(trim, back=None if post.home == "board" else _wait)
    from kiosk.screens.bench import BenchActs, BenchScreen

    # what is tapped now is answered by the screen that follows
    acts = BenchActs(*(_wait for _name in BenchActs.__slots__))
    return BenchScreen(trim, status_of(post), acts, has_camera=bool(settings.camera))


def _wait() -> None:
    pass
