"""Ask for a supervisor's PIN before an act that needs one, then go on with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import partial
from typing import Any, Protocol

from kiosk.rules.cards import BACK
from kiosk.rules.lockout import say_wait
from kiosk.rules.people import Person
from kiosk.rules.permission import ACT_WORDS, Act, Permit, Supervisor
from kiosk.rules.words import Phrase, _, say
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.figurepad import Ask
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.pinpad import PinPad

A_PAGE = 4  # names; with Others and Back as many as a 10-inch screen holds
NOT_ASKED = _("Nothing was done. Try again.")
FORGOTTEN = _(
    "Another supervisor gives a new one: Shop, People. Where there is no other: "
    "cleatclock people --reset-pin NAME."
)
Go = Callable[[Permit | None], object]


@dataclass(frozen=True, slots=True)
class Wanted:
    """An act that waits for a PIN: what to do then, the way back, and who may be asked.

    waits are the PINs nobody may try now, by the badge's code.
    """

    act: Act
    go: Go
    home: Callable[[], object]
    supervisors: Sequence[Supervisor]
    waits: Mapping[str, timedelta]


class PinDeskFace(DeskFace, Protocol):
    """What the PIN's screens are given of the desk."""

    bench: Any  # the widget of the bench

    def scan(self, text: str) -> None:
        """Record what a scan means."""
        ...


