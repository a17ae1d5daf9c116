"""Lead through how a unit hangs: its form by sections, kept only when asked."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from kiosk.rules.cards import BACK
from kiosk.rules.words import _, say, say_n
from kiosk.screens.askpads import Asks
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.fitask import FitAsk
from kiosk.screens.fitfields import SECTIONS, Field, Section
from kiosk.screens.fitlists import LISTS, FitLists
from kiosk.screens.flow import AskScreen
from kiosk.screens.hangface import HangFace
from kiosk.screens.hangsview import Form, see_form
from kiosk.screens.jobview import say_name
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("How it hangs could not be shown. Try again.")
NOT_KEPT = _("How it hangs was not kept. Try again.")
DRAFT = _("Nothing is kept yet. A question mark: without it there is no number.")
KEPT = _("What nobody entered is from the part list where it knows. Tap a row to enter it.")
Back = Callable[[], object]


class FitDesk:
    """The screens of one unit's fitting."""

    def __init__(self, shop: ShopFace, walls: HangFace, desk: DeskFace) -> None:
        self._shop, self._walls, self._desk = shop, walls, desk
        self._back: Back = desk.open_bench
        self.draft: Form | None = None  # what was begun and is not kept: a scan must not lose it
        asks = Asks(desk)
        self.ask, self.lists = FitAsk(desk, asks), FitLists(desk, asks)

    def open(self, job: str, unit: str, back: Back) -> None:
        """Show how a unit hangs; back leads to where it was asked."""
        self._back = back
        draft = self.draft
        if draft is not None and (draft.job, draft.unit) == (job, unit):
            self.show(draft)
            return
        call = partial(see_form, self._shop, self._walls, job, unit)
        self._desk.ask_here(call, self.show, lost=NOT_SEEN)

    def show(self, form: Form, page: int = 0) -> None:
        """Show the sections, each with what is missing of it."""
        if form.is_changed:
            self.draft = form
        rows = [
            Row(
                section.words,
                section.say(form),
                partial(self.show_section, form, section),
                "question" if section.is_open(form) else "tick",
            )
            for section in SECTIONS
        ]
        name = say_name(form.unit, form.name)
        title = say("How {unit} hangs", unit=name)
        listed = Listed(title, rows, DRAFT if form.is_changed else KEPT)
        extra, back = [], self._back
        if form.is_changed:
            extra.append(Choice(_("Keep it"), partial(self.keep, form), "tick"))
            back = partial(self.ask_leave, form)
        turn = partial(self.show, form)
        screen = ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page, extra=extra)
        self._desk.put(screen)

    def ask_leave(self, form: Form) -> None:
        """Ask whether what was entered is to be lost."""
        choices = (
            Choice(_("Go on with it"), partial(self.show, form), card=BACK),
            Choice(_("Leave it unkept"), self._leave, "cross"),
        )
        title = say("What was entered of {unit} is not kept", unit=form.unit)
        self._desk.put(AskScreen(self._desk.trim, title, choices))

    def _leave(self) -> None:
        self.draft = None
        self._back()

    def show_section(self, form: Form, section: Section, page: int = 0) -> None:
        """Show the fields of a section: value, and whether it was entered or is from the list."""
        if form.is_changed:
            self.draft = form
        rows = []
        for field in section.fields:
            value, where = field.say(form)
            below = say("{where}; {line}", where=where, line=field.line) if where else field.line
            shape = "question" if field.is_open(form) else ""
            act = partial(self.open_field, form, section, field)
            rows.append(Row(field.words, below, act, shape, value))
        title = say("{unit}: {what}", unit=form.unit, what=section.words)
        listed = Listed(title, rows, DRAFT if form.is_changed else KEPT)
        turn, back = partial(self.show_section, form, section), partial(self.show, form)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))

    def open_field(self, form: Form, section: Section, field: Field) -> None:
        """Ask for one field, or show its list."""

        def put(value: Any) -> None:  # Any: what the field holds
            changed = form.with_said(field.put(form.said, value))
            if field.ask in LISTS:
                self.open_field(changed, section, field)
            else:
                self.show_section(changed, section)

        back = partial(self.show_section, form, section)
        if field.ask in LISTS:
            self.lists.show(form, field, put, back)
        else:
            self.ask.ask(form, field, put, back)

    # -- keeping ---------------------------------------------------------------------------------

    def keep(self, form: Form) -> None:
        """Keep how the unit hangs, and go back to what the check says of it then."""
        person = self._desk.post.person

        def call() -> Problems:
            return self._walls.fit_unit(form.job, form.unit, form.said, person=person)

        def then(problems: Problems) -> None:
            self._desk.told(good=not problems)
            if problems:
                self.show_wrong(form, problems)
            else:
                self._leave()

        self._desk.ask_here(call, then, lost=NOT_KEPT)

    def show_wrong(self, form: Form, problems: Problems, page: int = 0) -> None:
        """Show all that stands against a fitting; nothing was kept."""
        rows = [Row(one.message, one.remedy, None, "question") for one in problems]
        count = say_n("{n} problem", "{n} problems", len(problems))
        title = say("{unit}: {what}", unit=form.unit, what=count)
        listed = Listed(title, rows, _("Nothing was kept."), columns=1)
        turn, back = partial(self.show_wrong, form, problems), partial(self.show, form)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=back, page=page))
