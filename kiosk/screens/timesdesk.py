"""How long steps take: what scans taught, what the routes say, and what the shop says itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from kiosk.rules.problems import Problem
from kiosk.rules.times import read_minutes
from kiosk.rules.words import _, join, known, say, say_n
from kiosk.screens.dayface import DayFace, TimeFace
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.figurepad import Ask, FigurePad
from kiosk.screens.flow import say_problems
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("The times could not be shown. Try again.")
NOT_KEPT = _("The time was not kept. Try again.")
NO_MINUTES = _("That is no time. Type minutes, such as 25.")


class TimesDesk:
    """The list of steps with their times, and the pad to set one."""

    def __init__(self, shop: DayFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        self._shop, self._desk, self._back = shop, desk, back

    def open(self, page: int = 0) -> None:
        """Show how long each step of each kind takes."""

        def then(times: Sequence[TimeFace]) -> None:
            self.show(times, page)

        self._desk.ask_here(self._shop.touch_times, then, lost=NOT_SEEN)

    def show(self, times: Sequence[TimeFace], page: int = 0) -> None:
        """Show a page of times; a tap sets one."""
        rows = [
            Row(
                say("{kind}: {step}", kind=known(one.kind, "kind"), step=one.title),
                say_source(one),
                partial(self.ask, one, page),
                "tick" if one.set is not None else "",
                say_minutes(one.used),
            )
            for one in times
        ]
        line = _("Tap a step to say how long it takes here; a tick marks what the shop said.")
        listed = Listed(_("How long steps take"), rows, line, _("There is no route yet."))
        turn = partial(self.show, times)
        self._desk.put(ListScreen(self._desk.trim, listed, turn=turn, back=self._back, page=page))

    def ask(self, one: TimeFace, page: int, typed: str = "", wrong: str = "") -> None:
        """Ask how long a step takes, in minutes."""

        def use(figure: str) -> None:
            minutes = read_minutes(figure)
            if minutes is None or minutes <= 0:
                self.ask(one, page, figure, NO_MINUTES)
                return
            self._keep(one, minutes, page, figure)

        what = say("{kind}: {step}", kind=known(one.kind, "kind"), step=one.title)
        question = say("{what}: {source}", what=what, source=say_source(one, spread=True))
        extra: tuple[Choice, ...] = ()
        if one.set is not None:
            words = _("As learned") if one.learned is not None else _("As in the route")
            extra = (Choice(words, lambda: self._keep(one, None, page, typed)),)
        ask = Ask(question, unit=_("min"), typed=typed, wrong=wrong)
        back = partial(self.open, page)
        self._desk.put(FigurePad(self._desk.trim, ask, use=use, back=back, extra=extra))

    def _keep(self, one: TimeFace, minutes: float | None, page: int, typed: str) -> None:
        def then(problems: Sequence[Problem] | None) -> None:
            if problems:
                self.ask(one, page, typed, say_problems(tuple(problems)))
            else:
                self.open(page)

        self._desk.ask_here(
            lambda: self._shop.set_touch_time(one.kind, one.step, minutes), then, lost=NOT_KEPT
        )


def say_minutes(minutes: float) -> str:
    """Return a time as it is shown."""
    return say("{minutes:g} min", minutes=round(minutes, 1))


def say_source(one: TimeFace, *, spread: bool = False) -> str:
    """Return where a time comes from; spread: also how long four of five take at most."""
    route = say("route {minutes}", minutes=say_minutes(one.catalogue))
    if one.learned is None:
        return join((route, _("not learned yet")), ", ")
    learned = say_n(
        "learned {minutes} ({n} scan)",
        "learned {minutes} ({n} scans)",
        one.count,
        minutes=say_minutes(one.learned),
    )
    most = ""
    if spread and one.eighty is not None:
        most = say("four of five within {minutes}", minutes=say_minutes(one.eighty))
    return join((learned, most, route), ", ")
