"""Lead through units: the list, one of them, its parts, what happened to it, and striking that."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.actions import Past
from kiosk.rules.scanning import Answer
from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.flow import AskScreen
from kiosk.screens.jobview import (
    LOOKS,
    UnitLine,
    UnitView,
    say_name,
    say_part,
    say_past,
    say_standing,
    see_unit,
    see_units,
)
from kiosk.screens.labeldesk import LabelDesk
from kiosk.screens.partview import PartLine
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.unitscreen import UnitActs, UnitScreen

NOT_SEEN = _("The units could not be shown. Try again.")
NOT_STRUCK = _("Nothing was struck. Try again.")
Back = Callable[[], object]


class UnitDesk:
    """The screens about units."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        labels: LabelDesk,
        *,
        clock: Callable[[str, str, Back], object],
    ) -> None:
        """Take `clock`, which shows the clocks of a unit by its text and its name."""
        self._shop, self._desk, self._labels, self._clock = shop, desk, labels, clock

    # -- the list --------------------------------------------------------------------------------

    def open(self, back: Back, job: str = "", page: int = 0) -> None:
        """Show the units of a job, of all open ones without it."""

        def then(lines: tuple[UnitLine, ...]) -> None:
            self.show_list(lines, page, back=back, job=job)

        self._ask(lambda: see_units(self._shop, job), then)

    def show_list(
        self, lines: tuple[UnitLine, ...], page: int, *, back: Back, job: str = ""
    ) -> None:
        """Show a page of units."""
        again = partial(self.open, back, job)
        rows = [
            Row(
                say_name("" if job else line.job, line.unit, line.name),
                say_standing(line),
                partial(self.open_unit, line.job, line.unit, partial(again, page)),
                LOOKS[line.state][0],
            )
            for line in lines
        ]
        count = say_n("{n} unit", "{n} units", len(lines))
        title = say("{job}: {count}", job=job, count=count) if job else count
        empty = _("There is no unit yet. Take a part list in: Shop, then Take in.")
        listed = Listed(title, rows, empty=empty)
        screen = ListScreen(self._desk.trim, listed, turn=again, back=back, page=page)
        self._desk.put(screen)

    # -- one unit --------------------------------------------------------------------------------

    def open_unit(self, job: str, unit: str, back: Back) -> None:
        """Show a unit."""
        self._look(job, unit, back, lambda view: self.show_unit(view, back))

    def _look(self, job: str, unit: str, back: Back, then: Callable[[UnitView], object]) -> None:
        def seen(found: UnitView | Answer) -> None:
            if isinstance(found, Answer):
                choices = (Choice(_("Back"), back),)
                screen = AskScreen(self._desk.trim, found.message, choices, line=found.detail)
                self._desk.put(screen)
            else:
                then(found)

        self._ask(lambda: see_unit(self._shop, job, unit), seen)

    def show_unit(self, view: UnitView, back: Back) -> None:
        """Show a unit that was read."""
        line = view.line
        again = partial(self.open_unit, line.job, line.unit, back)
        text, name = f"{line.job}/{line.unit}", say_name(line.unit, line.name)
        acts = UnitActs(
            parts=partial(self.show_parts, view, back),
            history=partial(self.show_history, view, back),
            clock=lambda: self._clock(text, name, again),
            label=lambda: self._labels.reprint_unit(
                PartLine(line.job, line.unit, line.name, "", "", ""), back=again
            ),
            back=back,
        )
        self._desk.put(UnitScreen(self._desk.trim, view, acts))

    def show_parts(self, view: UnitView, back: Back, page: int = 0) -> None:
        """Show a page of a unit's parts; a tap prints a label again."""
        line = view.line
        turn = partial(self.show_parts, view, back)
        rows = []
        for part in view.parts:
            one = PartLine(
                line.job, line.unit, line.name, part.part, part.size, part.code, part.printed
            )
            act = partial(self._labels.ask_again, one, back=partial(turn, page))
            rows.append(Row(part.part, say_part(part), act, part.shape))
        said = _("Tap a part to print its label")
        title = say("Parts of {unit}", unit=say_name(line.unit, line.name))
        listed = Listed(title, rows, said if rows else "", _("This unit has no parts."))
        home = partial(self.show_unit, view, back)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=home, page=page))

    # -- what happened ---------------------------------------------------------------------------

    def show_history(self, view: UnitView, back: Back, page: int = 0) -> None:
        """Show a page of what happened to a unit, newest first; a tap asks about striking it."""
        turn = partial(self.show_history, view, back)
        rows = [
            Row(
                one.what,
                say_past(one),
                partial(self.ask_strike, view, one, back, page) if one.can_strike else None,
                "cross" if one.is_struck else "dot",
                is_quiet=one.is_double,
            )
            for one in view.past
        ]
        title = say("History of {unit}", unit=say_name(view.line.unit, view.line.name))
        said = _("Newest first. Tap an entry to strike it; a cross marks what is struck.")
        listed = Listed(title, rows, said, _("Nothing was recorded yet."))
        home = partial(self.show_unit, view, back)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=home, page=page))

    def ask_strike(self, view: UnitView, one: Past, back: Back, page: int) -> None:
        """Ask whether an entry is to be struck, and say what was recorded after it."""
        line = _("It counts no more then; the log keeps it.")
        if one.upon:
            steps = join(one.upon, ", ")
            line = join((line, say("Recorded after it, and staying: {steps}.", steps=steps)), " ")
        person = self._desk.post.person

        def done(answer: Answer) -> None:
            self._show_struck(answer, view, back)

        def yes() -> None:
            self._ask(lambda: self._shop.strike(one.entry, person=person), done, lost=NOT_STRUCK)

        choices = (
            Choice(_("Strike it"), yes, "cross"),
            Choice(_("Back"), partial(self.show_history, view, back, page)),
        )
        title = say("Strike {what}, {when}?", what=one.what, when=say_past(one))
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def _show_struck(self, answer: Answer, view: UnitView, back: Back) -> None:
        self._desk.told(good=answer.outcome == "recorded")
        line = view.line
        choices = (
            Choice(
                _("History"),
                lambda: self._look(
                    line.job, line.unit, back, lambda fresh: self.show_history(fresh, back)
                ),
            ),
            Choice(line.unit, partial(self.open_unit, line.job, line.unit, back)),
            Choice(_("To the bench"), self._desk.open_bench),
        )
        said = join((answer.detail, answer.next), ". ")
        shape = "tick" if answer.outcome == "recorded" else "question"
        screen = AskScreen(self._desk.trim, answer.message, choices, line=said, shape=shape)
        self._desk.put(screen)

    def _ask(
        self,
        call: Callable[[], object],
        then: Callable[..., None],
        *,
        lost: str = NOT_SEEN,
    ) -> None:
        """Ask the shop, and go on where the screen is still the same."""
        self._desk.ask_here(call, then, lost=lost)
