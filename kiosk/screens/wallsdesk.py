"""Lead through the walls of a job: the list, one that is measured, its table in and out."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from kiosk.actions.labelfiles import safe_name
from kiosk.folders import LISTS, Spot, own_folders, sticks
from kiosk.rules.cards import BACK
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.filedesk import FileDesk, Sought
from kiosk.screens.flow import AskScreen
from kiosk.screens.hangface import HangFace, write_rows
from kiosk.screens.hangsview import WallsSeen, see_walls
from kiosk.screens.hangwords import say_size
from kiosk.screens.jobview import say_name
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.walldesk import Draft, WallDesk, WallWays, empty_wall
from kiosk.tables import read_table

NOT_SEEN = _("The walls could not be shown. Try again.")
NOT_READ = _("The table could not be read. Nothing was changed. Try again.")
NOT_WRITTEN = _("The table was not written. Try again.")
TABLES = Sought(
    frozenset(LISTS),
    _("Where is the wall's table?"),
    lambda folder: say("Tables in {folder}, newest first", folder=folder),
    _("No table is in this folder. Tables are CSV, TSV, XLSX or ODS files."),
)
Back = Callable[[], object]
Read = tuple[MeasuredWall | None, Problems]


class WallsDesk:
    """The screens of the walls of a job."""

    def __init__(self, shop: ShopFace, walls: HangFace, desk: DeskFace) -> None:
        self._shop, self._walls, self._desk = shop, walls, desk
        self._back: Back = desk.open_bench
        self._job = ""
        self._asked: Draft | None = None  # the wall whose table is looked for
        self.one = WallDesk(walls, desk, WallWays(self.read, self.write, self.kept, self.again))
        zone = lambda: shop.zone  # noqa: E731 - read when it is needed
        self.files = FileDesk(desk, pick=self.pick, zone=zone, wanted=TABLES)

    # -- the list --------------------------------------------------------------------------------

    def open(self, job: str, back: Back) -> None:
        """Show the walls of a job; back leads to where it was asked."""
        self._job, self._back = job, back
        self._look()

    def again(self) -> None:
        """Show the walls as they are now."""
        self._look()

    def _look(self, said: str = "") -> None:
        call = partial(see_walls, self._shop, self._walls, self._job)
        self._desk.ask_here(call, lambda seen: self.show(seen, said), lost=NOT_SEEN)

    def show(self, seen: WallsSeen, said: str = "", page: int = 0) -> None:
        """Show a page of walls, those nobody measured too."""
        rows = []
        for name, called in seen.names:
            wall, below, shape = seen.wall(name), _("nobody measured it yet"), "question"
            if wall is not None:
                size = say_size(wall.width, wall.height, seen.system)
                studs = say_n("{n} stud", "{n} studs", len(wall.studs))
                below, shape = join((size, studs), ", "), "tick"
            if self._is_begun(seen.job, name):
                below, shape = join((below, _("begun anew, not kept")), "; "), "dot"
            act = partial(self.open_wall, seen, name)
            rows.append(Row(say_name(name, called), below, act, shape))
        line = said or _("Measure a wall before units go up on it: what they may carry follows.")
        empty = _("This job's list has no wall. Give it a unit of the kind wall: revise the list.")
        listed = Listed(say("Walls of {job}", job=seen.job), rows, line if rows else "", empty)
        turn = partial(self.show, seen, said)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=self._back, page=page))

    def _is_begun(self, job: str, name: str) -> bool:
        draft = self.one.draft
        return draft is not None and draft.is_begun and (draft.job, draft.wall.wall) == (job, name)

    def open_wall(self, seen: WallsSeen, name: str) -> None:
        """Show one wall as it was measured, what was begun of it, or an empty form."""
        if self._is_begun(seen.job, name) and self.one.draft is not None:
            self.one.show(self.one.draft)
            return
        wall = seen.wall(name)
        self.one.show(Draft(seen.job, wall or empty_wall(name), seen.system, is_new=wall is None))

    def kept(self, draft: Draft) -> None:
        """Show the list again, and that a wall was kept."""
        self.one.draft = None
        self._look(say_kept(draft.wall.wall))

    # -- from a file -----------------------------------------------------------------------------

    def read(self, draft: Draft) -> None:
        """Ask for the table of a wall."""
        self._asked = draft
        self.files.open(partial(self.one.show, draft))

    def pick(self, spot: Spot) -> None:
        """Read the table of the wall that is open, and show what was understood."""
        draft = self._asked
        if draft is None:
            self.again()
            return
        words = say("Reading {file}", file=spot.name)
        again = partial(self.read, draft)
        self.files.read(words, spot.path, partial(self._understand, draft, spot), cancel=again)

    def _understand(self, draft: Draft, spot: Spot) -> None:
        def call() -> Read:
            rows, problems = read_table(spot.path)
            if problems:
                return None, tuple(problems)
            return self._walls.import_wall(draft.job, draft.wall.wall, rows)

        def then(found: Read) -> None:
            wall, problems = found
            if wall is None:
                self.show_wrong(draft, spot.name, problems)
            else:
                self.one.show(Draft(draft.job, wall, draft.system, is_new=True, file=spot.name))

        self._desk.ask_here(call, then, lost=NOT_READ)

    def show_wrong(self, draft: Draft, file: str, problems: Problems, page: int = 0) -> None:
        """Show all that is wrong with a table, row by row; nothing of it was taken in."""
        rows = []
        for one in problems:
            where = say("row {row}, {column}", row=one.row, column=one.column) if one.row else ""
            value = one.value or ""
            rows.append(Row(one.message, join((where, one.remedy), ". "), None, "question", value))
        count = say_n("{n} problem", "{n} problems", len(rows))
        title = say("{file}: {said}", file=file, said=count)
        listed = Listed(title, rows, _("Nothing was taken in. Mend the file, and read it again."),
                        columns=1)  # fmt: skip
        extra = (Choice(_("Another file"), partial(self.read, draft)),)
        turn = partial(self.show_wrong, draft, file, problems)
        back = partial(self.one.show, draft)
        screen = ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page, extra=extra)
        self._desk.put(screen)

    # -- to a file -------------------------------------------------------------------------------

    def write(self, draft: Draft) -> None:
        """Ask where the table of a wall is to be written: as it is kept, else to be filled in."""
        self.files.show_busy(_("Looking for sticks and folders"), partial(self.one.show, draft))
        before = self._desk.show

        def then(spots: tuple[Spot, ...]) -> None:
            if self._desk.show is before:
                self.show_places(draft, spots)

        self._desk.ask_aside(lambda: (*sticks(), *own_folders()), then, lost=NOT_SEEN)

    def show_places(self, draft: Draft, spots: tuple[Spot, ...], page: int = 0) -> None:
        """Show where a table may be written to."""
        rows = [
            Row(
                spot.name,
                join((_("stick") if spot.is_stick else _("folder"), str(spot.path)), ", "),
                partial(self._write_to, draft, spot.path),
                "arrow",
            )
            for spot in spots
        ]
        line = _("Fill it in at a desk, then read it here with From a file.")
        listed = Listed(
            _("Write the wall's table where?"),
            rows,
            line,
            _("No stick and no folder was found. Put a stick in."),
        )
        turn, back = partial(self.show_places, draft, spots), partial(self.one.show, draft)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))

    def _write_to(self, draft: Draft, folder: Path) -> None:
        file = folder / f"{safe_name(draft.job)}-{safe_name(draft.wall.wall)}-wall.csv"

        def rows() -> tuple[tuple[str, ...], ...]:
            return self._walls.wall_template(draft.job, draft.wall.wall)

        def write(found: tuple[tuple[str, ...], ...]) -> None:
            self.files.show_busy(say("Writing {file}", file=file.name))
            before = self._desk.show

            def then(why: str) -> None:
                if self._desk.show is before:
                    self.show_written(draft, file, why)

            self._desk.ask_aside(lambda: write_rows(found, file), then, lost=NOT_WRITTEN)

        self._desk.ask_here(rows, write, lost=NOT_WRITTEN)

    def show_written(self, draft: Draft, file: Path, why: str = "") -> None:
        """Say where the table is, or why it is not."""
        choices = [Choice(_("Back"), partial(self.one.show, draft), card=BACK)]
        if why:
            choices.insert(0, Choice(_("Another place"), partial(self.write, draft)))
            title = say("{file} was not written", file=file.name)
            self._desk.put(AskScreen(self._desk.trim, title, choices, line=why, shape="question"))
            return
        title = say("Written: {file}", file=file.name)
        screen = AskScreen(self._desk.trim, title, choices, line=str(file.parent), shape="tick")
        self._desk.put(screen)


def say_kept(wall: str) -> Phrase:
    """Return that a wall was kept, and what follows."""
    return say("Wall {wall} is kept. Its units are checked with it.", wall=wall)
