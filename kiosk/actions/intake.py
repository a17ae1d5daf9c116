"""Take in part lists and revised ones: all or nothing, every problem named at once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kiosk.actions.permits import Permits
from kiosk.actions.ragskeeper import RagsKeeper
from kiosk.rules.entries import Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.naming import name_some, natural
from kiosk.rules.partlist import PartList, compare, read, units_of
from kiosk.rules.parts import UnitSpec, as_body
from kiosk.rules.permission import Act, Permit
from kiosk.rules.problems import Problem, Skip
from kiosk.rules.revision import Revision
from kiosk.rules.route import State
from kiosk.rules.words import _, say
from kiosk.store import Job, Note
from kiosk.tables import read_table
from labels.codes import code_for

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,19}")  # goes into file names and commands


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What a part list brought, or would bring.

    With problems nothing was taken in, and units says what was understood. revision is there
    where a list was compared with what the job has. listed is the list as it was read. void
    counts the parts whose label was printed and counts no more.
    """

    job: str
    units: tuple[UnitSpec, ...]
    problems: tuple[Problem, ...]
    skipped: tuple[Skip, ...]
    taken: bool
    notes: tuple[str, ...] = ()
    revision: Revision | None = None
    listed: PartList | None = None
    void: int = 0

    @property
    def pieces(self) -> int:
        """Return how many pieces the list asks for."""
        return sum(len(unit.pieces) for unit in self.units)


