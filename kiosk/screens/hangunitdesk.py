"""Lead through one unit of a measured wall: its verdict, what it rests on, a person's word."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.hanging.hangviews import Checked, UnitHanging
from kiosk.rules.lengths import System
from kiosk.rules.permission import Act, Permit
from kiosk.rules.reasons import HANG_REASONS
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.weights import say_most
from kiosk.rules.words import Phrase, _, capital, join, say, say_n
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.hangface import HangFace
from kiosk.screens.hangpaperdesk import HangPaperDesk
from kiosk.screens.hangsview import HangSeen, see_hanging
from kiosk.screens.hangunit import MOST_REASONS, HangUnitScreen, lines_of
from kiosk.screens.hangwords import say_verdict
from kiosk.screens.jobview import say_name
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("The unit could not be shown. Try again.")
NOT_KEPT = _("Nothing was recorded. Try again.")
Back = Callable[[], object]
Turn = Callable[[int], object]


@dataclass(frozen=True, slots=True)
class UnitWays:
    """Where a unit leads to: how it hangs, with the way back, its card, and the wall it is on."""

    fit: Callable[[str, str, Back], object]
    papers: HangPaperDesk
    back: Back


class HangUnitDesk:
    """The screens of one unit."""

    def __init__(self, shop: ShopFace, walls: HangFace, desk: DeskFace, ways: UnitWays) -> None:
        self._shop, self._walls, self._desk, self._ways = shop, walls, desk, ways
        self._job = ""

    def open(self, job: str, unit: str) -> None:
        """Show what a unit of a job may carry, as the check has it now."""
        self._job = job
        self.open_unit(unit)

    def open_unit(self, unit: str) -> None:
        """Show what a unit may carry, as the check has it now."""
        self._look(unit)

    def _look(self, unit: str, said: str = "") -> None:
        def then(seen: HangSeen) -> None:
            one = seen.view.unit(unit)
            if one is None:
                self._ways.back()
            else:
                self.show_unit(seen, one, said)

        call = partial(see_hanging, self._shop, self._walls, self._job)
        self._desk.ask_here(call, then, lost=NOT_SEEN)

    def show_unit(self, seen: HangSeen, one: UnitHanging, said: str = "") -> None:
        """Show a unit's verdict: the number or the reasons for none, what helps, the ways on."""
        self._job = seen.job.code
        job, title = self._job, say_name(one.unit, one.name)
        verdict = say_verdict(one, self._shop.zone, system=seen.system)
        again = partial(self.open_unit, one.unit)
        choices = [Choice(_("Back"), self._ways.back, card=BACK)]
        choices.append(Choice(_("How it hangs"), partial(self._ways.fit, job, one.unit, again)))
        choices.append(
            Choice(_("Load card"), partial(self._ways.papers.card, job, one.unit, again))
        )
        if len(one.refusals) > MOST_REASONS:
            words = say("All {n} reasons", n=len(one.refusals))
            choices.append(Choice(words, partial(self.show_reasons, one)))
        if len(one.better) > 1:
            words = say("{n} ways to help", n=len(one.better))
            choices.append(Choice(words, partial(self.show_better, one, seen.system)))
        if one.assumptions:
            words = say_n("{n} assumption", "{n} assumptions", len(one.assumptions))
            choices.append(Choice(words, partial(self.show_assumptions, one)))
        if one.cautions:
            words = say_n("{n} caution", "{n} cautions", len(one.cautions))
            choices.append(Choice(words, partial(self.show_cautions, one)))
        if one.checked is Checked.REFUSED:
            choices.append(Choice(_("Allow all the same"), partial(self.ask_allow, one), "late"))
        elif one.checked is Checked.ALLOWED:
            choices.append(Choice(_("Take it back"), partial(self.strike, one), "cross"))
        screen = HangUnitScreen(
            self._desk.trim, title, verdict, lines_of(one, seen.system), choices
        )
        if said:
            screen.tell(said)
        self._desk.put(screen)

    def _list(
        self, one: UnitHanging, title: Phrase, rows: list[Row], page: int, turn: Turn
    ) -> None:
        listed = Listed(say("{unit}: {what}", unit=one.unit, what=title), rows, columns=1)
        back = partial(self.open_unit, one.unit)
        screen = ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page)
        self._desk.put(screen)

    def show_reasons(self, one: UnitHanging, page: int = 0) -> None:
        """Show all that stands against a unit, each with the way out."""
        rows = [Row(each.message, each.remedy, None, "late") for each in one.refusals]
        turn = partial(self.show_reasons, one)
        self._list(one, _("why there is no number"), rows, page, turn)

    def show_better(self, one: UnitHanging, system: System = System.MM, page: int = 0) -> None:
        """Show what would help, the smallest change first."""
        rows = [
            Row(
                each.words, "", None, "arrow", say("then {load}", load=say_most(each.after, system))
            )
            for each in one.better
        ]
        self._list(one, _("what would help"), rows, page, partial(self.show_better, one, system))

    def show_assumptions(self, one: UnitHanging, page: int = 0) -> None:
        """Show every figure a unit's check rests on, and where it is from."""
        rows = [
            Row(capital(each.what), each.basis, None, "dot", each.value) for each in one.assumptions
        ]
        turn = partial(self.show_assumptions, one)
        self._list(one, _("what the check rests on"), rows, page, turn)

    def show_cautions(self, one: UnitHanging, page: int = 0) -> None:
        """Show what is printed beside its number."""
        rows = [Row(words, "", None, "late") for words in one.cautions]
        self._list(one, _("cautions"), rows, page, partial(self.show_cautions, one))

    # -- all the same ----------------------------------------------------------------------------

    def ask_allow(self, one: UnitHanging) -> None:
        """Ask why a unit goes up although there is no number for it."""
        choices = [Choice(capital(why), partial(self._allow, one, why)) for why in HANG_REASONS]
        choices.append(Choice(_("Back"), partial(self.open_unit, one.unit), card=BACK))
        title = say("Hang {unit} all the same, because:", unit=one.unit)
        line = _("It may come down. Who allowed it and why is printed on its card.")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line, shape="late"))

    def _allow(self, one: UnitHanging, reason: str) -> None:
        self._desk.guard(Act.GO_AHEAD, partial(self._keep, one, reason))

    def _keep(self, one: UnitHanging, reason: str, permit: Permit | None) -> None:
        job, person = self._job, self._desk.post.person

        def call() -> Answer:
            return self._walls.allow_hanging(job, one.unit, reason, person=person, permit=permit)

        self._desk.ask(call, partial(self._answered, one.unit), lost=NOT_KEPT)

    def strike(self, one: UnitHanging) -> None:
        """Take a person's word for hanging it back."""
        if one.allowed is None:
            return
        entry, person = one.allowed.entry, self._desk.post.person

        def call() -> Answer:
            return self._shop.strike(entry, person=person)

        self._desk.ask_here(call, partial(self._answered, one.unit), lost=NOT_KEPT)

    def _answered(self, unit: str, answer: Answer) -> None:
        """Say what was recorded, on the screen of the unit as it is then."""
        self._desk.told(good=answer.outcome == Outcome.RECORDED)
        self._look(unit, join((answer.message, answer.detail), ". "))
