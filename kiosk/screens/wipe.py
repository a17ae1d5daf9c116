"""The screen to be wiped: touch does nothing for a while, scans count, and it ends by itself."""

from __future__ import annotations

from typing import Any

from kiosk.rules.words import _, say
from kiosk.screens.face import Trim
from kiosk.theme import INK, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import Panel

LASTS_S = 20.0  # to spray, wipe and dry 10 to 24 inches; choice


class WipeScreen(Panel):
    """How many seconds are left, that scans count, and what the last scan came to."""

    def __init__(self, trim: Trim, *, until: float) -> None:
        """Take until when touch stays dead, on the clock of the kiosk."""
        sizes = trim.sizes
        # dark: smears show on it, and nobody takes it for the bench
        super().__init__(
            orientation="vertical", fill=INK, padding=[sizes.gap * 3] * 4, spacing=sizes.gap
        )
        self.until = until
        self._count = FitLabel(ladder=sizes.ladder, bold=True, most=sizes.ladder[0])
        self._words = FitLabel(ladder=sizes.ladder, bold=True, most=sizes.answer)
        self._words.text = _("Wipe the screen now: touch is off, scans count")
        self._last = FitLabel(ladder=sizes.ladder, most=sizes.body)
        for label, share in ((self._words, 0.9), (self._count, 1.6), (self._last, 0.6)):
            label.size_hint_y, label.halign, label.color = share, "center", rgba(WHITE)
            self.add_widget(label)

    def show(self, now: float) -> bool:
        """Show the seconds left; tell whether there are any."""
        left = self.until - now
        self._count.text = say("{n} s", n=max(0, -int(-left // 1)))
        return left > 0

    def tell(self, words: str) -> None:
        """Say what a scan came to meanwhile."""
        self._last.text = words

    def on_touch_down(self, touch: Any) -> bool:
        """Take every touch and do nothing."""
        return True

    def on_touch_move(self, touch: Any) -> bool:
        """Take every touch and do nothing."""
        return True

    def on_touch_up(self, touch: Any) -> bool:
        """Take every touch and do nothing."""
        return True
