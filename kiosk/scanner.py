"""Gather a scanner's key strokes into one code; knows neither Kivy nor the time."""

from __future__ import annotations

from collections.abc import Iterator

from labels.codes import LENGTH, parse

# A half-read code must not glue to the next one; a scanner sends a whole code in well under a
# second even on a slow machine, a person types seven characters in less. Choice.
STALE_AFTER_S = 2.0
# A scanner without a suffix has sent all of a code when it checks and nothing more comes so long.
# Longer than a pause between a scanner's characters (2 to 60 ms), too short to wait for. Choice.
QUIET_S = 0.3
LONGEST = 64
# How long a code can be: bare, with its hyphen, and both behind a mark of the symbology.
_SIZES = (LENGTH, LENGTH + 1, LENGTH + 3, LENGTH + 4)


# A person types ten characters in a second at most, a scanner's come 2 to 60 ms apart.
SCANNED_S = 0.08


def is_scanned(text: str, seconds: float, *, layout: str = "") -> bool:
    """Tell whether a text was scanned while a pad asks for words, rather than typed at it.

    Only then speed is a test, beside the code's own check: words may look like a code by chance.
    seconds passed between the first and the last character.
    """
    return seconds <= SCANNED_S * len(text) and parse(text, layout=layout).code is not None


class Reader:
    """Collects text until Enter or Tab. Speed is no test: slow and fast strokes count alike."""

    def __init__(self, *, suffix: str = "any", layout: str = "") -> None:
        """Begin with nothing.

        Args:
            suffix: what the scanner sends after a code; with "none" a text as long as a code is
                handed over by `poll` though it is no sound one, so that a scan never stays silent.
            layout: the keyboard layout to undo, as in labels.codes.parse.
        """
        self._is_bare, self._layout = suffix == "none", layout
        self._text = ""
        self._last = 0.0
        self._is_spilt = False  # what is left of too long a stream is no code either

    def feed(self, text: str, at: float) -> None:
        """Take in a character or several.

        Args:
            text: what the keyboard sent; line ends and tabs inside end nothing.
            at: seconds on any clock that only goes forward.
        """
        if at - self._last > STALE_AFTER_S:
            self._text, self._is_spilt = "", False
        self._text += text
        self._last = at
        if len(self._text) > LONGEST:
            self._text, self._is_spilt = "", True

    @property
    def is_waiting(self) -> bool:
        """Tell whether something was typed that has not ended."""
        return bool(self._text.strip())

    def end(self, at: float) -> str | None:
        """Return what was gathered when Enter or Tab came, or None where there is nothing."""
        is_lost = self._is_spilt or at - self._last > STALE_AFTER_S
        text, self._text, self._is_spilt = self._text.strip(), "", False
        return text if text and not is_lost else None

    def poll(self, at: float) -> str | None:
        """Return a sound code after which nothing came for a while, else None.

        It serves scanners without a suffix; an Enter that comes all the same finds nothing left.
        Codes that came without an end between them are returned one by one, so call again while
        something is waiting. A code with an unreadable letter is only typed by people, and waits
        for their Enter.
        """
        silence = at - self._last
        if silence < QUIET_S or self._is_spilt or not self.is_waiting:
            return None
        text = self._text.strip()
        if self._is_code(text):
            return self._take(text, "")
        joined = "".join(text.split())
        for head, rest in self._heads(joined):
            if self._is_bare or self._is_all_codes(rest):
                return self._take(head, rest)
        if self._is_bare and silence > STALE_AFTER_S and len(joined) >= LENGTH:
            return self._take(text, "")
        return None

    def _take(self, text: str, rest: str) -> str:
        self._text = rest
        return text

    def _is_code(self, text: str) -> bool:
        typed = "".join(text.split()).replace("-", "").replace("?", "")
        if "?" in text and not self._layout and typed.isascii() and typed.isalnum():
            return False  # with other signs beside it, it is the M of a French keyboard layout
        return parse(text, layout=self._layout).code is not None

    def _heads(self, text: str) -> Iterator[tuple[str, str]]:
        """Yield each way a text is a sound code and something more."""
        for size in _SIZES:
            head, rest = text[:size], text[size:]
            if rest and self._is_code(head):
                yield head, rest

    def _is_all_codes(self, text: str) -> bool:
        if self._is_code(text):
            return True
        return any(self._is_all_codes(rest) for _head, rest in self._heads(text))
