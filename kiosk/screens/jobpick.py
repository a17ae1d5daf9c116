"""Ask of which open job something is wanted; where there is one only, nothing is asked."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.words import Phrase, _
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.jobview import say_name
from kiosk.screens.productscreens import page_of
from kiosk.store import Job

MOST_JOBS = 7  # buttons of 20 mm that fit beside Back
Back = Callable[[], object]


class JobPick:
    """The question, a page of jobs at a time, the latest first."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        title: Phrase,
        *,
        pick: Callable[[str, Back], object],
        lost: str,
    ) -> None:
        """Take `pick`, which is given a job with the way back, and what is said where it failed."""
        self._shop, self._desk, self._title = shop, desk, title
        self._pick, self._lost = pick, lost

    def open(self, back: Back, page: int = 0) -> None:
        """Ask of which open job; back leads to where this was asked."""

        def call() -> tuple[Job, ...]:
            return tuple(job for job in self._shop.jobs().values() if job.open)

        self._desk.ask_here(call, lambda jobs: self.show(back, jobs, page), lost=self._lost)

    def show(self, back: Back, jobs: tuple[Job, ...], page: int = 0) -> None:
        """Show a page of the open jobs; of one job, go on at once."""
        if len(jobs) == 1:
            self._pick(jobs[0].code, back)
            return
        size = MOST_JOBS if len(jobs) <= MOST_JOBS else MOST_JOBS - 1
        latest, pages = page_of(jobs[::-1], page, size)
        again = partial(self.open, back, page)
        choices = [
            Choice(say_name(job.code, job.name), partial(self._pick, job.code, again))
            for job in latest
        ]
        if pages > 1:
            choices.append(Choice(_("Others"), partial(self.show, back, jobs, page + 1), "arrow"))
        choices.append(Choice(_("Back"), back, card=BACK))
        title = self._title if jobs else _("No job is open: take a part list in first")
        self._desk.put(AskScreen(self._desk.trim, title, choices))
