"""The pages of a list on its way in: problems, pieces, notes, the unit of numbers, the columns."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Protocol

from kiosk.actions import TakenIn
from kiosk.rules.drafts import Heading
from kiosk.rules.headings import MEANINGS, NOTHING
from kiosk.rules.words import _, say, say_n
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.rows import Listed, ListScreen, MenuScreen, Row
from kiosk.screens.takeview import (
    UNITS,
    Draft,
    name_column,
    piece_rows,
    problem_rows,
    say_found,
    say_longest,
    say_meaning,
)


class Look(Protocol):
    """Reads a list anew and shows what was understood, or goes on as it is told."""

    def __call__(self, draft: Draft, then: Callable[[TakenIn], object] | None = None) -> None:
        """Read the list."""
        ...


@dataclass(frozen=True, slots=True)
class PageWays:
    """Where the pages lead to: the list read anew, and what was understood of it."""

    held: Callable[[], Draft]
    look: Look
    show: Callable[[TakenIn], object]


class TakePages:
    """The pages about one list."""

    def __init__(self, desk: DeskFace, ways: PageWays) -> None:
        self._desk, self._held, self._look, self._show = desk, ways.held, ways.look, ways.show

    def show_problems(self, taken: TakenIn, page: int = 0) -> None:
        """Show a page of what is wrong with a list."""
        title = say_n("{n} problem", "{n} problems", len(taken.problems))
        line = _("Nothing is taken in while there is one. Mend the file and choose it again.")
        rows = problem_rows(taken.problems)
        again = Choice(_("Read it again"), partial(self._look, self._held()), "arrow")
        listed = Listed(title, rows, line, columns=1)
        self.put_list(listed, taken, page, self.show_problems, (again,))

    def show_pieces(self, taken: TakenIn, page: int = 0) -> None:
        """Show a page of what was understood."""
        listed = Listed(say_found(taken), piece_rows(taken))
        self.put_list(listed, taken, page, self.show_pieces)

    def show_notes(self, taken: TakenIn, page: int = 0) -> None:
        """Show a page of what was assumed, and of the rows that were left out on purpose."""
        rows = [Row(note) for note in taken.notes]
        rows += [
            Row(say("Row {n} is left out: {why}", n=skip.row, why=skip.why))
            for skip in taken.skipped
        ]
        title = say_n("{n} note", "{n} notes", len(rows))
        line = _("None of this keeps the list from being taken in.")
        self.put_list(Listed(title, rows, line, columns=1), taken, page, self.show_notes)

    def put_list(
        self,
        listed: Listed,
        taken: TakenIn,
        page: int,
        show: Callable[[TakenIn, int], object],
        extra: tuple[Choice, ...] = (),
    ) -> None:
        """Show a page of a list that leads back to what was understood."""
        screen = ListScreen(
            self._desk.trim,
            listed,
            turn=partial(show, taken),
            back=partial(self._show, taken),
            page=page,
            extra=extra,
        )
        self._desk.put(screen)

    # -- the unit of plain numbers and the columns -----------------------------------------------

    def ask_units(self, taken: TakenIn) -> None:
        """Ask in which unit plain numbers are."""
        draft = self._held()
        now = draft.units or (taken.listed.guessed if taken.listed else "")
        choices = [
            Choice(
                words,
                partial(self._look, replace(draft, units=unit)),
                "tick" if unit == now else "",
            )
            for unit, words in UNITS.items()
        ]
        choices.append(Choice(_("Back"), partial(self._show, taken)))
        line = say("Read as {unit}: {longest}.", unit=UNITS[now], longest=say_longest(taken))
        title = _("In which unit are plain numbers?")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def show_columns(self, taken: TakenIn, page: int = 0) -> None:
        """Show a page of the columns with what each was read as; a tap changes it."""
        headings = taken.listed.headings if taken.listed else ()
        rows = [
            Row(
                say("{heading}: {meaning}", heading=one.name, meaning=say_meaning(one)),
                say("holds {cells}", cells=", ".join(one.samples)) if one.samples else "",
                partial(self.ask_meaning, taken, one, page),
                "tick" if one.meaning else "cross",
            )
            for one in headings
        ]
        listed = Listed(_("What each column means"), rows, _("Tap a column to change it"))
        self.put_list(listed, taken, page, self.show_columns)

    def ask_meaning(self, taken: TakenIn, heading: Heading, page: int, turned: int = 0) -> None:
        """Ask what a column means."""
        draft = self._held()
        choices = [
            Choice(
                words,
                partial(self._name, draft, taken, heading.name, word, page),
                "tick" if word == (heading.meaning or NOTHING) else "",
            )
            for word, words in (*MEANINGS.items(), (NOTHING, _("leave it out")))
        ]
        held = ", ".join(heading.samples)
        screen = MenuScreen(
            self._desk.trim,
            say("What is in the column {heading}?", heading=heading.name),
            choices,
            back=partial(self.show_columns, taken, page),
            turn=partial(self.ask_meaning, taken, heading, page),
            page=turned,
            line=say("It holds {cells}", cells=held) if held else "",
        )
        self._desk.put(screen)

    def _name(self, draft: Draft, taken: TakenIn, heading: str, meaning: str, page: int) -> None:
        columns = name_column(draft, taken, heading, meaning)
        self._look(replace(draft, columns=columns), lambda fresh: self.show_columns(fresh, page))
