"""Keep the layout that is chosen as a job's plan, and find spoiled parts a place in it."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from time import thread_time
from typing import Final

from kiosk.actions.sheetlooking import SheetLooking
from kiosk.breaker import SEED
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.sheets.checks import codes_on, find_faults
from kiosk.rules.sheets.mending import Means, next_number, place
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan
from kiosk.rules.sheets.planbody import as_body
from kiosk.rules.sheets.planned import renamed
from kiosk.rules.sheets.stock import is_same
from kiosk.rules.sheets.tasks import reserved_by, to_cut
from kiosk.rules.sheets.views import Choice, SheetsView
from kiosk.rules.words import Phrase, _, join, say
from kiosk.store import Note, StoreError

MENDING: Final = 1200  # tries to find a spoiled part a place (choice)
MENDING_SECONDS: Final = 1.0  # of processor time: somebody stands there with the part (choice)


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
            SheetsChanged: parts were cut or revised, or stock was taken, since the search began.
        """
        self.end_sheets()
        self.wait_sheets()
        self.store.refresh()
        picked = self._picked(job, chosen or {})
        self._refuse_changed(job, picked)
        now = self.now()
        plan_id = self.store.new_id(now)
        before = self.sheet_plan(job)
        staying = self._staying(job, picked)
        first = next_number(before.sheets if before else ())
        new = (one for of in picked for one in of.planned)
        sheets = [
            renamed(one, origin=plan_id, name=f"S{number}") for number, one in enumerate(new, first)
        ]
        plan = SheetPlan(
            id=plan_id,
            job=job,
            made=now,
            sheets=(*staying, *sheets),
            bounds=self._bounds(job, picked),
            left_out=tuple(code for one in picked for code in one.left_out),
        )
        return self._write_sheets(plan, (), person)

    def _bounds(self, job: str, picked: list[Choice]) -> tuple[tuple[Material, int], ...]:
        """Return how many new sheets each material takes at least, with those begun as they are."""
        plan, view = self.sheet_plan(job), self._view(job)
        bounds = {
            material: least
            for material, least in (plan.bounds if plan else ())
            if not any(is_same(material, one.material) for one in picked)
        }
        begun = [
            one.planned.material
            for one in (view.sheets if view else ())
            if one.is_begun and not one.planned.offcut
        ]
        for one in picked:
            bounds[one.material] = one.bound + sum(is_same(of, one.material) for of in begun)
        return tuple(bounds.items())

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
        """Refuse layouts of what is cut or taken by now, or of parts that are others by now."""
        left = {piece.code: piece for piece in self._pieces_to_plan(job)}
        sheets = [one for of in picked for one in of.planned]
        if (
            any(code not in left for one in sheets for code in codes_on(one))
            or any(find_faults(one, left) for one in sheets)
            or self._lacks_stock(job, sheets)
        ):
            raise SheetsChanged(_("Parts or stock have changed since: look for layouts again."))

    def _lacks_stock(self, job: str, sheets: list[PlannedSheet]) -> bool:
        """Tell whether offcuts or sheets that layouts are cut from are not there for a job."""
        stock, others, needed = self._known().stock, self.reserved(without=job), reserved_by(sheets)
        if needed.offcuts - ({one.code for one in stock.offcuts} - others.offcuts):
            return True
        for key, count in needed.sheets.items():
            counted = stock.sizes.get(key)
            if counted is None and any(other[:2] == key[:2] for other in stock.sizes):
                return True  # sheets of it were assumed, and counted since
            left = counted.left if counted else None
            if left is not None and count > left - others.sheets.get(key, 0):
                return True
        return False

    def _staying(self, job: str, picked: list[Choice]) -> list[PlannedSheet]:
        """Return the sheets of a plan that another takes over.

        Those that are begun, and those with parts to cut, none of which is laid out anew.
        """
        plan, view = self.sheet_plan(job), self._view(job)
        if plan is None or view is None:
            return []
        begun = {one.key for one in view.sheets if one.is_begun} | self._known().stock.used
        anew = {code for of in picked for one in of.planned for code in codes_on(one)}
        anew.update(code for of in picked for code in of.left_out)
        left = {piece.code for piece in self._pieces_to_plan(job)}

        def stays(one: PlannedSheet) -> bool:
            codes = set(codes_on(one))
            return one.key in begun or bool(codes & left and not codes & anew)

        return [one for one in plan.sheets if stays(one)]

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
        stock, begun_at = self._known().stock, thread_time()
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
            go_on=lambda: thread_time() - begun_at < MENDING_SECONDS,
        )
