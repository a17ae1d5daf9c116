"""Words said in as many forms as there are: the longest that fits at a readable size is shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kiosk.language import shown
from kiosk.widgets.fitting import FitLabel, fits, measure


class FewerLabel(FitLabel):
    """A label that says less rather than write smaller than can be read."""

    def __init__(self, *, ladder: Sequence[int], least: int, **kwargs: Any) -> None:
        self._least = least
        self._forms: tuple[str, ...] = ("",)
        super().__init__(ladder=ladder, least=least, **kwargs)
        self.fbind("size", self._choose)

    def offer(self, forms: Sequence[str], *, or_nothing: bool = False) -> None:
        """Take what may be said, longest first; or_nothing: rather nothing than a cut last form."""
        wanted = (*map(shown, forms), *([""] if or_nothing else []))
        if wanted != self._forms:
            self._forms = wanted
            self._choose()

    def _choose(self, *_: object) -> None:
        box = int(self.width), int(self.height)
        if min(box) < 2:
            return
        self.text = next(
            (
                form
                for form in self._forms
                if fits(form, box, font_size=self._least, bold=self.bold)
            ),
            self._forms[-1],
        )


def line_height(size: int) -> int:
    """Return how tall a line of text is, in pixels."""
    return measure("Ag", font_size=size, bold=True, width=None)[1]


def wrapped_height(text: str, size: int, width: float) -> int:
    """Return how tall a bold text is that is broken at a width, in pixels."""
    return measure(text, font_size=size, bold=True, width=int(width))[1]
