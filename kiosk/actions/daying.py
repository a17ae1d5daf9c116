"""Answer what to do now: keep a plan, follow the scans, plan anew where it matters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from random import Random

from kiosk.actions.daysearch import DaySearch, KeptPlan
from kiosk.actions.dayshop import LONGEST_HORIZON, DayShop
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.figure.day import draw_day
from kiosk.planner import Limit
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.carry import carry, is_worth, keep_near
from kiosk.rules.dayplan.day import DayPlan
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.means import HORIZON
from kiosk.rules.dayplan.model import Plan, Problem
from kiosk.rules.dayplan.pins import under_way
from kiosk.rules.dayplan.portfolio import first_plan, keys_by
from kiosk.rules.dayplan.search import improve
from kiosk.rules.dayplan.triggers import must_replan
from kiosk.rules.words import _
from kiosk.store import Store

SEED = 20260101  # the same question gets the same answer
EVALUATIONS = 240  # of a plan made at the command line: a second or two (choice)


class Daying(DayShop):
    """The day of a shop; the plan is kept in memory and carried over."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._kept: KeptPlan | None = None
        self._search = DaySearch()

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
        self._kept = self._in_hours(moment, lambda built: self._follow(built, moment))
        return self._say(self._kept, moment)

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
    ) -> None:
        """Begin to look for a better plan beside the work; `day` has it as soon as there is one.

        Args:
            heard: called from another thread each time a better plan was found, and at the end.
            seconds: how long to look at most.
            evaluations: how many plans each process tries at most.
            processes: how many; None: one for each core, 0: only a thread.
        """
        if self._kept is None:
            self.day()
        if self._kept is not None and self._kept.built.problem.chains:
            self._search.begin(
                self._kept,
                heard=heard,
                limit=Limit(seconds, evaluations, SEED),
                processes=processes,
            )

    def kept_plan(self, now: datetime) -> KeptPlan:
        """Return the plan for the shop as it is at a moment, as `day` follows it."""
        self._kept = self._follow(self.build_day(now), now)
        return self._kept

    def stop_improving(self) -> None:
        """End the search; the best plan found so far stays."""
        self._search.end()

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

    def print_day(self, person: str | None = None) -> str:
        """Write the day, or one person's sheet, as a PDF beside the shop's file; return which.

        Raises:
            OSError: the disk refused.
        """
        day = self.day()
        out = self.store.folder / f"day-{day.at.astimezone(self.zone):%Y-%m-%d}.pdf"
        return ", ".join(str(file) for file in self.write_day(day, out, person=person))

    # -- inside ----------------------------------------------------------------------------------

    def _in_hours(self, now: datetime, plan: Callable[[Built], KeptPlan]) -> KeptPlan:
        """Return a plan with hours known as far ahead as it needs; without work if none suffice."""
        days = HORIZON
        while True:
            built = self.build_day(now, days=days)
            try:
                return plan(built)
            except ValueError:  # the hours of the people end before all is done
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
            return KeptPlan(built, best_sound(built.problem, [_first(built.problem)]), now)
        pins = under_way(kept.plan, kept.built, built, now=now, scans=self.scans_today(now))
        problem = replace(built.problem, pins=pins)
        follows = _carry(kept, replace(built, problem=problem))
        found = self._search.take()
        better = [_carry(found, replace(built, problem=problem))] if found else []
        news = must_replan(kept.plan, kept.built, follows, built, made=kept.made, now=now)
        if not news and not better:
            plan = best_sound(problem, [follows])
            return KeptPlan(replace(built, problem=problem), plan, kept.made)
        # what begins soon stays, unless all would be better by far without it
        near = keep_near(follows, problem)
        stays = [
            _carry(KeptPlan(built, plan, now), replace(built, problem=near))
            for plan in (follows, *better)
        ]
        free = list(better)
        if news:
            stays.append(first_plan(near, follows.keys))
            free.append(first_plan(problem, follows.keys))
        calm, best = best_sound(near, stays), best_sound(problem, free)
        if is_worth(problem, best, before=calm):
            return KeptPlan(replace(built, problem=problem), best, now)
        return KeptPlan(replace(built, problem=near), calm, now)

    def _say(self, kept: KeptPlan, now: datetime) -> DayPlan:
        done = self.done_today(now, kept.built)
        day = say_day(kept.built, kept.plan, now=now, zone=self.zone, done=done)
        return replace(day, is_improving=self._search.is_on, closed=self.say_closed(now))


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
