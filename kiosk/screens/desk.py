"""Take scans and taps to the shop's thread, and show what comes back; holds no rules."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.floor import Floor
from kiosk.rules.permission import Act, Permit
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, say
from kiosk.screens.attention import Attention
from kiosk.screens.bench import BenchActs, BenchScreen
from kiosk.screens.board import BoardScreen
from kiosk.screens.face import Choice, Post, ShopFace, Signs, Status, Trim, status_of
from kiosk.screens.failsafe import BROKE, SAFE, FailsafeScreen
from kiosk.screens.flow import ask_station
from kiosk.screens.gear import Connected
from kiosk.screens.inputs import Inputs, SignedIn
from kiosk.screens.offers import OfferActs, choices_for
from kiosk.screens.pad import PadScreen
from kiosk.screens.pindesk import PinDesk
from kiosk.screens.problemdesk import ProblemDesk
from kiosk.screens.shopdesk import ShopDesk
from kiosk.screens.troubledesk import TroubleDesk
from kiosk.screens.worker import Worker

LOG = logging.getLogger("cleatclock.screens")


class Desk:
    """What is on the screen now, and the last answer."""

    def __init__(
        self,
        shop: ShopFace,
        worker: Worker,
        *,
        post: Post,
        trim: Trim,
        sound: Callable[[bool], None],
        changed: Callable[[], None],
        gear: Connected,
    ) -> None:
        """Take `sound`, told whether a scan was recorded, and `changed`, told when to look.

        gear is what the kiosk is connected with.
        """
        self._shop, self._worker, self.post = shop, worker, post
        self.prints, self._has_camera = gear.prints, gear.devices.has_camera
        self._sound, self._changed = sound, changed
        self.measure: Callable[[], Trim] = lambda: self.trim
        self.restart: Callable[[], object] | None = None
        self.stage = BoxLayout()
        self.answer: Answer | None = None
        self.floor: Floor | None = None
        self.signs = Signs()
        self.pins = PinDesk(shop, self)
        self.guard = self.pins.guard
        self._exchange = gear.exchange
        self.shopdesk = ShopDesk(
            shop, self, prints=self.prints, sensors=gear.feed.say, exchange=gear.exchange
        )
        self.troubles = TroubleDesk(self, self.prints)
        self.problems = ProblemDesk(shop, self, self.prints)
        self.attention = Attention(self, gear.seconds)
        self.inputs = Inputs(shop, self, self.attention, seconds=gear.seconds)
        self._text = self._stale = ""
        self._dues: Any = None  # nothing is known before the shop is open
        self._come = self._taken = 0  # answers to scans that came, and that were taken from there
        self.asking = 0  # how much of what was asked is not answered yet
        self.show: Widget
        self.fit(trim)

    # -- screens -----------------------------------------------------------------------------

    def fit(self, trim: Trim) -> None:
        """Lay everything out anew, for a window of another size."""
        self.trim = trim
        self.bench = BenchScreen(trim, self.status(), self.acts(), has_camera=self._has_camera)
        back = None if self.post.home == "board" else self.go_home
        self.board = BoardScreen(trim, back=back, ask=self.open_questions)
        self._show_answer_again()
        self.bench.show_due(self._dues)
        if self.floor is not None:
            self.board.show(self.floor)
        self._show_signs()
        self.board.show_link(self._exchange.link())
        self.go_home()

    def refit(self) -> None:
        """Lay everything out anew by the settings as they are now; a question stays on."""
        shown, home = self.show, (self.bench, self.board)
        self.fit(self.measure())
        if shown not in home:
            self.put(shown)

    def acts(self) -> BenchActs:
        """Return what the buttons of the bench do."""
        return BenchActs(
            pad=self.open_pad,
            problem=self.open_problem,
            board=self.open_board,
            day=partial(self.shopdesk.day.open, self.open_bench),
            shop=self.shopdesk.open,
            rags=self.shopdesk.open_rags,
            prints=self.troubles.open,
            strike=self.strike,
            station=self.open_stations,
        )

    def go_home(self) -> None:
        """Show what this kiosk shows when left alone."""
        self.put(self.board if self.post.home == "board" else self.bench)

    def open_bench(self) -> None:
        """Show the bench."""
        self.put(self.bench)

    def open_board(self) -> None:
        """Show the board."""
        self.put(self.board)

    def open_questions(self) -> None:
        """Show what only a person can decide; back leads to the board."""
        self.shopdesk.asks.open(self.open_board)

    def open_pad(self) -> None:
        """Show the number pad; a code typed there counts like one scanned."""
        about = self.problems.about
        back = self.open_bench if about is None else self.open_problem
        self.pad = PadScreen(self.trim, use=self.inputs.take_code, back=back)
        self.put(self.pad)
        self.problems.about = about

    def open_problem(self) -> None:
        """Ask what is wrong."""
        self.problems.open(self.answer)

    def ask_spoiled(self, code: str) -> None:
        """Ask whether a part is spoiled."""
        self.problems.ask_spoiled(code)

    def asked_about(self) -> str:
        """Return the code of the part a problem is asked about now, empty where none is."""
        return self.problems.about.code if self.problems.about else ""

    def open_stations(self) -> None:
        """Ask which station this is."""
        self.put(ask_station(self.trim, pick=self.set_station, back=self.open_bench))

    def set_station(self, station: str) -> None:
        """Work at another station from now on."""
        self.post = replace(self.post, station=station)
        self.answer, self._dues = None, ()
        self._show_answer_again()
        self.bench.show_due(())
        self.bench.show_status(self.status())
        self.put(self.bench)
        self._changed()

    def put(self, screen: Widget) -> None:
        """Show a screen in place of the one before."""
        self.problems.about = None
        self.show = screen
        self.attention.put(screen)

    def status(self) -> Status:
        """Return what stands in the header of the bench."""
        clock = self.floor.clock if self.floor else ""
        link = self._exchange.link()
        return status_of(self.post, clock=clock, stale=self._stale, link=link)

    # -- scans -------------------------------------------------------------------------------

    def take_code(self, text: str) -> None:
        """Take a code, scanned or typed: of a part, a badge or a card."""
        self.inputs.take(text)

    def scan(self, text: str) -> None:
        """Record what a scan means."""
        self._text = text
        self._scan(text)

    def _go_ahead(self, text: str, step: str, reason: str) -> None:
        def go(permit: Permit | None) -> None:
            self._scan(text, step=step, reason=reason, permit=permit)

        self.guard(Act.GO_AHEAD, go)

    def _scan(
        self,
        text: str,
        *,
        step: str | None = None,
        reason: str | None = None,
        permit: Permit | None = None,
    ) -> None:
        post, lost = self.post, say("{code} was not recorded. Scan it again.", code=text)

        def then(answer: Answer | SignedIn) -> None:
            if isinstance(answer, SignedIn):
                self.inputs.signed(answer)
                return
            self._taken += 1
            # of scans that queue up, only the last answer that has come is drawn
            self.take_answer(answer, shows=self._taken == self._come)
            self.prints.after(answer, person=self.post.person)

        def call(person: str) -> Answer:
            return self._shop.scan(
                text,
                station=post.station,
                person=person,
                step=step,
                reason=reason,
                permit=permit,
            )

        def recorded() -> Answer | SignedIn:  # on the shop's thread
            found: Answer | SignedIn = self.inputs.record(text, call)
            self._come += isinstance(found, Answer)
            return found

        self.ask(recorded, then, lost=lost)

    def strike(self) -> None:
        """Void the last entry of this kiosk."""
        person = self.post.person
        lost = _("Nothing was struck. Try again.")
        self.ask(lambda: self._shop.strike_last(person=person), self.take_answer, lost=lost)

    def strike_entry(self, entry: str) -> None:
        """Void one entry, whatever was recorded since."""
        person, lost = self.post.person, _("Nothing was struck. Try again.")
        self.ask(lambda: self._shop.strike(entry, person=person), self.take_answer, lost=lost)

    def ask(self, call: Callable[[], Any], then: Callable[[Any], None], *, lost: str) -> None:
        """Ask the shop on its thread, then go on; where it fails, show what was lost."""

        def answered(found: Any) -> None:
            self.asking -= 1
            try:
                then(found)
            finally:
                self.inputs.go_on()

        def fail(error: Exception) -> None:
            self.asking -= 1
            LOG.error("the shop refused: %s", error, exc_info=error)
            try:
                self.fail(lost, str(error) or type(error).__name__)
            finally:
                self.inputs.go_on()

        self.asking += 1
        self._worker.ask(call, answered, fail=fail)

    def ask_here(self, call: Callable[[], Any], then: Callable[[Any], None], *, lost: str) -> None:
        """Ask the shop, and go on only where the screen is still the same."""
        before = self.show

        def still(found: Any) -> None:
            if self.show is before:
                then(found)

        self.ask(call, still, lost=lost)

    def ask_aside(self, call: Callable[[], Any], then: Callable[[Any], None], *, lost: str) -> None:
        """Do what may hang and needs no shop on a thread of its own; scans are recorded meanwhile.

        Where it fails, what was lost is shown.
        """

        def fail(error: Exception) -> None:
            LOG.error("not done: %s", error, exc_info=error)
            self.fail(lost, str(error) or type(error).__name__)

        self._worker.aside(call, then, fail=fail)

    def take_answer(self, answer: Answer, *, shows: bool = True) -> None:
        """Sound what the shop answered, and show it unless a later answer is shown next."""
        self.answer = answer
        if shows:
            self._show_answer_again()
        if not (self.shopdesk.labels.cuts.take(answer) or self.shopdesk.sheets.one.take(answer)):
            self.put(self.bench)
        self.attention.told(answer)
        self._sound(answer.outcome == Outcome.RECORDED)
        if shows:
            self._changed()

    def told(self, *, good: bool) -> None:
        """Sound whether something was recorded, and look for news."""
        self._sound(good)
        self._changed()

    def show_who_works_here(self) -> None:
        """Show who works here now, by badge or by the settings."""
        self.post = replace(self.post, person=self.inputs.who)
        self.bench.show_status(self.status())

    def told_by_sound(self, *, good: bool) -> None:
        """Sound whether anything came of a scan."""
        self._sound(good)

    def _show_answer_again(self) -> None:
        said: tuple[str, tuple[Choice, ...]] = ("", ())
        if self.answer is not None:
            said = choices_for(self.answer, self.post.reasons, self._offer_acts())
        self.bench.show_answer(self.answer, *said)

    def _offer_acts(self) -> OfferActs:
        # what the buttons beside this answer mean stays so whatever is scanned meanwhile
        text = (self.answer.code if self.answer else "") or self._text
        return OfferActs(
            go_ahead=partial(self._go_ahead, text),
            also=lambda step: self._scan(text, step=step),
            code=self.inputs.take_code,
            lift=self._lift,
            again=self.strike_entry,
            dismiss=lambda: self.bench.show_answer(self.answer, "", ()),
        )

    def _lift(self, unit: str) -> None:
        job, person = self.answer.job if self.answer else "", self.post.person
        name = f"{job}/{unit}" if job else unit
        lost = _("The hold was not lifted. Try again.")
        self.ask(lambda: self._shop.lift(name, person=person), self.take_answer, lost=lost)

    # -- news --------------------------------------------------------------------------------

    def show_news(self, floor: Floor, dues: Any, signs: Signs) -> None:
        """Show a fresh board and list, and what is told besides."""
        self.floor, self._dues, self.signs = floor, dues, signs
        self._show_signs()
        self.board.show(floor)
        self.bench.show_due(dues)
        self.bench.show_status(self.status())
        self.shopdesk.refresh()

    def show_troubles(self) -> None:
        """Show which labels are not printed."""
        self.bench.show_troubles(self.prints.troubles())
        self.troubles.refresh()
        self.shopdesk.labels.cuts.refresh()

    def _show_signs(self) -> None:
        self.board.show_rags(self.signs.rags)
        self.board.show_questions(self.signs.questions)
        self.bench.show_signs(self.signs)
        self.show_troubles()

    def show_link(self) -> None:
        """Show how the kiosk stands to the others."""
        self.bench.show_status(self.status())
        self.board.show_link(self._exchange.link())
        self.shopdesk.exchange.refresh()

    def show_stale(self, words: str) -> None:
        """Say since when there is no news; nothing where there is."""
        if words == self._stale:
            return
        self._stale = words
        self.board.show_stale(words)
        self.bench.show_status(self.status())

    def fail(self, how: str, cause: str) -> None:
        """Show what broke and how to go on."""
        what = BROKE if how == SAFE else how
        more = SAFE if how == SAFE else _("What was recorded before is safe.")
        self._sound(False)  # noqa: FBT003 - a callable's one argument has no name
        self.put(FailsafeScreen(self.trim, what=what, how=more, cause=cause, go_on=self.open_bench))
