"""The band at the bench that says a label was not printed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import _
from kiosk.screens.face import Trim
from kiosk.screens.troubles import Trouble, say_troubles
from kiosk.theme import INK, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel


class PrintBand(Panel):
    """What is not printed, why, and a button; beside another band, the button alone."""

    def __init__(self, trim: Trim, *, see: Callable[[], object]) -> None:
        sizes = trim.sizes
        super().__init__(spacing=sizes.gap * 2, fill=INK, line=sizes.outline)
        self._trim, self._see = trim, see
        self._shown: tuple[tuple[Trouble, ...], bool] = ((), False)
        self.button: BigButton | None = None

    @property
    def is_shown(self) -> bool:
        """Tell whether there is a trouble."""
        return bool(self._shown[0])

    def show(self, troubles: Sequence[Trouble], *, squeezed: bool = False) -> None:
        """Show troubles; squeezed: a button of a few words, where another band says more."""
        wanted = (tuple(troubles), squeezed)
        if wanted == self._shown:
            return
        self._shown = wanted
        self.clear_widgets()
        self.button = None
        if troubles:
            self._fill(troubles, squeezed=squeezed)

    def _fill(self, troubles: Sequence[Trouble], *, squeezed: bool) -> None:
        sizes = self._trim.sizes
        self.padding = [0 if squeezed else sizes.gap * 2, 0, 0, 0]
        if not squeezed:
            words = BoxLayout(padding=[0, sizes.gap * 0.6])
            words.add_widget(
                FitLabel(
                    ladder=sizes.ladder,
                    text=say_troubles(troubles),
                    bold=True,
                    most=round(sizes.body * 1.1),
                    color=rgba(WHITE),
                )
            )
            self.add_widget(words)
        said = troubles[0].said if squeezed else _("What now?")
        self.button = BigButton(
            said, self._see, sizes=sizes, size_hint_x=1 if squeezed else 0.26, most=sizes.body
        )
        self.add_widget(self.button)
