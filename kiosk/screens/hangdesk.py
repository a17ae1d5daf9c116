"""Lead through hanging: which job, the wall with the order of hanging, one unit, its word."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.hanging.hangviews import Checked, UnitHanging
from kiosk.rules.words import _, capital, say, say_n
from kiosk.screens.besidescreen import Beside, BesideActs, BesideScreen
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.hangface import HangFace
from kiosk.screens.hangnotes import notes_of
from kiosk.screens.hangpaperdesk import HangPaperDesk
from kiosk.screens.hangpicture import DrawnWall, draw_hanging
from kiosk.screens.hangsview import HangSeen, see_hanging
from kiosk.screens.hangunitdesk import HangUnitDesk, UnitWays
from kiosk.screens.hangwords import say_short
from kiosk.screens.jobpick import JobPick
from kiosk.screens.jobview import say_name
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("The wall could not be shown. Try again.")
Back = Callable[[], object]


@dataclass(frozen=True, slots=True)
class HangWays:
    """Where hanging leads to, each with the way back.

    walls shows the walls of a job, fit how a unit hangs.
    """

    walls: Callable[[str, Back], object]
    fit: Callable[[str, str, Back], object]


class HangDesk:
    """The screens of hanging; the wall stays on while one hangs."""

    def __init__(self, shop: ShopFace, walls: HangFace, desk: DeskFace, ways: HangWays) -> None:
        self._shop, self._walls, self._desk, self._ways = shop, walls, desk, ways
        self.papers = HangPaperDesk(shop, walls, desk)
        title = _("Hang which job?")
        self._pick = JobPick(shop, desk, title, pick=self.open_job, lost=NOT_SEEN)
        self._back: Back = desk.open_bench
        self._seen: HangSeen | None = None
        self._drawn: DrawnWall | None = None
        self._screen: object = None
        self._wall, self._page = "", 0
        self.unit = HangUnitDesk(shop, walls, desk, UnitWays(ways.fit, self.papers, self.again))

    # -- which job -------------------------------------------------------------------------------

    def open(self, back: Back) -> None:
        """Ask of which open job; where there is one only, show its wall."""
        self._pick.open(back)

    # -- the wall --------------------------------------------------------------------------------

    def open_job(self, job: str, back: Back) -> None:
        """Show the first wall of a job, and in which order its units go up."""
        self._back, self._wall, self._page = back, "", 0
        self._look(job)

    def _see(self, job: str) -> tuple[HangSeen, DrawnWall | None]:
        """Return the check of a job, and the picture of the wall shown; on the shop's thread."""
        seen = see_hanging(self._shop, self._walls, job)
        return seen, draw_hanging(seen, self._wall, self._desk.trim)

    def _look(self, job: str) -> None:
        def then(found: tuple[HangSeen, DrawnWall | None]) -> None:
            self.show(*found)

        self._desk.ask_here(lambda: self._see(job), then, lost=NOT_SEEN)

    def again(self) -> None:
        """Show the wall again as it is now."""
        if self._seen is not None:
            self._look(self._seen.job.code)

    def refresh(self) -> None:
        """Show the wall anew where it is on the screen and something of it has changed."""
        seen, screen = self._seen, self._screen
        if seen is None or self._desk.show is not screen:
            return

        def then(found: tuple[HangSeen, DrawnWall | None] | None) -> None:
            if found is not None and self._desk.show is screen:
                self.show(*found)

        def call() -> tuple[HangSeen, DrawnWall | None] | None:
            fresh = see_hanging(self._shop, self._walls, seen.job.code)
            return self._see(seen.job.code) if fresh != seen else None

        self._desk.ask(call, then, lost=NOT_SEEN)

    def show(self, seen: HangSeen, drawn: DrawnWall | None, page: int | None = None) -> None:
        """Show a wall to scale, with the order of hanging beside it."""
        self._seen, self._drawn = seen, drawn
        self._page = self._page if page is None else page
        view = seen.wall(self._wall)
        if view is None:
            self.show_unmeasured(seen)
            return
        self._wall = view.wall.wall
        steps = seen.steps(self._wall)
        rows = []
        for step, unit in steps:
            words = say("{n}.  {unit}", n=step.number, unit=say_name(unit.unit, unit.name))
            shape = "tick" if unit.unit in seen.hung else _mark(unit)
            act = partial(self.open_unit, unit.unit)
            rows.append(Row(words, capital(step.why), act, shape, say_short(unit, seen.system)))
        up = sum(unit.unit in seen.hung for _step, unit in steps)
        far = say_n("{up} of {n} is up", "{up} of {n} are up", len(steps), up=up)
        shown = Beside(
            say("Hang {job}: wall {wall}", job=seen.job.code, wall=self._wall),
            rows,
            drawn.image if drawn else None,
            far,
            _("The order of hanging. Tap a unit to see what it may carry, and why."),
        )
        acts = BesideActs(self._back, self.turn, self._tap, self._more(seen))
        self._screen = BesideScreen(self._desk.trim, shown, acts, page=self._page)
        self._desk.put(self._screen)

    def turn(self, page: int) -> None:
        """Show another page of the order."""
        if self._seen is not None:
            self.show(self._seen, self._drawn, page)

    def _more(self, seen: HangSeen) -> list[Choice]:
        job, names = seen.job.code, [one.wall.wall for one in seen.view.walls]
        choices = []
        if len(names) > 1:
            following = names[(names.index(self._wall) + 1) % len(names)]
            words = say("Wall {wall}", wall=following)
            choices.append(Choice(words, partial(self.open_wall, following), "arrow"))
        walls = partial(self._ways.walls, job, partial(self._look, job))
        choices.append(Choice(_("The wall itself"), walls))
        choices.append(Choice(_("To know"), self.show_notes))
        choices.append(Choice(_("Print"), partial(self.papers.ask, job, self._wall, self.again)))
        return choices

    def open_wall(self, wall: str) -> None:
        """Show another wall of the job."""
        self._wall, self._page = wall, 0
        self.again()

    def show_unmeasured(self, seen: HangSeen) -> None:
        """Say that nobody measured a wall of the job, so that nothing was checked."""
        job = seen.job.code
        walls = partial(self._ways.walls, job, partial(self._look, job))
        choices = (
            Choice(_("Measure a wall"), walls, "tick"),
            Choice(_("Back"), self._back, card=BACK),
        )
        title = say("No wall of {job} is measured", job=say_name(job, seen.job.name))
        line = _("So nothing was checked: no unit has a number, and cards say so.")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def show_notes(self, page: int = 0) -> None:
        """Show what installers must know of the wall: shims, notes, cautions."""
        seen = self._seen
        view = seen.wall(self._wall) if seen else None
        if seen is None or view is None:
            return
        rows = notes_of(view, seen.system)
        listed = Listed(say("Wall {wall}: to know", wall=self._wall), rows, columns=1)
        home = self.again
        screen = ListScreen(self._desk.trim, listed, turn=self.show_notes, back=home, page=page)
        self._desk.put(screen)

    def _tap(self, across: float, down: float) -> None:
        unit = self._drawn.unit_at(across, down) if self._drawn else None
        if unit:
            self.open_unit(unit)

    def open_unit(self, unit: str) -> None:
        """Show what a unit of the wall may carry."""
        if self._seen is not None:
            self.unit.open(self._seen.job.code, unit)


def _mark(unit: UnitHanging) -> str:
    """Return the mark of a unit that is not up yet: a stroke where there is no number for it."""
    if unit.checked in (Checked.REFUSED, Checked.ALLOWED) or unit.fits is False:
        return "late"
    return "bracket"
