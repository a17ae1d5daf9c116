"""Cut a job's sheets line by line: each cut with all that follows from it, all or none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.actions.lookup import Found
from kiosk.actions.offcutlabels import OffcutLabels
from kiosk.actions.sheetback import SheetBack
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.route import Step
from kiosk.rules.scanning import Outcome, Verdict, judge
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.model import CutLine
from kiosk.rules.sheets.progress import needed
from kiosk.rules.sheets.stock import size_body
from kiosk.rules.sheets.tasks import size_of_sheet
from kiosk.rules.sheets.views import CutDone, SheetView
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.store import Note
from labels.codes import shown


@dataclass(frozen=True, slots=True)
class _Cutting:
    """A line that is made: its sheet, and the lines that count as made with it, itself last."""

    job: str
    sheet: SheetView
    lines: tuple[CutLine, ...]
    person: str
    now: datetime


class Sheeting(SheetBack, OffcutLabels):
    """The sheets of a shop's jobs: looked for, kept, cut; and the stock."""

    def make_cut(self, job: str, sheet_key: str, number: int, *, person: str = "") -> CutDone:
        """Record one line of a sheet as made, with all that follows from it, all or none.

        A line that frees parts is the same as their scans at cut. One made already says so. Earlier
        lines that its piece comes from count as made with it, and what they free as cut.

        Raises:
            StoreError: nothing was recorded.
        """
        view = self.sheets(job)
        sheet = view.sheet(sheet_key) if view else None
        listed = sheet.lines if sheet else ()
        line = next((one for one in listed if one.number == number), None)
        if sheet is None or line is None:
            detail = _("The sheet or its plan has changed: look at the sheets again.")
            if sheet is not None and listed:
                detail = say(
                    "The cuts of {sheet} are 1 to {last}.",
                    sheet=sheet.planned.sheet.name,
                    last=listed[-1].number,
                )
            return CutDone(outcome=Outcome.UNKNOWN, message=_("No such cut"), detail=detail)
        lines = _to_make(sheet, line)
        if not lines:
            return CutDone(
                outcome=Outcome.ALREADY,
                message=say("Cut {number} is made already", number=number),
                detail=_("Nothing was recorded."),
                next=sheet.next,
            )
        return self._cut(_Cutting(job, sheet, lines, person, self.now()))

    def _cut(self, cutting: _Cutting) -> CutDone:
        """Write a line and those before it; where a part refuses its cut, nothing is written."""
        steps = self._steps(cutting)
        if isinstance(steps, CutDone):
            return steps
        freed = tuple(str((note.body or {})["part"]) for note in steps)
        line, sheet = cutting.lines[-1], cutting.sheet
        if not any(code in line.frees for code in freed):
            body = {"sheet": sheet.key, "number": line.number, "at_ms": to_ms(cutting.now)}
            steps.append(Note(Kind.CUT_MADE, cutting.job, "", body, cutting.person))
        along, last = [*self._sheet_notes(cutting), *steps[:-1]], steps[-1]
        if along:
            with_it = {"along": [note.id for note in along]}
            last = replace(last, body={**(last.body or {}), **with_it})
        *_before, entry = self.store.write([*along, last], cutting.now)
        view = self._view(cutting.job)
        after = view.sheet(sheet.key) if view else None
        name = sheet.planned.sheet.name
        return CutDone(
            outcome=Outcome.RECORDED,
            message=say("Cut {number} of {sheet} is made", number=line.number, sheet=name),
            detail=join([_say_others(cutting.lines[:-1]), self.say_along(along)]),
            labels=(*freed, *_kept(along)),
            entry=entry.id,
            next=after.next if after else None,
        )

    def _steps(self, cutting: _Cutting) -> list[Note] | CutDone:
        """Return the cuts of the parts that lines free, or why one of them refuses."""
        steps = []
        for code in _freed(cutting):
            found = self.find_unit(code)
            if not isinstance(found, Found) or found.piece is None:
                continue
            verdict = judge(self._question(found, "cut", cutting.now, "", ""))
            if verdict.outcome in (Outcome.ON_HOLD, Outcome.TOO_EARLY):
                return _refused(found, verdict, cutting.sheet)
            if verdict.outcome == Outcome.RECORDED and verdict.step is not None:
                steps.append(self._step_note(found, verdict.step, cutting))
        return steps

    def _step_note(self, found: Found, step: Step, cutting: _Cutting) -> Note:
        spec = found.state.spec
        body = {"step": step.name, "at_ms": to_ms(cutting.now), "part": found.code}
        own = self.store.new_id(cutting.now)
        return Note(Kind.STEP_DONE, spec.job, spec.unit, body, cutting.person, own)

    def _sheet_notes(self, cutting: _Cutting) -> list[Note]:
        """Return that a sheet is begun where it was not, and the offcuts that its lines leave."""
        sheet, stock = cutting.sheet, self._known().stock
        planned = sheet.planned
        bodies: list[tuple[Kind, dict[str, object]]] = []
        if sheet.key not in stock.used:
            of = {"offcut": planned.offcut} if planned.offcut else size_body(size_of_sheet(planned))
            bodies.append((Kind.SHEET_USED, {"sheet": sheet.key, **of}))
        for line in cutting.lines:
            if line.keeps_offcut and (sheet.key, line.rest) not in stock.left_of:
                rest: dict[str, object] = {
                    "code": self._new_code(),
                    "material": planned.material.name,
                    "thickness": planned.material.thickness,
                    "length": line.rest_length,
                    "width": line.rest_width,
                    "sheet": sheet.key,
                    "piece": line.rest,
                }
                bodies.append((Kind.OFFCUT_KEPT, rest))
        return [
            Note(kind, cutting.job, "", body, cutting.person, self.store.new_id(cutting.now))
            for kind, body in bodies
        ]

    # -- a part scanned at cut -------------------------------------------------------------------

    def along_step(self, _found: Found, _step: Step, _person: str, _now: datetime) -> list[Note]:
        """Return what is written with a part's cut: its sheet is begun, an offcut remains."""
        job, piece = _found.state.spec.job, _found.piece
        if _step.station != "cut" or piece is None or self.sheet_plan(job) is None:
            return []
        view, code = self._view(job), piece.piece.code
        for sheet in view.sheets if view else ():
            if code in codes_on(sheet.planned):
                lines = [line for line in sheet.lines if code in line.frees]
                made = _to_make(sheet, lines[0]) if lines else ()
                return self._sheet_notes(_Cutting(job, sheet, made, _person, _now))
        return []

    def say_along(self, _notes: Sequence[Note]) -> str:
        """Return which offcuts remain, and that their labels are due."""
        codes = _kept(_notes)
        if not codes:
            return ""
        named = join([shown(code) for code in codes], _(" and "))
        return say_n(
            "Offcut {codes} remains: print its label.",
            "Offcuts {codes} remain: print their labels.",
            len(codes),
            codes=named,
        )