class Intake(RagsKeeper, Permits):
    """Part lists of a shop."""

    def take_in(  # noqa: PLR0913 - each is a word of the command
        self,
        file: Path,
        job: Job,
        *,
        units: str | None = None,
        columns: Mapping[str, str] | None = None,
        revise: bool = False,
        dry_run: bool = False,
        person: str = "",
        permit: Permit | None = None,
    ) -> TakenIn:
        """Take in a part list for a job, or compare a revised one with what is there.

        Args:
            file: CSV, TSV, XLSX or ODS.
            job: the job; its name, site and hang day are kept for a new one. A dry run may
                leave its code empty: then only the list is looked at.
            units: unit of measure of plain numbers (mm, cm, m, in, ft); None: from the header.
            columns: what columns mean by their headings, `none` for none; others are understood.
            revise: the job is there already; parts that were cut are never changed.
            dry_run: only say what would come in.
            person: who takes it in.
            permit: of a supervisor, where there is one: a list is revised with it only.

        Raises:
            StoreError: nothing was taken in.
        """
        rows, problems = read_table(file)
        listed = read(rows, units=units, columns=columns or {})
        # of a file that cannot be read, only that is to be said
        problems = problems or listed.problems
        if not problems and not listed.lines:
            problems = (
                Problem(_("The list holds no part."), _("Is it the right file, and saved?")),
            )
        if job.code or not dry_run:
            problems += tuple(self._job_problems(job, revise=revise))
        if not job.units:
            job = replace(job, units="inch" if listed.in_inches else self.settings.units)
        problems += tuple(self._finish_problems(listed))
        if revise and not dry_run:
            problems += self.refused(Act.REVISE, permit)
        if problems:
            specs = tuple(draft.spec(job.code) for draft in units_of(listed))
            return TakenIn(
                job.code,
                specs,
                problems,
                listed.skipped,
                taken=False,
                notes=listed.notes,
                listed=listed,
            )
        if revise:
            self.store.refresh()  # another process may have cut or printed since
        old = self._old_units(job.code) if revise else []
        cut = {piece.piece.code for state in old for piece in state.pieces if piece.done}
        revision = compare([_as_cut(state) for state in old], listed, cut=cut)
        stale = _stale_labels(revision, old)
        wanted = [_without_codes(unit, stale, job.code) for unit in revision.units]
        specs = tuple(wanted) if dry_run else self._with_codes(wanted)
        if not dry_run:
            mark = self.marked(permit) if revise else {}
            notes = [] if revise else [self._opened(job, person)]
            notes += self._notes(
                job.code, specs, revision, file.name, mark=mark, revise=revise, person=person
            )
            self._write(notes)
        return TakenIn(
            job.code,
            specs,
            (),
            listed.skipped,
            taken=not dry_run,
            notes=listed.notes,
            revision=revision if revise else None,
            listed=listed,
            void=len(stale),
        )

    def _job_problems(self, job: Job, *, revise: bool) -> Iterator[Problem]:
        known = self.jobs().get(job.code)
        if not _CODE.fullmatch(job.code):
            yield Problem(
                say("“{code}” is no sound code for a job.", code=job.code),
                _("Use up to 20 letters, digits, dots, hyphens and underscores."),
            )
        elif known is None and (near := self._same_letters(job.code)):
            yield Problem(
                say("There is a job {near} already.", near=near),
                say("Write {near}, or use another code.", near=near),
            )
        elif revise and known is None:
            have = ", ".join(self.jobs()) or _("none yet")
            yield Problem(
                say("There is no job {job}.", job=job.code),
                say("Jobs are: {have}. Leave --revise out.", have=have),
            )
        elif known is not None and not known.open:
            yield Problem(say("Job {code} is closed.", code=job.code), _("Use another code."))
        elif known is not None and not revise:
            yield Problem(
                say("Job {code} has a part list already.", code=job.code),
                _("Compare with it (--revise), or use another code."),
            )

    def _same_letters(self, code: str) -> str:
        """Return a job whose code differs only in capital letters, or an empty text."""
        return next((one for one in self.jobs() if one.casefold() == code.casefold()), "")

    def _finish_problems(self, listed: PartList) -> Iterator[Problem]:
        """Name finishes the shop has no product for, or no figures its route asks for."""
        setup, said = self.setup, set()
        for line in listed.lines:
            if not line.finish or line.kind == "wall" or line.finish in said:
                continue
            said.add(line.finish)
            product = setup.products.get(line.finish)
            coats = [key for key, one in setup.products.items() if one.role == "coat"]
            if product is None or product.role != "coat":
                yield Problem(
                    say("{finish} is not among the shop's finishes.", finish=line.finish),
                    say("Use {names}, or add it to the products.", names=", ".join(coats)),
                    row=line.row,
                    column="finish",
                    value=line.finish,
                )
                continue
            asked = {wait.stage for step in setup.routes[line.kind].steps for wait in step.waits}
            for stage in sorted(asked & {"recoat", "sand", "hang"} - set(product.minutes)):
                yield Problem(
                    say("{title} has no figure for '{stage}'.", title=product.title, stage=stage),
                    say(
                        "Add it from the label: cleatclock products, then {stage} = minutes.",
                        stage=stage,
                    ),
                    row=line.row,
                    column="finish",
                    value=line.finish,
                )

    def _old_units(self, job: str) -> list[UnitState]:
        states = (self.store.state(job, unit) for unit in self.store.units_of(job))
        return [state for state in states if state is not None and not state.gone]

    def _with_codes(self, units: Sequence[UnitSpec]) -> tuple[UnitSpec, ...]:
        """Give every piece without a code one of its own; durable before this returns."""
        wanted = sum(not piece.code for unit in units for piece in unit.pieces)
        numbers = iter(self.store.take_numbers(wanted) if wanted else ())
        letter = self.settings.kiosk_letter
        return tuple(
            replace(
                unit,
                pieces=tuple(
                    piece if piece.code else replace(piece, code=code_for(letter, next(numbers)))
                    for piece in unit.pieces
                ),
            )
            for unit in units
        )

    def _write(self, notes: Sequence[Note]) -> None:
        self.store.write(notes, self.now())

    def _notes(
        self,
        job: str,
        specs: Sequence[UnitSpec],
        revision: Revision,
        file: str,
        *,
        revise: bool,
        mark: Mapping[str, str],
        person: str,
    ) -> Iterator[Note]:
        """Yield the notes of a list; mark says of each who allowed it."""
        counts = {"file": file, "units": len(specs), "revised": revise, **mark}
        yield Note(Kind.LIST_TAKEN, job, "", counts, person)
        before = {state.spec.unit: state.spec for state in self._old_units(job)}
        for spec in specs:
            if before.get(spec.unit) != spec:
                body = {**as_body(spec), **mark}
                yield Note(Kind.UNIT_TAKEN, job, spec.unit, body, person)
        for unit in revision.units_gone:
            yield Note(Kind.UNIT_GONE, job, unit, dict(mark), person)

    def _opened(self, job: Job, person: str) -> Note:
        body = {
            "name": job.name,
            "site": job.site,
            "hang_day": job.hang_day,
            "units": job.units,
        }
        return Note(Kind.JOB_OPENED, job.code, "", body, person)

    def set_job(
        self, job: Job, *, reason: str = "", person: str = "", permit: Permit | None = None
    ) -> tuple[Problem, ...]:
        """Set a job's name, site, hang day and units, close it, or open it again.

        Args:
            job: as it is to be; open=False closes it.
            reason: why to close it although not all of it is hung.
            person: who says so.
            permit: of a supervisor, where there is one: to close a job that is not all hung, and
                to open one again.
        """
        known = self.jobs().get(job.code)
        if known is None:
            have = ", ".join(self.jobs()) or _("none yet")
            return (
                Problem(
                    say("There is no job {job}.", job=job.code), say("Jobs are: {have}.", have=have)
                ),
            )
        note = self._opened(job, person)
        left = self._not_hung(job.code) if known.open and not job.open else []
        if left and not reason:
            names = name_some(sorted(left, key=natural), most=8)
            words = say(
                "{n} units of {code} are not hung: {names}.",
                n=len(left),
                code=job.code,
                names=names,
            )
            remedy = _("Hang them, revise the list, or say why it is closed (--reason).")
            return (Problem(words, remedy),)
        act = Act.CLOSE if left else Act.REOPEN if job.open and not known.open else None
        if act is not None and (problems := self.refused(act, permit)):
            return problems
        if not job.open and known.open and self.rags() is not None:
            words = _("Oily rags are not ticked off; a closed job would hide them.")
            remedy = _("Put them out and tick them off: Shop, Oily rags, or cleatclock rags --done")
            return (Problem(words, remedy),)
        mark = self.marked(permit) if act is not None else {}
        if not job.open:
            body = {**(note.body or {}), **({"reason": reason} if reason else {})}
            note = replace(note, kind=Kind.JOB_CLOSED, body=body)
        note = replace(note, body={**(note.body or {}), **mark})
        self.store.write([note], self.now())
        return ()

    def _not_hung(self, job: str) -> list[str]:
        """Return the units of an open job that are not hung."""
        standings = (one for one in self.standings() if one.job == job)
        return [one.unit for one in standings if one.state != State.HUNG]


def _as_cut(state: UnitState) -> UnitSpec:
    """Return a unit as it is on the bench: with recuts in place of spoiled parts."""
    pieces = tuple(piece.piece for piece in state.pieces if piece.needed)
    return replace(state.spec, pieces=pieces)


def _stale_labels(revision: Revision, old: Sequence[UnitState]) -> set[str]:
    """Return the codes of parts that change although their label, with the old size, is printed."""
    printed = {code for state in old for code in state.printed}
    return {code for change in revision.changed for code in change.codes} & printed


def _without_codes(unit: UnitSpec, codes: set[str], job: str) -> UnitSpec:
    pieces = (replace(piece, code="") if piece.code in codes else piece for piece in unit.pieces)
    return replace(unit, job=job, pieces=tuple(pieces))
