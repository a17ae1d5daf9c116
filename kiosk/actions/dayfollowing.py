"""Follow the plan people work by through the scans, and weigh what would be better."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from kiosk.actions.daykeeping import DayKeeping
from kiosk.actions.dayoutlook import Outlook
from kiosk.actions.daysearch import KeptPlan
from kiosk.actions.dayshop import LONGEST_HORIZON
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.dayplan import gridcheck, sweepcheck
from kiosk.rules.dayplan.built import Built
from kiosk.rules.dayplan.carry import carry, is_worth, keep_near, put_near_first
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.means import HORIZON
from kiosk.rules.dayplan.model import HoursError, Plan, Problem
from kiosk.rules.dayplan.passed import settle
from kiosk.rules.dayplan.pins import begun_at_scans, under_way
from kiosk.rules.dayplan.portfolio import first_plan, keys_by
from kiosk.rules.dayplan.search import drop_needless_delays
from kiosk.rules.dayplan.triggers import must_replan
from kiosk.rules.words import _
from kiosk.store import Store

JUST = timedelta(minutes=5)  # what was adopted so lately has all news in it (choice)


class DayFollowing(DayKeeping):
    """The plan for the shop as it is now, from the one that was kept."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        super().__init__(store, settings, clock)
        self._outlook = Outlook()
        # how often the work itself was planned anew, and at which count it was looked at last
        self._news, self._looked = 0, -1

    def kept_plan(self, now: datetime) -> KeptPlan:
        """Return the plan for the shop as it is at a moment, as `day` follows it.

        What another process adopted since is taken over, and what was looked for here let go. It
        has just seen to all news, so that here nothing is planned anew at once: two kiosks whose
        settings differ would take turns for ever.
        """
        replans, had = True, self._kept is not None
        if self._take_over(now):
            self._forget()
            self._search.take()
            replans = not had or self._kept is None or now - self._kept.made > JUST
        self._kept = self._in_hours(now, lambda built: self._follow(built, now, replans=replans))
        self._taken = False
        return self._kept

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

    def _follow(self, built: Built, now: datetime, *, replans: bool = True) -> KeptPlan:
        """Return the plan for the shop as it is now, from the one kept."""
        kept = self._kept
        if kept is None or not built.problem.chains:
            self._forget()
            self._adopted = None
            return KeptPlan(built, best_sound(built.problem, [first_by_rules(built.problem)]), now)
        scans = self.scans_today(now)
        if self._taken and not self._is_of_before(now):
            begun = begun_at_scans(kept.plan, kept.built, built, scans=scans)
            kept = replace(kept, plan=begun)
        settled = settle(kept.plan, kept.built, built, now=now, scans=scans, is_whole=self.is_whole)
        kept, built = KeptPlan(settled[1], settled[0], kept.made), settled[2]
        pins = under_way(kept.plan, kept.built, built, now=now, scans=scans)
        problem = replace(built.problem, pins=pins)
        present = replace(built, problem=problem)
        follows = _carry(kept, present)
        found = self._search.take()
        self._outlook = self._search.take_outlook() or self._outlook
        better = [_carry(found, present)] if found else []
        better = [drop_needless_delays(problem, plan) for plan in better]
        news = replans and must_replan(kept.plan, kept.built, follows, built, now=now)
        plan = best_sound(problem, [follows])
        if news:
            self._forget()
            self._adopted, self._others = None, False  # so long the plan holds, changed or not
        followed = KeptPlan(present, plan, kept.made)
        return self._weigh(followed, better, now, news=news) if news or better else followed

    def _weigh(
        self, kept: KeptPlan, better: Sequence[Plan], now: datetime, *, news: bool = False
    ) -> KeptPlan:
        """Return a kept plan, or a better one of its problem that is worth the unrest.

        With news the simple rules are tried as well. What begins soon stays, unless all would be
        better by far without it.
        """
        built, problem = kept.built, kept.built.problem
        near = keep_near(kept.plan, problem)
        stays = [
            _carry(KeptPlan(built, one, now), replace(built, problem=near))
            for one in (kept.plan, *better)
        ]
        free = list(better)
        if news:
            stays.append(first_plan(near, kept.plan.keys))
            free.append(first_plan(problem, kept.plan.keys))
        calm, best = best_sound(near, stays), best_sound(problem, free)
        pinned, chosen = (problem, best) if is_worth(problem, best, before=calm) else (near, calm)
        if not is_worth(problem, chosen, before=kept.plan):  # a trifle is not worth the unrest
            return replace(kept, made=now) if news else kept
        self._adopted = None
        chosen = put_near_first(chosen, pinned)
        return KeptPlan(replace(built, problem=pinned), chosen, now)

    def _forget(self) -> None:
        """Let go what was worked out about a plan that does not hold any more."""
        self._outlook = Outlook()
        self._search.close()
        self._news += 1


def first_by_rules(problem: Problem) -> Plan:
    """Return the best plan by simple rules; an empty one where there is nothing to do."""
    return first_plan(problem) if problem.chains else Plan((), 0.0)


def _carry(kept: KeptPlan, new: Built) -> Plan:
    """Return the plan that the priorities and people of a kept one lead to."""
    carried = carry(new.problem, new.names, (kept.built, kept.plan))
    return decode(new.problem, carried.keys, delays=carried.delays, people=carried.people)


def best_sound(problem: Problem, plans: Sequence[Plan]) -> Plan:
    """Return the cheapest of the plans both checkers accept; else the one by due dates alone."""
    for plan in sorted(plans, key=lambda plan: plan.cost):
        if is_sound(problem, plan):
            return plan
    return decode(problem, keys_by(problem, "earliest due date"))


def is_sound(problem: Problem, plan: Plan) -> bool:
    """Tell whether both checkers accept a plan."""
    return not gridcheck.find_faults(problem, plan) and not sweepcheck.find_faults(problem, plan)
