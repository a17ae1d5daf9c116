"""The sign at the foot of the board that something is asked: a mark, a word, how much."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.language import shown
from kiosk.rules.words import say_n
from kiosk.screens.face import Trim
from kiosk.widgets.fitting import measure
from kiosk.widgets.panels import BigButton


def ask_sign(trim: Trim, count: int, act: Callable[[], object], *, height: int) -> BigButton:
    """Return the sign, as wide as its words need; a tap leads to the questions."""
    sizes = trim.sizes
    words = say_n("{n} question", "{n} questions", count)
    # as large as the line beside it, at least what can be read from across the shop
    size = max(sizes.board_least, min(sizes.board, round(height * 0.5)))
    sign = BigButton(
        words, act, sizes=sizes, shape="question", most=size, size_hint_x=None, height=height
    )
    wide = measure(shown(words), font_size=size, bold=True, width=None)[0]
    mark = sign.mark.width if sign.mark else 0
    sign.width = max(sizes.touch, round(wide + mark + sizes.gap * 3.8))
    return sign
