"""Write a problem down for the solver: one start for each step, on the minutes of the wall clock.

A start's domain holds only minutes from which the step fits before the next break, so that hours
cost no constraint; rests are plain differences that run through night and weekend. Every window
stays soft by a Boolean. Each variable gets the value it has in the hint, as the solver makes
little of half a hint.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeAlias

from kiosk.proof.limits import heads, latest, staffed_until, tails
from kiosk.rules.dayplan.model import Lag, Minute, Placed, Plan, Problem, Span, Work

Key: TypeAlias = tuple[int, int]  # chain, work


@dataclass(frozen=True, slots=True)
class Term:
    """A number or an expression of the solver, and its value in the hint."""

    of: Any
    value: int

    def __add__(self, other: int) -> Term:
        """Return it with minutes more."""
        return Term(self.of + other, self.value + other)


@dataclass(slots=True)
class Step:
    """A step in the solver's terms; minutes count from `now`.

    late is 1 where it takes extra; people are those who can do it, 1 where they do.
    """

    work: Work
    starts: Term
    ends: Term
    size: Any
    late: Any = None
    people: dict[int, Any] = field(default_factory=dict)


@dataclass
class Form:
    """A problem in the solver's terms, beside the values that the hint gives.

    cp is the solver's module. Where the steps find people, benches and places is said by
    `kiosk.proof.room`.
    """

    cp: Any
    problem: Problem
    hint: Plan
    model: Any = None
    steps: dict[Key, Step] = field(default_factory=dict)
    finishes: dict[int, Term] = field(default_factory=dict)
    hinted: list[tuple[Any, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.model = self.cp.CpModel()
        for number, chain in enumerate(self.problem.chains):
            for index in range(len(chain.works)):
                self._add_step((number, index))
        for key, step in self.free_steps():
            self._order(key, step)
        self._finish_jobs()

    @cached_property
    def placed(self) -> dict[Key, Placed]:
        """Return the hint's steps."""
        return {(one.chain, one.work): one for one in self.hint.placed}

    @cached_property
    def pins(self) -> dict[Key, Span]:
        """Return when the pinned steps are, in minutes from `now`."""
        now = self.problem.now
        return {(x.chain, 0): Span(x.starts - now, x.ends - now) for x in self.problem.pins}

    @cached_property
    def latest(self) -> list[int]:
        """Return by when each job is finished in any plan as good, in minutes from `now`."""
        return [minute - self.problem.now for minute in latest(self.problem, self.hint)]

    @cached_property
    def scale(self) -> int:
        """Return by how much the aims are multiplied so that all are whole, to three decimals."""
        aims, jobs = self.problem.aims, self.problem.jobs
        rates = [aims.finish, *(aims.late * job.weight for job in jobs)]
        return 1 if all(rate == int(rate) for rate in rates) else 1000

    def free_steps(self) -> list[tuple[Key, Step]]:
        """Return the steps that are not pinned."""
        return [(key, step) for key, step in self.steps.items() if key not in self.pins]

    def cost(self) -> Any:
        """Return the lateness and finish of all jobs, times the scale."""
        aims, total = self.problem.aims, 0
        for number, finish in self.finishes.items():
            job = self.problem.jobs[number]
            total += round(self.scale * aims.finish) * finish.of
            if job.due is not None:
                due = job.due - self.problem.now
                most, late = max(0, self.latest[number] - due), max(0, finish.value - due)
                past = self.variable(0, most, late, f"late {number}")
                self.model.add(past.of >= finish.of - due)
                total += round(self.scale * aims.late * job.weight) * past.of
        return total

    def flow(self) -> Any:
        """Return the minutes from the start to the finish of all chains."""
        total = 0
        for number, chain in enumerate(self.problem.chains):
            if chain.works:
                total += self.maximum(self._tails(number)).of - self.steps[number, 0].starts.of
        return total

    def variable(self, low: int, high: int, value: int, name: str = "") -> Term:
        """Return a whole number between bounds."""
        made = self.model.new_int_var(low, high, name)
        self.hinted.append((made, value))
        return Term(made, value)

    def truth(self, *, value: bool) -> Any:
        """Return a Boolean."""
        made = self.model.new_bool_var("")
        self.hinted.append((made, int(value)))
        return made

    def maximum(self, terms: list[Term]) -> Term:
        """Return the largest of some terms."""
        value = max(term.value for term in terms)
        low = min([0, *(span.starts for span in self.pins.values())])
        most = self.variable(low, max([value, *self.latest]), value)
        self.model.add_max_equality(most.of, [term.of for term in terms])
        return most

    def domain(self, key: Key, room: int, people: Iterable[int] | None = None) -> Any:
        """Return the minutes at which a step fits in before a break of anybody who can do it."""
        chain, now = self.problem.chains[key[0]], self.problem.now
        work = chain.works[key[1]]
        last = self.latest[chain.job] - work.minutes
        found = []
        for who in range(len(self.problem.people)) if people is None else people:
            worker = self.problem.people[who]
            for span in worker.spans if worker.can(work.station) else ():
                low, high = max(0, span.starts - now), min(last, span.ends - now - room)
                if low <= high:
                    found.append([low, high])
        return self.cp.Domain.from_intervals(found)

    def _add_step(self, key: Key) -> None:
        work = self.problem.chains[key[0]].works[key[1]]
        if key in self.pins:
            pin = self.pins[key]
            starts, ends = Term(pin.starts, pin.starts), Term(pin.ends, pin.ends)
            self.steps[key] = Step(work, starts, ends, pin.ends - pin.starts)
            return
        one, now = self.placed[key], self.problem.now
        made = self.model.new_int_var_from_domain(self.domain(key, work.room), f"start {key}")
        self.hinted.append((made, one.starts - now))
        starts = Term(made, one.starts - now)
        step = self.steps[key] = Step(work, starts, starts + work.minutes, work.minutes)
        if work.extra and (work.closes or work.closes_at is not None):
            step.late = self.truth(value=one.extra > 0)
            step.size = work.minutes + work.extra * step.late
            last = self.latest[self.problem.chains[key[0]].job]
            step.ends = self.variable(0, last, one.ends - now)
            self.model.add(step.ends.of == made + step.size)
            domain = self.domain(key, work.room + work.extra)
            self.model.add_linear_expression_in_domain(made, domain).only_enforce_if(step.late)

    def _lagged(self, chain: int, lags: Iterable[Lag]) -> list[Term]:
        return [self.steps[chain, lag.work].ends + lag.minutes for lag in lags]

    def _tails(self, chain: int) -> list[Term]:
        ways = tails(self.problem.chains[chain])
        return [self.steps[chain, work].ends + minutes for work, minutes in ways]

    def _order(self, key: Key, step: Step) -> None:
        (number, index), work = key, step.work
        ready = self._lagged(number, work.waits)
        if index:
            ready.append(self.steps[number, index - 1].ends)
        for other in work.after:
            ready += self._tails(other)
        if work.earliest is not None:
            self.model.add(step.starts.of >= work.earliest - self.problem.now)
        for term in ready:
            self.model.add(step.starts.of >= term.of)
        if step.late is not None:
            closes = self._lagged(number, work.closes)
            if work.closes_at is not None:
                minute = work.closes_at - self.problem.now
                closes.append(Term(minute, minute))
            self._close(step, closes)

    def _close(self, step: Step, closes: list[Term]) -> None:
        """Make a step late exactly where it starts past any of its closes."""
        past = [step.late]
        if len(closes) > 1:
            past = [self.truth(value=step.starts.value > close.value) for close in closes]
            self.model.add_max_equality(step.late, past)
        for truth, close in zip(past, closes, strict=True):
            self.model.add(step.starts.of >= close.of + 1).only_enforce_if(truth)
            self.model.add(step.starts.of <= close.of).only_enforce_if(~truth)

    def _finish_jobs(self) -> None:
        """Let each job finish with its last chain, and no sooner than people can do its steps."""
        soonest = heads(self.problem)
        for job, most in enumerate(self.latest):
            own = [n for n, chain in enumerate(self.problem.chains) if chain.job == job]
            if own:
                lows = [staffed_until(self.problem, own), *(soonest[number] for number in own)]
                ready = [term for number in own for term in self._tails(number)]
                value = max((term.value for term in ready), default=0)
                low = max(lows) - self.problem.now
                finish = self.variable(low, most, max(value, low), f"finish {job}")
                for term in ready:
                    self.model.add(finish.of >= term.of)
                self.finishes[job] = finish
        # the people's hours bound the end of all jobs together too; the solver does not see it
        if len(self.finishes) > 1:
            low = staffed_until(self.problem, range(len(self.problem.chains)))
            everything = self.maximum(list(self.finishes.values()))
            self.model.add(everything.of >= low - self.problem.now)


def minutes_of(form: Form, span: Span) -> tuple[Minute, Minute]:
    """Return a span in minutes from `now`."""
    return span.starts - form.problem.now, span.ends - form.problem.now
