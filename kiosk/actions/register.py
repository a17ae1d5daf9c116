"""Read who the people of a shop are, and whose badge or what card a code is on."""

from __future__ import annotations

from kiosk.actions.core import Core
from kiosk.rules.cards import read_card
from kiosk.rules.entries import Kind
from kiosk.rules.people import Person, people_of
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, say
from labels.codes import parse


class Register(Core):
    """The people of a shop."""

    def people(self) -> tuple[Person, ...]:
        """Return everybody who has a badge, those off the list too."""
        return people_of(self.store.shop_entries(Kind.PERSON_SET))

    def badge_of(self, text: str) -> Person | None:
        """Return the person whose badge a scanned or typed text is the code of, or None."""
        code = parse(text, layout=self.settings.scanner_layout).code
        if code is None or self.store.find_piece(code) is not None:
            return None
        return next((one for one in self.people() if one.code == code), None)

    def no_label(self, code: str) -> Answer | None:
        """Return the answer to a badge or a card where a part was meant, None for other codes."""
        if (card := read_card(code)) is not None:
            message = say("This is the card: {title}", title=card.title)
            return Answer(Outcome.ELSEWHERE, message, card.purpose, code=code)
        person = self.badge_of(code)
        if person is None:
            return None
        detail = _("It is off the list.") if person.away else _("At a bench it signs in or out.")
        message = say("This is the badge of {name}", name=person.name)
        return Answer(Outcome.ELSEWHERE, message, detail, code=code)
