"""Do what a scanned card says: tap the answer on the screen, or open what it names."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from kiosk.actions import PROBLEMS
from kiosk.rules.cards import BACK, NUMBERS, Card
from kiosk.rules.words import _
from kiosk.screens.choices import goes_back, pick_number
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.notice import Notice
from kiosk.screens.problemdesk import ProblemDesk

BY_NUMBER = _("Scan the card with the number of an answer, or type it and Enter.")


class CardFace(DeskFace, Protocol):
    """What the cards are given of the desk."""

    problems: ProblemDesk
    bench: Any  # the widget of the bench


class CardDesk:
    """The cards of this bench."""

    def __init__(
        self,
        desk: CardFace,
        acts: Mapping[str, Callable[[], object]],
        *,
        notify: Callable[[Notice], object],
    ) -> None:
        """Take what the cards do that need no answer on the screen, by their keys."""
        self._desk, self._acts, self._notify = desk, acts, notify

    def use(self, card: Card) -> None:
        """Do what a card says; where it means nothing now, say what it is for."""
        desk = self._desk
        choices = tuple(getattr(desk.show, "asked", ()))
        choice = _meant(card, choices)
        if choice is not None:
            choice.act()
        elif card.key in {trouble.key for trouble in PROBLEMS}:
            if not desk.problems.pick_now(card.key, desk.answer):
                self._say(card)
        elif card.key == "rags" and desk.signs.rags is None:
            self._say(card)
        elif act := self._act(card):
            act()
        else:
            self._say(card, BY_NUMBER if choices else "")

    def _act(self, card: Card) -> Callable[[], object] | None:
        """Return what a card does on any screen, None for one that only answers."""
        if card.key == BACK:
            return self._desk.open_bench if self._desk.show is not self._desk.bench else None
        return self._acts.get(card.key)

    def _say(self, card: Card, more: str = "") -> None:
        self._notify(Notice(_("Nothing recorded"), card.title, more or card.purpose))


def _meant(card: Card, choices: tuple[Choice, ...]) -> Choice | None:
    """Return the answer on the screen that a card taps, or None."""
    if card.key in NUMBERS:
        return pick_number(choices, card.key)
    if card.key == BACK:
        return next((choice for choice in choices if goes_back(choice)), None)
    return next((choice for choice in choices if choice.card == card.key), None)
