"""Take back what was recorded of sheets: a cut with all it brought about, a sheet begun."""

from __future__ import annotations

from kiosk.actions.sheetkeeping import SheetKeeping
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.views import StockAnswer
from kiosk.rules.words import _, say
from kiosk.store import Note


class SheetBack(SheetKeeping):
    """Cuts and sheets that are taken back."""

    def taken_back(self, entry: Entry, person: str) -> list[Note]:
        """Return what voids all that came with an entry that is struck.

        A sheet stays begun where another cut of it is recorded.
        """
        ids = entry.body.get("along")
        listed = [self.store.find_entry(str(one)) for one in ids] if isinstance(ids, list) else []
        others = [one for one in listed if one is not None and one.job == entry.job]
        cut = {str(one.body.get("part", "")) for one in (entry, *others)}
        numbers = {(one.body.get("sheet"), one.body.get("number")) for one in (entry, *others)}
        view = self._view(entry.job) if others else None
        notes = super().taken_back(entry, person)
        for one in others:
            sheet = view.sheet(str(one.body.get("sheet", ""))) if view else None
            if one.kind == Kind.SHEET_USED and sheet is not None:
                made = self._known().stock.made.get(sheet.key, frozenset())
                if sheet.cut - cut or any((sheet.key, n) not in numbers for n in made):
                    continue
            notes.append(Note(Kind.STRUCK, one.job, one.unit, {"target": one.id}, person))
        return notes

    def put_back(self, sheet_key: str, *, person: str = "") -> StockAnswer:
        """Take back that a sheet was begun: it is in stock again. Refused once a part is cut.

        Raises:
            StoreError: nothing was recorded.
        """
        self.store.refresh()
        used = [
            one
            for one in self.store.sheet_entries()
            if one.kind == Kind.SHEET_USED and one.body.get("sheet") == sheet_key
        ]
        if not used:
            none = Problem(_("This sheet is not begun."), _("There is nothing to put back."))
            return StockAnswer(problems=(none,))
        view = self._view(used[0].job)
        sheet = view.sheet(sheet_key) if view else None
        if sheet and (sheet.cut or sheet.done):
            cut = Problem(
                say("{sheet} is cut already.", sheet=sheet.planned.sheet.name),
                _("Strike its cuts first, if none was made."),
            )
            return StockAnswer(problems=(cut,))
        notes = [Note(Kind.STRUCK, one.job, "", {"target": one.id}, person) for one in used]
        *_before, entry = self.store.write(notes, self.now())
        return StockAnswer(message=_("The sheet is in stock again"), entry=entry.id)
