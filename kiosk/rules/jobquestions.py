"""Ask about what two kiosks recorded of one job as a whole that does not fit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, tzinfo
from itertools import pairwise

from kiosk.rules.asked import Deed, Question, Reply, Telling, ask_again, given_before
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.jobfold import JobState, ListTaken
from kiosk.rules.naming import name_some, natural
from kiosk.rules.parts import UnitSpec, as_body
from kiosk.rules.records import done_of, is_answered
from kiosk.rules.words import _, capital, join, say

_MOST = 5  # names said in one question (choice)
# What an entry that closed a job says of the closing alone, not of the job.
_OF_CLOSING = ("reason", "allowed_by", "answer")


def job_questions(state: JobState, *, now: datetime, zone: tzinfo) -> tuple[Question, ...]:
    """Return what is to be asked about a job, the same whatever arrived first.

    Args:
        state: the job folded from the log, with its units where it needs them.
        now: the moment asked about, aware; only how times are said depends on it.
        zone: the shop's zone.
    """
    return tuple(_ask(state, Telling(now, zone)))


def _ask(state: JobState, tell: Telling) -> Iterator[Question]:
    if state.closed is not None and state.worked:
        yield _closed(state, state.closed, tell)
    for first, second in pairwise(state.lists):
        if not is_answered(state.answers, "lists", first.entry.id, second.entry.id):
            yield _lists(state, first, second, tell)
    for torn in state.torn:
        yield ask_again(torn, state.code, "", tell, state.answers)


def _closed(state: JobState, closed: Entry, tell: Telling) -> Question:
    units = sorted({one.unit for one in state.worked}, key=natural)
    words = say(
        "The job was closed ({who}), but work was recorded after that: {units}",
        who=tell.who(done_of(closed)),
        units=name_some(units, most=_MOST),
    )
    values = {key: value for key, value in state.body.items() if key not in _OF_CLOSING}
    replies = (
        Reply("reopen", _("It goes on: open it again"), (Deed(Kind.JOB_OPENED, values),)),
        Reply("leave", _("It stays closed")),
    )
    about = (closed.id, *(one.id for one in state.worked))
    return _question("closed", state, words, replies, about)


def _lists(state: JobState, first: ListTaken, second: ListTaken, tell: Telling) -> Question:
    one, other = (tell.who(done_of(taken.entry)) for taken in (first, second))
    words = say(
        "Two lists were taken in ({first}; {second}). {differs}",
        first=one,
        second=other,
        differs=_differs(first, second),
    )
    replies = (
        Reply("both", _("Both count; a unit of both is as in the second")),
        Reply("first", say("Only the first: {who}", who=one), _only(first, second)),
        Reply("second", say("Only the second: {who}", who=other), _only(second, first)),
    )
    return _question("lists", state, words, replies, (first.entry.id, second.entry.id))


def _differs(first: ListTaken, second: ListTaken) -> str:
    """Say in which units two lists differ."""
    one, other = first.units, second.units
    unlike = [
        name for name in one.keys() & other.keys() if _plain(one[name]) != _plain(other[name])
    ]
    told = (
        (_("Only in the first: {units}."), one.keys() - other.keys()),
        (_("Only in the second: {units}."), other.keys() - one.keys()),
        (_("Not alike: {units}."), unlike),
    )
    found = [
        say(words, units=name_some(sorted(names, key=natural), most=_MOST))
        for words, names in told
        if names
    ]
    return join(found) if found else _("They ask for the same; only their labels differ.")


def _plain(spec: UnitSpec) -> tuple[UnitSpec, list[str]]:
    """Return what a list asks for, whatever labels its parts have and in which order they stand."""
    pieces = sorted(repr(replace(piece, code="")) for piece in spec.pieces)
    return replace(spec, pieces=()), pieces


def _only(kept: ListTaken, other: ListTaken) -> tuple[Deed, ...]:
    """Return what makes one list the only one: its units as it has them, the other's gone."""
    taken = [Deed(Kind.UNIT_TAKEN, as_body(spec), unit) for unit, spec in kept.units.items()]
    gone = [Deed(Kind.UNIT_GONE, {}, unit) for unit in other.units if unit not in kept.units]
    return (*taken, *gone)


def _question(
    what: str, state: JobState, words: str, replies: tuple[Reply, ...], about: tuple[str, ...]
) -> Question:
    key = f"{what}:{about[-1]}"
    after = given_before(state.answers, key)
    return Question(key, what, state.code, "", capital(words), replies, about, after)
