"""What is shown when something broke: what happened and how to go on, never a dead screen."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import _, say
from kiosk.screens.face import Trim
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel

BROKE = _("Something went wrong in the kiosk")
GO_ON = _("Scanning works: scan the next label, or tap Go on.")
SAFE = _(
    "What was recorded before is safe. If you are not sure about your last "
    "scan, scan it again: what is recorded already is not recorded twice."
)


class FailsafeScreen(Panel):
    """What happened, how to go on, the words for whoever looks after the kiosk, and one button."""

    def __init__(
        self, trim: Trim, *, what: str, how: str, cause: str, go_on: Callable[[], object]
    ) -> None:
        sizes = trim.sizes
        super().__init__(
            orientation="vertical",
            fill=WHITE,
            line=sizes.outline * 2,
            padding=[sizes.gap * 4] * 4,
            spacing=sizes.gap * 2,
        )
        rows = (
            (what, sizes.answer, INK, True, 1.2),
            (GO_ON, round(sizes.answer * 0.7), INK, True, 1.0),
            (how, sizes.body, INK, False, 1.0),
            (
                say("For whoever looks after the kiosk: {cause}", cause=cause),
                sizes.small,
                QUIET,
                False,
                0.7,
            ),
        )
        for words, most, tint, bold, share in rows:
            self.add_widget(
                FitLabel(
                    ladder=sizes.ladder,
                    text=words,
                    most=most,
                    bold=bold,
                    color=rgba(tint),
                    size_hint_y=share,
                )
            )
        row = BoxLayout(size_hint_y=None, height=sizes.touch)
        self.go_on = BigButton(_("Go on"), go_on, sizes=sizes, fill=INK, ink=WHITE, size_hint_x=0.4)
        row.add_widget(self.go_on)
        row.add_widget(BoxLayout(size_hint_x=0.6))
        self.add_widget(row)
