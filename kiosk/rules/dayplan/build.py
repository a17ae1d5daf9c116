"""Make a day plan's problem from the shop as it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from kiosk.rules.dayplan.built import Built, ChainNames
from kiosk.rules.dayplan.means import FAR, Limits, Means
from kiosk.rules.dayplan.model import Chain, Due, Frees, Hold, Minute, Problem
from kiosk.rules.dayplan.sitework import Draft, JobWorks, Key
from kiosk.rules.dayplan.works import UnitWorks
from kiosk.rules.floor import name_units, role_of
from kiosk.rules.fold import UnitState
from kiosk.rules.naming import natural
from kiosk.rules.route import State
from kiosk.rules.standing import Standing
from kiosk.rules.words import _, say
from kiosk.rules.workday import closing, minute_of


def build(
    states: Mapping[Key, UnitState],
    standings: Mapping[Key, Standing],
    means: Means,
    *,
    hang_days: Mapping[str, date | None],
) -> Built:
    """Return the problem of a shop at one moment.

    Every unit that is not up yet has a chain, or is named in the notes with what keeps it out, or
    its job is: one whose hang day is years away is not planned yet.

    Args:
        states: the units of all open jobs.
        standings: where each of them stands at the same moment.
        means: what the shop plans with.
        hang_days: by job, None where a job has none.
    """
    # in whatever order a store hands units over, the same shop is the same problem
    states = {key: states[key] for key in sorted(states, key=lambda key: [*map(natural, key)])}
    workers, notes = means.workers()
    limits = Limits(workers, means.minute)
    every = sorted({job for job, _unit in states}, key=natural)
    days = {job: hang_days.get(job) for job in every}
    jobs = [job for job in every if not means.is_far(days[job])]
    notes = (*notes, *(_far_off(job) for job in every if job not in jobs))
    empty = Problem(means.minute, workers, means.all_benches(), means.stores(), (), ())
    if not workers:
        return Built(empty, (), days, (*notes, _("Nobody works in the time that is planned.")))
    names = name_units(one for one in standings.values() if one.state != State.HUNG)
    names |= {key: key[1] for key in states if key not in names}
    held = _held(states, standings, means, limits)
    drafts: list[tuple[int, Draft]] = []
    said = list(notes)
    for number, job in enumerate(jobs):
        mine = {key: state for key, state in states.items() if key[0] == job}
        works = JobWorks(mine, standings, means, limits)
        drafts += [(number, draft) for draft in works.chains(names, held, days[job])]
        said += works.notes
    # what bends for one unit does so for all like it: it is said once
    said += dict.fromkeys(words for _n, draft in drafts for words in draft.made.bends)
    problem = replace(
        empty,
        jobs=tuple(Due(job, _due(days[job], means)) for job in jobs),
        chains=_chains(drafts),
    )
    return Built(problem, tuple(_named(draft) for _n, draft in drafts), days, tuple(said))


def _far_off(job: str) -> str:
    """Return in words that a job is left out."""
    words = _("{job} is left out: its hang day is more than {n} days away")
    return say(words, job=job, n=FAR)


def _due(day: date | None, means: Means) -> int | None:
    """Return when a job should be up: when the shop closes on its hang day."""
    return None if day is None else closing(means.hours, day, means.setup.zone)


def _held(
    states: Mapping[Key, UnitState],
    standings: Mapping[Key, Standing],
    means: Means,
    limits: Limits,
) -> dict[Key, Hold]:
    """Return what each unit takes up now, never more than a place has; who came first has a slot.

    So nobody loses it by a scan, nor because a rest ends.
    """
    room = {store.place: store.slots for store in means.stores()}
    there: list[tuple[Minute, str, UnitWorks]] = []
    for key in sorted(states, key=lambda key: [*map(natural, key)]):
        one = standings[key]
        role = "" if one.state in (State.HUNG, State.ON_HOLD) else role_of(one)
        works = UnitWorks(states[key], one, means, limits)
        there.append((_came(works, role), means.place(role) if role else "", works))
    found: dict[Key, Hold] = {}
    for _minute, place, works in sorted(there, key=lambda one: one[0]):
        if not room.get(place):
            continue
        hold = Hold(place)
        if works.standing.station == "install":
            hold = Hold(place, frees=Frees.REST, minutes=works.stands_now())
        if hold.frees != Frees.REST or hold.minutes:
            room[place] -= 1
            found[works.standing.job, works.standing.unit] = hold
    return found


def _came(works: UnitWorks, role: str) -> Minute:
    """Return since when a unit is in the place of a role.

    That is its glue-up, or its first step at the finish bench.
    """
    done = works.state.done
    ends = [
        minute_of(done[name].at)
        for name, step in works.by_name.items()
        if name in done and (step.uses == "glue" if role == "glue" else step.station == "finish")
    ]
    return min(ends, default=works.means.minute)


def _chains(drafts: list[tuple[int, Draft]]) -> tuple[Chain, ...]:
    """Return the chains, each with what must be finished before it by its number."""
    numbers = {draft.name: n for n, (_job, draft) in enumerate(drafts)}
    found = []
    for job, draft in drafts:
        first, *rest = draft.made.works
        after = tuple(sorted(numbers[name] for name in draft.after))
        starts = [minute for minute in (first.earliest, draft.earliest) if minute is not None]
        first = replace(first, after=after, earliest=max(starts, default=None))
        # a plain string, as other processes are given the problem and phrases cannot go there
        found.append(Chain(job, draft.unit[:], (first, *rest), draft.ends, draft.held))
    return tuple(found)


def _named(draft: Draft) -> ChainNames:
    made = draft.made
    return ChainNames(draft.key, draft.unit, draft.kind, tuple(made.titles), tuple(made.cautions))
