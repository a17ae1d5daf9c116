"""What the last scan came to, large enough to be read from two metres."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import _, capital, join, shaped
from kiosk.screens.face import Trim
from kiosk.theme import GROUND, INK, OUTCOMES, QUIET, Look, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import Panel
from labels.codes import shown

if TYPE_CHECKING:
    from kiosk.rules.scanning import Answer

IDLE = _("Scan a label, or tap Number pad")
_UNIT = re.compile(r"(?<=\d) (?=(?:h|min|d|mm|kPa|%|°[CF])(?!\w))")


def name_answer(answer: Answer) -> str:
    """Return which part of which unit an answer is about, or the code read."""
    unit = join((answer.unit, answer.unit_name))
    size = shaped(
        answer.size, lambda words: words.replace(" ", "\u00a0")
    )  # a size is never broken across lines
    return join((unit, answer.part, size), ", ") or shown(answer.code)


def say_detail(answer: Answer) -> str:
    """Return the reason; the next step stands above it."""
    return begin_large(answer.detail)


def begin_large(text: str) -> str:
    """Return a sentence with its first letter a capital."""
    return capital(text)


def keep_units(text: str) -> str:
    """Return a text in which a line never breaks between a number and its unit."""
    return shaped(text, lambda words: _UNIT.sub("\u00a0", words))


class AnswerPanel(Panel):
    """A band with shape, word and message; below it the unit, the reason, and what is next."""

    def __init__(self, trim: Trim, answer: Answer | None, *, flat: bool = False) -> None:
        """Take whether the words of an idle bench stand beside their mark, where room is low."""
        sizes = trim.sizes
        super().__init__(orientation="vertical", fill=GROUND, line=sizes.outline)
        if answer is None:
            self._add_idle(trim, flat=flat)
            return
        look = OUTCOMES[answer.outcome.value]
        self.band = answer_band(trim, look, answer.message)
        self.add_widget(self.band)
        below = BoxLayout(
            orientation="vertical", padding=[sizes.gap * 2, sizes.gap], spacing=sizes.gap
        )
        rows = (
            (name_answer(answer), sizes.body, INK, 0.8, True),
            (begin_large(answer.next), round(sizes.answer * 0.75), INK, 1.5, True),
            (say_detail(answer), sizes.body, QUIET, 1.1, False),
        )
        for words, most, tint, share, bold in rows:
            if words:
                below.add_widget(
                    FitLabel(
                        ladder=sizes.ladder,
                        text=keep_units(words),
                        most=most,
                        bold=bold,
                        color=rgba(tint),
                        size_hint_y=share,
                    )
                )
        if below.children:
            self.add_widget(below)

    def _add_idle(self, trim: Trim, *, flat: bool) -> None:
        sizes = trim.sizes
        self.padding = [sizes.gap * (1 if flat else 3)] * 4
        if flat:
            self.orientation = "horizontal"
            self.add_widget(Mark(shape="scan", size_hint_x=0.28))
        else:
            self.add_widget(Mark(shape="scan", size_hint_y=0.9))
        self.add_widget(
            FitLabel(
                ladder=sizes.ladder,
                text=IDLE,
                most=sizes.answer,
                bold=True,
                halign="left" if flat else "center",
            )
        )


def answer_band(trim: Trim, look: Look, message: str) -> Panel:
    """Return the band of an answer: its shape, its word, its message."""
    sizes = trim.sizes
    band = Panel(
        orientation="horizontal",
        fill=look.fill,
        line=sizes.outline,
        padding=[sizes.gap * 2, sizes.gap],
        spacing=sizes.gap * 2,
        size_hint_y=0.95,
    )
    band.add_widget(
        Mark(
            shape=look.shape, share=0.65, tint=look.text, size_hint_x=None, width=sizes.answer * 1.5
        )
    )
    words = BoxLayout(orientation="vertical")
    words.add_widget(
        FitLabel(
            ladder=sizes.ladder,
            text=look.word,
            most=sizes.body,
            color=rgba(look.text),
            size_hint_y=0.36,
        )
    )
    words.add_widget(
        FitLabel(
            ladder=sizes.ladder,
            text=keep_units(message),
            most=sizes.answer,
            bold=True,
            color=rgba(look.text),
        )
    )
    band.add_widget(words)
    return band
