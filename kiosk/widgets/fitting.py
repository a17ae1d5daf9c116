"""Text that always fits its box: the largest fixed size at which it does, cut as a last resort."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.label import Label

from kiosk.language import shown
from kiosk.rules.words import Phrase
from kiosk.theme import FONT, INK, rgba


@lru_cache(maxsize=2048)
def measure(text: str, *, font_size: int, bold: bool, width: int | None) -> tuple[int, int]:
    """Return width and height of a text in pixels, wrapped at `width` where one is given."""
    core = CoreLabel(
        text=text,
        font_size=font_size,
        font_name=FONT,
        bold=bold,
        text_size=(width, None),
    )
    core.resolve_font_name()
    found = core.render()
    return int(found[0]), int(found[1])


def fits(text: str, box: tuple[int, int], *, font_size: int, bold: bool) -> bool:
    """Tell whether a text fits a box without breaking a word."""
    width, height = box
    if measure(text, font_size=font_size, bold=bold, width=width)[1] > height:
        return False
    return all(
        measure(word, font_size=font_size, bold=bold, width=None)[0] <= width
        for word in text.split(" ")
    )


def best_size(
    text: str, box: tuple[int, int], *, ladder: Sequence[int], most: int, bold: bool
) -> int:
    """Return the largest size of the ladder, no more than `most`, at which a text fits its box."""
    usable = [size for size in ladder if size <= most] or [ladder[-1]]
    for size in usable:
        if fits(text, box, font_size=size, bold=bold):
            return size
    return usable[-1]


def even_width(text: str, width: int, *, font_size: int, bold: bool) -> int:
    """Return the least width, up to `width`, at which a text breaks into no more lines than there.

    Centred lines are of about one length then, and no number stands alone below its words.
    """
    tall = measure(text, font_size=font_size, bold=bold, width=width)[1]
    if tall == measure(text, font_size=font_size, bold=bold, width=None)[1]:
        return width
    least = max(
        measure(word, font_size=font_size, bold=bold, width=None)[0] for word in text.split(" ")
    )
    while least < width:
        middle = (least + width) // 2
        if measure(text, font_size=font_size, bold=bold, width=middle)[1] > tall:
            least = middle + 1
        else:
            width = middle
    return width


class FitLabel(Label):
    """A label that picks its own font size and never draws outside itself."""

    most = NumericProperty(40)
    ladder = ObjectProperty(())

    def __init__(self, *, ladder: Sequence[int], least: int = 0, **kwargs: Any) -> None:
        """Take the sizes to pick from; below `least` the text is cut rather than made smaller."""
        ladder = [size for size in ladder if size >= least] or ladder[:1]
        kwargs.setdefault("color", rgba(INK))
        kwargs.setdefault("halign", "left")
        kwargs.setdefault("valign", "middle")
        super().__init__(font_name=FONT, shorten_from="right", ladder=tuple(ladder), **kwargs)
        self.bind(text=self._translate)
        self._translate()
        for name in ("size", "text", "most", "bold", "halign"):
            self.fbind(name, self._fit)
        self._fit()

    def _translate(self, *_: object) -> None:
        """Say a phrase in the language in use; it is a plain string from then on."""
        words = self.property("text").get(self)
        if isinstance(words, Phrase):
            self.text = shown(words)

    def _fit(self, *_: object) -> None:
        box = (int(self.width), int(self.height))
        if min(box) < 2:
            return
        size = best_size(self.text, box, ladder=self.ladder, most=int(self.most), bold=self.bold)
        whole = fits(self.text, box, font_size=size, bold=self.bold)
        self.shorten = not whole
        self.font_size = size
        if whole and self.halign == "center":
            wide = even_width(self.text, box[0], font_size=size, bold=self.bold)
            box = (wide, box[1])
        self.text_size = box
