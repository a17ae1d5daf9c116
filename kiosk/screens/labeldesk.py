"""Lead through labels: which job, all new ones, one that was lost, units, places, the next cut."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from kiosk.actions import Wanted
from kiosk.actions.labelfiles import FOLDER
from kiosk.rules.words import _, join, known, say, say_n
from kiosk.screens.cutdesk import CutDesk
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.findpad import FindPad
from kiosk.screens.flow import AskScreen
from kiosk.screens.labelpress import LabelPress, Told
from kiosk.screens.partscreen import PartActs, PartsScreen
from kiosk.screens.partview import PartLine, PartsView, say_times, see_parts, unit_times
from kiosk.screens.prints import Prints
from kiosk.screens.productscreens import page_of
from kiosk.store import Job
from labels.codes import shown
from labels.stocks import Stock

NOT_SEEN = _("The labels could not be shown. Try again.")
REASONS = (_("lost"), _("unreadable"), _("wrong label"))  # why a label is printed again
MOST_JOBS = 7  # buttons of 20 mm that fit beside Back
Seen = tuple[tuple[Job, ...], Path]


class LabelDesk:
    """The screens about labels of one shop."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        prints: Prints,
        *,
        back: Callable[[], object],
    ) -> None:
        """Take `back`, which leads to the shop's screen."""
        self._shop, self._desk, self._prints, self._back = shop, desk, prints, back
        self.press = LabelPress(shop, desk, prints, told=self.show_told)
        self.cuts = CutDesk(shop, desk, self.press, prints, back=self.open_job)
        self._job = Job("")
        self._is_only = True
        self._folder = Path()
        # shows the sheets of a job; set by who leads there, with the way back
        self.sheets: Callable[[str, Callable[[], object]], object] = lambda _job, back: back()

    def open(self) -> None:
        """Show the open jobs to choose from; where there is one only, its labels."""
        self._ask(self._see, self._show_jobs)

    def open_of(self, code: str) -> None:
        """Show the labels of one open job."""

        def then(seen: Seen) -> None:
            jobs, self._folder = seen
            found = [job for job in jobs if job.code == code]
            self.open_job(found[0]) if found else self._show_jobs(seen)

        self._ask(self._see, then)

    def _see(self) -> Seen:
        jobs = tuple(job for job in self._shop.jobs().values() if job.open)
        return jobs, self._shop.store.folder / FOLDER

    def _show_jobs(self, seen: Seen, page: int = 0) -> None:
        jobs, self._folder = seen
        self._is_only = len(jobs) == 1
        if self._is_only:
            self.open_job(jobs[0])
            return
        desk = self._desk
        most = MOST_JOBS if len(jobs) <= MOST_JOBS else MOST_JOBS - 1
        latest, pages = page_of(jobs[::-1], page, most)
        choices = [
            Choice(" ".join(filter(None, (job.code, job.name))), partial(self.open_job, job))
            for job in latest
        ]
        if pages > 1:
            choices.append(Choice(_("Others"), partial(self._show_jobs, seen, page + 1), "arrow"))
        choices.append(Choice(_("Back"), self._back))
        title = (
            _("Labels of which job?") if jobs else _("No job is open: take a part list in first")
        )
        desk.put(AskScreen(desk.trim, title, choices, line=self._where()))

    def open_job(self, job: Job | None = None) -> None:
        """Show what can be done with the labels of a job; without one, of that chosen last."""
        self._job = job = job or self._job
        desk = self._desk
        choices = [
            Choice(_("All new"), self.print_new),
            Choice(_("Find a part"), self.find),
            Choice(_("Unit labels"), self.print_units),
            Choice(_("Places"), self.print_places),
            Choice(say("Stock: {stock}", stock=self._prints.stock), self.open_stocks),
        ]
        if desk.post.station == "cut":
            sheets = partial(self.sheets, job.code, self.open_job)
            choices.append(Choice(_("Sheets"), sheets, "arrow"))
            choices.append(Choice(_("Cut next"), partial(self.cuts.open, job.code), "arrow"))
        choices.append(Choice(_("Back"), self._back if self._is_only else self.open))
        title = say("Labels of {job}", job=join((job.code, job.name)))
        desk.put(AskScreen(desk.trim, title, choices, line=self._where(), columns=3))

    def _where(self) -> str:
        if self._prints.is_on:
            return say("They go to the printer {printer}", printer=self._prints.where)
        return say("No printer is set; they are written as PDF into {folder}", folder=self._folder)

    # -- the label stock -------------------------------------------------------------------------

    def open_stocks(self) -> None:
        """Ask which label stock is in the printer, until the kiosk starts again."""
        self._ask(lambda: self._shop.stocks(), self._show_stocks)

    def _show_stocks(self, stocks: Mapping[str, Stock], page: int = 0) -> None:
        desk = self._desk
        own_first = list(stocks.values())[::-1]
        found, pages = page_of(own_first, page, MOST_JOBS - 1)
        choices = [
            Choice(known(one.title, "stock"), partial(self.set_stock, one.key)) for one in found
        ]
        if pages > 1:
            choices.append(
                Choice(_("Others"), partial(self._show_stocks, stocks, page + 1), "arrow")
            )
        choices.append(Choice(_("Back"), self.open_job))
        line = say("Now {stock}. For good: label_stock in the settings.", stock=self._prints.stock)
        desk.put(AskScreen(desk.trim, _("Which labels are in the printer?"), choices, line=line))

    def set_stock(self, key: str) -> None:
        """Print on another stock from now on."""
        self._prints.chosen = key
        self.open_job()

    # -- many labels -----------------------------------------------------------------------------

    def print_new(self) -> None:
        """Print the labels of all parts that were never printed."""
        self.press.make(Wanted(self._job.code, new=True, stock=self._prints.chosen))

    def print_units(self) -> None:
        """Print the labels of all units that were never printed."""
        self.press.make(Wanted(self._job.code, units=True, new=True, stock=self._prints.chosen))

    def print_places(self) -> None:
        """Print a label for each place of the shop."""
        self.press.make(Wanted("", stock=self._prints.chosen))

    def show_told(self, told: Told) -> None:
        """Say what became of labels."""
        desk = self._desk
        choices = [
            Choice(_("More labels"), self.open_job),
            Choice(_("To the bench"), desk.open_bench),
        ]
        shape = "tick" if told.good else "question"
        screen = AskScreen(desk.trim, told.title, choices, line=told.line, shape=shape)
        desk.put(screen)

    # -- one label again -------------------------------------------------------------------------

    def find(self, typed: str = "", wrong: str = "") -> None:
        """Ask for words to find a part by."""
        desk = self._desk
        mark = "/" if self._job.units == "inch" else "."
        pad = FindPad(
            desk.trim, use=self.look_for, back=self.open_job, typed=typed, wrong=wrong, mark=mark
        )
        desk.put(pad)

    def look_for(self, words: str) -> None:
        """Show the parts that all words fit."""

        def then(view: PartsView) -> None:
            if view.lines:
                self.show_found(view, words)
            else:
                self.find(words, say("No part of {job} fits. Try fewer words.", job=self._job.code))

        self._ask(lambda: see_parts(self._shop, self._job.code, words), then)

    def show_found(self, view: PartsView, words: str, page: int = 0) -> None:
        """Show parts that were found."""
        again = partial(self.show_found, view, words)
        acts = PartActs(
            lambda line: self.ask_again(line, back=partial(again, page)),
            again,
            partial(self.find, words),
        )
        title = say_n(
            "{n} part fits {words}", "{n} parts fit {words}", len(view.lines), words=words
        )
        if view.is_cut_off:
            title = say("{n} or more parts fit {words}", n=len(view.lines), words=words)
        self._desk.put(PartsScreen(self._desk.trim, view, acts, title=title, page=page))

    def ask_again(self, line: PartLine, *, back: Callable[[], object]) -> None:
        """Ask why a part's label is printed again; one never printed needs no reason."""
        desk = self._desk
        self._be_about(line)
        choices = _reasons(line.printed, partial(self.reprint, line))
        unit = partial(self.reprint_unit, line, back=partial(self.ask_again, line, back=back))
        choices.append(Choice(say("Label of unit {unit}", unit=line.unit), unit))
        choices.append(Choice(_("Back"), back))
        title = f"{line.title.replace('  ', ' ')}, {shown(line.code)}"
        said = join((line.size.replace(" ", "\u00a0"), line.times), "; ")
        desk.put(AskScreen(desk.trim, title, choices, line=said))

    def reprint(self, line: PartLine, reason: str) -> None:
        """Print a part's label, again for a reason."""
        self.press.make(
            Wanted(line.job, only=[line.code], reason=reason, stock=self._prints.chosen)
        )

    def reprint_unit(self, line: PartLine, *, back: Callable[[], object] | None = None) -> None:
        """Print the label of the unit a part belongs to; ask why where it was printed before."""
        self._be_about(line)
        desk, wanted = self._desk, Wanted(line.job, only=[line.unit], units=True)

        def use(reason: str) -> None:
            self.press.make(replace(wanted, reason=reason, stock=self._prints.chosen))

        def then(printed: int) -> None:
            if not printed:
                use("")
                return
            choices = [*_reasons(printed, use), Choice(_("Back"), back or self.open_job)]
            title = say("Label of unit {unit}", unit=line.unit)
            desk.put(AskScreen(desk.trim, title, choices, line=say_times(printed)))

        self._ask(lambda: unit_times(self._shop, line.job, line.unit), then)

    def _be_about(self, line: PartLine) -> None:
        # a part may be found from elsewhere: what is shown after its label is of its own job
        if self._job.code != line.job:
            self._job = Job(line.job)

    def _ask(self, call: Callable[[], object], then: Callable[..., None]) -> None:
        """Ask the shop, and go on where the screen is still the same."""
        self._desk.ask_here(call, then, lost=NOT_SEEN)


def _reasons(printed: int, act: Callable[[str], object]) -> list[Choice]:
    """Return the reasons to print a label again; one never printed needs none."""
    if not printed:
        return [Choice(_("Print it"), partial(act, ""))]
    return [
        Choice(say("Print again: {reason}", reason=reason), partial(act, reason))
        for reason in REASONS
    ]