class PinDesk:
    """The screens that ask for a supervisor's PIN; it is looked at on the shop's thread."""

    def __init__(self, shop: ShopFace, desk: PinDeskFace) -> None:
        self._shop, self._desk = shop, desk

    def guard(
        self,
        act: Act,
        go: Go,
        *,
        first: str = "",
        only: Callable[[Sequence[Supervisor]], bool] = lambda _supervisors: True,
    ) -> None:
        """Go on at once where nobody is to be asked, else once a supervisor's PIN was right.

        Args:
            act: what is to be done.
            go: does it, with the permit, on the screen that is shown now.
            first: the badge of who is asked first, where that is a supervisor.
            only: tells whether it needs one of these supervisors at all.
        """
        desk, shop, before = self._desk, self._shop, self._desk.show
        home = desk.open_bench if before is desk.bench else partial(desk.put, before)

        def call() -> tuple[Sequence[Supervisor], Mapping[str, timedelta]]:
            return shop.supervisors(), shop.pin_waits(shop.now())

        def then(found: tuple[Sequence[Supervisor], Mapping[str, timedelta]]) -> None:
            supervisors, waits = found
            if not supervisors or not only(supervisors):
                go(None)
            elif desk.show is before:
                self.open(Wanted(act, go, home, supervisors, waits), first)

        desk.ask(call, then, lost=NOT_ASKED)

    def open(self, wanted: Wanted, first: str = "") -> None:
        """Ask for the PIN of who is likeliest here: named, signed in, or the only one."""
        known = wanted.supervisors
        who = self._desk.post.person
        likely = [one for one in known if one.code == first]
        likely += [one for one in known if one.name == who]
        if likely or len(known) == 1:
            self.ask(wanted, (likely or list(known))[0])
        else:
            self.pick(wanted)

    def pick(self, wanted: Wanted, page: int = 0) -> None:
        """Ask whose PIN it is to be."""
        desk, first = self._desk, page * A_PAGE
        known = wanted.supervisors
        choices = [
            Choice(one.name, partial(self.ask, wanted, one))
            for one in known[first : first + A_PAGE]
        ]
        if len(known) > A_PAGE:
            following = page + 1 if first + A_PAGE < len(known) else 0
            choices.append(Choice(_("Others"), partial(self.pick, wanted, following), "arrow"))
        choices.append(Choice(_("Back"), wanted.home, card=BACK))
        title = _say_needed(wanted.act)
        line = _("Whose PIN is it to be?")
        desk.put(AskScreen(desk.trim, title, choices, line=line))

    def ask(self, wanted: Wanted, one: Supervisor, wrong: str = "") -> None:
        """Ask for the PIN of a supervisor, unless nobody may try it now."""
        desk = self._desk
        if wait := wanted.waits.get(one.code):
            self.show_locked(wanted, one, wait)
            return
        extra = [Choice(_("Forgotten"), partial(self.show_forgotten, wanted, one))]
        if len(wanted.supervisors) > 1:
            extra.insert(0, Choice(_("Another supervisor"), partial(self.pick, wanted)))
        question = say("PIN of the supervisor {name}", name=one.name)
        why = _say_needed(wanted.act)
        pad = PinPad(
            desk.trim,
            Ask(question, wrong=wrong or why),
            use=partial(self._use, wanted, one),
            back=wanted.home,
            extra=extra,
            badge=partial(self._take_badge, wanted),
        )
        desk.put(pad)

    def _use(self, wanted: Wanted, one: Supervisor, pin: str) -> None:
        desk, shop, person = self._desk, self._shop, self._desk.post.person

        def call() -> tuple[Permit | None, Problems, Mapping[str, timedelta]]:
            now = shop.now()
            permit, problems = shop.allow(wanted.act, one.code, pin, now=now, person=person)
            return permit, problems, shop.pin_waits(now)

        def then(found: tuple[Permit | None, Problems, Mapping[str, timedelta]]) -> None:
            permit, problems, waits = found
            if permit is not None:
                wanted.home()
                wanted.go(permit)
                return
            desk.told(good=False)
            self.ask(replace(wanted, waits=waits), one, say_problems(problems))

        desk.ask_here(call, then, lost=NOT_ASKED)

    def _take_badge(self, wanted: Wanted, text: str) -> None:
        """Ask the supervisor whose badge was scanned; a badge alone allows nothing."""
        desk = self._desk

        def then(found: Person | None) -> None:
            one = next((s for s in wanted.supervisors if found and s.code == found.code), None)
            if one is not None:
                self.ask(wanted, one)
            elif found is not None:
                desk.show.tell(say("{name} is no supervisor.", name=found.name))
            else:
                desk.scan(text)

        lost = say("{code} was not looked up. Scan it again.", code=text)
        desk.ask_here(lambda: self._shop.badge_of(text), then, lost=lost)

    # -- no way on ---------------------------------------------------------------------------------

    def show_locked(self, wanted: Wanted, one: Supervisor, wait: timedelta) -> None:
        """Say how long nobody may try a PIN, and the ways on."""
        desk = self._desk
        choices = [Choice(_("Try again"), partial(self._again, wanted, one))]
        if len(wanted.supervisors) > 1:
            choices.append(Choice(_("Another supervisor"), partial(self.pick, wanted)))
        choices.append(Choice(_("Forgotten"), partial(self.show_forgotten, wanted, one)))
        choices.append(Choice(_("Back"), wanted.home, card=BACK))
        title = say("Wait {wait}: PIN of {name}", wait=say_wait(wait), name=one.name)
        line = _("It was wrong too often. Each further wrong try doubles the wait, up to an hour.")
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape="cross"))

    def _again(self, wanted: Wanted, one: Supervisor) -> None:
        shop = self._shop

        def then(waits: Mapping[str, timedelta]) -> None:
            self.ask(replace(wanted, waits=waits), one)

        self._desk.ask_here(lambda: shop.pin_waits(shop.now()), then, lost=NOT_ASKED)

    def show_forgotten(self, wanted: Wanted, one: Supervisor) -> None:
        """Say how a forgotten PIN is mended."""
        desk = self._desk
        choices = (Choice(_("Back"), partial(self.ask, wanted, one), card=BACK),)
        title = say("The PIN of {name} is forgotten?", name=one.name)
        desk.put(AskScreen(desk.trim, title, choices, line=FORGOTTEN))


def _say_needed(act: Act) -> Phrase:
    """Return that an act needs a supervisor."""
    return say("{act} needs a supervisor", act=ACT_WORDS[act])
