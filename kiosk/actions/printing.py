"""Make labels for parts, units and places, and log every print: a reprint keeps the code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from kiosk.actions.corrections import Corrections
from kiosk.actions.labelfiles import Wanted, own_stocks
from kiosk.rules.entries import Kind
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.store import Note
from labels.artwork import Label, LabelText, PlaceText, UnitText, unfit
from labels.codes import code_for, shown
from labels.pages import write_pdf, write_png
from labels.stocks import Stock


@dataclass(frozen=True, slots=True)
class LabelRun:
    """What a label run made: files, pages, and the codes in the order they were printed.

    reprints counts the labels that had been printed before; left_over names pages of an earlier,
    longer run that could not be deleted. void are codes of spoiled parts, left out. With problems
    nothing was written.
    """

    codes: tuple[str, ...] = ()
    pages: int = 0
    files: tuple[Path, ...] = ()
    reprints: int = 0
    problems: tuple[Problem, ...] = ()
    left_over: tuple[Path, ...] = ()
    void: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Chosen:
    """One label to be drawn: what it says, and of which unit it is; no unit: a place's."""

    label: Label
    job: str
    unit: str
    before: int = 0


Picked: TypeAlias = tuple[tuple[Chosen, ...], Stock | None, tuple[Problem, ...]]


class Printing(Corrections):
    """Labels of a shop."""

    # -- stocks ----------------------------------------------------------------------------------

    def stocks(self) -> dict[str, Stock]:
        """Return the label stocks by key: what ships, and the shop's own over it."""
        return own_stocks(self.store.folder)[0]

    def stock_problems(self) -> tuple[str, ...]:
        """Return in words what is wrong with the shop's own stocks, and which do not fit."""
        stocks, problems = own_stocks(self.store.folder)
        return (*problems, *unfit(stocks.values(), self.settings.label_dpi))

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
        return self.labels(Wanted("", stock=stock), out, person=person)

    def _to_file(
        self, rows: Sequence[Chosen], stock: Stock, wanted: Wanted, out: Path, person: str
    ) -> LabelRun:
        write = write_png if out.suffix.lower() == ".png" else write_pdf
        texts = [row.label for row in rows]
        made = write(texts, stock, dpi=self.settings.label_dpi, skip=wanted.skip, out=out)
        self._log(rows, stock.key, wanted.reason, person)
        again = sum(row.before > 0 for row in rows)
        codes = tuple(text.code for text in texts)
        files, void = tuple(made.files), tuple(self._void(wanted))
        return LabelRun(codes, made.pages, files, again, left_over=made.left_over, void=void)

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
        if wanted.people:
            return self._pick_badges(wanted, stock, problems)
        if not wanted.job:
            return self._pick_places(wanted, stock, problems, person)
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
        void = self._void(wanted)
        problems = tuple(
            Problem(
                say("{one} is nothing of {job} that wants a label.", one=one, job=wanted.job),
                _("Check the code."),
            )
            for one in wanted.only
            if one not in found and one not in void
        )
        if not problems and not rows:
            problems = tuple(
                Problem(
                    say("{one} is void: its part was spoiled.", one=shown(one)),
                    say("Its recut carries {code}.", code=shown(recut)),
                )
                for one, recut in void.items()
            )
        if not problems and not rows:
            problems = (Problem(_("There is no label to print."), _("All were printed before.")),)
        return tuple(rows), stock, problems

    def _void(self, wanted: Wanted) -> dict[str, str]:
        """Return which of the codes wanted are void, each with the code of its part's recut."""
        if not wanted.job or wanted.units:
            return {}
        found: dict[str, str] = {}
        for one in wanted.only:
            key = self.store.find_piece(one)
            state = self.store.state(*key) if key and key[0] == wanted.job else None
            for piece in state.pieces if state else ():
                if piece.piece.code == one and piece.spoiled:
                    found[one] = piece.recut
        return found

    def _pick_places(
        self, wanted: Wanted, stock: Stock | None, problems: tuple[Problem, ...], person: str
    ) -> Picked:
        if not self.settings.places:
            none = Problem(_("The shop has no places."), _("Name some in the settings."))
            problems = (*problems, none)
        if problems:
            return (), stock, problems
        places = [one for one in self._places(person) if not wanted.only or one[1] in wanted.only]
        return tuple(Chosen(PlaceText(code, name), "", "") for name, code in places), stock, ()

    def _pick_badges(
        self, wanted: Wanted, stock: Stock | None, problems: tuple[Problem, ...]
    ) -> Picked:
        here = [one for one in self.people() if not one.away]
        rows = tuple(
            Chosen(PlaceText(one.code, one.name), "", "")
            for one in here
            if not wanted.only or one.code in wanted.only
        )
        if not rows:
            none = Problem(_("Nobody with such a badge is on the list."), _("Add them first."))
            problems = (*problems, none)
        return (() if problems else rows), stock, problems

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
