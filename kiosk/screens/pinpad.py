"""A pad for a PIN: digits shown as dots, never as what they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kiosk.rules.permission import LONGEST_PIN, SHORTEST_PIN, is_pin
from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, Trim
from kiosk.screens.figurepad import Ask, FigurePad

DOT = "•"
NO_PIN = say("A PIN has {least} to {most} digits. Type it.", least=SHORTEST_PIN, most=LONGEST_PIN)


class PinPad(FigurePad):
    """The question, a dot for each digit, what is wrong, and the keys; Back and Escape give up."""

    rows = (
        ("7", "8", "9", _("Delete")),
        ("4", "5", "6", _("Clear")),
        ("1", "2", "3"),
        ("", "0", ""),
    )
    longest = LONGEST_PIN

    def __init__(
        self,
        trim: Trim,
        ask: Ask,
        *,
        use: Callable[[str], object],
        back: Callable[[], object],
        extra: Sequence[Choice] = (),
        badge: Callable[[str], object] | None = None,
    ) -> None:
        """Take `badge`, which is given what a scanner reads meanwhile; without it, it is a scan."""
        super().__init__(trim, ask, use=use, back=back, extra=extra)
        self.give_up = back
        self._is_sent = False
        if badge is not None:
            self.take_code = badge

    def tell(self, words: str) -> None:
        """Say something in place of what was wrong."""
        self.wrong.text, self.wrong.size_hint_y = words, 0.9

    def is_own(self, text: str) -> bool:
        """Tell whether a text was typed for this pad, even where it could be a part's code."""
        return text.isascii() and text.isdigit()

    def type_letters(self, text: str) -> None:
        """Take typed digits; what else came is remembered."""
        for letter in text:
            if self.is_own(letter):
                self._press(letter)
            elif not letter.isspace():
                self._strange = True

    def enter(self) -> None:
        """Use what was typed, once; what can be no PIN is no try."""
        if self._is_sent:
            return
        if self._strange or not is_pin(self.typed):
            self.put_back("")
            self.tell(NO_PIN)
            return
        self._is_sent = True
        self._use(self.typed)

    def _show(self) -> None:
        self.shown.text = DOT * len(self.typed) or "_"
