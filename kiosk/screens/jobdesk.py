"""Lead through jobs: the open ones, one of them, its name, site and hang day, closing it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import cast

from kiosk.actions import JobSum
from kiosk.rules.hangday import read_day
from kiosk.rules.permission import Act, Permit
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.dayface import PromiseFace
from kiosk.screens.dayscreen import DayActs, DayScreen
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.jobview import JobsView, say_hang_day, say_name, say_progress, see_jobs
from kiosk.screens.promisedesk import PromiseDesk
from kiosk.screens.rows import Listed, ListScreen, MenuScreen, Row
from kiosk.screens.wordpad import AskWords, WordPad
from kiosk.store import Job

NOT_SEEN = _("The jobs could not be shown. Try again.")
NOT_KEPT = _("Nothing was changed. Try again.")
WEEK = timedelta(days=7)  # where the choice of a first hang day starts
# Why a job is closed although not all of it is hung.
REASONS = (_("called off"), _("hung, but not scanned"), _("the rest is not wanted"))


@dataclass(frozen=True, slots=True)
class JobWays:
    """Where the screens of a job lead to, each with the job's code and the way back."""

    units: Callable[[str, Callable[[], object]], object]
    labels: Callable[[str], object]
    take_in: Callable[[], object]
    revise: Callable[[str], object]
    sheets: Callable[[str, Callable[[], object]], object]
    walls: Callable[[str, Callable[[], object]], object]
    hang: Callable[[str, Callable[[], object]], object]


