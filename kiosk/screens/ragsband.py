"""The band that says oily rags are still about: tall and inverted from closing time on."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.uix.boxlayout import BoxLayout

from kiosk.language import shown
from kiosk.rules.words import _
from kiosk.screens.face import Trim
from kiosk.theme import INK, WHITE, rgba
from kiosk.widgets.fewer import wrapped_height
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

if TYPE_CHECKING:
    from kiosk.rules.rags import Rags

# the second sentence is never broken, so that no word of it stands alone
OUT = _("Oily rags: dry them flat outside, one layer. Tick\xa0off\xa0when\xa0done.")
PRESSING = _("Before you go: oily rags! Dry them flat outside, one layer.")


class RagsBand(Panel):
    """Words and, at the bench, a button; without rags it has no height."""

    def __init__(self, trim: Trim, *, done: Callable[[], object] | None = None) -> None:
        """Take what the button does as `done`; the board has none, as nobody touches it."""
        sizes = trim.sizes
        super().__init__(size_hint_y=None, height=0, spacing=sizes.gap * 2, opacity=0)
        self._trim, self._done = trim, done
        self._shown: tuple[bool, bool] | None = None
        self.button: BigButton | None = None

    @property
    def is_shown(self) -> bool:
        """Tell whether rags are out."""
        return self._shown is not None

    def show(self, rags: Rags | None, *, squeezed: bool = False) -> None:
        """Show rags that are out, or nothing; squeezed: no taller than a button needs."""
        wanted = None if rags is None else (rags.pressing, squeezed)
        if wanted == self._shown:
            return
        self._shown = wanted
        self.clear_widgets()
        self.button = None
        if rags is None:
            self.height, self.opacity, self.line = 0, 0, 0
            return
        self._fill(pressing=rags.pressing, squeezed=squeezed)

    def _fill(self, *, pressing: bool, squeezed: bool) -> None:
        sizes = self._trim.sizes
        least = sizes.touch if self._done else round(sizes.height * 0.075)
        self.height = round(least * (1.5 if pressing and not squeezed else 1.0))
        self.opacity, self.line = 1, sizes.outline
        self.fill = INK if pressing else WHITE
        self.padding = [sizes.gap * 2, 0, 0 if self._done else sizes.gap * 2, 0]
        words = BoxLayout(padding=[0, sizes.gap * 0.6])
        most = round(sizes.body * 1.25) if self._done else round(sizes.board * 1.1)
        if self._done is None:
            # as many lines as it takes to be read from afar
            text, wide = shown(PRESSING if pressing else OUT), sizes.width - 4 * sizes.gap
            tall = wrapped_height(text, sizes.board_least, wide) + 2 * sizes.gap
            self.height = min(max(self.height, tall), round(sizes.height * 0.3))
        words.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                text=PRESSING if pressing else OUT,
                bold=True,
                most=round(most * 1.3) if pressing else most,
                color=rgba(WHITE if pressing else INK),
            )
        )
        self.add_widget(words)
        if self._done is not None:
            self.button = BigButton(
                _("Tick off"), self._done, sizes=sizes, shape="tick", size_hint_x=0.26
            )
            self.add_widget(self.button)
