"""Lead through copies of the shop's file: make one now, see which there are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, tzinfo
from functools import partial
from pathlib import Path

from kiosk.actions.copies import Copies, Copy
from kiosk.actions.copying import Copying
from kiosk.actions.copywords import Proved, Told
from kiosk.rules.times import say_time
from kiosk.rules.words import Phrase, _, join, say
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.filedesk import SLOW
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.settingsask import IN_TWO_COLUMNS
from kiosk.screens.wordpad import AskWords, WordPad

NOT_SEEN = _("The copies could not be shown. Try again.")
RESTORE = _("To bring one back, end every kiosk, then: cleatclock restore COPY")
NOT_COPIED = _("No copy was made. Try again.")
NOT_PROVED = _("The copy was not proved. Try again.")
COPYING = _("The copy is checked as it is made. Scans are recorded meanwhile.")
PROVING = _("All of the copy is read and compared. Scans are recorded meanwhile.")
_STICKS = 4  # folders that fit beside the other buttons
_MIB = 2**20


@dataclass(frozen=True, slots=True)
class Seen:
    """The copies, and how it stands with them: in brief, and one sentence after the other.

    wrong is the sentence that somebody has to look into, empty where there is none.
    """

    copies: Copies
    brief: str
    lines: tuple[str, ...] = ()
    wrong: str = ""


class BackupDesk:
    """The screens about copies."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the shop's upkeep."""
        self._shop, self._desk, self._back = shop, desk, back
        self._making: set[Path] = set()
        self._shown: dict[Path, BusyScreen] = {}

    def open(self) -> None:
        """Ask where a copy is to go, and say when the last was made."""
        desk, shop = self._desk, self._shop
        busy = self._busy(_("Looking for copies and sticks"), cancel=self._back, slow=SLOW)

        def then(seen: Seen) -> None:
            if desk.show is busy:
                self.show(seen)

        def look(copying: Copying) -> None:
            zone = shop.zone
            desk.ask_aside(lambda: see_copies(copying, zone), then, lost=NOT_SEEN)

        desk.ask(shop.copying, look, lost=NOT_SEEN)

    def _busy(
        self, words: Phrase, *, slow: str, cancel: Callable[[], object] | None = None
    ) -> BusyScreen:
        desk = self._desk
        busy = BusyScreen(desk.trim, words, to_bench=desk.open_bench, cancel=cancel, slow=slow)
        desk.put(busy)
        return busy

    def show(self, seen: Seen) -> None:
        """Show what is known of copies."""
        copies, desk = seen.copies, self._desk
        own, *sticks = copies.folders
        choices = [
            Choice(say("Copy to {folder}", folder=stick.name or stick), partial(self.make, stick))
            for stick in sticks[:_STICKS]
        ]
        choices += [
            Choice(_("Copy beside the shop's file"), partial(self.make, own)),
            Choice(_("Copy to another folder"), self.ask_folder),
            Choice(_("Copies in reach"), partial(self._list, seen)),
            Choice(
                _("How it stands"),
                partial(self.show_standing, seen),
                "late" if seen.wrong else "",
            ),
        ]
        if copies.found:
            prove = partial(self.prove, copies.found[0].file)
            choices.append(Choice(_("Prove the latest copy"), prove))
        choices.append(Choice(_("Back"), self._back))
        columns = 2 if len(choices) <= IN_TWO_COLUMNS else 3
        title = _("Copies of the shop's file")
        desk.put(AskScreen(desk.trim, title, choices, line=seen.brief, columns=columns))

    def _list(self, seen: Seen, page: int = 0) -> None:
        rows = [_row(copy) for copy in seen.copies.found]
        desk = self._desk
        title = _("Copies in reach") if rows else _("No copy is in reach")
        shown = Listed(title, rows, RESTORE, columns=1)
        turn = partial(self._list, seen)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=partial(self.show, seen), page=page))

    def show_standing(self, seen: Seen, page: int = 0) -> None:
        """Show what is known of the nightly copies, their proof and the second folder."""
        desk = self._desk
        rows = [Row(line, shape="late" if line == seen.wrong else "") for line in seen.lines]
        shown = Listed(_("How it stands"), rows, columns=1)
        turn = partial(self.show_standing, seen)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=partial(self.show, seen), page=page))

    def ask_folder(self, typed: str = "/", wrong: str = "") -> None:
        """Ask for the folder a copy goes to."""
        ask = AskWords(_("Which folder does the copy go to?"), typed, wrong, may_be_empty=True)
        desk = self._desk
        desk.put(WordPad(desk.trim, ask, use=self._use_folder, back=self.open))

    def _use_folder(self, text: str) -> None:
        folder = Path(text).expanduser()
        if folder.is_absolute():
            self.make(folder)
        else:
            self.ask_folder(text, _("Write the whole folder, such as /media/stick."))

    def make(self, folder: Path) -> None:
        """Make a copy now; where one is being made there already, say so until it is done."""
        desk = self._desk
        self.show_copying(folder)

        def then(made: tuple[Copy | None, Problems]) -> None:
            copy, problems = made
            desk.told(good=copy is not None)
            if copy is None or desk.show is self._shown.get(folder):
                self.show_told(copy, problems)

        def copy(copying: Copying) -> None:
            if folder not in self._making:  # of two at once, each would be in the other's way
                self._making.add(folder)
                desk.ask_aside(lambda: self._make(copying, folder), then, lost=NOT_COPIED)

        desk.ask(self._shop.copying, copy, lost=NOT_COPIED)

    def prove(self, file: Path) -> None:
        """Bring a copy back into a scratch folder, and say what that proved."""
        desk = self._desk
        busy = self.show_proving(file)

        def then(proved: Proved) -> None:
            desk.told(good=proved.is_sound)
            if not proved.is_sound or desk.show is busy:
                self.show_proved(proved)

        def prove(copying: Copying) -> None:
            desk.ask_aside(lambda: copying.prove(file), then, lost=NOT_PROVED)

        desk.ask(self._shop.copying, prove, lost=NOT_PROVED)

    def show_proving(self, file: Path) -> BusyScreen:
        """Say that a copy is being proved."""
        return self._busy(say("Proving {file} …", file=file.name), slow=PROVING)

    def show_proved(self, proved: Proved) -> None:
        """Say what bringing a copy back showed."""
        desk = self._desk
        title = _("The copy is proved") if proved.is_sound else _("The copy is not sound")
        rows = [
            Row(line, shape="question" if line in proved.doubts else "tick")
            for line in proved.lines
        ]
        shown = Listed(title, rows, columns=1)
        bench = (Choice(_("To the bench"), desk.open_bench),)
        desk.put(ListScreen(desk.trim, shown, turn=lambda _page: None, back=self.open, extra=bench))

    def _make(self, copying: Copying, folder: Path) -> tuple[Copy | None, Problems]:
        try:
            return copying.make(folder)
        finally:
            self._making.discard(folder)

    def show_copying(self, folder: Path) -> None:
        """Say that a copy is being made."""
        self._shown[folder] = self._busy(say("Copying to {folder} …", folder=folder), slow=COPYING)

    def show_told(self, copy: Copy | None, problems: Problems) -> None:
        """Say what became of a copy."""
        desk = self._desk
        choices = (Choice(_("More copies"), self.open), Choice(_("To the bench"), desk.open_bench))
        if copy is None:
            title, line, shape = _("No copy was made"), say_problems(problems), "question"
        else:
            title, shape = _("Copied and checked"), "tick"
            line = say("{file} ({size})", file=copy.file, size=_size(copy.bytes))
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape=shape))


def see_copies(copying: Copying, zone: tzinfo) -> Seen:
    """Return the copies, and how it stands with them in words; on a thread that may wait."""
    return say_copies(copying.see(), copying.tell(), now=copying.at, zone=zone)


def say_copies(copies: Copies, told: Told, *, now: datetime, zone: tzinfo) -> Seen:
    """Return the copies with what is said of them."""
    last: str = _("No copy was made yet. One is made every night while a kiosk is on.")
    if copies.last is not None:
        when = say_time(copies.last, now=now, zone=zone)
        last = say("The last copy: {when}, {file}.", when=when, file=copies.last_file)
    brief = (told.brief, last) if told.wrong else (last, told.brief)
    return Seen(copies, join(brief), told.lines, told.wrong)


def _row(copy: Copy) -> Row:
    return Row(copy.file.name, str(copy.file.parent), value=_size(copy.bytes))


def _size(count: int) -> str:
    if count < _MIB:
        return say("{n}\u00a0KiB", n=f"{count / 1024:,.0f}")
    return say("{n}\u00a0MiB", n=f"{count / _MIB:,.1f}")
