"""Answer what to do now: keep a plan, follow the scans, plan anew where it matters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from random import Random

from kiosk.actions.dayoutlook import RUNS, Doubt, Outlook, starts_of
from kiosk.actions.daysearch import DaySearch, KeptPlan
from kiosk.actions.dayshop import LONGEST_HORIZON, DayShop
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.figure.day import draw_day
from kiosk.planner import Limit
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.carry import carry, is_worth, keep_near
from kiosk.rules.dayplan.chance import jobs_at_risk
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.means import HORIZON
from kiosk.rules.dayplan.model import HoursError, Plan, Problem, Span
from kiosk.rules.dayplan.passed import settle
from kiosk.rules.dayplan.pins import under_way
from kiosk.rules.dayplan.portfolio import first_plan, keys_by
from kiosk.rules.dayplan.search import drop_needless_delays, improve
from kiosk.rules.dayplan.spread import learned_spread
from kiosk.rules.dayplan.triggers import must_replan
from kiosk.rules.dayplan.whatif import best_change
from kiosk.rules.words import _
from kiosk.rules.workday import spans_of
from kiosk.store import Store

SEED = 20260101  # the same question gets the same answer
EVALUATIONS = 240  # of a plan made at the command line: a second or two (choice)
CHANGE_EVALUATIONS = 20  # of each change tried there (choice)


class Daying(DayShop):
    """The day of a shop; the plan is kept in memory and carried over."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._kept: KeptPlan | None = None
        self._search = DaySearch()
        self._outlook = Outlook()
        # how often the work itself was planned anew, and at which count it was looked at last
        self._news, self._looked = 0, -1

    def use_settings(self, settings: Settings) -> None:
        """Work by these settings from now on; see `Core.use_settings`."""
        super().use_settings(settings)
        self._learned = None

    def day(self, now: datetime | None = None) -> DayPlan:
        """Return today as it is planned, at once: nothing is searched for here.

        A plan kept from before is followed: what was scanned is ticked off, what has begun stays,
        small surprises move times alone. Only what changes the work itself, as `must_replan` has
        it, is planned anew, from the priorities there are.
        """
        moment = now or self.now()
        return self._say(self.kept_plan(moment), moment)

    def plan_day(self, now: datetime | None = None, *, evaluations: int = EVALUATIONS) -> DayPlan:
        """Return today planned with care; the same question gets the same answer.

        Args:
            now: the moment asked about.
            evaluations: how many plans are tried at most.
        """
        moment = now or self.now()

        def plan(built: Built) -> KeptPlan:
            found = first = _first(built.problem)
            if evaluations > 0 and built.problem.chains:
                draw = Random(SEED).random
                found = improve(built.problem, [first], draw=draw, evaluations=evaluations)
                found = drop_needless_delays(built.problem, found)
            return KeptPlan(built, best_sound(built.problem, [found, first]), moment)

        self._kept = self._in_hours(moment, plan)
        return self._say(self._kept, moment)

    def improve_day(
        self,
        heard: Callable[[], object] | None = None,
        *,
        seconds: float = 20.0,
        evaluations: int | None = None,
        processes: int | None = None,
        again: bool = True,
    ) -> None:
        """Begin to look for a better plan beside the work; `day` has it as soon as there is one.

        Then it is worked out what would help late jobs, how likely hang days hold, and, on a small
        day and with the extra `proof`, whether the plan is the best there is.

        Args:
            heard: called from another thread each time a better plan was found, and at the end.
            seconds: how long to look at most.
            evaluations: how many plans each process tries at most.
            processes: how many; None: one for each core, 0: only a thread.
            again: False looks only where this plan was not looked at before.
        """
        if self._kept is None:
            self.day()
        kept = self._kept
        if kept is None or not kept.built.problem.chains:
            return
        if again or self._looked != self._news:
            self._looked = self._news
            self._search.begin(
                kept,
                heard=heard,
                limit=Limit(seconds, evaluations, SEED),
                processes=processes,
                doubt=self.doubt(kept, self.now()),
            )

    def with_change(self, day: DayPlan, *, evaluations: int = CHANGE_EVALUATIONS) -> DayPlan:
        """Return a day plan that says which single change would help its late jobs most.

        evaluations is how many plans are tried for each change; the same question gets the same
        answer. Nothing is tried where no job is late.
        """
        if not day.late_jobs:
            return day
        kept = self.kept_plan(day.at)

        def planned(problem: Problem) -> Plan:
            draw = Random(SEED).random
            return improve(problem, [first_plan(problem)], draw=draw, evaluations=evaluations)

        return replace(day, change=best_change(kept.built, kept.plan, planned))

    def kept_plan(self, now: datetime) -> KeptPlan:
        """Return the plan for the shop as it is at a moment, as `day` follows it."""
        self._kept = self._in_hours(now, lambda built: self._follow(built, now))
        return self._kept

    def stop_improving(self) -> None:
        """End the search; the best plan found so far stays."""
        self._search.end()

    def end_planning(self) -> None:
        """End all that goes on beside the shop."""
        self._search.close()

    def doubt(self, kept: KeptPlan, now: datetime) -> Doubt:
        """Return how times spread here, and since when what rests has rested."""
        spread = learned_spread(self.day_times(now).values())
        return Doubt(spread, self._resting(kept.built, now))

    # -- on paper --------------------------------------------------------------------------------

    def write_day(
        self, day: DayPlan, out: Path, *, paper: str = "", person: str | None = None
    ) -> tuple[Path, ...]:
        """Write the day to a PDF, or to PNG pictures, one a page; return the files.

        Args:
            day: as it was answered.
            out: the file; its folder must exist.
            paper: a4 or letter; empty: as in the settings.
            person: only this one's sheet; None: all of it.

        Raises:
            OSError: the disk refused.
        """
        return draw_day(
            day,
            out,
            paper=paper or self.settings.paper,
            zone=self.zone,
            person=person,
            shop=self.settings.shop,
        )

    # -- inside ----------------------------------------------------------------------------------

    def _in_hours(self, now: datetime, plan: Callable[[Built], KeptPlan]) -> KeptPlan:
        """Return a plan with hours known as far ahead as it needs; without work if none suffice."""
        days = HORIZON
        while True:
            built = self.build_day(now, days=days)
            try:
                return plan(built)
            except HoursError:
                days *= 2
            if days > LONGEST_HORIZON:
                note = _("There is more work than hours in the next years: nothing is planned.")
                bare = replace(built.problem, chains=(), pins=())
                bare_built = replace(built, problem=bare, names=(), notes=(*built.notes, note))
                return KeptPlan(bare_built, Plan((), 0.0), now)

    def _follow(self, built: Built, now: datetime) -> KeptPlan:
        """Return the plan for the shop as it is now, from the one kept."""
        kept = self._kept
        if kept is None or not built.problem.chains:
            self._forget()
            return KeptPlan(built, best_sound(built.problem, [_first(built.problem)]), now)
        scans = self.scans_today(now)
        settled = settle(kept.plan, kept.built, built, now=now, scans=scans, is_whole=self.is_whole)
        kept, built = KeptPlan(settled[1], settled[0], kept.made), settled[2]
        pins = under_way(kept.plan, kept.built, built, now=now, scans=scans)
        problem = replace(built.problem, pins=pins)
        follows = _carry(kept, replace(built, problem=problem))
        found = self._search.take()
        self._outlook = self._search.take_outlook() or self._outlook
        better = [_carry(found, replace(built, problem=problem))] if found else []
        better = [drop_needless_delays(problem, plan) for plan in better]
        news = must_replan(kept.plan, kept.built, follows, built, now=now)
        plan = best_sound(problem, [follows])
        if not news and not better:
            return KeptPlan(replace(built, problem=problem), plan, kept.made)
        if news:
            self._forget()
        # what begins soon stays, unless all would be better by far without it
        near = keep_near(follows, problem)
        stays = [
            _carry(KeptPlan(built, one, now), replace(built, problem=near))
            for one in (follows, *better)
        ]
        free = list(better)
        if news:
            stays.append(first_plan(near, follows.keys))
            free.append(first_plan(problem, follows.keys))
        calm, best = best_sound(near, stays), best_sound(problem, free)
        pinned, chosen = (problem, best) if is_worth(problem, best, before=calm) else (near, calm)
        if not is_worth(problem, chosen, before=plan):  # a trifle is not worth the unrest
            pinned, chosen = problem, plan
        return KeptPlan(replace(built, problem=pinned), chosen, now)

    def _say(self, kept: KeptPlan, now: datetime) -> DayPlan:
        done = self.done_today(now, kept.built)
        hours = self._hours_today(now)
        day = say_day(kept.built, kept.plan, now=now, zone=self.zone, done=done, hours=hours)
        outlook = self._outlook
        late = tuple(
            replace(one, chance=outlook.chance.get(one.job, one.chance), runs=RUNS)
            for one in day.late_jobs
        )
        risk = jobs_at_risk(
            kept.built, kept.plan, outlook.chance, runs=RUNS, now=now, zone=self.zone
        )
        return replace(
            day,
            is_improving=self._search.is_on,
            closed=self.say_closed(now),
            late_jobs=late,
            at_risk=risk,
            change=outlook.change if late else "",
            is_best=outlook.best_starts == starts_of(kept.built, kept.plan),
        )

    def _forget(self) -> None:
        """Let go what was worked out about a plan that does not hold any more."""
        self._outlook = Outlook()
        self._search.close()
        self._news += 1

    def _hours_today(self, now: datetime) -> tuple[Span, ...]:
        """Return everybody's stretches of today, those that are over too."""
        midnight = now.astimezone(self.zone).replace(hour=0, minute=0, second=0, microsecond=0)
        return tuple(
            Span(*pair)
            for _name, hours in self.staff(now)
            for pair in spans_of(hours, now=midnight, days=1, zone=self.zone)
        )


def _first(problem: Problem) -> Plan:
    """Return the best plan by simple rules; an empty one where there is nothing to do."""
    return first_plan(problem) if problem.chains else Plan((), 0.0)


def _carry(kept: KeptPlan, new: Built) -> Plan:
    """Return the plan that the priorities of a kept one lead to."""
    carried = carry(new.problem, new.names, (kept.built, kept.plan))
    return decode(new.problem, carried.keys, delays=carried.delays)


def best_sound(problem: Problem, plans: Sequence[Plan]) -> Plan:
    """Return the cheapest of the plans both checkers accept; else the one by due dates alone."""
    for plan in sorted(plans, key=lambda plan: plan.cost):
        if is_sound(problem, plan):
            return plan
    return decode(problem, keys_by(problem, "earliest due date"))


def is_sound(problem: Problem, plan: Plan) -> bool:
    """Tell whether both checkers accept a plan."""
    return not gridcheck.find_faults(problem, plan) and not sweepcheck.find_faults(problem, plan)
