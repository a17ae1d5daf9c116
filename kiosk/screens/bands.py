"""Three giant answers: how many rest, how many are due a coat, how many are ready to hang."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.floor import Band, Floor
from kiosk.screens.face import Trim
from kiosk.theme import STATES, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel

_ROWS = 2  # lines of names in a band


def say_names(band: Band, columns: int) -> str:
    """Return as many names as fit, and how many more there are."""
    room = columns * _ROWS
    names: Sequence[str] = band.names
    if band.count > room or band.count > len(names):
        names = names[: room - 1]
    more = band.count - len(names)
    return "   ".join(names) + (f"   and\u00a0{more}\u00a0more" if more else "")


class BandsBody(BoxLayout):
    """One band per question: mark, count, word, and the first names."""

    def __init__(self, trim: Trim, floor: Floor) -> None:
        super().__init__(orientation="vertical")
        self._trim = trim
        self._shown: list[tuple[FitLabel, FitLabel, FitLabel]] = []
        for band in floor.bands:
            self.add_widget(self._band(band))
        self.show(floor)

    def show(self, floor: Floor) -> None:
        """Show the counts and names of a floor."""
        for (count, title, names), band in zip(self._shown, floor.bands, strict=False):
            count.text, title.text = str(band.count), band.title
            names.text = say_names(band, 4)

    def _band(self, band: Band) -> Panel:
        sizes, look = self._trim.sizes, STATES.get(band.state, STATES["other"])
        row = Panel(
            fill=look.fill,
            line=sizes.outline,
            padding=[sizes.gap * 3, sizes.gap],
            spacing=sizes.gap * 3,
        )
        tint = rgba(look.text)
        row.add_widget(
            Mark(
                shape=look.shape,
                share=0.35,
                tint=look.text,
                size_hint_x=None,
                width=round(sizes.height * 0.18),
            )
        )
        giant = round(sizes.height * 0.26)
        count = FitLabel(ladder=sizes.ladder, bold=True, most=giant, color=tint, size_hint_x=0.26)
        title = FitLabel(
            ladder=sizes.ladder,
            bold=True,
            most=round(sizes.height * 0.1),
            color=tint,
            size_hint_x=0.6,
        )
        names = FitLabel(ladder=sizes.ladder, most=max(sizes.board, sizes.answer // 2), color=tint)
        for label in (count, title, names):
            row.add_widget(label)
        self._shown.append((count, title, names))
        return row
