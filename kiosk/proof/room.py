"""Say to the solver that people, benches and places are few."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeAlias

from kiosk.proof.form import Form, Key, Step, Term, minutes_of
from kiosk.proof.limits import are_alike, stretches
from kiosk.rules.dayplan.model import Bench, Frees, Hold, Minute, Store

Taken: TypeAlias = list[tuple[Any, int]]  # an interval, and how much it takes


def limit(form: Form) -> None:
    """Let no more go on at once than there are people, benches and slots for.

    People who are alike are only counted, with the hours in which nobody is there as fixed work
    for all of them; else each step chooses who does it.
    """
    if are_alike(form.problem):
        _count_people(form)
    else:
        _name_people(form)
    for bench in form.problem.benches:
        _count_benches(form, bench)
    holds = list(_holds(form))
    for store in form.problem.stores:
        own = [one for one in holds if one[0].place == store.place]
        _count_slots(form, store, own)


def _interval(form: Form, step: Step, truth: Any = None) -> Any:
    starts, ends = step.starts.of, step.ends.of
    if truth is None:
        return form.model.new_interval_var(starts, step.size, ends, "")
    return form.model.new_optional_interval_var(starts, step.size, ends, truth, "")


def _fixed(form: Form, starts: Minute, ends: Minute) -> Any:
    return form.model.new_fixed_size_interval_var(starts, ends - starts, "")


def _at_once(form: Form, taken: Taken, most: int) -> None:
    intervals, many = [one for one, _many in taken], [many for _one, many in taken]
    if most == 1 and set(many) <= {1}:
        form.model.add_no_overlap(intervals)
    elif sum(many) > most:
        form.model.add_cumulative(intervals, many, most)


def _count_people(form: Form) -> None:
    most = len(form.problem.people)
    taken = [(_interval(form, step), step.work.crew) for _key, step in form.free_steps()]
    begun = 0
    for pin in form.problem.pins:
        ends = pin.ends - form.problem.now
        if ends > 0:
            begun = max(begun, ends)
            taken.append((_fixed(form, 0, ends), len(pin.people)))
    taken += [(_fixed(form, starts, ends), most) for starts, ends in _closed(form, begun)]
    _at_once(form, taken, most)


def _closed(form: Form, begun: Minute) -> Iterator[tuple[Minute, Minute]]:
    """Yield the breaks, nights and weekends of all, from when nothing pinned goes on."""
    before, last = begun, max(form.latest, default=0)
    for span in form.problem.people[0].spans:
        starts, ends = minutes_of(form, span)
        if ends > before and before < last:
            if starts > before:
                yield before, starts
            before = ends


def _name_people(form: Form) -> None:
    problem = form.problem
    busy: list[list[Any]] = [[] for _worker in problem.people]
    for key, step in form.free_steps():
        able = [who for who, one in enumerate(problem.people) if one.can(step.work.station)]
        step.people = {who: _choose(form, key, step, who) for who in able}
        form.model.add(sum(step.people.values()) == step.work.crew)
        for who, truth in step.people.items():
            busy[who].append(_interval(form, step, truth))
    for who, own in enumerate(busy):
        pins = [form.pins[pin.chain, 0] for pin in problem.pins if who in pin.people]
        own += [_fixed(form, starts, ends) for starts, ends, _one in stretches(pins, 1)]
        form.model.add_no_overlap(own)
    taken = [(_interval(form, step), step.work.crew) for _key, step in form.free_steps()]
    _at_once(form, taken, len(problem.people))


def _choose(form: Form, key: Key, step: Step, who: int) -> Any:
    """Return whether somebody does a step; if so it is within their hours."""
    truth = form.truth(value=who in form.placed[key].people)
    rooms: list[tuple[int, list[Any]]] = [(step.work.room, [truth])]
    if step.late is not None:
        rooms.append((step.work.room + step.work.extra, [truth, step.late]))
    for room, also in rooms:
        domain = form.domain(key, room, (who,))
        within = form.model.add_linear_expression_in_domain(step.starts.of, domain)
        within.only_enforce_if(also)
    return truth


def _count_benches(form: Form, bench: Bench) -> None:
    chains = form.problem.chains
    pins = [
        span
        for (chain, index), span in form.pins.items()
        if chains[chain].works[index].station == bench.station
    ]
    own = [step for _key, step in form.free_steps() if step.work.station == bench.station]
    taken = [(_interval(form, step), 1) for step in own]
    # pins may overfill a bench; then nothing else fits there, and that is all
    taken += [(_fixed(form, s, e), many) for s, e, many in stretches(pins, bench.count)]
    _at_once(form, taken, bench.count)


def _holds(form: Form) -> Iterator[tuple[Hold, Term, Term]]:
    """Yield what is taken up, from when and until when."""
    now = Term(0, 0)
    for number, chain in enumerate(form.problem.chains):
        if chain.held is not None:
            yield chain.held, now, _freed(form, chain.held, now, (number, 0))
        for index, work in enumerate(chain.works):
            if work.hold is not None:
                step = form.steps[number, index]
                freed = _freed(form, work.hold, step.ends, (number, index + 1))
                yield work.hold, step.starts, freed


def _freed(form: Form, hold: Hold, rests: Term, following: Key) -> Term:
    if hold.frees is Frees.REST or following not in form.steps:
        return rests + hold.minutes
    step = form.steps[following]
    return step.starts if hold.frees is Frees.START else step.ends


def _count_slots(form: Form, store: Store, holds: list[tuple[Hold, Term, Term]]) -> None:
    room = store.slots + form.hint.over.get(store.place, 0)
    # a place that all of them fit into at once needs no watching
    if sum(hold.slots for hold, _starts, _ends in holds) <= room:
        return
    taken: Taken = []
    for hold, starts, ends in holds:
        if isinstance(starts.of, int) and isinstance(ends.of, int):
            if ends.of > starts.of:
                taken.append((_fixed(form, starts.of, ends.of), hold.slots))
            continue
        first = min(0, starts.value)
        size = form.variable(0, max(form.latest) + hold.minutes - first, ends.value - starts.value)
        interval = form.model.new_interval_var(starts.of, size.of, ends.of, "")
        taken.append((interval, hold.slots))
    _at_once(form, taken, room)
