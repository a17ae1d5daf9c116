"""What the bench says that is no answer of the shop: who signed in, what a card is for."""

from __future__ import annotations

from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import Phrase, join
from kiosk.screens.answer import answer_band
from kiosk.screens.face import Trim
from kiosk.theme import GROUND, INK, WHITE, Look
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import Panel

STANDS_S = 8.0  # long enough to be read twice, then the last answer comes back; choice


@dataclass(frozen=True, slots=True)
class Notice:
    """What is said, more of it below, its shape, and whether anything came of the scan."""

    head: str
    words: str
    more: str = ""
    shape: str = "question"
    good: bool = False

    @property
    def line(self) -> Phrase:
        """Return all of it in one line, for a screen that has no room for a panel."""
        return join([self.words, self.more], ". ")


class NoticePanel(Panel):
    """A band like an answer's, on white, and the rest of the words below it."""

    def __init__(self, trim: Trim, notice: Notice) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", fill=GROUND, line=sizes.outline)
        look = Look(WHITE, INK, notice.shape, notice.head)
        self.add_widget(answer_band(trim, look, notice.words))
        below = BoxLayout(padding=[sizes.gap * 2, sizes.gap])
        most = round(sizes.answer * 0.75)
        below.add_widget(FitLabel(ladder=sizes.ladder, text=notice.more, most=most, bold=True))
        self.add_widget(below)
