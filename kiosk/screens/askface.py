"""What screens may ask of the shop's questions to its people."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from datetime import datetime

    from kiosk.rules.asked import Question
    from kiosk.rules.scanning import Answer


class AskFace(Protocol):
    """What screens may ask of what only a person can decide."""

    def questions(self, now: datetime | None = None) -> tuple[Question, ...]:
        """Return what is asked: about jobs first, then about units."""
        ...

    def answer_question(self, question: str, choice: str, *, person: str = "") -> Answer:
        """Write down an answer and what it brings about."""
        ...
