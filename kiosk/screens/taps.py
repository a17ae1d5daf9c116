"""One tap is one tap: the second touch of one stroke of the hand does nothing."""

from __future__ import annotations

from typing import Any

from kiosk.screens.desk import Desk

# A finger that bounces, or a hand used to tapping twice, comes back within this. Choice: taps that
# are meant one by one, through the pages of a list, come at 2 to 3 a second.
BOUNCE_S = 0.3
NEAR_MM = 20.0  # and at the same spot: no button is smaller


class Taps:
    """Tells which touch is the second one of a stroke that has had its effect.

    Where the first touch changed the screen, or asked the shop for something that is not answered
    yet, a second one at the same spot would strike another entry, or press what has just appeared
    below the finger. Keys of a pad change no screen, so the same letter may be tapped twice fast;
    so may what a screen names in `repeats`, such as less and more, whatever is asked meanwhile.
    """

    def __init__(self) -> None:
        self._at, self._spot = -BOUNCE_S, (0.0, 0.0)
        self._changes = self._before = 0
        self._screen: object = None

    def watch(self, desk: Desk) -> None:
        """Begin to count the screens of a desk."""
        desk.stage.bind(children=self._changed)

    def _changed(self, *_: object) -> None:
        self._changes += 1

    def is_second(self, touch: Any, now: float, desk: Desk) -> bool:
        """Take in that a touch came at `now`; tell whether it is to be passed over.

        Args:
            touch: Kivy's touch, at its pixel of the window.
            now: seconds that only go forward.
            desk: what is on the screen.
        """
        reach = NEAR_MM * desk.trim.sizes.px_per_mm
        apart = max(abs(touch.x - self._spot[0]), abs(touch.y - self._spot[1]))
        is_stroke = now - self._at < BOUNCE_S and apart < reach
        # not where the screen came with the first touch: then the second one is still of that one
        is_again = desk.show is self._screen and _repeats(touch, desk.show)
        had_effect = self._changes != self._before or desk.asking > 0
        self._at, self._spot, self._screen = now, (touch.x, touch.y), desk.show
        if is_stroke and had_effect and not is_again:
            return True  # a third one, too: what the first changed still counts
        self._before = self._changes
        return False


def _repeats(touch: Any, screen: Any) -> bool:
    """Tell whether a touch is on something of which every tap counts."""
    keys = getattr(screen, "repeats", ())
    return any(key.collide_point(*key.to_widget(touch.x, touch.y)) for key in keys)
