"""Make labels for parts, units and places, and log every print: a reprint keeps the code."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from kiosk.actions.core import seed_text
from kiosk.actions.scans import Scans
from kiosk.rules.entries import Kind
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.labelwords import say_drawing
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.store import Note
from labels import LabelError
from labels.artwork import Label, LabelText, PlaceText, UnitText, unfit
from labels.codes import code_for, shown
from labels.pages import write_pdf, write_png
from labels.printing import PDF, Sheet
from labels.stocks import Stock, merge_stocks

OWN_STOCKS = "stocks.toml"  # beside the shop's file, as settings.toml is


@dataclass(frozen=True, slots=True)
class LabelRun:
    """What a label run made: files, pages, and the codes in the order they were printed.

    reprints counts the labels that had been printed before; left_over names pages of an earlier,
    longer run that could not be deleted. With problems nothing was written.
    """

    codes: tuple[str, ...] = ()
    pages: int = 0
    files: tuple[Path, ...] = ()
    reprints: int = 0
    problems: tuple[Problem, ...] = ()
    left_over: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which labels are wanted of a job.

    only: codes of parts; empty: all. new: leave out what was printed before. units: the units' own
    labels instead of the parts'. reason says why a label is printed again.
    """

    job: str
    only: Sequence[str] = ()
    new: bool = False
    units: bool = False
    stock: str = ""
    skip: int = 0
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Chosen:
    """One label to be drawn: what it says, and of which unit it is; no unit: a place's."""

    label: Label
    job: str
    unit: str
    before: int = 0


@dataclass(frozen=True, slots=True)
class Order:
    """Labels drawn and read back for a printer: what to hand over, and what to log once it is out.

    key is the same for the same labels of a shop on the same stock until they have come out, so
    that a second tap prints nothing twice.
    """

    key: str
    sheet: Sheet
    rows: tuple[Chosen, ...]
    stock: str
    reason: str = ""

    @property
    def title(self) -> str:
        """Return what it is in words: one label's code, or how many labels."""
        first = self.rows[0].label.code
        return shown(first) if len(self.rows) == 1 else say("{n} labels", n=len(self.rows))


Picked: TypeAlias = tuple[tuple[Chosen, ...], Stock | None, tuple[Problem, ...]]


