"""Show what this kiosk is and stands on, and check it: one line each, with what to do."""

from __future__ import annotations

import logging
import platform
from collections.abc import Callable
from functools import partial
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

import kivy

from kiosk.check import Check, check_steps
from kiosk.rules.words import _, capital, say, say_n
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.store import SQLITE_VERSION

NOT_SEEN = _("This could not be shown. Try again.")
NOT_CHECKED = _("The check broke off. Try again.")
LICENCE = "Apache-2.0"  # as in pyproject.toml and docs/LICENSE
Steps = tuple[Callable[[], Check], ...]


class AboutDesk:
    """The screens about the kiosk itself."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the shop's upkeep."""
        self._shop, self._desk, self._back = shop, desk, back
        self._steps: Callable[[], Steps] = lambda: see_steps(self._shop)

    def open(self) -> None:
        """Show the versions and where things lie."""
        before = self._desk.show

        def then(rows: tuple[Row, ...]) -> None:
            if self._desk.show is before:
                self._show(rows)

        self._desk.ask(lambda: see_facts(self._shop), then, lost=NOT_SEEN)

    def _show(self, rows: tuple[Row, ...], page: int = 0) -> None:
        desk, shown = self._desk, Listed(_("About Cleatclock"), rows)
        check = (Choice(_("Check all"), self.check, "tick"),)
        turn = partial(self._show, rows)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=self._back, page=page, extra=check))

    # -- the check -------------------------------------------------------------------------------

    def check(self) -> None:
        """Check one thing after the other; a scan meanwhile is recorded between two of them."""
        self._show_progress(0, 0)
        before = self._desk.show

        def then(steps: Steps) -> None:
            if self._desk.show is before:
                self._go_on(steps, ())

        self._desk.ask(self._steps, then, lost=NOT_CHECKED)

    def _go_on(self, steps: Steps, found: tuple[Check, ...]) -> None:
        if len(found) == len(steps):
            self.show_found(found)
            return
        self._show_progress(len(found), len(steps))
        before = self._desk.show

        def then(one: Check) -> None:
            if self._desk.show is before:
                self._go_on(steps, (*found, one))

        self._desk.ask(steps[len(found)], then, lost=NOT_CHECKED)

    def _show_progress(self, done: int, count: int) -> None:
        desk = self._desk
        said = say("{done} of {count} are done.", done=done, count=count) if count else ""
        choices = (Choice(_("Back"), self.open),)
        desk.put(AskScreen(desk.trim, _("Checking …"), choices, line=said, shape="clock"))

    def show_found(self, found: tuple[Check, ...], page: int = 0) -> None:
        """Show what the check found, each with what to do."""
        wrong = sum(not one.ok for one in found)
        title = (
            say_n("{n} thing needs looking after", "{n} things need looking after", wrong)
            if wrong
            else _("All is well")
        )
        rows = [_row(one) for one in sorted(found, key=lambda one: one.ok)]
        desk, shown = self._desk, Listed(title, rows, columns=1)
        turn = partial(self.show_found, found)
        again = (Choice(_("Check again"), self.check),)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=self.open, page=page, extra=again))


def _row(one: Check) -> Row:
    words = say("{name}: {detail}", name=capital(one.name), detail=one.detail)
    return Row(words, below=one.remedy, shape="tick" if one.ok else "question")


def see_steps(shop: ShopFace) -> Steps:
    """Return the checks; on the shop's thread."""
    settings, wrong = shop.kept_settings()
    return check_steps(shop.store.file, settings, wrong)


def see_facts(shop: ShopFace) -> tuple[Row, ...]:
    """Return versions, licence and places of files; on the shop's thread."""
    name, version, licence = _release()
    return (
        Row(name, say("licence: {licence}", licence=licence), value=version),
        Row(_("Shop's file"), below=str(shop.store.file)),
        Row(_("Settings"), below=str(shop.settings_file)),
        Row(_("Log"), below=log_place()),
        Row("Python", platform.platform(terse=True), value=platform.python_version()),
        Row("Kivy", _("draws the screens"), value=kivy.__version__),
        Row("SQLite", _("keeps the shop's file"), value=SQLITE_VERSION),
    )


def _release() -> tuple[str, str, str]:
    try:
        found = metadata("cleatclock")
    except PackageNotFoundError:
        return "Cleatclock", _("not installed as a package"), LICENCE
    return "Cleatclock", found["Version"], LICENCE


def log_place() -> str:
    """Return the file the kiosk's log is written to, or say where it goes."""
    loggers = (logging.getLogger(), logging.getLogger("cleatclock"))
    for logger in loggers:
        for handler in logger.handlers:
            if isinstance(handler, logging.FileHandler):
                return str(Path(handler.baseFilename))
    return _("no file: on the error output of the command")
