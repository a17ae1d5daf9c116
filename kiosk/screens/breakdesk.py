"""Lead through breaking a job down: what there is, the search, the choice, and keeping it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from kivy.clock import Clock
from PIL import Image

from kiosk.rules.cards import BACK, YES
from kiosk.rules.lengths import System
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.views import Choice as Way
from kiosk.rules.sheets.views import SearchView, SheetsView
from kiosk.rules.words import _, join, say
from kiosk.screens.breakscreen import BreakScreen
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.sheetface import SheetFace
from kiosk.screens.sheetpicture import draw_way
from kiosk.screens.sheetwords import say_material
from kiosk.screens.tradescreen import TradeActs, TradeScreen, TradeShown, say_way

NOT_BEGUN = _("The search did not begin. Try again.")
NOT_SEEN = _("The search could not be shown. Try again.")
NOT_KEPT = _("Nothing was kept. Try again.")
NOT_ENDED = _("The search did not end. Try again.")
LOOK_S = 1.0  # how often the search is asked how far it is: the seconds go on (choice)
Ways = Sequence[tuple[Way, Image.Image]]  # of one material
Kept = Callable[[SheetsView, System, str], object]  # what was kept, and a word about it


class BreakDesk:
    """The screens of one search; it goes on when they are left, and is found again."""

    def __init__(self, shop: SheetFace, desk: DeskFace, *, kept: Kept) -> None:
        """Take `kept`, which goes on with a plan that was kept."""
        self._shop, self._desk, self._kept = shop, desk, kept
        self._job, self._system = "", System.MM
        self._back: Callable[[], object] = desk.open_bench
        self._screen: BreakScreen | None = None
        self._is_open = False  # what a search finds is neither kept nor given up yet

    def waits_for(self, view: SearchView, job: str) -> bool:
        """Tell whether a search for a job goes on, or ended while the screen was left by a scan."""
        return view.job == job and (view.is_running or (self._is_open and view.has_choices))

    # -- the search ------------------------------------------------------------------------------

    def begin(self, job: str, system: System, back: Callable[[], object]) -> None:
        """Begin to look for layouts, and show how far it is."""
        self._job, self._system, self._back = job, system, back

        def call() -> tuple[tuple[Problem, ...], SearchView]:
            problems = self._shop.begin_sheets(job, self._heard)
            return problems, self._shop.sheet_search()

        def then(found: tuple[tuple[Problem, ...], SearchView]) -> None:
            problems, view = found
            if view.is_running and view.job == job:
                self.show(view)
            elif problems:  # what is still to be seen is of a search before this one
                self.show_nothing(problems)
            else:
                self._choose()

        self._desk.ask_here(call, then, lost=NOT_BEGUN)

    def go_on(self, view: SearchView, system: System, back: Callable[[], object]) -> None:
        """Show a search that was begun before; where it has ended, what there is to keep."""
        self._job, self._system, self._back = view.job, system, back
        if view.is_running:
            self.show(view)
        else:
            self._choose()

    def show(self, view: SearchView) -> None:
        """Show a search that goes on."""
        self._is_open = True
        self._screen = screen = BreakScreen(
            self._desk.trim, view, system=self._system, stop=self.stop, cancel=self.cancel
        )
        event = Clock.schedule_interval(lambda _dt: self.refresh(), LOOK_S)

        def left(_screen: object, parent: object) -> None:
            if parent is None:
                event.cancel()

        self._desk.put(screen)
        screen.bind(parent=left)

    def _heard(self) -> None:
        # told on another thread; the screen is looked after on its own
        Clock.schedule_once(lambda _dt: self.refresh())

    def refresh(self) -> None:
        """Show how far the search is, where it is on the screen; go on once it has ended."""
        screen = self._screen
        if screen is None or self._desk.show is not screen:
            return

        def then(view: SearchView) -> None:
            if self._desk.show is not screen:
                return
            if view.is_running:
                screen.show(view)
            else:
                self._screen = None
                self._choose()

        self._desk.ask(lambda: self._shop.sheet_search(), then, lost=NOT_SEEN)

    def stop(self) -> None:
        """End the search, and go on with the best so far."""
        self._screen = None
        self._end(self._choose)

    def cancel(self) -> None:
        """End the search and keep nothing."""
        self._screen = None
        self._end(self._give_up)

    def _give_up(self) -> None:
        self._is_open = False
        self._back()

    def _end(self, then: Callable[[], object]) -> None:
        def ended(_none: object) -> None:
            then()

        self._desk.ask_here(lambda: self._shop.end_sheets(), ended, lost=NOT_ENDED)

    def show_nothing(self, problems: Sequence[Problem]) -> None:
        """Say why there is no layout."""
        self._is_open = False
        choices = (
            Choice(_("Try again"), partial(self.begin, self._job, self._system, self._back)),
            Choice(_("Back"), self._back, card=BACK),
        )
        title = say("No layout for {job}", job=self._job)
        line = say_problems(tuple(problems)) or _("Nothing was found yet. Give it more time.")
        screen = AskScreen(self._desk.trim, title, choices, line=line, shape="question")
        self._desk.put(screen)

    # -- the choice ------------------------------------------------------------------------------

    def _choose(self) -> None:
        trim, system = self._desk.trim, self._system
        self._is_open = True

        def call() -> tuple[SearchView, list[tuple[Way, Image.Image]]]:
            ways = self._shop.sheet_choices()
            of = [one.material for one in ways]
            drawn = [
                (one, draw_way(one, trim, count=of.count(one.material), system=system))
                for one in ways
            ]
            return self._shop.sheet_search(), drawn

        def then(found: tuple[SearchView, list[tuple[Way, Image.Image]]]) -> None:
            view, drawn = found
            if not drawn:
                self.show_nothing(view.problems)
                return
            by: dict[Material, list[tuple[Way, Image.Image]]] = {}
            for way, image in drawn:
                by.setdefault(way.material, []).append((way, image))
            self.choose(view, by)

        self._desk.ask_here(call, then, lost=NOT_SEEN)

    def choose(
        self,
        view: SearchView,
        ways: Mapping[Material, Ways],
        chosen: Mapping[Material, int] | None = None,
    ) -> None:
        """Ask for the next material that has several ways; keep all once none is left."""
        made = dict(chosen or {})
        for material, those in ways.items():
            if material not in made:
                if len(those) > 1:
                    self.show_trade(view, ways, made, material)
                    return
                made[material] = those[0][0].number
        self.keep(view, ways, made)

    def show_trade(
        self,
        view: SearchView,
        ways: Mapping[Material, Ways],
        made: Mapping[Material, int],
        material: Material,
        *,
        pick: int | None = None,
        page: int = 0,
    ) -> None:
        """Show the ways to break one material down, one of them chosen."""
        those = ways[material]
        number = those[0][0].number if pick is None else pick
        again = partial(self.show_trade, view, ways, made, material)
        acts = TradeActs(
            pick=lambda other: again(pick=other, page=page),
            keep=lambda: self.choose(view, ways, {**made, material: number}),
            turn=lambda other: again(pick=number, page=other),
            back=self._give_up,
        )
        title = say("{material}: which way?", material=say_material(material, self._system))
        shown = TradeShown(title, those, number, self._system)
        self._desk.put(TradeScreen(self._desk.trim, shown, acts, page=page))

    def keep(
        self, view: SearchView, ways: Mapping[Material, Ways], chosen: Mapping[Material, int]
    ) -> None:
        """Keep what was chosen as the plan of the job."""
        job, person = self._job, self._desk.post.person
        said = join(
            (
                say("Kept: {ways}", ways=self._say_kept(ways, chosen)),
                say_problems(view.problems),
            ),
            ". ",
        )

        def call() -> SheetsView | str:
            try:
                return self._shop.keep_sheets(job, chosen, person=person)
            except LookupError as error:  # parts were cut since, or offcuts taken
                return error.args[0] if error.args else NOT_KEPT

        def then(kept: SheetsView | str) -> None:
            self._desk.told(good=not isinstance(kept, str))
            if isinstance(kept, str):
                self.show_nothing((Problem(kept, ""),))
            else:
                self._is_open = False
                self._kept(kept, self._system, said)

        self._desk.ask_here(call, then, lost=NOT_KEPT)

    def _say_kept(self, ways: Mapping[Material, Ways], chosen: Mapping[Material, int]) -> str:
        found = [
            say(
                "{material}: {way}",
                material=say_material(material, self._system),
                way=say_way(way),
            )
            for material, those in ways.items()
            for way, _image in those
            if chosen[material] == way.number
        ]
        return join(found, "; ")

    def ask(
        self, title: str, line: str, *, go: Callable[[], object], back: Callable[[], object]
    ) -> None:
        """Ask whether to break a job down now."""
        choices = (
            Choice(_("Break down"), go, "tick", YES),
            Choice(_("Back"), back, card=BACK),
        )
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))
