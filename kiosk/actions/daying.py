"""Answer what to do now: keep a plan, follow the scans, plan anew where it matters."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from random import Random

from kiosk.actions.dayfollowing import DayFollowing, best_sound, first_by_rules
from kiosk.actions.dayoutlook import RUNS, Doubt, starts_of
from kiosk.actions.daysearch import KeptPlan
from kiosk.config import Settings
from kiosk.figure.day import draw_day
from kiosk.planner import Limit
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.chance import jobs_at_risk
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.model import Plan, Problem, Span
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.rules.dayplan.search import drop_needless_delays, improve
from kiosk.rules.dayplan.spread import learned_spread
from kiosk.rules.dayplan.whatif import best_change
from kiosk.rules.workday import spans_of

SEED = 20260101  # the same question gets the same answer
EVALUATIONS = 240  # of a plan made at the command line: a second or two (choice)
CHANGE_EVALUATIONS = 20  # of each change tried there (choice)


class Daying(DayFollowing):
    """The day of a shop; the plan people work by is carried over."""

    def use_settings(self, settings: Settings) -> None:
        """Work by these settings from now on; see `Core.use_settings`."""
        super().use_settings(settings)
        self._learned = None

    def day(self, now: datetime | None = None) -> DayPlan:
        """Return today as it is planned, at once: nothing is searched for here.

        A plan kept from before is followed: what was scanned is ticked off, what has begun stays,
        small surprises move times alone. Only what changes the work itself, as `must_replan` has
        it, is planned anew, from the priorities there are. Asked about now, a plan that is new is
        written into the log as the one people work by; a moment that is named writes nothing.
        """
        moment = now or self.now()
        kept = self.kept_plan(moment)
        if now is None:
            self._write_plan()
        return self._say(kept, moment)

    def worked_day(self, now: datetime) -> DayPlan | None:
        """Return today by the plan people work by, only followed; None where none is kept.

        A plan of an earlier day is planned anew where `must_replan` has it, as a kiosk would do.
        Nothing is written.
        """
        self._take_over(now)
        if self._kept is None:
            return None
        is_old = self._is_of_before(now)
        self._kept = self._in_hours(now, lambda built: self._follow(built, now, replans=is_old))
        self._taken = False
        return self._say(self._kept, now)

    def plan_day(self, now: datetime | None = None, *, evaluations: int = EVALUATIONS) -> DayPlan:
        """Return today planned with care; the same question gets the same answer.

        The search begins from the plan in the log, where there is one, and leaves it as it is
        unless the gain is worth it.

        Args:
            now: the moment asked about.
            evaluations: how many plans are tried at most.
        """
        moment = now or self.now()
        self._kept = self._entry = self._adopted = None
        self._take_over(moment)

        def searched(problem: Problem, first: Plan) -> Plan:
            if evaluations <= 0 or not problem.chains:
                return first
            draw = Random(SEED).random
            found = improve(problem, [first], draw=draw, evaluations=evaluations)
            return drop_needless_delays(problem, found)

        def plan(built: Built) -> KeptPlan:
            if self._kept is not None:
                kept = self._follow(built, moment)
                problem = kept.built.problem
                return self._weigh(kept, [searched(problem, kept.plan)], moment)
            first = first_by_rules(built.problem)
            found = searched(built.problem, first)
            return KeptPlan(built, best_sound(built.problem, [found, first]), moment)

        self._kept = self._in_hours(moment, plan)
        self._taken = False
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
                searches=again or not self._others,
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
            adopted=self._adopted,
            is_best=outlook.best_starts == starts_of(kept.built, kept.plan),
        )

    def _hours_today(self, now: datetime) -> tuple[Span, ...]:
        """Return everybody's stretches of today, those that are over too."""
        midnight = now.astimezone(self.zone).replace(hour=0, minute=0, second=0, microsecond=0)
        return tuple(
            Span(*pair)
            for _name, hours in self.staff(now)
            for pair in spans_of(hours, now=midnight, days=1, zone=self.zone)
        )
