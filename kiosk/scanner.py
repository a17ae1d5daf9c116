"""Gather a scanner's key strokes into one code; knows neither Kivy nor the time."""

from __future__ import annotations

from labels.codes import LENGTH, compact, parse

# A half-read code must not glue to the next one; a scanner sends a whole code in well under a
# second even on a slow machine, a person types seven characters in less. Choice.
STALE_AFTER_S = 2.0
# A scanner without a suffix has sent all of a code when it checks and nothing more comes so long.
# Longer than a pause between a scanner's characters (2 to 60 ms), too short to wait for. Choice.
QUIET_S = 0.3
LONGEST = 64


class Reader:
    """Collects text until Enter or Tab. Speed is no test: slow and fast strokes count alike."""

    def __init__(self) -> None:
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
        return bool(self._text)

    def end(self, at: float) -> str | None:
        """Return what was gathered when Enter or Tab came, or None where there is nothing."""
        is_lost = self._is_spilt or at - self._last > STALE_AFTER_S
        text, self._text, self._is_spilt = self._text.strip(), "", False
        return text if text and not is_lost else None

    def poll(self, at: float) -> str | None:
        """Return a sound code after which nothing came for a while, else None.

        It serves scanners without a suffix; an Enter that comes all the same finds nothing left. A
        code with an unreadable letter is only typed by people, and waits for their Enter.
        """
        text = self._text.strip()
        if at - self._last < QUIET_S or self._is_spilt or "?" in text:
            return None
        if len(compact(text)) != LENGTH and len(text) != LENGTH:
            return None
        return self.end(at) if parse(text).code is not None else None
