"""Take what is scanned or typed in the order it came: codes, badges, cards and numbers."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from kiosk.rules.cards import NUMBERS, Card, read_card
from kiosk.rules.people import find_person
from kiosk.rules.words import _, say
from kiosk.screens.attention import Attention
from kiosk.screens.carddesk import CardDesk
from kiosk.screens.choices import pick_number
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.notice import Notice
from kiosk.screens.peopledesk import PeopleDesk
from kiosk.screens.prints import Prints
from kiosk.screens.problemdesk import ProblemDesk
from kiosk.screens.shopdesk import ShopDesk
from kiosk.screens.staffdesk import StaffDesk
from labels.codes import LENGTH, compact, parse

AGAIN_S = 1.5  # a card read again within this is one read: scanners stutter, cameras stare; choice


@dataclass(frozen=True, slots=True)
class SignedIn:
    """Who works at this bench from now on, whether they just signed in, and have a badge."""

    who: str
    name: str
    came: bool
    has_badge: bool = True


class InputDesk(DeskFace, Protocol):
    """What the inputs are given of the desk."""

    problems: ProblemDesk
    shopdesk: ShopDesk
    bench: Any  # the widget of the bench
    prints: Prints
    asking: int  # how much of what was asked is not answered yet

    def scan(self, text: str) -> None:
        """Record what a scan means."""
        ...

    def open_problem(self) -> None:
        """Ask what is wrong."""
        ...

    def open_board(self) -> None:
        """Show the board."""
        ...

    def open_stations(self) -> None:
        """Ask which station this is."""
        ...

    def show_who_works_here(self) -> None:
        """Show who works here now, by badge or by the settings."""
        ...


class Inputs:
    """Hands codes on; a card or a number waits until what was asked before is answered.

    Else a card scanned right after a part would still be about the part before it.
    """

    def __init__(
        self,
        shop: ShopFace,
        desk: InputDesk,
        attention: Attention,
        *,
        seconds: Callable[[], float],
    ) -> None:
        self._shop, self._desk, self._seconds = shop, desk, seconds
        self._attention = attention
        self.people = PeopleDesk(
            shop,
            desk,
            sign_in=self.sign_in,
            signed_in=lambda: self._signed_in,
            staff=lambda: self.staff.open(),
            back=desk.shopdesk.open,
        )
        self.staff = StaffDesk(shop, desk, desk.prints, leave=self._leave, back=self.people.open)
        desk.shopdesk.more = (
            Choice(_("People"), self.people.open),
            Choice(_("Wipe the screen"), attention.start_wipe),
        )
        acts = {
            "strike": desk.strike,
            "problem": desk.open_problem,
            "board": desk.open_board,
            "stations": desk.open_stations,
            "shop": desk.shopdesk.open,
            "rags": desk.shopdesk.open_rags,
            "wipe": attention.start_wipe,
        }
        self.cards = CardDesk(desk, acts, notify=attention.notify)
        # Who signed in, nobody where it is who usually works here. Changed on the shop's thread
        # only: a badge counts for the very next scan.
        usual = shop.settings.person
        self._signed_in = "" if desk.post.person == usual else desk.post.person
        self._waiting: deque[str] = deque()
        self._last: tuple[str, float] = ("", 0.0)
        # the pad that a scanner or a keyboard types into, and what stood there before
        self._typing: tuple[Any, str] | None = None
        self._rubbed = False

    # -- order -------------------------------------------------------------------------------

    def take(self, text: str) -> None:
        """Take a text as the scanner or a keyboard sent it."""
        pad, before = self._typing or (None, "")
        self._typing = None
        if self._rubbed and hasattr(self._desk.show, "enter") and not self._is_sound(text):
            self.enter()  # no scanner sends Backspace: what stands on the pad is meant
            return
        self._rubbed = False
        if pad is not None and pad is self._desk.show and self._is_sound(text):
            pad.put_back(before)  # a scan was no typing
        self._waiting.append(text)
        self.go_on()

    def go_on(self) -> None:
        """Use what came, in order; an answer waits until nothing asked before is open."""
        while self._waiting:
            card = read_card(self._waiting[0], layout=self._shop.settings.scanner_layout)
            is_answer = card is not None or self._waiting[0] in NUMBERS
            if is_answer and self._desk.asking:
                return
            self._use(self._waiting.popleft(), card)

    def _use(self, text: str, card: Card | None) -> None:
        if card is not None:
            now = self._seconds()
            again = self._last[0] == card.key and now - self._last[1] < AGAIN_S
            self._last = (card.key, now)
            if not again:
                self.cards.use(card)
            return
        choice = pick_number(open_choices(self._desk.show), text)
        if choice is not None:
            choice.act()
        elif self._is_for_pad(text):
            self._desk.show.enter()
        else:
            self.take_code(text)

    def _is_for_pad(self, text: str) -> bool:
        """Tell whether a text was typed into the pad on the screen, and is no scanned code."""
        if not hasattr(self._desk.show, "enter"):
            return False
        return not self._is_sound(text) and len(compact(text)) <= max(
            LENGTH, len(self._desk.show.typed)
        )

    def is_typing(self, text: str) -> bool:
        """Tell whether a text without an end is being typed into the pad on the screen."""
        return hasattr(self._desk.show, "type_letters") and not self._is_sound(text)

    def _is_sound(self, text: str) -> bool:
        """Tell whether a text is a code, and not what the pad on the screen is for."""
        is_own = getattr(self._desk.show, "is_own", None)
        if is_own is not None and is_own(text):
            return False
        return parse(text, layout=self._shop.settings.scanner_layout).code is not None

    def take_code(self, text: str) -> None:
        """Take a code: of a badge, for the problem that is asked about, or to be recorded."""
        if hasattr(self._desk.show, "take_code"):
            self._desk.show.take_code(text)
            return
        if self._desk.problems.about is None:
            self._desk.scan(text)
            return

        def then(found: SignedIn | None) -> None:
            if found is not None:
                self.signed(found)
            else:
                self._desk.problems.take_code(text)

        lost = say("{code} was not looked up. Scan it again.", code=text)
        self._desk.ask(lambda: self._badge(text), then, lost=lost)

    # -- keys --------------------------------------------------------------------------------

    def type_letters(self, text: str) -> None:
        """Show what a keyboard types on the pad that is open, if one is."""
        pad = self._desk.show
        if not hasattr(pad, "type_letters"):
            return
        if self._typing is None or self._typing[0] is not pad:
            self._typing = (pad, pad.typed)
        pad.type_letters(text)

    def rub_out(self) -> None:
        """Take the last letter away on the pad that is open, if one is."""
        if hasattr(self._desk.show, "rub_out"):
            self._rubbed, self._typing = True, None
            self._desk.show.rub_out()

    def enter(self) -> None:
        """Use what stands on the pad that is open: Enter came, and no code with it."""
        self._typing, self._rubbed = None, False
        if hasattr(self._desk.show, "enter"):
            self._desk.show.enter()

    # -- people ------------------------------------------------------------------------------

    @property
    def who(self) -> str:
        """Return who works here: who signed in, else who usually does by the settings."""
        return self._signed_in or self._shop.settings.person

    def record(self, text: str, call: Callable[[str], Any]) -> Any:
        """Return who signed in where a text is a badge, else what `call` does for who is here.

        To be called on the shop's thread.
        """
        return self._badge(text) or call(self.who)

    def _badge(self, text: str) -> SignedIn | None:
        person = self._shop.badge_of(text)
        if person is None or person.away:
            return None
        return self._turn(person.name)

    def _turn(self, name: str) -> SignedIn:
        came = self._signed_in != name
        self._signed_in = name if came else ""
        return SignedIn(self.who, name, came)

    def sign_in(self, name: str) -> None:
        """Sign somebody in by name, or out where they are signed in already."""
        lost = _("Nobody was signed in. Try again.")

        def call() -> SignedIn:
            known = find_person(self._shop.people(), name)
            return replace(self._turn(name), has_badge=known is not None and not known.away)

        self._desk.ask(call, self.signed, lost=lost)

    def _leave(self, name: str) -> None:
        """Sign somebody out who was taken off the list; on the shop's thread."""
        if self._signed_in == name:
            self._signed_in = ""

    def signed(self, found: SignedIn) -> None:
        """Show who works here from now on."""
        desk = self._desk
        desk.show_who_works_here()
        more: str
        if found.came:
            words = say("{name} works here", name=found.name)
            more = _("Scans carry the name from now on. The badge again signs out.")
            if not found.has_badge:
                more = _("Scans carry the name from now on. Shop, People signs out.")
        else:
            words = say("{name} is signed out", name=found.name)
            more = say("Scans carry {name} again.", name=found.who) if found.who else ""
        head = _("Signed in") if found.came else _("Signed out")
        self._attention.notify(Notice(head, words, more, "tick", good=True))


def open_choices(screen: Any) -> Sequence[Choice]:
    """Return what a person may choose on a screen now, nothing where it asks nothing."""
    return tuple(getattr(screen, "asked", ()))
