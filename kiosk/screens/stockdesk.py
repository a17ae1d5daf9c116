"""Lead through the stock: sheets by size with their counts, offcuts with their codes."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.actions import Wanted
from kiosk.rules.cards import BACK
from kiosk.rules.sheets.typed import MOST_SHEETS
from kiosk.rules.sheets.views import OffcutView, SizeView, StockAnswer
from kiosk.rules.words import _, join, say
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.figurepad import MINUS, Ask, FigurePad
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.labelpress import LabelPress, Told
from kiosk.screens.prints import Prints
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.settingssteps import Step, StepsScreen
from kiosk.screens.sheetface import StockFace
from kiosk.screens.sheetwords import say_all, say_material, say_size, system_of
from kiosk.screens.stockadd import NO_NUMBER, StockAdd, Typed
from kiosk.screens.stockview import (
    NOBODY,
    StockSeen,
    as_typed,
    materials_in,
    offcut_row,
    say_left,
    size_row,
)
from labels.codes import shown

NOT_SEEN = _("The stock could not be shown. Try again.")
NOT_KEPT = _("Nothing was changed. Try again.")
REASONS = (_("used up"), _("spoiled"), _("too small to be of use"))  # why an offcut is gone
FAR_UP = "+10"
FAR = 10  # sheets at a tap, as they come on a pallet (choice)
Back = Callable[[], object]


class StockDesk:
    """The screens of the stock."""

    def __init__(
        self,
        shop: ShopFace,
        stock: StockFace,
        desk: DeskFace,
        *,
        press: LabelPress,
        prints: Prints,
    ) -> None:
        self._shop, self._stock, self._desk = shop, stock, desk
        self._press, self._prints = press, prints
        self._back: Back = desk.open_bench
        self.add = StockAdd(desk, use=self.keep_typed, back=self.again)

    # -- the list --------------------------------------------------------------------------------

    def open(self, back: Back) -> None:
        """Show the stock; back leads to where it was asked."""
        self._back = back
        self._look()

    def again(self, said: str = "") -> None:
        """Show the stock as it is now, and what was just done."""
        self._look(said)

    def _look(self, said: str = "") -> None:
        system = system_of(self._shop.settings.units)

        def call() -> StockSeen:
            view = self._stock.stock()
            return StockSeen(view, materials_in(self._shop, view), system)

        self._desk.ask_here(call, lambda seen: self.show(seen, said), lost=NOT_SEEN)

    def show(self, seen: StockSeen, said: str = "", page: int = 0) -> None:
        """Show a page of what there is to cut from: sheets first, then offcuts."""
        view, system = seen.view, seen.system
        rows: list[Row] = [
            size_row(one, system, partial(self.show_size, seen, one)) for one in view.sizes
        ]
        rows += [
            offcut_row(one, system, partial(self.show_offcut, seen, one)) for one in view.offcuts
        ]
        extra = (
            Choice(_("Add sheets"), partial(self.add.ask, seen.materials, system)),
            Choice(
                _("Add an offcut"),
                partial(self.add.ask, seen.materials, system, is_offcut=True),
            ),
        )
        listed = Listed(_("Stock: sheets and offcuts"), rows, said, empty=NOBODY)
        screen = ListScreen(
            self._desk.trim,
            listed,
            turn=partial(self.show, seen, said),
            back=self._back,
            page=page,
            extra=extra,
        )
        self._desk.put(screen)

    # -- sheets of one size ----------------------------------------------------------------------

    def show_size(self, seen: StockSeen, one: SizeView) -> None:
        """Show how many sheets there are of a size, to be changed by taps or typed."""
        system = seen.system
        now = one.left or 0
        screen: StepsScreen

        def step(by: int) -> None:
            nonlocal now
            now = min(max(now + by, 0), MOST_SHEETS)
            screen.tell([str(now)])
            screen.buttons[0].label.text = say("Keep {n}", n=now)

        steps = (
            Step(
                _("Sheets there are"),
                str(now),
                partial(step, -1),
                partial(step, 1),
                ((join((MINUS, str(FAR)), ""), partial(step, -FAR)), (FAR_UP, partial(step, FAR))),
            ),
        )
        choices = (
            Choice(say("Keep {n}", n=now), lambda: self._count(one, str(now)), "tick"),
            Choice(_("Type it"), lambda: self.ask_count(seen, one)),
            Choice(_("As many as it takes"), partial(self._count, one, "")),
            Choice(_("Back"), self.again),
        )
        material = say_material(one.size.material, system)
        size = say_size(one.size.length, one.size.width, system)
        title = keep_units(say("{material}: {size}", material=material, size=size))
        screen = StepsScreen(self._desk.trim, title, steps, choices, line=say_left(one))
        self._desk.put(screen)

    def ask_count(self, seen: StockSeen, one: SizeView, typed: str = "", wrong: str = "") -> None:
        """Ask for a count on the pad."""
        ask = Ask(_("How many sheets are there?"), "", typed, wrong)
        back = partial(self.show_size, seen, one)

        def use(text: str) -> None:
            again = partial(self.ask_count, seen, one, text)
            if text:
                self._count(one, text, again)
            else:  # nothing typed must not mean any number
                again(NO_NUMBER)

        self._desk.put(FigurePad(self._desk.trim, ask, use=use, back=back))

    def _count(
        self, one: SizeView, count: str, refused: Callable[[str], object] | None = None
    ) -> None:
        size, person = one.size, self._desk.post.person
        thickness = size.material.thickness

        def call() -> StockAnswer:
            return self._stock.count_sheets(
                size.material.name,
                as_typed(thickness) if thickness is not None else "",
                length=as_typed(size.length),
                width=as_typed(size.width),
                count=count,
                trim=as_typed(size.trim),
                person=person,
            )

        self._keep(call, refused)

    # -- an offcut -------------------------------------------------------------------------------

    def show_offcut(self, seen: StockSeen, one: OffcutView) -> None:
        """Show an offcut: its label again, and the way to throw it away."""
        offcut = one.offcut
        choices = (
            Choice(_("Its label"), partial(self.print, offcut.code)),
            Choice(_("It is gone"), partial(self.ask_gone, seen, one), "cross"),
            Choice(_("Back"), self.again, card=BACK),
        )
        size = say_size(offcut.length, offcut.width, seen.system)
        title = say("Offcut {code}: {size}", code=shown(offcut.code), size=size)
        row = offcut_row(one, seen.system, self.again)
        line = join((row.words, row.below), "; ")
        screen = AskScreen(self._desk.trim, keep_units(title), choices, line=line)
        self._desk.put(screen)

    def ask_gone(self, seen: StockSeen, one: OffcutView) -> None:
        """Ask why an offcut is gone."""
        code, person = one.offcut.code, self._desk.post.person

        def gone(reason: str) -> None:
            self._keep(lambda: self._stock.throw_offcut(code, reason, person=person), None)

        choices = [Choice(reason, partial(gone, reason)) for reason in REASONS]
        choices.append(Choice(_("Back"), partial(self.show_offcut, seen, one), card=BACK))
        title = say("Why is offcut {code} gone?", code=shown(code))
        line = ""
        if one.reserved:
            line = say("The plan of {job} cuts it: break it down anew then.", job=one.reserved)
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    # -- what is new -----------------------------------------------------------------------------

    def keep_typed(self, typed: Typed) -> None:
        """Keep sheets or an offcut as they were typed."""
        person = self._desk.post.person

        def call() -> StockAnswer:
            if typed.is_offcut:
                return self._stock.add_offcut(
                    typed.material,
                    typed.thickness,
                    length=typed.length,
                    width=typed.width,
                    person=person,
                )
            return self._stock.count_sheets(
                typed.material,
                typed.thickness,
                length=typed.length,
                width=typed.width,
                count=typed.count,
                person=person,
            )

        self._keep(call, None)

    def _keep(
        self, call: Callable[[], StockAnswer], refused: Callable[[str], object] | None
    ) -> None:
        def then(answer: StockAnswer) -> None:
            self._desk.told(good=not answer.problems)
            if answer.problems:
                words = say_problems(answer.problems)
                (refused or self.show_refused)(words)
                return
            said = say_all(answer.message, answer.detail)
            if answer.code:
                self.print(answer.code, said)
            else:
                self.again(said)

        self._desk.ask_here(call, then, lost=NOT_KEPT)

    def print(self, code: str, said: str = "") -> None:
        """Print the label of an offcut, and say what became of it on the list."""
        before = self._desk.show

        def then(told: Told) -> None:
            if self._desk.show is before:
                self.again(say_all(said, told.title, told.line))

        self._press.make_for(Wanted("", only=[code], stock=self._prints.chosen), then)

    def show_refused(self, words: str) -> None:
        """Say why nothing was changed."""
        choices = (Choice(_("Back"), self.again, card=BACK),)
        title = _("Nothing was changed")
        screen = AskScreen(self._desk.trim, title, choices, line=words, shape="question")
        self._desk.put(screen)
