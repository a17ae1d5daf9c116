"""Lead through copies of the shop's file: make one now, see which there are."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from kiosk.actions.copies import Copies, Copy
from kiosk.rules.times import say_time
from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.settingsask import IN_TWO_COLUMNS
from kiosk.screens.wordpad import AskWords, WordPad

NOT_SEEN = _("The copies could not be shown. Try again.")
RESTORE = _("To bring one back, end every kiosk, then: cleatclock restore COPY")
_STICKS = 4  # folders that fit beside the other buttons
_MIB = 2**20
Seen = tuple[Copies, str]


class BackupDesk:
    """The screens about copies."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the shop's upkeep."""
        self._shop, self._desk, self._back = shop, desk, back

    def open(self) -> None:
        """Ask where a copy is to go, and say when the last was made."""
        before = self._desk.show

        def then(seen: Seen) -> None:
            if self._desk.show is before:
                self.show(seen)

        self._desk.ask(lambda: see_copies(self._shop), then, lost=NOT_SEEN)

    def show(self, seen: Seen) -> None:
        """Show what is known of copies."""
        copies, last = seen
        desk = self._desk
        own, *sticks = copies.folders
        choices = [
            Choice(say("Copy to {folder}", folder=stick.name or stick), partial(self.make, stick))
            for stick in sticks[:_STICKS]
        ]
        choices += [
            Choice(_("Copy beside the shop's file"), partial(self.make, own)),
            Choice(_("Copy to another folder"), self.ask_folder),
            Choice(_("Copies in reach"), partial(self._list, seen)),
            Choice(_("Back"), self._back),
        ]
        columns = 2 if len(choices) <= IN_TWO_COLUMNS else 3
        title = _("Copies of the shop's file")
        desk.put(AskScreen(desk.trim, title, choices, line=last, columns=columns))

    def _list(self, seen: Seen, page: int = 0) -> None:
        rows = [_row(copy) for copy in seen[0].found]
        desk = self._desk
        title = _("Copies in reach") if rows else _("No copy is in reach")
        shown = Listed(title, rows, RESTORE, columns=1)
        turn = partial(self._list, seen)
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
        """Make a copy now."""
        desk = self._desk
        title = say("Copying to {folder} …", folder=folder)
        line = _("The copy is checked as it is made. Scans are recorded once it is done.")
        choices = (Choice(_("To the bench"), desk.open_bench),)
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape="clock"))
        before = desk.show

        def then(made: tuple[Copy | None, Problems]) -> None:
            copy, problems = made
            desk.told(good=copy is not None)
            if desk.show is before or copy is None:
                self.show_told(copy, problems)

        desk.ask(lambda: self._shop.make_copy(folder), then, lost=_("No copy was made. Try again."))

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


def see_copies(shop: ShopFace) -> Seen:
    """Return the copies, and when the last was made in words; on the shop's thread."""
    copies = shop.copies()
    if copies.last is None:
        return copies, _("No copy was made yet. Make one every evening, on another disk.")
    when = say_time(copies.last, now=shop.now(), zone=shop.zone)
    return copies, say("The last copy: {when}, {file}", when=when, file=copies.last_file)


def _row(copy: Copy) -> Row:
    return Row(copy.file.name, str(copy.file.parent), value=_size(copy.bytes))


def _size(count: int) -> str:
    if count < _MIB:
        return say("{n}\u00a0KiB", n=f"{count / 1024:,.0f}")
    return say("{n}\u00a0MiB", n=f"{count / _MIB:,.1f}")
