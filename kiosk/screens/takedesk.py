"""Lead through taking a part list in: the file, what was understood, the columns, the job."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import cast

from kiosk.actions import TakenIn
from kiosk.folders import Spot
from kiosk.rules.permission import Act, Permit
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.dayface import PromiseFace
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.filedesk import FileDesk
from kiosk.screens.flow import AskScreen
from kiosk.screens.promisedesk import PromiseDesk
from kiosk.screens.rows import Listed, MenuScreen
from kiosk.screens.takepages import PageWays, TakePages
from kiosk.screens.takeview import (
    UNITS,
    Draft,
    change_rows,
    look_at,
    say_found,
    say_longest,
    say_void,
)
from kiosk.screens.wordpad import AskWords, WordPad
from kiosk.store import Job

NOT_READ = _("The list could not be read. Nothing was taken in. Try again.")
NOT_KEPT = _("Nothing was taken in. Try again.")
LONGEST_CODE = 20  # as kiosk.actions.intake has it


@dataclass(frozen=True, slots=True)
class TakeWays:
    """Where taking in leads to once it is done, each with the job's code."""

    job: Callable[[str], object]
    labels: Callable[[str], object]


class TakeDesk:
    """The screens about taking in; nothing is kept before the last one."""

    def __init__(
        self, shop: ShopFace, desk: DeskFace, ways: TakeWays, *, back: Callable[[], object]
    ) -> None:
        """Take where it leads to, and `back`, which leads to the shop's screen."""
        self._shop, self._desk, self._ways, self._back = shop, desk, ways, back
        self.draft: Draft | None = None
        self._job = ""
        self.pages = TakePages(desk, PageWays(self._held, self.look, self.show))
        self.promises = PromiseDesk(cast("PromiseFace", shop), desk)
        self.files = FileDesk(desk, pick=self.pick, zone=lambda: shop.zone)

    # -- the file --------------------------------------------------------------------------------

    def open(self) -> None:
        """Ask for the file of a new job, or go on with one looked at before."""
        self._job = ""
        self._open_files(self._back)

    def revise(self, job: str) -> None:
        """Ask for the revised list of a job."""
        self._job = job
        self._open_files(partial(self._ways.job, job))

    def _open_files(self, back: Callable[[], object]) -> None:
        before, extra = self.draft, tuple[Choice, ...]()
        if before is not None and before.job == self._job:
            words = say("Go on with {file}", file=before.file.name)
            extra = (Choice(words, partial(self.look, before), "arrow"),)
        self.files.open(back, extra=extra)

    def pick(self, spot: Spot) -> None:
        """Look at a file."""
        self.look(Draft(spot.path, self._job))

    # -- what was understood ---------------------------------------------------------------------

    def look(self, draft: Draft, then: Callable[[TakenIn], object] | None = None) -> None:
        """Read a list as it was said to be read, and show what was understood."""
        fresh = self.draft is None or self.draft.file != draft.file
        self.draft = draft

        def seen(taken: TakenIn) -> None:
            listed = taken.listed
            if then is not None:
                then(taken)
            elif fresh and listed is not None and listed.guessed and taken.units:
                self.pages.ask_units(taken)
            else:
                self.show(taken)

        self._busy(
            say("Reading {file}", file=draft.file.name),
            lambda: look_at(self._shop, draft),
            seen,
            lost=NOT_READ,
        )

    def show(self, taken: TakenIn) -> None:
        """Show what was understood of a list, what is wrong with it, and the ways on."""
        draft = self._held()
        problems = len(taken.problems)
        wrong = say_n("{n} problem", "{n} problems", problems)
        choices = []
        if problems:
            choices.append(Choice(wrong, partial(self.pages.show_problems, taken), "question"))
        elif taken.revision is not None:
            choices.append(Choice(_("Differences"), partial(self.show_changes, taken), "arrow"))
        else:
            choices.append(Choice(_("Take in"), partial(self.ask_code, taken), "tick"))
            choices.append(Choice(_("When could it hang?"), partial(self.ask_promise, taken)))
        if taken.units:
            pieces = say_n("{n} piece", "{n} pieces", taken.pieces)
            choices.append(Choice(pieces, partial(self.pages.show_pieces, taken)))
        if taken.listed is not None and taken.listed.headings:
            choices.append(Choice(_("Columns"), partial(self.pages.show_columns, taken)))
        if taken.listed is not None and (taken.listed.guessed or draft.units):
            unit = UNITS[draft.units or taken.listed.guessed]
            words = say("Plain numbers: {unit}", unit=unit)
            mark = "" if draft.units else "question"
            choices.append(Choice(words, partial(self.pages.ask_units, taken), mark))
        if count := len(taken.notes) + len(taken.skipped):
            notes = say_n("{n} note", "{n} notes", count)
            choices.append(Choice(notes, partial(self.pages.show_notes, taken)))
        choices.append(Choice(_("Another file"), partial(self._open_files, self._out())))
        said = join((say_found(taken), wrong if problems else ""), ", ")
        title = say("{file}: {said}", file=draft.file.name, said=said)
        ready = _("Nothing is taken in yet")
        screen = MenuScreen(
            self._desk.trim,
            title,
            choices,
            back=self._out(),
            turn=lambda _page: self.show(taken),
            line=join((say_longest(taken), ready), ". "),
        )
        self._desk.put(screen)

    def ask_promise(self, taken: TakenIn) -> None:
        """Work out when the job could hang; the day taken is its hang day once it is taken in."""
        draft, shop = self._held(), cast("PromiseFace", self._shop)

        def take(day: date) -> None:
            self.draft = replace(draft, hang_day=day.isoformat())
            self.ask_code(taken)

        self.promises.open(
            lambda: shop.prepare_promise(draft.file, units=draft.units, columns=draft.columns),
            draft.file.name,
            take=take,
            back=partial(self.show, taken),
        )

    # -- taking in -------------------------------------------------------------------------------

    def ask_code(self, taken: TakenIn, typed: str = "", wrong: str = "") -> None:
        """Ask for the code of the new job."""
        question = _("A short code for the job, such as WALL")
        ask = AskWords(question, typed, wrong, is_code=True, longest=LONGEST_CODE)
        pad = WordPad(
            self._desk.trim,
            ask,
            use=lambda code: self.take_in(taken, code),
            back=partial(self.show, taken),
        )
        self._desk.put(pad)

    def take_in(self, taken: TakenIn, code: str) -> None:
        """Take the list in as a new job; where the job is there already, offer to compare."""
        draft = self._held()

        def done(found: TakenIn | None) -> None:
            if found is None:
                self.ask_compare(taken, code)
            elif found.taken:
                self.show_taken(found)
            else:
                self._desk.told(good=False)
                words = join(
                    (part for one in found.problems for part in (one.message, one.remedy)), " "
                )
                self.ask_code(taken, code, words)

        def call() -> TakenIn | None:
            known = self._shop.jobs().get(code)
            if known is not None and known.open:
                return None
            return self._take(draft, Job(code, hang_day=draft.hang_day), revise=False)

        words = say("Taking in {pieces}", pieces=say_found(taken))
        self._busy(words, call, done, lost=NOT_KEPT)

    def ask_compare(self, taken: TakenIn, code: str) -> None:
        """Say that a job is there already, and offer to compare the list with it."""
        self._desk.told(good=False)
        draft = replace(self._held(), job=code)
        choices = (
            Choice(say("Compare with {job}", job=code), partial(self._compare, draft), "arrow"),
            Choice(_("Another code"), partial(self.ask_code, taken, code)),
        )
        title = say("There is a job {job} already", job=code)
        line = _("Nothing was taken in.")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def _compare(self, draft: Draft) -> None:
        self._job = draft.job
        self.look(draft)

    # -- revising --------------------------------------------------------------------------------

    def show_changes(self, taken: TakenIn, page: int = 0) -> None:
        """Show a page of what a revised list changes, before anything counts."""
        rows = change_rows(taken)
        title = say_n(
            "{n} difference from {job}", "{n} differences from {job}", len(rows), job=taken.job
        )
        listed = Listed(
            title,
            rows,
            _("Nothing counts yet. What is cut already is never changed.") if rows else "",
            say("The list is as {job} has it already; there is nothing to accept.", job=taken.job),
            columns=1,
        )
        accept = Choice(_("Accept"), self.accept, "tick")
        self.pages.put_list(listed, taken, page, self.show_changes, (accept,) if rows else ())

    def accept(self) -> None:
        """Take in what a revised list changes, where it is allowed."""
        self._desk.guard(Act.REVISE, self._accept)

    def _accept(self, permit: Permit | None) -> None:
        draft = self._held()

        def done(found: TakenIn) -> None:
            if found.taken:
                self.show_taken(found)
            else:
                self._desk.told(good=False)
                self.show(found)

        def call() -> TakenIn:
            job = self._shop.jobs().get(draft.job, Job(draft.job))
            return self._take(draft, job, revise=True, permit=permit)

        words = say("Revising {job}", job=draft.job)
        self._busy(words, call, done, lost=NOT_KEPT)

    def _take(
        self, draft: Draft, job: Job, *, revise: bool, permit: Permit | None = None
    ) -> TakenIn:
        return self._shop.take_in(
            draft.file,
            job,
            units=draft.units,
            columns=draft.columns,
            revise=revise,
            person=self._desk.post.person,
            permit=permit,
        )

    def show_taken(self, found: TakenIn) -> None:
        """Say what was taken in, and what comes next."""
        self.draft = None
        self._desk.told(good=True)
        choices = (
            Choice(_("Print its labels"), partial(self._ways.labels, found.job), "arrow"),
            Choice(say("Open {job}", job=found.job), partial(self._ways.job, found.job)),
            Choice(_("To the bench"), self._desk.open_bench),
        )
        said = say_found(found)
        title = say("Taken in: {said}", said=said)
        if found.revision is not None:
            title = say("Revised: {said}", said=said)
        line = join((found.job, say_longest(found)), ": ")
        if found.void:
            line = say_void(found.void)
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line, shape="tick"))

    # -- inside ----------------------------------------------------------------------------------

    def _held(self) -> Draft:
        assert self.draft is not None  # every screen here is about one
        return self.draft

    def _out(self) -> Callable[[], object]:
        return partial(self._ways.job, self._job) if self._job else self._back

    def _busy(
        self,
        words: Phrase,
        call: Callable[[], object],
        then: Callable[..., None],
        *,
        lost: Phrase,
    ) -> None:
        """Say what is going on, and go on where nobody went elsewhere meanwhile."""

        def ask() -> None:
            self.files.show_busy(words)
            before = self._desk.show

            def still(found: object) -> None:
                if self._desk.show is before:
                    then(found)

            self._desk.ask(call, still, lost=lost)

        draft = self._held()
        self.files.read(words, draft.file, ask, cancel=partial(self._open_files, self._out()))