class Printing(Scans):
    """Labels of a shop."""

    # -- stocks ----------------------------------------------------------------------------------

    def stocks(self) -> dict[str, Stock]:
        """Return the label stocks by key: what ships, and the shop's own over it."""
        return self._merged()[0]

    def stock_problems(self) -> tuple[str, ...]:
        """Return in words what is wrong with the shop's own stocks, and which do not fit."""
        stocks, problems = self._merged()
        return (*problems, *unfit(stocks.values(), self.settings.label_dpi))

    def _merged(self) -> tuple[dict[str, Stock], tuple[str, ...]]:
        own = self.store.folder / OWN_STOCKS
        try:
            text = own.read_text("utf-8-sig") if own.is_file() else ""
        except (OSError, UnicodeDecodeError) as error:
            stocks, problems = merge_stocks(seed_text("stocks.toml"), "")
            return stocks, (*problems, say("{own} cannot be read: {error}", own=own, error=error))
        return merge_stocks(seed_text("stocks.toml"), text)

    # -- to files --------------------------------------------------------------------------------

    def labels(self, wanted: Wanted, out: Path, *, person: str = "") -> LabelRun:
        """Write labels to a PDF or PNG and log them; each is read back before it is written.

        Raises:
            LabelError: a label could not be drawn, or did not read back; nothing was written.
            StoreError: the pages are written, but the log is not.
        """
        rows, stock, problems = self._pick(wanted, person)
        if out.suffix.lower() not in (".pdf", ".png"):
            wrong = Problem(
                say("Labels cannot be written as {name}.", name=out.name), _("Use .pdf or .png.")
            )
            problems = (wrong, *problems)
        if problems or stock is None:
            return LabelRun(problems=problems)
        return self._to_file(rows, stock, wanted, out, person)

    def place_labels(self, out: Path, *, stock: str = "", person: str = "") -> LabelRun:
        """Write a label for each place of the shop, with a code that says which place it is."""
        wanted = Wanted("", stock=stock)
        chosen, problems = self._stock(wanted)
        if not self.settings.places:
            problems = (
                *problems,
                Problem(_("The shop has no places."), _("Name some in the settings.")),
            )
        if problems or chosen is None:
            return LabelRun(problems=problems)
        rows = tuple(Chosen(PlaceText(code, name), "", "") for name, code in self._places(person))
        return self._to_file(rows, chosen, wanted, out, person)

    def _to_file(
        self, rows: Sequence[Chosen], stock: Stock, wanted: Wanted, out: Path, person: str
    ) -> LabelRun:
        write = write_png if out.suffix.lower() == ".png" else write_pdf
        texts = [row.label for row in rows]
        made = write(texts, stock, dpi=self.settings.label_dpi, skip=wanted.skip, out=out)
        self._log(rows, stock.key, wanted.reason, person)
        again = sum(row.before > 0 for row in rows)
        codes = tuple(text.code for text in texts)
        return LabelRun(codes, made.pages, tuple(made.files), again, left_over=made.left_over)

    # -- to a printer ----------------------------------------------------------------------------

    def order(
        self, wanted: Wanted, *, person: str = ""
    ) -> tuple[Order | None, tuple[Problem, ...]]:
        """Draw labels for a printer, or name every problem; nothing is logged before they are out.

        Raises:
            LabelError: a label could not be drawn, or did not read back.
        """
        rows, stock, problems = self._pick(wanted, person)
        if problems or stock is None:
            return None, problems
        with tempfile.TemporaryDirectory(prefix="cleatclock-") as folder:
            out = Path(folder) / "labels.pdf"
            texts = [row.label for row in rows]
            write_pdf(texts, stock, dpi=self.settings.label_dpi, skip=wanted.skip, out=out)
            data = out.read_bytes()
        width, height = stock.page_mm
        title = f"{wanted.job} {len(rows)} labels" if len(rows) > 1 else shown(texts[0].code)
        sheet = Sheet(data, PDF, width, height, self.settings.label_dpi, title)
        key = self._print_key(rows, stock, wanted.skip)
        return Order(key, sheet, rows, stock.key, wanted.reason), ()

    def _print_key(self, rows: Sequence[Chosen], stock: Stock, skip: int) -> str:
        """Return what the printer is to know a print by, through a restart of either."""
        named = [f"{row.label.code}-{row.before}" for row in rows]
        # two shops count alike and may share a printer: no entry of theirs has the same id
        shop = self.store.history(rows[0].job, rows[0].unit)[0].id
        said = ",".join((*named, stock.key, str(skip), shop))
        return f"{named[0]}-{hashlib.sha256(said.encode()).hexdigest()[:16]}"

    def came_out(self, order: Order, *, person: str = "") -> None:
        """Log that the labels of an order have come out of the printer.

        Raises:
            StoreError: it is not logged.
        """
        self._log(order.rows, order.stock, order.reason, person)

    def order_at_once(
        self, answer: Answer, *, recut: bool = False
    ) -> tuple[Order | None, tuple[Problem, ...]]:
        """Draw the label that is due after what was recorded, or name every problem; see `order`.

        Where the shop prints at once: a part's when it was cut, a unit's when it was glued up; not
        where it was printed before. recut: the label of a recut, wherever there is a printer.
        """
        if answer.outcome != Outcome.RECORDED:
            return None, ()
        wanted = Wanted(answer.job, only=[answer.code]) if recut else self._due_after(answer)
        return (None, ()) if wanted is None else self.order(wanted)

    def _due_after(self, answer: Answer) -> Wanted | None:
        if not self.settings.print_at_once:
            return None
        state = self.store.state(answer.job, answer.unit)
        if state is None:
            return None
        if answer.step == "cut" and answer.code and not state.printed.get(answer.code):
            return Wanted(answer.job, only=[answer.code])
        if answer.step == "glue-up" and not any(map(state.printed.get, state.codes)):
            return Wanted(answer.job, only=[answer.unit], units=True)
        return None

    def _log(self, rows: Sequence[Chosen], stock: str, reason: str, person: str) -> None:
        by_unit: dict[tuple[str, str], list[str]] = {}
        for row in rows:
            by_unit.setdefault((row.job, row.unit), []).append(row.label.code)
        why = {"reason": reason} if reason else {}
        notes = [
            Note(Kind.LABELS_PRINTED, job, unit, {"codes": codes, "stock": stock} | why, person)
            for (job, unit), codes in by_unit.items()
            if unit
        ]
        self.store.write(notes, self.now())

    # -- choosing --------------------------------------------------------------------------------

    def _pick(self, wanted: Wanted, person: str) -> Picked:
        """Return the labels wanted and their stock, or every problem."""
        stock, problems = self._stock(wanted)
        if wanted.job not in self.jobs():
            have = ", ".join(self.jobs()) or _("none yet")
            problems = (
                Problem(
                    say("There is no job {job}.", job=wanted.job),
                    say("Jobs are: {have}.", have=have),
                ),
                *problems,
            )
        if problems:
            return (), stock, problems
        rows = self._units(wanted, person) if wanted.units else self._parts(wanted)
        found = {row.label.code for row in rows} | {row.unit for row in rows if wanted.units}
        problems = tuple(
            Problem(
                say("{one} is nothing of {job} that wants a label.", one=one, job=wanted.job),
                _("Check the code."),
            )
            for one in wanted.only
            if one not in found
        )
        if not problems and not rows:
            problems = (Problem(_("There is no label to print."), _("All were printed before.")),)
        return tuple(rows), stock, problems

    def _stock(self, wanted: Wanted) -> tuple[Stock | None, tuple[Problem, ...]]:
        key = wanted.stock or self.settings.label_stock
        stock = self.stocks().get(key)
        if stock is None:
            names = ", ".join(self.stocks())
            return None, (
                Problem(
                    say("There is no label stock {key}.", key=key), say("Use {names}.", names=names)
                ),
            )
        if not 0 <= wanted.skip < stock.per_page:
            words = say(
                "A sheet of {key} has {per_page} labels; {skip} cannot be skipped.",
                key=key,
                per_page=stock.per_page,
                skip=wanted.skip,
            )
            return stock, (Problem(words, say("Use 0 to {most}.", most=stock.per_page - 1)),)
        return stock, ()

    def _parts(self, wanted: Wanted) -> list[Chosen]:
        """Return the parts' labels in list order."""
        found = []
        for unit in self.store.units_of(wanted.job):
            state = self.store.state(wanted.job, unit)
            for piece in state.pieces if state else ():
                code = piece.piece.code
                if not piece.needed or (wanted.only and code not in wanted.only):
                    continue
                if state is not None and not (wanted.new and state.printed.get(code)):
                    found.append(self._chosen(state, self._text(state, piece)))
        return found

    def _units(self, wanted: Wanted, person: str) -> list[Chosen]:
        """Return the units' own labels; a unit without a code is given one."""
        states = [self.store.state(wanted.job, unit) for unit in self.store.units_of(wanted.job)]
        chosen = [
            state
            for state in states
            if state is not None
            and state.spec.kind != "wall"
            and (not wanted.only or state.spec.unit in wanted.only)
            and not (wanted.new and any(map(state.printed.get, state.codes)))
        ]
        bare = [state for state in chosen if not state.codes]
        numbers = self.store.take_numbers(len(bare)) if bare else range(0)
        letter = self.settings.kiosk_letter
        notes = [
            Note(
                Kind.UNIT_CODED, one.spec.job, one.spec.unit, {"code": code_for(letter, n)}, person
            )
            for one, n in zip(bare, numbers, strict=True)
        ]
        if notes:
            self.store.write(notes, self.now())
        fresh = [self.store.state(one.spec.job, one.spec.unit) for one in chosen]
        return [self._chosen(one, self._unit_text(one)) for one in fresh if one is not None]

    def _places(self, person: str) -> list[tuple[str, str]]:
        """Return the places with their codes; a place without one is given one."""
        entries = self.store.shop_entries(Kind.PLACE_CODED)
        known = {str(one.body.get("place")): str(one.body.get("code")) for one in entries}
        names = [place.name for place in self.settings.places]
        bare = [name for name in names if name not in known]
        numbers = self.store.take_numbers(len(bare)) if bare else range(0)
        letter = self.settings.kiosk_letter
        made = {name: code_for(letter, n) for name, n in zip(bare, numbers, strict=True)}
        notes = [
            Note(Kind.PLACE_CODED, body={"place": name, "code": code}, person=person)
            for name, code in made.items()
        ]
        if notes:
            self.store.write(notes, self.now())
        return [(name, (known | made)[name]) for name in names]

    @staticmethod
    def _chosen(state: UnitState, label: Label) -> Chosen:
        spec = state.spec
        return Chosen(label, spec.job, spec.unit, state.printed.get(label.code, 0))

    # -- what a label says -----------------------------------------------------------------------

    def _text(self, state: UnitState, piece: PieceState) -> LabelText:
        spec, part = state.spec, piece.piece
        stations = [step.station for step in self.setup.steps(spec)]
        return LabelText(
            code=part.code,
            title=f"{part.part} {part.bevel:g}°" if part.bevel else part.part,
            unit=spec.unit,
            size=self.size_text(spec.job, part),
            # labels are stuck on at the saw: where the part goes once it is cut
            next_station=next((station for station in stations if station != "cut"), ""),
            grain=part.grain or None,
            job=spec.job,
            material=part.material,
            note=part.note,
        )

    @staticmethod
    def _unit_text(state: UnitState) -> UnitText:
        spec = state.spec
        return UnitText(state.codes[0], spec.name, spec.unit, spec.job)

    # -- recuts ----------------------------------------------------------------------------------

    def problem(
        self, code: str, what: str, *, person: str = "", note: str = "", draw: bool = True
    ) -> Answer:
        """Record a problem; a recut's label is drawn at once, into a folder beside the file.

        A label that cannot be drawn takes nothing back: the answer says so, and shows the code.
        draw False leaves the label to a printer.
        """
        answer = super().problem(code, what, person=person, note=note)
        if not draw or what != "spoiled" or answer.outcome != Outcome.RECORDED:
            return answer
        try:
            folder = self.store.folder / "labels"
            folder.mkdir(exist_ok=True)
            out = folder / f"recut-{shown(answer.code)}.pdf"
            run = self.labels(Wanted(answer.job, only=[answer.code]), out, person=person)
            words = run.problems[0].message if run.problems else say("Its label: {out}.", out=out)
        except (LabelError, OSError) as error:
            words = say(
                "Its label was not drawn: {error} Write the code on the part by hand.",
                error=say_drawing(error),
            )
        return replace(answer, detail=join([answer.detail, words]))
