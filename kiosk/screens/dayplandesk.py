"""Lead through the day: the rule and its list, one step, what is late, paper, touch times."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kivy.clock import Clock

from kiosk.actions import DaySheets, PaperSent, say_sent
from kiosk.rules.cards import BACK
from kiosk.rules.dayplan.day import DayPlan, DayStep, say_begin_by
from kiosk.rules.hangday import say_weekday
from kiosk.rules.words import _, join, known, say
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.dayface import DayFace
from kiosk.screens.dayplanscreen import DayActs, DayPlanScreen, Shown, StepScreen
from kiosk.screens.dayplanview import (
    page_of_list,
    say_people,
    say_step,
    see_rail,
    see_step,
)
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.latedesk import HangDay, LateDesk
from kiosk.screens.rows import Listed, ListScreen, MenuScreen, Row
from kiosk.screens.timesdesk import TimesDesk

NOT_SEEN = _("The day could not be shown. Try again.")
NOT_PRINTED = _("The day was not printed. Try again.")
OpenUnit = Callable[[str, str, Callable[[], object]], object]


class DayPlanDesk:
    """The screens of the day."""

    def __init__(
        self,
        shop: ShopFace,
        day: DayFace,
        desk: DeskFace,
        *,
        unit: OpenUnit,
        hang_day: HangDay,
        back: Callable[[], object],
    ) -> None:
        """Take `unit`, which shows a unit by job and id, and `hang_day`, which asks for a job's.

        back leads to the bench or to Shop.
        """
        self._shop, self._day, self._desk = shop, day, desk
        self._unit, self._back = unit, back
        self._late = LateDesk(desk, hang_day=hang_day)
        self.times = TimesDesk(day, desk, back=self.again)
        self._by, self._page = "person", 0
        self._screen: DayPlanScreen | None = None
        self._seen: DayPlan | None = None

    # -- the day ---------------------------------------------------------------------------------

    def open(self, back: Callable[[], object] | None = None) -> None:
        """Show the day from now on; back leads to where it was asked."""
        self._back = back or self._back
        self._page = 0

        def then(day: DayPlan) -> None:
            self.show(day)
            self._look_on()

        self._desk.ask_here(self._day.day, then, lost=NOT_SEEN)

    def again(self) -> None:
        """Show the day again, on the page it was left."""
        self._look()

    def _look(self) -> None:
        self._desk.ask_here(self._day.day, self.show, lost=NOT_SEEN)

    def refresh(self) -> None:
        """Show the day anew where it is on the screen and has changed: steps tick off by scans."""
        screen = self._screen
        if screen is None or self._desk.show is not screen:
            return

        def then(day: DayPlan) -> None:
            if self._desk.show is screen and _to_the_minute(day) != self._seen:
                self.show(day)
                self._look_on()

        self._desk.ask(self._day.day, then, lost=NOT_SEEN)

    def _look_on(self) -> None:
        """Look for a better plan while the day is shown, once for each plan made anew."""
        lost = _("The search did not begin. Try again.")
        call = partial(self._day.improve_day, self._heard, again=False)
        self._desk.ask(call, lambda _begun: None, lost=lost)

    def _heard(self, *_found: object) -> None:
        # told on another thread; the screen is looked after on its own
        Clock.schedule_once(lambda _dt: self.refresh())

    def show(self, day: DayPlan) -> None:
        """Show a day, on the page and in the rows that were chosen."""
        self._seen = _to_the_minute(day)
        zone = self._shop.zone
        listed, self._page, pages = page_of_list(day, self._page)
        rail = None
        if listed:
            rail = see_rail(day, listed, zone=zone, by=self._by, first_page=self._page == 0)
        at = day.at.astimezone(zone)
        title = say("Today, {day} {time}", day=say_weekday(at.date()), time=f"{at:%H:%M}")
        if pages > 1:
            number = self._page + 1
            title = say("{title}, page {n} of {pages}", title=title, n=number, pages=pages)
        times = tuple(say_step(step, zone) for step in listed)
        self._screen = DayPlanScreen(
            self._desk.trim, Shown(day, title, rail, listed, times, pages), self._acts(day)
        )
        self._desk.put(self._screen)

    def _acts(self, day: DayPlan) -> DayActs:
        other = "station" if self._by == "person" else "person"
        words = _("By station") if other == "station" else _("By person")
        return DayActs(
            back=lambda: self._back(),
            turn=lambda: self.turn_to(day, self._page + 1),
            rows=Choice(words, partial(self.set_rows, day, other)),
            step=partial(self.show_step, day),
            closing=partial(self.show_closing, day),
            late=partial(self.show_late, day),
            menu=partial(self.show_menu, day),
            stop=self.stop,
        )

    def turn_to(self, day: DayPlan, page: int) -> None:
        """Show a page of the list, and the stretch of the rule it begins in."""
        self._page = page
        self.show(day)

    def set_rows(self, day: DayPlan, by: str) -> None:
        """Show a row for each 'person', or for each 'station'."""
        self._by = by
        self.show(day)

    # -- what it leads to ------------------------------------------------------------------------

    def show_step(self, day: DayPlan, step: DayStep) -> None:
        """Show all there is to say of a step."""
        back = partial(self.show, day)
        choices = [Choice(_("Back"), back, card=BACK)]
        if step.unit_id:
            words = say("Unit {unit}", unit=step.unit)
            again = partial(self.show_step, day, step)
            choices.append(Choice(words, lambda: self._unit(step.job, step.unit_id, again)))
        title = say("{unit}: {step}", unit=step.unit, step=step.title)
        title = say("{job}, {what}", job=step.job, what=title) if step.job else title
        lines = see_step(step, self._shop.zone)
        self._desk.put(StepScreen(self._desk.trim, title, lines, choices))

    def show_closing(self, day: DayPlan, page: int = 0) -> None:
        """Show what must be begun today so that it rests while nobody is there."""
        zone = self._shop.zone
        rows = []
        for step in day.before_closing:
            station = known(step.station, "station")
            who = say("{people} at {station}", people=say_people(step), station=station)
            by = say_begin_by(step, zone)
            act = partial(self.show_step, day, step)
            rows.append(Row(say_step(step, zone), join((by, step.rest, who), "; "), act))
        title = _("Before closing: begun today, it rests while nobody is there")
        self._list(title, rows, day, page, self.show_closing)

    def show_late(self, day: DayPlan, page: int = 0) -> None:
        """Show the jobs late and at risk, and the one change that would help most."""
        self._late.show(day, partial(self.show, day), page)

    def show_late_job(self, day: DayPlan, number: int) -> None:
        """Show all there is to say of one of them, by its place in that list."""
        self._late.show_job(day, partial(self.show, day), number)

    def _list(
        self,
        title: str,
        rows: list[Row],
        day: DayPlan,
        page: int,
        turn: Callable[..., object],
    ) -> None:
        listed = Listed(title, rows)
        back = partial(self.show, day)
        screen = ListScreen(self._desk.trim, listed, turn=partial(turn, day), back=back, page=page)
        self._desk.put(screen)

    def show_menu(self, day: DayPlan, page: int = 0) -> None:
        """Show what else can be done with the day."""
        choices = [
            Choice(_("Look for a better plan"), self.improve),
            Choice(_("Print the day"), partial(self.print, None)),
        ]
        choices += [
            Choice(say("Print for {person}", person=person), partial(self.print, person))
            for person in day.people
        ]
        choices.insert(2, Choice(_("How long steps take"), self.times.open))
        if day.notes:
            words = say("To know: {n}", n=len(day.notes))
            choices.insert(3, Choice(words, partial(self.show_notes, day)))
        back, turn = partial(self.show, day), partial(self.show_menu, day)
        self._desk.put(
            MenuScreen(self._desk.trim, _("The day"), choices, back=back, turn=turn, page=page)
        )

    def show_notes(self, day: DayPlan, page: int = 0) -> None:
        """Show what the plan could not take in, and where it bends."""
        rows = [Row(note, "", None, "dot") for note in day.notes]
        self._list(_("To know"), rows, day, page, self.show_notes)

    # -- what it does ----------------------------------------------------------------------------

    def improve(self) -> None:
        """Begin to look for a better plan, and show the day as it is meanwhile."""
        lost = _("The search did not begin. Try again.")
        self._desk.ask_here(lambda: self._day.improve_day(self._heard), self._go_on, lost=lost)

    def stop(self) -> None:
        """End the search; the best plan found so far stays."""
        lost = _("The search did not end. Try again.")
        self._desk.ask_here(self._day.stop_improving, self._go_on, lost=lost)

    def _go_on(self, _found: Any) -> None:
        self._look()

    def print(self, person: str | None) -> None:
        """Print the day, or one person's sheet, and say where it went."""
        self._desk.ask_here(
            lambda: self._day.write_sheets(person), partial(self._send, person), lost=NOT_PRINTED
        )

    def _send(self, person: str | None, sheets: DaySheets) -> None:
        if not sheets.printer.where:
            self.show_printed(PaperSent(sheets.file), person)
            return
        busy = self.show_sending(sheets.printer.where)

        def then(sent: PaperSent) -> None:
            self._desk.told(good=not sent.trouble)
            if sent.failed or self._desk.show is busy:  # who went on must know of no sheets
                self.show_printed(sent, person)

        # a print system that does not answer must hold up no scan
        self._desk.ask_aside(sheets.send, then, lost=NOT_PRINTED)

    def show_sending(self, printer: str) -> BusyScreen:
        """Say that sheets are on their way to the printer."""
        desk = self._desk
        words = say("Sending to the paper printer {printer} …", printer=printer)
        busy = BusyScreen(desk.trim, words, to_bench=desk.open_bench)
        desk.put(busy)
        return busy

    def show_printed(self, sent: PaperSent, person: str | None = None) -> None:
        """Say where the paper comes out, or which file it is."""
        title, line = say_sent(sent)
        choices = [
            Choice(_("To the bench"), self._desk.open_bench),
            Choice(_("Back"), self.again, card=BACK),
        ]
        if sent.failed:
            choices.insert(0, Choice(_("Try again"), partial(self.print, person)))
        shape = "question" if sent.trouble else "tick"
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line, shape=shape))


def _to_the_minute(day: DayPlan) -> DayPlan:
    """Return a day as it is shown: seconds change nothing, and a new screen would lose a touch."""
    return replace(day, at=day.at.replace(second=0, microsecond=0))
