"""Lead through the parts left to cut: a tap records the cut and prints the part's label."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from kiosk.actions import Wanted
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.labelpress import LabelPress, Told
from kiosk.screens.partscreen import PartActs, PartsScreen
from kiosk.screens.partview import PartLine, PartsView, done, say_times, see_uncut
from kiosk.screens.prints import Prints
from kiosk.screens.troubles import Trouble, say_troubles
from labels.codes import shown

NOT_SEEN = _("The parts left to cut could not be shown. Try again.")


class CutDesk:
    """The list of parts left to cut.

    Rows stay where they are while the list is open, so that a second tap at the same spot never
    records another part.
    """

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        press: LabelPress,
        prints: Prints,
        *,
        back: Callable[[], object],
    ) -> None:
        self._shop, self._desk, self._press, self._back = shop, desk, press, back
        self._prints = prints
        self._view = PartsView(())
        self._page = 0
        self._said = ""
        self._job = ""
        self._asked: set[str] = set()
        self._screen: PartsScreen | None = None
        self._shown: tuple[Trouble, ...] = ()

    def open(self, job: str) -> None:
        """Show the parts of a job that are left to cut."""
        before = self._desk.show

        def then(view: PartsView) -> None:
            if self._desk.show is before:
                self.show(view, job)

        self._desk.ask(lambda: see_uncut(self._shop, job), then, lost=NOT_SEEN)

    def show(self, view: PartsView, job: str, *, said: str = "") -> None:
        """Show a list from its first page on, and what was just done."""
        self._view, self._job, self._page, self._said = view, job, 0, said
        self._asked = {line.code for line in view.lines if line.is_done}
        self._show()

    def _show(self, page: int | None = None) -> None:
        desk = self._desk
        self._page = self._page if page is None else page
        left = sum(not line.is_done for line in self._view.lines)
        title = say("{job}: all is cut", job=self._job)
        if left:
            title = say("Cut next: {n} of {job} left", n=left, job=self._job)
        extra = Choice(_("Strike last"), desk.strike, "cross")
        acts = PartActs(self.cut, self._show, self._back, extra)
        troubles = self._prints.troubles()
        said = self._said or _("Tap a part once it is cut: that records it and prints its label.")
        if troubles:  # worth more than what went well
            said = say_troubles(troubles)
        self._screen = PartsScreen(
            desk.trim, self._view, acts, title=title, said=said, page=self._page
        )
        # sheet goods take longer to cut than a screen left alone stays
        self._screen.stays = True
        self._shown = troubles
        desk.put(self._screen)

    def refresh(self) -> None:
        """Say what is not printed, and no more what is; to be called when a print changed."""
        if self._is_open and self._prints.troubles() != self._shown:
            self._said = ""  # gone to the printer: that is no longer all that is to be said
            self._show()

    @property
    def _is_open(self) -> bool:
        return self._screen is not None and self._desk.show is self._screen

    def cut(self, line: PartLine) -> None:
        """Record that a part is cut, then print its label where it never was."""
        if line.code in self._asked:
            return
        self._asked.add(line.code)
        desk, person = self._desk, self._desk.post.person

        def then(answer: Answer) -> None:
            if answer.outcome == Outcome.RECORDED:
                desk.told(good=True)
                self._recorded(line)
            else:
                self._asked.discard(line.code)
                desk.take_answer(answer)

        desk.ask(
            lambda: self._shop.scan(line.code, station="cut", person=person),
            then,
            lost=say("{shown} was not recorded. Tap it again.", shown=shown(line.code)),
        )

    def take(self, answer: Answer) -> bool:
        """Say on the list what was scanned or struck; a refusal asks more than it has room for."""
        if not self._is_open or answer.outcome != Outcome.RECORDED:
            return False
        about = join((answer.unit, answer.unit_name, answer.part))
        self._say(join((join((answer.message, about), ": "), answer.detail), ". "))
        job = self._job
        self._desk.ask(
            lambda: see_uncut(self._shop, job), lambda fresh: self._mark(fresh, job), lost=NOT_SEEN
        )
        return True

    def _mark(self, fresh: PartsView, job: str) -> None:
        """Tick what is cut by now, and no more what is not; what is new stands last."""
        if not self._is_open or job != self._job:
            return
        left = {line.code: line for line in fresh.lines}
        before = {line.code: line for line in self._view.lines}
        ticked = {code for code, line in before.items() if line.is_done}
        lines = [left.get(code) or done(line) for code, line in before.items()]
        new = [line for code, line in left.items() if code not in before]
        self._view = replace(self._view, lines=(*lines, *new))
        # what was tapped and is not answered yet still counts as asked
        asked = self._asked - ticked
        self._asked = asked | {line.code for line in lines if line.is_done}
        self._show()

    def _recorded(self, line: PartLine) -> None:
        lines = [done(one) if one.code == line.code else one for one in self._view.lines]
        self._view = replace(self._view, lines=tuple(lines))
        name = say("Cut: {part}", part=line.title.replace("  ", " "))
        if line.printed:
            self._say(
                say(
                    "{cut}. Its label was {printed} before.",
                    cut=name,
                    printed=say_times(line.printed),
                )
            )
            return
        self._say(name)
        wanted = Wanted(line.job, only=[line.code], stock=self._prints.chosen)
        self._press.make_for(wanted, partial(self._printed, name))

    def _printed(self, name: str, told: Told) -> None:
        words = join((name, told.title), ". ")
        self._say(words if told.good else join((words, told.line), ". "))
        if told.file is not None:
            self._say(join((words, str(told.file)), ": "))

    def _say(self, words: str) -> None:
        self._said = words
        if self._is_open:
            self._show()
