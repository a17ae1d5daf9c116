"""What the check of hanging says of one unit, as the board and a scan need it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class HangWord:
    """The word of the check on one unit whose job has a measured wall.

    words go into the board's sentence. is_refused says that hanging it needs a reason: message and
    detail then tell why and what would help; whys and check are the refusals by key and in words,
    for the log.
    """

    words: str
    is_refused: bool = False
    message: str = ""
    detail: str = ""
    whys: tuple[str, ...] = ()
    check: tuple[str, ...] = ()

    def body(self) -> list[dict[str, str]]:
        """Return the refusals as the entry of a go-ahead keeps them."""
        return [
            {"why": why, "message": str(message)}
            for why, message in zip(self.whys, self.check, strict=True)
        ]
