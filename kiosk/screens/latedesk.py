"""Show the jobs late and at risk: when expected, what holds them up, how often their day held."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.dayplan.chance import say_chance
from kiosk.rules.dayplan.day import DayPlan, LateJob, say_held_up
from kiosk.rules.hangday import say_day, say_weekday
from kiosk.rules.words import _, capital, join, say
from kiosk.screens.dayplanview import say_late_job
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.rows import Listed, ListScreen, Row

LATE, RISK = "late", "question"  # the marks, beside the words
HangDay = Callable[[str], object]


class LateDesk:
    """The list of the jobs late and at risk, and the page of each."""

    def __init__(self, desk: DeskFace, *, hang_day: HangDay) -> None:
        """Take `hang_day`, which asks for the hang day of a job by its code."""
        self._desk, self._hang_day = desk, hang_day

    def show(self, day: DayPlan, back: Callable[[], object], page: int = 0) -> None:
        """Show the jobs late and after them those at risk, with what would help most.

        back leads to the day.
        """
        rows: list[Row] = []
        for one in (*day.late_jobs, *day.at_risk):
            is_late = len(rows) < len(day.late_jobs)
            words = say("{job} late", job=one.job) if is_late else say("{job} at risk", job=one.job)
            act = partial(self.show_job, day, back, len(rows))
            rows.append(Row(words, say_late_job(one), act, LATE if is_late else RISK, _near(one)))
        title = _("Late jobs")
        if day.at_risk:
            title = _("Late and at risk") if day.late_jobs else _("At risk")
        listed = Listed(title, rows, _helps(day), columns=1)
        turn = partial(self.show, day, back)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))

    def show_job(self, day: DayPlan, back: Callable[[], object], number: int) -> None:
        """Show one of them, by its place among the late ones and those at risk."""
        one = (*day.late_jobs, *day.at_risk)[number]
        hangs = say("hang day {day}", day=say_day(one.hang_day)) if one.hang_day else ""
        if number < len(day.late_jobs):
            title = say("{job} will be late", job=one.job)
            held = say_chance(one) or _("how often its day holds is still worked out")
            parts = [join((one.words, hangs, held), "; "), capital(say_held_up(one)), _helps(day)]
        else:
            title = say("{job} is at risk", job=one.job)
            planned = say("Planned in time, {words}", words=one.words)
            parts = [join((planned, hangs, say_chance(one)), "; ")]
        choices = (
            Choice(_("Move the hang day"), lambda: self._hang_day(one.job), "arrow"),
            Choice(_("Back"), partial(self.show, day, back), card=BACK),
        )
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=join(parts, ". ")))


def _near(one: LateJob) -> str:
    """Return the hang day in few words."""
    return say("hang day {day}", day=say_weekday(one.hang_day)) if one.hang_day else ""


def _helps(day: DayPlan) -> str:
    """Return the change that would help late jobs most."""
    return say("What would help most: {change}", change=day.change) if day.change else ""