class JobDesk:
    """The screens about jobs."""

    def __init__(
        self, shop: ShopFace, desk: DeskFace, ways: JobWays, *, back: Callable[[], object]
    ) -> None:
        """Take where the screens lead to, and `back`, which leads to the shop's screen."""
        self._shop, self._desk, self._ways, self._back = shop, desk, ways, back
        self._promises = PromiseDesk(cast("PromiseFace", shop), desk)

    def open(self, page: int = 0) -> None:
        """Show the open jobs."""
        self._ask(lambda: see_jobs(self._shop), lambda view: self.show_list(view, page))

    def show_list(self, view: JobsView, page: int = 0) -> None:
        """Show a page of the open jobs."""
        rows = [
            Row(
                say_name(one.job.code, one.job.name),
                join((say_hang_day(one.job.hang_day, view.today), say_progress(one)), "; "),
                partial(self.show_job, one, view.today),
            )
            for one in view.sums
        ]
        title = say_n("{n} open job", "{n} open jobs", len(rows)) if rows else _("No job is open")
        listed = Listed(title, rows, empty=_("A job begins with its part list: take one in."))
        extra = [Choice(_("Take in a list"), self._ways.take_in, "arrow")]
        if view.closed:
            extra.insert(0, Choice(_("Closed jobs"), partial(self.show_closed, view)))
        screen = ListScreen(
            self._desk.trim, listed, turn=self.open, back=self._back, page=page, extra=extra
        )
        self._desk.put(screen)

    def open_job(self, code: str) -> None:
        """Show one job; where it is open no more, the list."""

        def then(view: JobsView) -> None:
            found = [one for one in view.sums if one.job.code == code]
            if found:
                self.show_job(found[0], view.today)
            else:
                self.show_list(view)

        self._ask(lambda: see_jobs(self._shop), then)

    def open_day(self, code: str) -> None:
        """Ask for the hang day of one job; where it is open no more, show the list."""

        def then(view: JobsView) -> None:
            found = [one for one in view.sums if one.job.code == code]
            if found:
                self.ask_day(found[0], view.today)
            else:
                self.show_list(view)

        self._ask(lambda: see_jobs(self._shop), then)

    def show_job(self, one: JobSum, today: date) -> None:
        """Show what is known of a job, and what can be done with it."""
        job = one.job
        again = partial(self.open_job, job.code)
        choices = [
            Choice(
                say_n("{n} unit", "{n} units", one.units), lambda: self._ways.units(job.code, again)
            ),
            Choice(_("Labels"), lambda: self._ways.labels(job.code)),
            Choice(_("Sheets"), lambda: self._ways.sheets(job.code, again)),
            Choice(_("Walls"), lambda: self._ways.walls(job.code, again)),
            Choice(_("Hang"), lambda: self._ways.hang(job.code, again)),
            Choice(_("Hang day"), partial(self.ask_day, one, today)),
            Choice(_("Name"), partial(self.ask_name, one, today)),
            Choice(_("Site"), partial(self.ask_site, one, today)),
            Choice(_("Revise the list"), lambda: self._ways.revise(job.code), "arrow"),
            Choice(_("Close the job"), partial(self.ask_close, one, today), "cross"),
        ]
        if not job.hang_day and one.hung < one.units:
            hangs = Choice(_("When could it hang?"), partial(self.ask_promise, one, today))
            choices.insert(4, hangs)
        site = say("at {site}", site=job.site) if job.site else _("no site named")
        hang = say_hang_day(job.hang_day, today)
        screen = MenuScreen(
            self._desk.trim,
            say_name(job.code, job.name),
            choices,
            back=self.open,
            turn=lambda _page: self.show_job(one, today),
            line=join((hang, site, say_progress(one)), "; "),
        )
        self._desk.put(screen)

    # -- name, site and hang day -----------------------------------------------------------------

    def ask_name(self, one: JobSum, today: date) -> None:
        """Ask for the job's name."""
        question = say("Name of {job}", job=one.job.code)
        self._ask_words(one, today, question, one.job.name, lambda words: {"name": words})

    def ask_site(self, one: JobSum, today: date) -> None:
        """Ask where the job goes up."""
        question = say("Where does {job} go up?", job=one.job.code)
        self._ask_words(one, today, question, one.job.site, lambda words: {"site": words})

    def _ask_words(
        self,
        one: JobSum,
        today: date,
        question: Phrase,
        typed: str,
        field: Callable[[str], dict[str, str]],
    ) -> None:
        def use(words: str) -> None:
            changed = field(words)
            name, site = changed.get("name", one.job.name), changed.get("site", one.job.site)
            self._set(replace(one.job, name=name, site=site), one, today)

        ask = AskWords(question, typed, may_be_empty=True, longest=60)
        back = partial(self.show_job, one, today)
        self._desk.put(WordPad(self._desk.trim, ask, use=use, back=back))

    def ask_day(self, one: JobSum, today: date) -> None:
        """Ask for the hang day."""
        acts = DayActs(
            use=lambda day: self._set(replace(one.job, hang_day=day.isoformat()), one, today),
            clear=lambda: self._set(replace(one.job, hang_day=""), one, today),
            back=partial(self.show_job, one, today),
        )
        day = read_day(one.job.hang_day) or today + WEEK
        title = say("When does {job} go up?", job=say_name(one.job.code, one.job.name))
        self._desk.put(DayScreen(self._desk.trim, title, day, today=today, acts=acts))

    def ask_promise(self, one: JobSum, today: date) -> None:
        """Work out when the job could hang; a day taken is its hang day."""
        shop = cast("PromiseFace", self._shop)
        self._promises.open(
            lambda: shop.prepare_job_promise(one.job.code),
            one.job.code,
            take=lambda day: self._set(replace(one.job, hang_day=day.isoformat()), one, today),
            back=partial(self.show_job, one, today),
        )

    # -- closed jobs -----------------------------------------------------------------------------

    def show_closed(self, view: JobsView, page: int = 0) -> None:
        """Show a page of the closed jobs; a tap asks whether to open one again."""
        rows = [
            Row(
                say_name(job.code, job.name),
                join((say_hang_day(job.hang_day, view.today), _("tap to open it again")), "; "),
                partial(self.ask_open, job, view, page),
            )
            for job in view.closed
        ]
        title = say_n("{n} closed job", "{n} closed jobs", len(rows))
        screen = ListScreen(
            self._desk.trim,
            Listed(title, rows),
            turn=partial(self.show_closed, view),
            back=self.open,
            page=page,
        )
        self._desk.put(screen)

    def ask_open(self, job: Job, view: JobsView, page: int = 0) -> None:
        """Ask whether to open a closed job again."""
        back = Choice(_("Back"), partial(self.show_closed, view, page))
        choices = (Choice(_("Open again"), partial(self._open_again, job), "tick"), back)
        title = say("Open {job} again?", job=say_name(job.code, job.name))
        line = _("It comes back on the board and the lists, each unit where it stood.")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def _open_again(self, job: Job) -> None:
        self._desk.guard(Act.REOPEN, partial(self._reopen, job))

    def _reopen(self, job: Job, permit: Permit | None) -> None:
        person = self._desk.post.person

        def then(problems: Problems) -> None:
            self._desk.told(good=not problems)
            self.open_job(job.code)

        opened = replace(job, open=True)
        self._ask(
            lambda: self._shop.set_job(opened, person=person, permit=permit), then, lost=NOT_KEPT
        )

    # -- closing ---------------------------------------------------------------------------------

    def ask_close(self, one: JobSum, today: date) -> None:
        """Ask whether to close a job."""
        yes = partial(self._close, one, today)
        back = Choice(_("Back"), partial(self.show_job, one, today))
        choices = (Choice(_("Close it"), yes, "tick"), back)
        title = say("Close {job}?", job=say_name(one.job.code, one.job.name))
        line = _("It leaves the board and the lists; what was recorded is kept.")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def _close(self, one: JobSum, today: date, reason: str = "") -> None:
        closed = replace(one.job, open=False)
        if reason:  # why although not all of it is hung

            def go(permit: Permit | None) -> None:
                self._set(closed, one, today, reason=reason, permit=permit)

            self._desk.guard(Act.CLOSE, go)
            return
        refused = partial(self.show_not_hung, one, today) if one.hung < one.units else None
        self._set(closed, one, today, refused=refused)

    def show_not_hung(self, one: JobSum, today: date, problems: Problems) -> None:
        """Say why a job was not closed, and ask for a reason to close it all the same."""
        choices = [
            Choice(say("Close: {reason}", reason=reason), partial(self._close, one, today, reason))
            for reason in REASONS
        ]
        choices.append(Choice(_("Leave it open"), partial(self.open_job, one.job.code)))
        title = say("{job} is not closed", job=one.job.code)
        words = join((problem.message for problem in problems), " ")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=words))

    def _set(
        self,
        job: Job,
        one: JobSum,
        today: date,
        *,
        reason: str = "",
        refused: Callable[[Problems], object] | None = None,
        permit: Permit | None = None,
    ) -> None:
        person = self._desk.post.person

        def then(problems: Problems) -> None:
            self._desk.told(good=not problems)
            if not problems:
                self.open_job(job.code)
            elif refused is not None:
                refused(problems)
            else:
                self.show_refused(one, today, problems)

        self._ask(
            lambda: self._shop.set_job(job, reason=reason, person=person, permit=permit),
            then,
            lost=NOT_KEPT,
        )

    def show_refused(self, one: JobSum, today: date, problems: Problems) -> None:
        """Say why nothing was changed."""
        choices = (Choice(_("Back"), partial(self.show_job, one, today)),)
        line = join((words for one in problems for words in (one.message, one.remedy)), " ")
        screen = AskScreen(self._desk.trim, _("Nothing was changed"), choices, line=line)
        self._desk.put(screen)

    def _ask(
        self,
        call: Callable[[], object],
        then: Callable[..., None],
        *,
        lost: str = NOT_SEEN,
    ) -> None:
        """Ask the shop, and go on where the screen is still the same."""
        self._desk.ask_here(call, then, lost=lost)
