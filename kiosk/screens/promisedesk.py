"""Say when a job could hang: how sure, what it does to other jobs, and take a day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial

from kiosk.actions import Promised, SureDay
from kiosk.actions.promiseask import PromiseAsk, work_out_aside
from kiosk.rules.cards import BACK
from kiosk.rules.dayplan.chance import harmed, needs_more, say_held
from kiosk.rules.dayplan.promise import Effect
from kiosk.rules.hangday import say_day
from kiosk.rules.words import Phrase, _, capital, join, say, say_n
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.dayface import PromiseFace
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen

NOT_SEEN = _("When it could hang was not worked out. Try again.")
MOST = 3  # jobs named whose chance falls (choice)
TakeDay = Callable[[date], object]


class PromiseDesk:
    """The screens of a promise."""

    def __init__(self, shop: PromiseFace, desk: DeskFace) -> None:
        self._shop, self._desk = shop, desk

    def open(
        self,
        prepare: Callable[[], PromiseAsk],
        name: str,
        *,
        take: TakeDay,
        back: Callable[[], object],
    ) -> None:
        """Work out when a job could hang, and show it.

        Args:
            prepare: asks the shop for what it is worked out from.
            name: of the job or its list.
            take: takes a day as hang day.
            back: leads to where it was asked; also given as the way to cancel.
        """
        words = say("Running the shop forward for {name}", name=name)
        desk = self._desk
        busy = BusyScreen(desk.trim, words, to_bench=desk.open_bench, cancel=back)
        desk.put(busy)

        def is_wanted() -> bool:
            return desk.show is busy

        def prepared(ask: PromiseAsk) -> None:
            if is_wanted():
                call = partial(work_out_aside, ask, is_wanted)
                desk.ask_aside(call, partial(worked_out, ask), lost=NOT_SEEN)

        def worked_out(ask: PromiseAsk, found: object) -> None:
            if is_wanted():
                desk.ask_here(lambda: self._shop.say_promise(ask, found), then, lost=NOT_SEEN)

        def then(promised: Promised) -> None:
            self.show(promised, name, take=take, back=back)

        desk.ask(prepare, prepared, lost=NOT_SEEN)

    def show(
        self, found: Promised, name: str, *, take: TakeDay, back: Callable[[], object]
    ) -> None:
        """Show which days could be promised; a tap takes one."""
        days = list(dict.fromkeys(one.day for one in found.days if one.day is not None))
        choices = [
            Choice(say("Take {day}", day=say_day(day)), partial(take, day), "tick") for day in days
        ]
        choices.append(Choice(_("Back"), back, card=BACK))
        title = say("{name}: no day is in sight", name=name)
        if days:
            title = say("{name} could hang on {day}", name=name, day=say_day(days[0]))
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=say_promised(found)))


def say_promised(found: Promised) -> Phrase:
    """Return how sure the days are, and what the job does to those present."""
    if found.promise is None:
        return _("Nobody works here by the hours set, or nothing of it can be planned.")
    runs = found.promise.runs
    told = [one for one in found.days if one.day is not None or one.needs]
    sure = join(dict.fromkeys(capital(say_sure(one, runs)) for one in told), ". ")
    less_sure = harmed(found.promise.effects)
    effects = join((say_effect(one, runs) for one in less_sure[:MOST]), "; ")
    if len(less_sure) > MOST:
        more = len(less_sure) - MOST
        others = say_n("and {n} other job less sure", "and {n} other jobs less sure", more)
        effects = join((effects, others), "; ")
    if found.promise.effects and not less_sure:
        effects = capital(_("the days of the jobs present are no less sure for it"))
    honest = _("An estimate from this shop's own times, not a guarantee")
    return join((sure, effects, honest), ". ")


def say_sure(one: SureDay, runs: int) -> Phrase:
    """Return in how many runs a day held, or that so few runs cannot tell."""
    if one.day is None:
        return needs_more(one.certainty, runs, needs=one.needs)
    return say("up by {day}: {held}", day=say_day(one.day), held=say_held(one.held, runs))


def say_effect(one: Effect, runs: int) -> Phrase:
    """Return what a new job does to one that is present, in how many of the runs."""
    before, after = round(one.before * runs), round(one.after * runs)
    return say(
        "{job} would hold its day in {after} of {runs} trial runs, without it in {before}",
        job=one.job,
        after=after,
        runs=runs,
        before=before,
    )
