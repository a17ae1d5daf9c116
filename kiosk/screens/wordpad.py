"""A pad for a few words, a name or a note: its keys, or the keys of a keyboard."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.rules.cards import BACK, YES
from kiosk.rules.words import _
from kiosk.screens.face import Choice, Trim
from kiosk.screens.findpad import LONGEST, FindPad

HINT = _("Type it here or on a keyboard")


class WordPad(FindPad):
    """The keys of the find pad with words of its own; a note may be left empty."""

    def __init__(
        self,
        trim: Trim,
        *,
        use: Callable[[str], object],
        back: Callable[[], object],
        hint: str = HINT,
        done: str = _("Go on"),
        wrong: str = "",
        may_be_empty: bool = False,
    ) -> None:
        """Take what is asked as `hint`, the words of the button that ends it as `done`."""
        super().__init__(trim, use=use, back=back, wrong=wrong)
        self._may_be_empty = may_be_empty
        self.find.label.text = done
        if not wrong:
            self.hint.text = hint
        self.asked = (Choice("", self._try, card=YES), Choice("", back, card=BACK))

    def type_letters(self, text: str) -> None:
        """Take what a keyboard typed, as it was typed."""
        self.typed = f"{self.typed}{text}".lstrip()[:LONGEST]
        self._show()

    def put_back(self, typed: str) -> None:
        """Show again what stood here before a scanner typed over it."""
        self.typed = typed
        self._show()

    def rub_out(self) -> None:
        """Take the last letter away, as the key for it does."""
        self._press("Delete")

    def enter(self) -> None:
        """Use what was typed, as Enter means."""
        self._try()

    def _try(self) -> None:
        if self.typed.strip() or self._may_be_empty:
            self._use(self.typed.strip())
