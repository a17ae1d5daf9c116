"""Show one late job: when it is expected, how likely its day holds, what would help."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.rules.cards import BACK
from kiosk.rules.dayplan.chance import say_chance
from kiosk.rules.dayplan.day import LateJob
from kiosk.rules.hangday import say_day
from kiosk.rules.words import _, join, say
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen

HangDay = Callable[[str], object]


class LateDesk:
    """The page of a late job."""

    def __init__(self, desk: DeskFace, *, hang_day: HangDay) -> None:
        """Take `hang_day`, which asks for the hang day of a job by its code."""
        self._desk, self._hang_day = desk, hang_day

    def open(self, late: LateJob, change: str, back: Callable[[], object]) -> None:
        """Show a late job, and the change that would help most; back leads to where it was."""
        parts = [late.words]
        if late.hang_day is not None:
            parts.append(say("hang day {day}", day=say_day(late.hang_day)))
        if late.chance is None:
            parts.append(_("the chance to hold it is still worked out"))
        else:
            chance = say_chance(late.chance, late.runs)
            parts.append(say("chance to hold it {chance}", chance=chance))
        helps = say("What would help most: {change}", change=change) if change else ""
        choices = (
            Choice(_("Move the hang day"), lambda: self._hang_day(late.job), "arrow"),
            Choice(_("Back"), back, card=BACK),
        )
        line = join((join(parts, "; "), helps), ". ")
        title = say("{job} will be late", job=late.job)
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))
