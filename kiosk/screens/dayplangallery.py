"""Draw the screens of the day, in every state."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from kiosk.actions import PaperSent, Promised
from kiosk.rules.paperwords import paper_remedy
from kiosk.rules.words import _
from kiosk.screens.dayplansamples import (
    NOTES,
    TIMES,
    closed_day,
    empty_day,
    few,
    late_day,
    promised,
    risk_day,
    sample_day,
)
from kiosk.screens.stage import Stage
from kiosk.screens.timesdesk import NO_MINUTES

_FILE = Path("/home/shop/.local/share/cleatclock/day-2026-03-11-mara.pdf")
WRITTEN = PaperSent(_FILE)
SENT = PaperSent(_FILE, "Office", is_sent=True)
STANDS = replace(
    SENT, trouble=_("The printer is out of paper."), remedy=paper_remedy("media-empty")
)
REFUSED = replace(
    SENT,
    is_sent=False,
    trouble=_("There is no printer of that name."),
    remedy=paper_remedy("no-printer"),
)
Put = tuple[str, Callable[[], object]]


def show_day(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    screens, zone = desk.shopdesk.day, stage.app.shop.zone
    full, late = sample_day(zone), late_day(zone)
    step = next(one for one in full.steps if one.extra)
    hangs = promised(full.at.date())
    states: tuple[Put, ...] = (
        ("day", lambda: screens.show(full)),
        ("day-stations", lambda: screens.set_rows(full, "station")),
        ("day-more", lambda: screens.turn_to(full, 2)),
        ("day-none", lambda: screens.show(empty_day(zone))),
        ("day-closed", lambda: screens.show(closed_day(zone))),
        ("day-improving", lambda: screens.show(replace(full, is_improving=True))),
        ("day-late", lambda: screens.show(late)),
        ("day-risk", lambda: screens.show(risk_day(zone))),
        ("day-risk-only", lambda: screens.show(replace(risk_day(zone), late_jobs=()))),
        ("day-late-improving", lambda: screens.show(replace(late, is_improving=True))),
        ("day-step", lambda: screens.show_step(full, step)),
        ("day-closing", lambda: screens.show_closing(full)),
        ("day-late-jobs", lambda: screens.show_late(late)),
        ("day-late-job", lambda: screens.show_late_job(late, 0)),
        ("day-risk-jobs", lambda: screens.show_late(risk_day(zone))),
        ("day-risk-job", lambda: screens.show_late_job(risk_day(zone), 1)),
        ("day-notes", lambda: screens.show_notes(replace(full, notes=NOTES))),
        ("day-menu", lambda: screens.show_menu(full)),
        ("day-printed", lambda: screens.show_printed(WRITTEN)),
        ("day-sending", lambda: screens.show_sending("Office")),
        ("day-sent", lambda: screens.show_printed(SENT)),
        ("day-sent-stands", lambda: screens.show_printed(STANDS)),
        ("day-not-printed", lambda: screens.show_printed(REFUSED)),
        ("promised", lambda: _promised(stage, hangs)),
        ("promised-few", lambda: _promised(stage, few(hangs))),
        ("promised-none", lambda: _promised(stage, replace(hangs, days=(), promise=None))),
        ("times", lambda: screens.times.show(TIMES)),
        ("times-none", lambda: screens.times.show(())),
        ("times-pad", lambda: screens.times.ask(TIMES[1], 0)),
        ("times-wrong", lambda: screens.times.ask(TIMES[1], 0, "0", NO_MINUTES)),
    )
    for name, put in states:
        if name == "day-more":
            screens.set_rows(full, "person")
        put()
        stage.step(3)
        yield name
        screens.turn_to(full, 0)
    desk.open_bench()


def _promised(stage: Stage, found: Promised) -> None:
    desk = stage.app.desk
    back = desk.shopdesk.open
    desk.shopdesk.takes.promises.show(found, "kiln-room.csv", take=lambda _day: back(), back=back)
