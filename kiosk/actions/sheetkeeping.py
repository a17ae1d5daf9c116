"""Keep the layout that is chosen as a job's plan, and find spoiled parts a place in it."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace

from kiosk.actions.sheetlooking import SheetLooking
from kiosk.breaker import SEED
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.mending import Means, next_number, place
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan
from kiosk.rules.sheets.planbody import as_body
from kiosk.rules.sheets.planned import renamed
from kiosk.rules.sheets.tasks import to_cut
from kiosk.rules.sheets.views import Choice, SheetsView
from kiosk.rules.words import Phrase, _, join, say
from kiosk.store import Note, StoreError

MENDING = 1200  # tries to find a spoiled part a place: about a second at most (choice)


class SheetsChanged(LookupError):
    """What was looked for does not fit what is cut and in stock now; look again."""


class SheetKeeping(SheetLooking):
    """The plans of a shop's jobs as they are kept."""

    def keep_sheets(
        self, job: str, chosen: Mapping[Material, int] | None = None, *, person: str = ""
    ) -> SheetsView:
        """Keep the layouts chosen as the job's plan; sheets begun before are taken over.

        Args:
            job: whose search it was; one that goes on is ended.
            chosen: the number of a choice for each material; 0 where nothing is said.
            person: who says so.

        Raises:
            StoreError: nothing was recorded.
            LookupError: no search of this job has anything to keep, or there is no such choice.
            SheetsChanged: parts were cut or offcuts taken since the search began.
        """
        self.end_sheets()
        self.wait_sheets()
        self.store.refresh()
        picked = self._picked(job, chosen or {})
        self._refuse_changed(job, picked)
        now = self.now()
        plan_id = self.store.new_id(now)
        before = self.sheet_plan(job)
        sheets = list(self._staying(job, {one.material for one in picked}))
        first = next_number(before.sheets if before else ())
        new = (one for of in picked for one in of.planned)
        sheets += [
            renamed(one, origin=plan_id, name=f"S{number}") for number, one in enumerate(new, first)
        ]
        bounds = dict(before.bounds if before else ())
        bounds |= {one.material: one.bound for one in picked}
        plan = SheetPlan(
            id=plan_id,
            job=job,
            made=now,
            sheets=tuple(sheets),
            bounds=tuple(bounds.items()),
            left_out=tuple(code for one in picked for code in one.left_out),
        )
        return self._write_sheets(plan, (), person)

    def _picked(self, job: str, chosen: Mapping[Material, int]) -> list[Choice]:
        """Return the choice of each material."""
        choices = self.sheet_choices()
        if self._sheet_search.now().job != job or not choices:
            raise LookupError(say("There is no layout of {job} to keep.", job=job))
        materials = dict.fromkeys(one.material for one in choices)
        wanted = dict.fromkeys(materials, 0) | dict(chosen)
        found = {(one.material, one.number): one for one in choices}
        try:
            return [found[pair] for pair in wanted.items()]
        except KeyError:
            raise LookupError(_("There is no such choice.")) from None

    def _refuse_changed(self, job: str, picked: list[Choice]) -> None:
        """Refuse layouts of what is cut or taken by now."""
        left = {piece.code for piece in self._pieces_to_plan(job)}
        taken = self._known().stock.gone | self.reserved(without=job).offcuts
        sheets = [one for of in picked for one in of.planned]
        if any(one.offcut in taken for one in sheets) or any(
            code not in left for one in sheets for code in codes_on(one)
        ):
            raise SheetsChanged(_("Parts were cut or offcuts taken since: look for layouts again."))

    def _staying(self, job: str, materials: set[Material]) -> list[PlannedSheet]:
        """Return the sheets of a plan that another takes over: begun, or of other materials."""
        plan, view = self.sheet_plan(job), self._view(job)
        if plan is None or view is None:
            return []
        begun = {one.key for one in view.sheets if one.is_begun} | self._known().stock.used
        return [one for one in plan.sheets if one.key in begun or one.material not in materials]

    def _write_sheets(self, plan: SheetPlan, notes: tuple[str, ...], person: str) -> SheetsView:
        note = Note(Kind.SHEETS_PLANNED, plan.job, "", as_body(plan), person, plan.id)
        self.store.write([note], self.now())
        view = self._view(plan.job, notes)
        assert view is not None
        return view

    # -- spoiled parts ---------------------------------------------------------------------------

    def spoil(self, text: str, reason: str = "", *, person: str = "") -> Answer:
        """Mark a part as spoiled and give its recut a code, and a place in the job's plan."""
        answer = super().spoil(text, reason, person=person)
        if answer.outcome != Outcome.RECORDED or self.sheet_plan(answer.job) is None:
            return answer
        try:
            view = self.place_spoiled(answer.job, person=person)
        except StoreError as error:  # the part is marked all the same
            lost = say("Where it is cut was not kept: {error}", error=error)
            return replace(answer, detail=join([answer.detail, lost]))
        notes = view.notes if view else ()
        return replace(answer, detail=join([answer.detail, *notes[:1]]))

    def place_spoiled(self, job: str, *, person: str = "") -> SheetsView | None:
        """Find a place for parts that were spoiled, and keep the plan so.

        Done by itself when a part is spoiled. The view's notes begin with where each one is. None
        where no plan was kept.

        Raises:
            StoreError: nothing was recorded.
        """
        self.store.refresh()
        plan, view = self.sheet_plan(job), self._view(job)
        if plan is None or view is None:
            return None
        recuts = [
            one
            for one in to_cut(self.units_of(job))
            if one.replaces and one.piece.code in view.unplanned
        ]
        if not recuts:
            return view
        means, notes = self._means(job, view), list[Phrase]()
        for one in recuts:
            plan, words = place(plan, one.piece, means=means, spoiled=one.replaces)
            notes.append(words)
        plan = replace(plan, id=means.origin, made=self.now())
        return self._write_sheets(plan, tuple(notes), person)

    def _means(self, job: str, view: SheetsView) -> Means:
        parts = self._parts_of(self.units_of(job))
        stock = self._known().stock
        shown = {one.key for one in view.sheets}
        begun = {one.key for one in view.sheets if one.is_begun} | stock.used
        return Means(
            store=stock,
            saw=self.saw(),
            reserved=self.reserved(without=job),
            wanted=parts.wanted,
            waiting=parts.waiting,
            begun=begun | {one.key for one in view.plan.sheets if one.key not in shown},
            origin=self.store.new_id(self.now()),
            draw=random.Random(SEED).random,
            tries=MENDING,
        )
