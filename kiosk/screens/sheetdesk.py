"""Lead through one sheet at the saw: a tap or a scan marks a cut, and its labels are printed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kiosk.actions import Wanted
from kiosk.rules.lengths import System
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.views import CutDone, SheetsView, SheetView
from kiosk.rules.words import _, join, say
from kiosk.screens.face import DeskFace, ShopFace
from kiosk.screens.labelpress import LabelPress, Told
from kiosk.screens.partview import PartLine, see_grained, see_part
from kiosk.screens.prints import Prints
from kiosk.screens.rows import ListScreen
from kiosk.screens.sheetface import SheetFace
from kiosk.screens.sheetparts import PartActs, ask_part, list_parts
from kiosk.screens.sheetpicture import Drawn, draw_sheet
from kiosk.screens.sheetscreen import SheetActs, SheetScreen, SheetShown
from kiosk.screens.sheetwords import say_all, say_cut, say_far, say_names, say_sheet

NOT_SEEN = _("The sheet could not be shown. Try again.")


@dataclass(frozen=True, slots=True)
class SheetWays:
    """Where a sheet leads to: a part's label again, with the way back, and the sheets of a job.

    back is given the job, and what is to be said on its list, '' for nothing.
    """

    label: Callable[[PartLine, Callable[[], object]], object]
    back: Callable[[str, str], object]


@dataclass(frozen=True, slots=True)
class Seen:
    """A sheet as it was seen, with the plan it is of and its picture."""

    view: SheetsView
    one: SheetView
    drawn: Drawn


class SheetDesk:
    """The screens of one sheet; the picture stays while one cuts."""

    def __init__(
        self,
        shop: ShopFace,
        sheets: SheetFace,
        desk: DeskFace,
        press: LabelPress,
        prints: Prints,
        ways: SheetWays,
    ) -> None:
        self._shop, self._sheets, self._desk = shop, sheets, desk
        self._press, self._prints, self._ways = press, prints, ways
        self._job, self._system = "", System.MM
        self._seen: Seen | None = None
        self._screen: SheetScreen | None = None
        self._said = ""
        self._is_asked = False  # a cut that is not answered yet
        # the sheet whose grain was looked up, and its parts whose grain matters
        self._grain: tuple[str, frozenset[str]] = ("", frozenset())
        self._spoiling = ""  # the part that is asked about as spoiled, from here

    @property
    def is_open(self) -> bool:
        """Tell whether a sheet is on the screen."""
        return self._screen is not None and self._desk.show is self._screen

    # -- seeing ----------------------------------------------------------------------------------

    def open(self, job: str, key: str, system: System, said: str = "") -> None:
        """Show a sheet of a job's plan."""
        self._job, self._system = job, system
        self._desk.ask_here(
            lambda: self._see(key), partial(self._show_or_leave, said), lost=NOT_SEEN
        )

    def _see(self, key: str) -> Seen | None:
        """Return a sheet as it is now, None where it is no more; on the shop's thread."""
        view = self._sheets.sheets(self._job)
        one = view.sheet(key) if view is not None else None
        if view is None or one is None:
            return None
        if self._grain[0] != key:  # looked up once: it changes with a revised list only
            self._grain = key, see_grained(self._shop, codes_on(one.planned))
        trim, system = self._desk.trim, self._system
        drawn = draw_sheet(one, view.names, trim, system=system, grained=self._grain[1])
        return Seen(view, one, drawn)

    def _show_or_leave(self, said: str, seen: Seen | None) -> None:
        if seen is None:
            self._ways.back(self._job, said)
        else:
            self.show(seen, said)

    def show(self, seen: Seen, said: str = "", *, is_loud: bool = False) -> None:
        """Show a sheet, and what was just done."""
        self._seen, self._said, self._spoiling = seen, said, ""
        self._is_asked = False  # what broke was said in place of the sheet
        one, lines = seen.one, seen.one.lines
        now = next((line for line in lines if line.number == one.next), None)
        named = partial(say_names, seen.view.names, one.planned)
        trim = one.planned.sheet.stock.trim
        cut = say_cut(lines, now, self._system, name=named, trim=trim) if now else None
        far = say_far((len(one.done), len(lines)), (len(one.cut), one.parts))
        title = say_sheet(one.planned, self._system)
        shown = SheetShown(title, far, cut, seen.drawn.image, said, is_loud=is_loud)
        self._screen = SheetScreen(self._desk.trim, shown, self._acts(seen))
        self._desk.put(self._screen)

    def _acts(self, seen: Seen) -> SheetActs:
        keys = [one.key for one in seen.view.sheets]
        at = keys.index(seen.one.key)
        return SheetActs(
            made=self.cut,
            strike=self._desk.strike,
            tap=self._tap,
            parts=self.show_parts,
            back=lambda: self._ways.back(self._job, ""),
            before=partial(self._go_to, keys[at - 1]) if at else None,
            after=partial(self._go_to, keys[at + 1]) if at + 1 < len(keys) else None,
        )

    def _go_to(self, key: str) -> None:
        self.open(self._job, key, self._system)

    def again(self) -> None:
        """Show the sheet again as it is now, with what was said last."""
        if self._seen is not None:
            self.open(self._job, self._seen.one.key, self._system, self._said)

    def refresh(self) -> None:
        """Show the sheet anew where it is on the screen and was cut at another kiosk."""
        seen, screen = self._seen, self._screen
        if seen is None or not self.is_open or self._is_asked:
            return

        def then(fresh: SheetsView | None) -> None:
            if self._desk.show is screen and fresh != seen.view:
                self._look(self._said)

        self._desk.ask(lambda: self._sheets.sheets(self._job), then, lost=NOT_SEEN)

    def _look(self, said: str) -> None:
        """Show the sheet that is open as it is now."""
        assert self._seen is not None, "a sheet is open"
        key, screen = self._seen.one.key, self._screen

        def then(seen: Seen | None) -> None:
            if self._desk.show is screen:
                self._show_or_leave(said, seen)

        self._desk.ask(lambda: self._see(key), then, lost=NOT_SEEN)

    # -- cutting ---------------------------------------------------------------------------------

    def cut(self) -> None:
        """Record that the next cut is made, print the labels due, and show the one after it."""
        seen, screen = self._seen, self._screen
        if seen is None or seen.one.next is None or self._is_asked:
            return
        self._is_asked = True
        job, key, number = self._job, seen.one.key, seen.one.next
        person = self._desk.post.person

        def call() -> tuple[CutDone, Seen | None]:
            return self._sheets.make_cut(job, key, number, person=person), self._see(key)

        def then(found: tuple[CutDone, Seen | None]) -> None:
            self._is_asked = False
            made, fresh = found
            self._desk.told(good=made.is_recorded)
            self._recorded(made, fresh, screen)

        lost = say("Cut {n} was not recorded. Tap it again.", n=number)
        self._desk.ask(call, then, lost=lost)

    def _recorded(self, made: CutDone, fresh: Seen | None, screen: object) -> None:
        said = say_all(made.message, made.detail)
        if self._desk.show is screen:
            if fresh is None:  # the job was broken down anew at another kiosk
                self._ways.back(self._job, said)
            else:
                self.show(fresh, said, is_loud=not made.is_recorded)
        if made.labels:
            wanted = Wanted(self._job, only=list(made.labels), stock=self._prints.chosen)
            self._press.make_for(wanted, partial(self._printed, said))

    def _printed(self, said: str, told: Told) -> None:
        words = say_all(said, told.title)
        if not told.good:
            words = say_all(words, told.line)
        if told.file is not None:
            words = join((words, str(told.file)), ": ")
        if self.is_open and self._screen is not None:
            self._said = words
            self._screen.tell(words)

    def take(self, answer: Answer) -> bool:
        """Say on the sheet what was scanned or struck; a refusal asks more than it has room for."""
        seen = self._seen
        if answer.outcome != Outcome.RECORDED or seen is None:
            return False
        about = join((answer.unit, answer.unit_name, answer.part))
        said = join((join((answer.message, about), ": "), answer.detail), ". ")
        if self.is_open:
            self._look(said)
            return True
        if not self._spoiling or self._desk.asked_about() != self._spoiling:
            return False
        # a part of this sheet was spoiled: on with what is left of it
        self.open(self._job, seen.one.key, self._system, said)
        return True

    # -- its parts -------------------------------------------------------------------------------

    def _tap(self, across: float, down: float) -> None:
        code = self._seen.drawn.part_at(across, down) if self._seen else None
        if code:
            self.open_part(code, self.again)

    def show_parts(self, page: int = 0) -> None:
        """Show the parts of the sheet as rows: some are too small in the picture to be tapped."""
        if self._seen is None:
            return
        listed = list_parts(self._seen.one, self._seen.view.names, self.open_part)
        back, turn = self.again, self.show_parts
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))

    def open_part(self, code: str, back: Callable[[], object] | None = None) -> None:
        """Show what is known of a part, its label, and the way to say that it is spoiled."""
        home = back or self.show_parts

        def then(line: PartLine | None) -> None:
            if line is not None:
                self.show_part(line, home)

        self._desk.ask_here(lambda: see_part(self._shop, code), then, lost=NOT_SEEN)

    def show_part(self, line: PartLine, back: Callable[[], object]) -> None:
        """Show the panel of a part."""
        acts = PartActs(
            label=lambda: self._ways.label(line, partial(self.show_part, line, back)),
            spoiled=partial(self._ask_spoiled, line.code),
            back=back,
        )
        self._desk.put(ask_part(self._desk.trim, line, acts))

    def _ask_spoiled(self, code: str) -> None:
        self._spoiling = code
        self._desk.ask_spoiled(code)
