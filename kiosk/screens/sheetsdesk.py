"""Lead through the sheets of a job: break it down, see its sheets, cut one, print the maps."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kiosk.actions import DaySheets
from kiosk.actions.labelfiles import safe_name
from kiosk.rules.cards import BACK
from kiosk.rules.lengths import System
from kiosk.rules.sheets.views import SheetsView, SheetView
from kiosk.rules.words import _, join, say
from kiosk.screens.answer import keep_units
from kiosk.screens.breakdesk import BreakDesk
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.jobpick import JobPick
from kiosk.screens.labelpress import LabelPress
from kiosk.screens.paperdesk import PaperDesk
from kiosk.screens.partview import PartLine
from kiosk.screens.prints import Prints
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.sheetdesk import SheetDesk, SheetWays
from kiosk.screens.sheetface import SheetFace
from kiosk.screens.sheetlist import ListActs, SheetsScreen
from kiosk.screens.sheetsview import SeenJob, say_need, see_job
from labels.codes import shown

NOT_SEEN = _("The sheets could not be shown. Try again.")
NOT_PRINTED = _("The maps were not printed. Try again.")
Back = Callable[[], object]


@dataclass(frozen=True, slots=True)
class SheetsWays:
    """Where the screens of sheets lead to, each with the way back.

    label prints a part's label again, stock shows what there is to cut from, buying shows what is
    to be bought for a job.
    """

    label: Callable[[PartLine, Back], object]
    stock: Callable[[Back], object]
    buying: Callable[[str, Back], object]


class SheetsDesk:
    """The screens of the sheets of jobs."""

    def __init__(
        self,
        shop: ShopFace,
        sheets: SheetFace,
        desk: DeskFace,
        *,
        press: LabelPress,
        prints: Prints,
        ways: SheetsWays,
    ) -> None:
        self._shop, self._sheets, self._desk, self._ways = shop, sheets, desk, ways
        self.breaking = BreakDesk(sheets, desk, kept=self._kept)
        of_one = SheetWays(ways.label, self.again)
        self.one = SheetDesk(shop, sheets, desk, press, prints, of_one)
        self._paper = PaperDesk(desk, lost=NOT_PRINTED)
        title = _("Sheets of which job?")
        self._pick = JobPick(shop, desk, title, pick=self.open_job, lost=NOT_SEEN)
        self._back: Back = desk.open_bench
        self._page = 0

    # -- which job -------------------------------------------------------------------------------

    def open(self, back: Back) -> None:
        """Ask of which open job; where there is one only, show its sheets."""
        self._pick.open(back)

    def open_job(self, job: str, back: Back) -> None:
        """Show the sheets of a job; where it has none, what there is to be broken down."""
        self._back, self._page = back, 0
        self._look(job)

    def again(self, job: str, said: str = "") -> None:
        """Show the sheets of a job as they are now, on the page that was left."""
        self._look(job, said)

    def _look(self, job: str, said: str = "") -> None:
        def then(seen: SeenJob) -> None:
            if self.breaking.waits_for(seen.search, job):
                self.breaking.go_on(seen.search, seen.system, partial(self._look, job))
            elif seen.view is None:
                self.show_need(seen)
            else:
                self.show(seen.view, seen.system, said)

        self._desk.ask_here(lambda: see_job(self._shop, self._sheets, job), then, lost=NOT_SEEN)

    def refresh(self) -> None:
        """Show anew what is on the screen and has changed."""
        self.one.refresh()

    # -- without a plan --------------------------------------------------------------------------

    def show_need(self, seen: SeenJob) -> None:
        """Say what there is to be cut, and ask whether to break it down."""
        job = seen.job.code
        if not seen.need:
            title = say("Nothing of {job} is left to cut", job=job)
            choices = [Choice(_("Stock"), partial(self._ways.stock, partial(self._look, job)))]
            choices.append(Choice(_("Back"), self._back, card=BACK))
            self._desk.put(AskScreen(self._desk.trim, title, choices))
            return
        go = partial(self.breaking.begin, job, seen.system, partial(self._look, job))
        title = say("Break down {job}?", job=join((job, seen.job.name)))
        choices = [
            Choice(_("Break down"), go, "tick"),
            Choice(_("Stock"), partial(self._ways.stock, partial(self._look, job))),
        ]
        choices.append(Choice(_("What to buy"), self._to_buying(job)))
        choices.append(Choice(_("Back"), self._back, card=BACK))
        line = keep_units(say_need(seen.need))
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def _to_buying(self, job: str) -> Back:
        return partial(self._ways.buying, job, partial(self._look, job))

    # -- with a plan -----------------------------------------------------------------------------

    def _kept(self, view: SheetsView, system: System, said: str) -> None:
        self.show(view, system, said, 0)

    def show(
        self, view: SheetsView, system: System, said: str = "", page: int | None = None
    ) -> None:
        """Show the sheets of a job."""
        self._page = self._page if page is None else page
        job = view.plan.job

        def open_sheet(one: SheetView) -> None:
            self.one.open(job, one.key, system)

        acts = ListActs(
            open=open_sheet,
            lost=partial(self.show_lost, view, system),
            turn=lambda page: self.show(view, system, said, page),
            back=self._back,
            more=self._more(view, system),
        )
        screen = SheetsScreen(
            self._desk.trim, view, acts, system=system, said=said, page=self._page
        )
        self._desk.put(screen)

    def _more(self, view: SheetsView, system: System) -> list[Choice]:
        job = view.plan.job
        choices = [Choice(_("Break down anew"), partial(self.ask_anew, job, system))]
        if view.sheets:
            choices.append(Choice(_("Print maps"), partial(self.print_maps, job)))
        choices.append(Choice(_("Stock"), partial(self._ways.stock, partial(self._look, job))))
        choices.append(Choice(_("What to buy"), self._to_buying(job)))
        return choices

    def print_maps(self, job: str) -> None:
        """Print the sheets of a job with their cuts in order."""

        def write() -> DaySheets:
            view = self._sheets.sheets(job)
            assert view is not None, "a plan was on the screen"
            out = self._shop.store.folder / f"{safe_name(job)}-sheets.pdf"
            (file,) = self._sheets.write_maps(view, out)
            return DaySheets(file, self._sheets.paper_printer())

        self._paper.print(write, partial(self._look, job))

    def ask_anew(self, job: str, system: System) -> None:
        """Ask whether to break the rest of a job down anew."""
        back = partial(self._look, job)
        self.breaking.ask(
            say("Break {job} down anew?", job=job),
            _("Sheets that are begun stay as they are. All others are laid out again."),
            go=partial(self.breaking.begin, job, system, back),
            back=back,
        )

    def show_lost(self, view: SheetsView, system: System, page: int = 0) -> None:
        """Show the parts that have no place, and the sheets that failed a check."""
        rows = [Row(fault, "", None, "late") for fault in view.faults]
        for code in view.unplanned:
            name = view.names.get(code)
            words = join((name.unit, name.part), "  ") if name else shown(code)
            size = join((name.size if name else "", shown(code)), ", ")
            rows.append(Row(words, keep_units(size), None, "late"))
        title = _("Without a place: count or buy sheets, then break down anew")
        turn = partial(self.show_lost, view, system)
        back = partial(self.show, view, system)
        listed = Listed(title, rows)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))