def _to_make(sheet: SheetView, line: CutLine) -> tuple[CutLine, ...]:
    """Return the lines that are not made yet of those a line needs, itself last; none if made."""
    codes = {*line.frees} - sheet.cut - sheet.unlisted
    if line.number in sheet.done and not codes:
        return ()
    before = needed(sheet.lines, line.number)
    missing = [one for one in sheet.lines if one.number in before and one.number not in sheet.done]
    return (*missing, line)


def _freed(cutting: _Cutting) -> Iterable[str]:
    """Return the codes of the parts to record as cut: not those that nobody asks for."""
    codes = (code for line in cutting.lines for code in line.frees)
    return (code for code in codes if code not in cutting.sheet.cut | cutting.sheet.unlisted)


def _kept(notes: Iterable[Note]) -> tuple[str, ...]:
    return tuple(
        str(note.body["code"]) for note in notes if note.kind == Kind.OFFCUT_KEPT and note.body
    )


def _say_others(lines: Sequence[CutLine]) -> Phrase | str:
    if not lines:
        return ""
    numbers = join([str(one.number) for one in lines], ", ")
    return say_n(
        "Cut {numbers} counts as made with it.",
        "Cuts {numbers} count as made with it.",
        len(lines),
        numbers=numbers,
    )


def _refused(found: Found, verdict: Verdict, sheet: SheetView) -> CutDone:
    return CutDone(
        outcome=verdict.outcome,
        message=say("{unit}: {what}", unit=found.state.spec.unit, what=verdict.message),
        detail=verdict.detail,
        next=sheet.next,
    )
