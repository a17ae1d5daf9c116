"""Keep the stock of sheets and offcuts: what was counted, added, thrown away and put back."""

from __future__ import annotations

from kiosk.actions.sheetbook import SheetBook
from kiosk.rules.entries import Kind
from kiosk.rules.lengths import Length
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import Material, SheetSize
from kiosk.rules.sheets.stock import is_same, size_body, size_key
from kiosk.rules.sheets.tasks import (
    assumed_size,
    by_material,
    reserved_by,
    say_material,
    to_cut,
)
from kiosk.rules.sheets.typed import Typed, as_listed, check_sheet, read_size
from kiosk.rules.sheets.views import OffcutView, SizeView, StockAnswer, StockView
from kiosk.rules.words import Phrase, _, join, say
from kiosk.store import Note
from labels.codes import code_for, parse, shown

MOST_NAMED = 6  # materials named where another was meant, perhaps (choice)


class StockRoom(SheetBook):
    """The sheets and offcuts of a shop."""

    # -- what there is ---------------------------------------------------------------------------

    def stock(self) -> StockView:
        """Return the sheets and offcuts there are."""
        self.store.refresh()
        stock = self._known().stock
        planned = reserved_by(one for _job, one in self._waiting_sheets()).sheets
        holders = {one.offcut: job for job, one in self._waiting_sheets() if one.offcut}
        sizes = [
            SizeView(
                size=one.size,
                used=one.used,
                left=one.left,
                planned=planned.get(size_key(one.size), 0),
            )
            for one in stock.sizes.values()
        ]
        for material in self._materials():
            if not stock.of(material):
                size = assumed_size(material, self.saw())
                count = planned.get(size_key(size), 0)
                sizes.append(SizeView(size=size, planned=count, is_assumed=True))
        sizes.sort(key=lambda one: _place(one.size.material, one.size.length, one.size.width))
        offcuts = sorted(stock.offcuts, key=lambda one: _place(one.material, one.length, one.width))
        return StockView(
            sizes=tuple(sizes),
            offcuts=tuple(
                OffcutView(offcut=one, reserved=holders.get(one.code, "")) for one in offcuts
            ),
        )

    def _materials(self) -> list[Material]:
        """Return what open jobs have still to be cut from."""
        waiting = to_cut(self.store.states().values())
        return list(by_material(one.piece for one in waiting))

    # -- what people say of it -------------------------------------------------------------------

    def count_sheets(
        self,
        material: str,
        thickness: str,
        *,
        length: str,
        width: str,
        count: str = "",
        trim: str = "",
        person: str = "",
    ) -> StockAnswer:
        """Say how many sheets of a size there are, as typed; the last count of a size holds.

        Args:
            material: its name as on part lists.
            thickness: as typed, in the shop's units; '' where lists say none.
            length: along the grain, as typed.
            width: as typed.
            count: a whole number; '' for as many as it takes.
            trim: what each edge loses; '' for that of the settings.
            person: who says so.

        Raises:
            StoreError: nothing was recorded.
        """
        typed = Typed(
            material=material,
            thickness=thickness,
            length=length,
            width=width,
            count=count,
            trim=trim,
        )
        size, problems = self._read(typed, trim=self.saw().trim)
        problems = problems or check_sheet(size)
        if size is None or problems:
            return StockAnswer(problems=problems)
        body = size_body(size) | {"count": size.count, "trim": size.trim}
        note = Note(Kind.STOCK_COUNTED, body=body, person=person)
        (entry,) = self.store.write([note], self.now())
        many = _("any number") if size.count is None else str(size.count)
        message = say("In stock: {many} of {size}", many=many, size=self._size_words(size))
        detail = join([size.material.name, self._unlisted(size.material)], ". ")
        return StockAnswer(message=message, detail=detail, entry=entry.id)

    def add_offcut(
        self, material: str, thickness: str, *, length: str, width: str, person: str = ""
    ) -> StockAnswer:
        """Add an offcut that was measured, as typed; it gets a code, and its label is due.

        Raises:
            StoreError: nothing was recorded.
        """
        typed = Typed(material=material, thickness=thickness, length=length, width=width)
        size, problems = self._read(typed, trim=Length(0))
        if size is None:
            return StockAnswer(problems=problems)
        code = self._new_code()
        body = size_body(size) | {"code": code}
        (entry,) = self.store.write([Note(Kind.OFFCUT_KEPT, body=body, person=person)], self.now())
        return StockAnswer(
            message=say("Offcut {code} is in stock", code=shown(code)),
            detail=join([_("Print its label and stick it on."), self._unlisted(size.material)]),
            code=code,
            entry=entry.id,
        )

    def throw_offcut(self, code: str, reason: str = "", *, person: str = "") -> StockAnswer:
        """Take an offcut out of stock; a plan that uses it says so from then on.

        Raises:
            StoreError: nothing was recorded.
        """
        self.store.refresh()
        compact = parse(code, layout=self.settings.scanner_layout).code or code
        stock = self._known().stock
        if compact not in stock.known:
            none = say("No offcut has the code {code}.", code=shown(compact))
            return StockAnswer(problems=(Problem(none, _("Check the code."), value=code),))
        if compact in stock.gone:
            gone = say("Offcut {code} is no longer in stock", code=shown(compact))
            return StockAnswer(message=gone, detail=_("Nothing was recorded."), code=compact)
        body = {"code": compact, "reason": reason}
        (entry,) = self.store.write([Note(Kind.OFFCUT_GONE, body=body, person=person)], self.now())
        message = say("Offcut {code} is out of stock", code=shown(compact))
        return StockAnswer(message=message, code=compact, entry=entry.id)

    def _read(self, typed: Typed, *, trim: Length) -> tuple[SheetSize | None, tuple[Problem, ...]]:
        """Read a size, its material as it stands on lists that are still to be cut."""
        size, problems = read_size(typed, unit=self.settings.units, trim=trim)
        if size is None:
            return None, problems
        self.store.refresh()
        return as_listed(size, self._materials())

    def _unlisted(self, material: Material) -> Phrase:
        """Say that nothing is to be cut from a material, where lists ask for others; else ''."""
        listed = self._materials()
        if not listed or any(is_same(one, material) for one in listed):
            return join([])
        system = self.saw().system
        others = join([say_material(one, system) for one in listed[:MOST_NAMED]], "; ")
        return say(
            "No list asks for {material}; lists ask for {others}.",
            material=say_material(material, system),
            others=others,
        )

    def _new_code(self) -> str:
        (number,) = self.store.take_numbers(1)
        return code_for(self.settings.kiosk_letter, number)


def _place(material: Material, length: Length, width: Length) -> tuple[object, ...]:
    return (material.name.casefold(), material.thickness or 0, -length, -width)
