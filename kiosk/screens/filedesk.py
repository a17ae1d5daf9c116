"""Choose a file: the sticks and folders of this person, and what is in them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from functools import partial
from pathlib import Path

from kiosk.folders import LISTS, Spot, look_into, own_folders, read_through, sticks
from kiosk.rules.hangday import say_day
from kiosk.rules.problems import Problem
from kiosk.rules.words import Phrase, _, join, say
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.rows import Listed, ListScreen, Row

SLOW = _("Still looking: a network folder may be slow, or not answer at all. Scans go on.")
NOT_SEEN = _("The folders could not be shown. Try again.")
Spots = tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Sought:
    """What kind of file is looked for: its endings, and what is said of it.

    title names a folder as {folder}.
    """

    endings: frozenset[str]
    where: Phrase
    title: Callable[[str], Phrase]
    empty: Phrase


PART_LISTS = Sought(
    frozenset(LISTS),
    _("Where is the part list?"),
    lambda folder: say("Lists in {folder}, newest first", folder=folder),
    _("No part list is in this folder. Lists are CSV, TSV, XLSX or ODS files."),
)
ROUTES = Sought(
    frozenset({".toml"}),
    _("Where is the routes file?"),
    lambda folder: say("Files in {folder}, newest first", folder=folder),
    _("No routes file is in this folder. It ends in .toml."),
)


class FileDesk:
    """The screens about folders and files; they only look."""

    def __init__(
        self,
        desk: DeskFace,
        *,
        pick: Callable[[Spot], object],
        zone: Callable[[], tzinfo],
        wanted: Sought = PART_LISTS,
    ) -> None:
        """Take `pick`, which is given the file that was chosen."""
        self._wanted = wanted
        self._desk, self._pick, self._zone = desk, pick, zone
        self._back: Callable[[], object] = desk.open_bench
        self._extra: tuple[Choice, ...] = ()
        self._places: Spots = ()

    def open(self, back: Callable[[], object], extra: tuple[Choice, ...] = ()) -> None:
        """Show sticks and folders to look in; extra stands at the foot."""
        self._back, self._extra = back, extra
        words = _("Looking for sticks and folders")
        self._ask(words, lambda: (*sticks(), *own_folders()), self.show_places, cancel=back)

    def show_places(self, spots: Spots, page: int = 0) -> None:
        """Show a page of sticks and folders; sticks come first."""
        self._places = spots
        rows = [
            Row(
                spot.name,
                join((_("stick") if spot.is_stick else _("folder"), str(spot.path)), ", "),
                partial(self.look, spot.path),
                "arrow",
            )
            for spot in spots
        ]
        line = _("A stick that was just put in shows when this screen is opened again.")
        listed = Listed(
            self._wanted.where,
            rows,
            line,
            _("No stick and no folder was found. Put a stick in and open this again."),
        )
        screen = ListScreen(
            self._desk.trim,
            listed,
            turn=partial(self.show_places, spots),
            back=self._back,
            page=page,
            extra=self._extra,
        )
        self._desk.put(screen)

    def look(self, folder: Path, above: Callable[[], object] | None = None) -> None:
        """Look into a folder; above leads back to the one it is in."""
        back = above or partial(self.open, self._back, self._extra)

        def then(found: tuple[Spots, Problem | None]) -> None:
            spots, problem = found
            if problem is None:
                self.show_folder(folder, spots, back)
                return
            choices = (Choice(_("Back"), back),)
            screen = AskScreen(self._desk.trim, problem.message, choices, line=problem.remedy)
            self._desk.put(screen)

        words = say("Looking into {folder}", folder=folder.name or str(folder))
        # a folder that hangs may make the list of all hang too, so the one shown before is kept
        cancel = above or partial(self.show_places, self._places)
        self._ask(words, lambda: look_into(folder, self._wanted.endings), then, cancel=cancel)

    def show_folder(
        self, folder: Path, spots: Sequence[Spot], back: Callable[[], object], page: int = 0
    ) -> None:
        """Show a page of a folder: lists newest first, then the folders in it."""
        here = partial(self.show_folder, folder, spots, back)
        rows = [
            Row(
                spot.name,
                _("folder") if spot.is_folder else self._say_file(spot),
                partial(self.look, spot.path, partial(here, page))
                if spot.is_folder
                else partial(self._pick, spot),
                "arrow" if spot.is_folder else "",
            )
            for spot in spots
        ]
        title = self._wanted.title(folder.name or str(folder))
        listed = Listed(title, rows, empty=self._wanted.empty)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=here, back=back, page=page))

    def _say_file(self, spot: Spot) -> Phrase:
        at = spot.changed.astimezone(self._zone())
        size = say("{n} kB", n=max(1, spot.size // 1000))
        return join((say_day(at.date()), f"{at:%H:%M}", size), ", ")

    def show_busy(self, words: Phrase, cancel: Callable[[], object] | None = None) -> None:
        """Say what is going on until it is done; cancel leads back from what may hang."""
        busy = BusyScreen(
            self._desk.trim, words, to_bench=self._desk.open_bench, cancel=cancel, slow=SLOW
        )
        self._desk.put(busy)

    def read(
        self,
        words: Phrase,
        file: Path,
        then: Callable[[], object],
        *,
        cancel: Callable[[], object],
    ) -> None:
        """Read a file through, so that the shop need not wait for where it lies, then go on."""
        self._ask(words, lambda: read_through(file), lambda _: then(), cancel=cancel)

    def _ask(
        self,
        words: Phrase,
        call: Callable[[], object],
        then: Callable[..., object],
        *,
        cancel: Callable[[], object],
    ) -> None:
        """Look on a thread of its own, and go on where nobody went elsewhere meanwhile."""
        self.show_busy(words, cancel)
        before = self._desk.show

        def still(found: object) -> None:
            if self._desk.show is before:
                then(found)

        self._desk.ask_aside(call, still, lost=NOT_SEEN)
