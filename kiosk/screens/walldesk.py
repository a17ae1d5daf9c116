"""Lead through one wall as it is measured: its form beside the drawing, kept only when asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from PIL import Image

from kiosk.rules.cards import BACK
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.wall import MeasuredWall, Stud
from kiosk.rules.hanging.wallcheck import check_wall
from kiosk.rules.lengths import Length, System
from kiosk.rules.words import Phrase, _, say, say_n
from kiosk.screens.askpads import AskLength, Asks
from kiosk.screens.besidescreen import Beside, BesideActs, BesideScreen
from kiosk.screens.face import Choice, DeskFace, Problems
from kiosk.screens.flow import AskScreen
from kiosk.screens.hangface import WallFace
from kiosk.screens.hangpicture import draw_bare
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.wallask import FACTS, WallAsk
from kiosk.screens.wallfacts import (
    EMPTY,
    LINES,
    TITLES,
    Thing,
    is_open,
    say_facts,
    say_thing,
    things,
    with_things,
)

NOT_SEEN = _("The wall could not be drawn. Try again.")
NOT_KEPT = _("The wall was not kept. Try again.")
DRAFT = _("Nothing is kept yet. Tap a row to enter it; a question mark: it is missing still.")
KEPT = _("As it was kept last. Tap a row to change it.")
NO_SIZE = _("Enter width and height first: then the wall is drawn here to scale.")
_ROWS = (
    ("size", _("Size")),
    ("studs", TITLES["studs"]),
    ("layers", _("Layers")),
    ("floor", TITLES["floor"]),
    ("services", TITLES["services"]),
    ("facts", _("What it is")),
)
Back = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Draft:
    """A wall while it is entered; file is where it was read from, '' where it was typed.

    is_new: nobody kept it so yet.
    """

    job: str
    wall: MeasuredWall
    system: System
    is_new: bool
    file: str = ""

    @property
    def is_begun(self) -> bool:
        """Tell whether anything was entered that nobody kept."""
        return self.is_new and self.wall != empty_wall(self.wall.wall)

    def changed(self, wall: MeasuredWall) -> Draft:
        """Return the draft with another wall in it."""
        return replace(self, wall=wall, is_new=True)


def empty_wall(name: str) -> MeasuredWall:
    """Return a wall of which nothing is entered."""
    return MeasuredWall(wall=name, width=NOTHING, height=NOTHING)


@dataclass(frozen=True, slots=True)
class WallWays:
    """Where a wall leads to: its table to be read or written, what was kept, the list of walls."""

    read: Callable[[Draft], object]
    write: Callable[[Draft], object]
    kept: Callable[[Draft], object]
    back: Back


class WallDesk:
    """The screens of one wall."""

    def __init__(self, shop: WallFace, desk: DeskFace, ways: WallWays) -> None:
        self._shop, self._desk, self._ways = shop, desk, ways
        self._asks = Asks(desk)
        self.ask = WallAsk(desk, self._asks)
        self.draft: Draft | None = None  # a scan must not lose what was begun

    # -- the form --------------------------------------------------------------------------------

    def show(self, draft: Draft, page: int = 0) -> None:
        """Show a wall's form beside the drawing of what was entered so far."""
        self.draft = draft

        def then(image: Image.Image | None) -> None:
            self.show_form(draft, image, page)

        def call() -> Image.Image | None:
            return draw_bare(draft.wall, self._desk.trim, system=draft.system)

        self._desk.ask_here(call, then, lost=NOT_SEEN)

    def show_form(self, draft: Draft, image: Image.Image | None, page: int = 0) -> None:
        """Show the form with a drawing that is there already."""
        wall, system = draft.wall, draft.system
        said, rows = say_facts(wall, system), []
        for key, words in _ROWS:
            value, below = said[key]
            act = partial(self.open_row, draft, key)
            shape = "question" if is_open(wall, key) else ""
            rows.append(Row(words, below, act, shape, value))
        problems = check_wall(wall, system=system)
        more = []
        if problems and draft.is_new:
            words = say_n("{n} problem", "{n} problems", len(problems))
            more.append(Choice(words, partial(self.show_problems, draft, problems), "question"))
        elif draft.is_new:
            more.append(Choice(_("Keep it"), partial(self.keep, draft), "tick"))
        more.append(Choice(_("From a file"), partial(self._ways.read, draft)))
        more.append(Choice(_("To a file"), partial(self._ways.write, draft)))
        line = DRAFT if draft.is_new else KEPT
        if draft.file:
            line = say("Read from {file}. Nothing is kept yet.", file=draft.file)
        title = say("{job}: wall {wall}", job=draft.job, wall=wall.wall)
        shown = Beside(title, rows, image, "", line, NO_SIZE, columns=2, is_loud=draft.is_new)
        back = partial(self.ask_leave, draft) if draft.is_begun else self._ways.back
        acts = BesideActs(back, partial(self.show, draft), more=more)
        self._desk.put(BesideScreen(self._desk.trim, shown, acts, page=page))

    def open_row(self, draft: Draft, key: str) -> None:
        """Open what a row of the form is about."""
        if key == "size":
            self.ask_size(draft)
        elif key == "facts":
            self.show_facts(draft)
        else:
            self.show_things(draft, key)

    def ask_leave(self, draft: Draft) -> None:
        """Ask whether what was entered is to be lost."""
        choices = (
            Choice(_("Go on with it"), partial(self.show, draft), card=BACK),
            Choice(_("Leave it unkept"), self._leave, "cross"),
        )
        title = say("What was entered of wall {wall} is not kept", wall=draft.wall.wall)
        self._desk.put(AskScreen(self._desk.trim, title, choices))

    def _leave(self) -> None:
        self.draft = None
        self._ways.back()

    def ask_size(self, draft: Draft) -> None:
        """Ask for the wall's width, then for its height."""
        back = partial(self.show, draft)

        def wide(width: Length) -> None:
            def high(height: Length) -> None:
                self.show(draft.changed(replace(draft.wall, width=width, height=height)))

            tall = AskLength(_("How high is the wall, from the floor's highest point?"))
            self._asks.length(tall, draft.system, high, partial(self.ask_size, draft))

        self._asks.length(AskLength(_("How wide is the wall?")), draft.system, wide, back)

    # -- studs, floor, layers, services ----------------------------------------------------------

    def show_things(self, draft: Draft, kind: str, page: int = 0) -> None:
        """Show a page of the wall's things of a kind; a tap changes one."""
        self.draft = draft
        listed = things(draft.wall, kind)
        rows = []
        for at, one in enumerate(listed):
            words, value = say_thing(one, draft.system)
            rows.append(Row(words, "", partial(self.show_thing, draft, kind, at), "", value))
        title: Phrase = TITLES[kind]
        if rows:
            title = say("{what}: {n}", what=title, n=len(rows))
        shown = Listed(title, rows, LINES[kind] if rows else "", EMPTY[kind])
        turn = partial(self.show_things, draft, kind)
        again = partial(self.show_things, draft, kind, page)
        keep = partial(self._with, draft, kind, listed)
        extra = [Choice(_("Add"), partial(self.ask.add, kind, draft, keep, again), "tick")]
        if kind == "studs":
            pitch = partial(self.ask.add_pitch, draft, keep, again)
            extra.append(Choice(_("Several at a pitch"), pitch))
        back = partial(self.show, draft)
        trim = self._desk.trim
        self._desk.put(ListScreen(trim, shown, turn=turn, back=back, page=page, extra=extra))

    def _with(self, draft: Draft, kind: str, listed: Sequence[Thing], *more: Thing) -> None:
        wall = with_things(draft.wall, kind, (*listed, *more))
        self.show_things(draft.changed(wall), kind)

    def show_thing(self, draft: Draft, kind: str, at: int) -> None:
        """Show one thing, with the ways to enter it anew or to take it out."""
        listed = things(draft.wall, kind)
        words, value = say_thing(listed[at], draft.system)
        others = listed[:at] + listed[at + 1 :]
        again = partial(self.show_thing, draft, kind, at)
        keep = partial(self._with, draft, kind, others)
        choices = [
            Choice(_("Enter it anew"), partial(self.ask.add, kind, draft, keep, again)),
            Choice(_("Take it out"), keep, "cross"),
            Choice(_("Back"), partial(self.show_things, draft, kind), card=BACK),
        ]
        one = listed[at]
        if isinstance(one, Stud):
            wood = partial(self.ask.ask_wood, draft, one, keep, again)
            choices.insert(1, Choice(_("Another wood"), wood))
        title = say("{what}: {value}", what=words, value=value)
        self._desk.put(AskScreen(self._desk.trim, title, choices))

    # -- what it is ------------------------------------------------------------------------------

    def show_facts(self, draft: Draft, page: int = 0) -> None:
        """Show what the wall is, where, and what depends on it."""
        self.draft = draft
        rows = []
        for fact in FACTS:
            value = fact.say(draft.wall, draft.system)
            act = partial(self._ask_fact, draft, fact.key)
            shape = "question" if fact.is_open(draft.wall) else ""
            rows.append(Row(fact.words, fact.line, act, shape, value))
        line = _("Where something is not said, nothing on this wall is rated.")
        shown = Listed(_("What the wall is"), rows, line)
        screen = ListScreen(
            self._desk.trim,
            shown,
            turn=partial(self.show_facts, draft),
            back=partial(self.show, draft),
            page=page,
        )
        self._desk.put(screen)

    def _ask_fact(self, draft: Draft, key: str) -> None:
        def use(wall: MeasuredWall) -> None:
            self.show_facts(draft.changed(wall))

        self.ask.ask_fact(draft, key, use, partial(self.show_facts, draft))

    # -- keeping ---------------------------------------------------------------------------------

    def show_problems(self, draft: Draft, problems: Problems, page: int = 0) -> None:
        """Show all that is wrong with a wall, each with the way out; nothing was kept."""
        rows = [Row(one.message, one.remedy, None, "question") for one in problems]
        count = say_n("{n} problem", "{n} problems", len(problems))
        title = say("Wall {wall}: {what}", wall=draft.wall.wall, what=count)
        shown = Listed(title, rows, _("Nothing is kept before all are mended."), columns=1)
        turn = partial(self.show_problems, draft, problems)
        back = partial(self.show, draft)
        self._desk.put(ListScreen(self._desk.trim, shown, turn=turn, back=back, page=page))

    def keep(self, draft: Draft) -> None:
        """Keep the wall as measured; what hangs on it is checked with it from then on."""
        person = self._desk.post.person

        def then(problems: Problems) -> None:
            self._desk.told(good=not problems)
            if problems:
                self.show_problems(draft, problems)
            else:
                self._ways.kept(draft)

        def call() -> Problems:
            return self._shop.measure_wall(draft.job, draft.wall, person=person)

        self._desk.ask_here(call, then, lost=NOT_KEPT)
