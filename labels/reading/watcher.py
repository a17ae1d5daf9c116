"""Give each code a camera sees once, however many frames show it."""

from __future__ import annotations

from typing import Final

from labels.reading.picture import Found

UNSEEN_AFTER_S: Final = 1.0  # a label has been taken away and shown again; choice


class Watcher:
    """Turns what frame after frame shows into codes, each given once.

    A code is given again only after it was out of sight for a time; another code is given at once.
    Of two labels in sight both are given, once each. A code read only from bars has to be seen in
    two frames: damaged bars are misread now and then, but hardly twice alike.
    """

    def __init__(self, *, unseen_after: float = UNSEEN_AFTER_S) -> None:
        self._unseen_after = unseen_after
        self._given: dict[str, float] = {}
        self._half: dict[str, float] = {}  # seen as bars, in one frame

    def see(self, found: Found, at: float) -> tuple[str, ...]:
        """Take in one frame and return the codes that are new.

        Args:
            found: what the frame shows.
            at: seconds on any clock that only goes forward.
        """
        self._given = self._still(self._given, at)
        self._half = self._still(self._half, at)
        certain = {find.code for find in found.finds if find.kind == "qr"}
        new = []
        for code in found.codes:
            if code in self._given:
                self._given[code] = at
            elif code in certain or code in self._half:
                self._half.pop(code, None)
                self._given[code] = at
                new.append(code)
            else:
                self._half[code] = at
        return tuple(new)

    def forget(self) -> None:
        """Let every code in sight be given again, as after a screen was opened."""
        self._given, self._half = {}, {}

    def _still(self, seen: dict[str, float], at: float) -> dict[str, float]:
        return {code: last for code, last in seen.items() if at - last <= self._unseen_after}
