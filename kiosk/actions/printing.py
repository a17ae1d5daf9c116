"""Make label pages for parts, and log every print: a reprint keeps the code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from kiosk.actions.core import seed_text
from kiosk.actions.scans import Scans
from kiosk.rules.entries import Kind
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Outcome
from kiosk.store import Note
from labels import LabelError
from labels.artwork import LabelText
from labels.codes import shown
from labels.pages import write_pdf, write_png
from labels.stocks import Stock, parse_stocks


@dataclass(frozen=True, slots=True)
class LabelRun:
    """What a label run made: files, pages, and the codes in the order they were printed.

    reprints counts the labels that had been printed before. With problems nothing was written.
    """

    codes: tuple[str, ...] = ()
    pages: int = 0
    files: tuple[Path, ...] = ()
    reprints: int = 0
    problems: tuple[Problem, ...] = ()


class Printing(Scans):
    """Labels of a shop."""

    def stocks(self) -> dict[str, Stock]:
        """Return the label stocks by key."""
        return parse_stocks(seed_text("stocks.toml"))[0]

    def labels(
        self,
        job: str,
        out: Path,
        *,
        stock: str = "",
        skip: int = 0,
        only: Sequence[str] = (),
        new_only: bool = False,
        person: str = "",
    ) -> LabelRun:
        """Write the labels of a job to a PDF or PNG and log them.

        Every label is read back before anything is written.

        Args:
            job: the job's code.
            out: where to; the ending decides PDF or PNG.
            stock: key of a label stock; empty: the shop's usual one.
            skip: labels already used on the first sheet.
            only: codes to print; empty: all.
            new_only: leave out what was printed before.
            person: who prints.

        Raises:
            LabelError: a label could not be drawn, or did not read back; nothing was written.
            StoreError: the pages are written, but the log is not.
        """
        key = stock or self.settings.label_stock
        chosen = self.stocks().get(key)
        wanted = self._wanted(job, only, new_only=new_only)
        problems = self._problems(job, key, chosen, only, wanted, skip, out)
        if problems or chosen is None:
            return LabelRun(problems=problems)
        texts = [self._text(state, piece) for state, piece in wanted]
        write = write_png if out.suffix.lower() == ".png" else write_pdf
        made = write(texts, chosen, dpi=self.settings.label_dpi, skip=skip, out=out)
        again = sum(state.printed.get(piece.piece.code, 0) > 0 for state, piece in wanted)
        by_unit: dict[str, list[str]] = {}
        for state, piece in wanted:
            by_unit.setdefault(state.spec.unit, []).append(piece.piece.code)
        notes = [
            Note(Kind.LABELS_PRINTED, job, unit, {"codes": codes, "stock": key}, person)
            for unit, codes in by_unit.items()
        ]
        self.store.write(notes, self.now())
        printed = tuple(text.code for text in texts)
        return LabelRun(printed, made.pages, tuple(made.files), again)

    def problem(self, code: str, what: str, *, person: str = "", note: str = "") -> Answer:
        """Record a problem; a recut's label is drawn at once, into a folder beside the file.

        A label that cannot be drawn takes nothing back: the answer says so, and shows the code.
        """
        answer = super().problem(code, what, person=person, note=note)
        if what != "spoiled" or answer.outcome != Outcome.RECORDED:
            return answer
        try:
            folder = self.store.folder / "labels"
            folder.mkdir(exist_ok=True)
            out = folder / f"recut-{shown(answer.code)}.pdf"
            run = self.labels(answer.job, out, only=[answer.code], person=person)
            words = run.problems[0].message if run.problems else f"Its label: {out}."
        except (LabelError, OSError) as error:
            words = f"Its label was not drawn: {error} Write the code on the part by hand."
        return replace(answer, detail=f"{answer.detail} {words}")

    def _wanted(
        self, job: str, only: Sequence[str], *, new_only: bool
    ) -> list[tuple[UnitState, PieceState]]:
        """Return the parts to print in list order."""
        found = []
        for unit in self.store.units_of(job):
            state = self.store.state(job, unit)
            for piece in state.pieces if state else ():
                code = piece.piece.code
                if not piece.needed or (only and code not in only):
                    continue
                if state is not None and not (new_only and state.printed.get(code)):
                    found.append((state, piece))
        return found

    def _problems(
        self,
        job: str,
        key: str,
        stock: Stock | None,
        only: Sequence[str],
        wanted: Sequence[tuple[UnitState, PieceState]],
        skip: int,
        out: Path,
    ) -> tuple[Problem, ...]:
        found = []
        if out.suffix.lower() not in (".pdf", ".png"):
            found.append(Problem(f"Labels cannot be written as {out.name}.", "Use .pdf or .png."))
        if job not in self.jobs():
            have = ", ".join(self.jobs()) or "none yet"
            found.append(Problem(f"There is no job {job}.", f"Jobs are: {have}."))
        if stock is None:
            found.append(
                Problem(f"There is no label stock {key}.", f"Use {', '.join(self.stocks())}.")
            )
        elif not 0 <= skip < stock.per_page:
            found.append(
                Problem(
                    f"A sheet of {key} has {stock.per_page} labels; {skip} cannot be skipped.",
                    f"Use 0 to {stock.per_page - 1}.",
                )
            )
        codes = {piece.piece.code for _state, piece in wanted}
        for code in only:
            if code not in codes:
                found.append(
                    Problem(f"{code} is no part of {job} that wants a label.", "Check the code.")
                )
        if not found and not wanted:
            found.append(Problem("There is no label to print.", "All were printed before."))
        return tuple(found)

    def _text(self, state: UnitState, piece: PieceState) -> LabelText:
        spec, part = state.spec, piece.piece
        stations = [step.station for step in self.setup.steps(spec)]
        return LabelText(
            code=part.code,
            title=f"{part.part} {part.bevel:g}°" if part.bevel else part.part,
            unit=spec.unit,
            size=self.size_text(spec.job, part),
            next_station=self._next_after_cut(stations),
            grain=part.grain or None,
            job=spec.job,
        )

    @staticmethod
    def _next_after_cut(stations: Sequence[str]) -> str:
        """Return where a part goes once it is cut: labels are stuck on at the saw."""
        return next((station for station in stations if station != "cut"), "")
