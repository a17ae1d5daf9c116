"""Hold a question to a person, the answers there are, and what each of them writes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from typing import Any, Final

from kiosk.rules.entries import CHOOSING, Kind
from kiosk.rules.records import Answered, Done, Torn
from kiosk.rules.times import say_time
from kiosk.rules.words import _, say

# What is asked of a unit in a few words, for a bench.
BRIEF: Final[Mapping[str, str]] = {
    "twice": _("recorded twice"),
    "held": _("done while on hold"),
    "struck": _("struck, but built upon"),
    "spare": _("cut, but not on the list"),
    "recut": _("recut twice"),
    "gone": _("not on the list"),
    "answers": _("answered in two ways"),
}
# Answers in a few words, to say which was given.
CHOICES: Final[Mapping[tuple[str, str], str]] = {
    ("twice", "same"): _("it was the same"),
    ("twice", "next"): _("it was the next one"),
    ("twice", "strike-first"): _("the first struck"),
    ("twice", "strike-second"): _("the second struck"),
    ("held", "lift"): _("it goes on"),
    ("held", "strike"): _("not done"),
    ("held", "both"): _("done, and on hold"),
    ("struck", "done"): _("it was done"),
    ("struck", "strike"): _("not done"),
    ("spare", "spare"): _("a spare"),
    ("spare", "wanted"): _("still wanted"),
    ("recut", "spare"): _("a spare"),
    ("recut", "use"): _("use this one"),
    ("gone", "off"): _("it is off"),
    ("gone", "wanted"): _("still wanted"),
    ("closed", "reopen"): _("it goes on"),
    ("closed", "leave"): _("it stays closed"),
    ("lists", "both"): _("both count"),
    ("lists", "first"): _("only the first"),
    ("lists", "second"): _("only the second"),
    ("answers", "first"): _("the first answer"),
    ("answers", "second"): _("the second answer"),
}


@dataclass(frozen=True, slots=True)
class Deed:
    """One entry an answer writes.

    unit is empty for the question's own. person is who did what is recorded, empty for whoever
    answers.
    """

    kind: Kind
    body: Mapping[str, Any] = field(default_factory=dict)  # Any: JSON
    unit: str = ""
    person: str = ""


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer: its key, its words, and what it writes besides that it was given."""

    key: str
    words: str
    deeds: tuple[Deed, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """What only a person can decide.

    id is made of its sort and of an entry's id, the same at every kiosk that knows the same. what
    is the sort; unit is empty where it is about the whole job. about are the ids an answer settles,
    after the answers given to it before.
    """

    id: str
    what: str
    job: str
    unit: str
    words: str
    replies: tuple[Reply, ...]
    about: tuple[str, ...]
    after: tuple[str, ...] = ()

    def reply(self, key: str) -> Reply | None:
        """Return the answer with this key, or None."""
        return next((one for one in self.replies if one.key == key), None)


@dataclass(frozen=True, slots=True)
class Telling:
    """In which zone, and seen from when, times are said."""

    now: datetime
    zone: tzinfo

    def time(self, at: datetime) -> str:
        """Return a time in words."""
        return say_time(at, now=self.now, zone=self.zone)

    def who(self, done: Done) -> str:
        """Return who did something and when; without a name, at which kiosk."""
        when = self.time(done.at)
        if done.person:
            return say("{person} {time}", person=done.person, time=when)
        return say("kiosk {kiosk} {time}", kiosk=done.kiosk, time=when)


def ask_again(
    torn: Torn, job: str, unit: str, tell: Telling, answers: tuple[Answered, ...]
) -> Question:
    """Return the question which of two answers to one question counts."""
    first, other = torn
    one, two = (_chosen(given, tell) for given in torn)
    words = say("One question was answered in two ways ({first}; {second})", first=one, second=two)
    replies = tuple(
        Reply(key, say("It is so: {answer}", answer=said), (_take_back(left.by.entry),))
        for key, said, left in (("first", one, other), ("second", two, first))
    )
    about = (first.by.entry, other.by.entry)
    key = f"{CHOOSING}{'-'.join(about)}"
    return Question(key, "answers", job, unit, words, replies, about, given_before(answers, key))


def given_before(answers: tuple[Answered, ...], question: str) -> tuple[str, ...]:
    """Return the answers given to a question before."""
    return tuple(one.by.entry for one in answers if one.question == question)


def _chosen(given: Answered, tell: Telling) -> str:
    words = CHOICES.get((given.what, given.choice), given.choice)
    return say("{who}: {answer}", who=tell.who(given.by), answer=words)


def _take_back(answer: str) -> Deed:
    return Deed(Kind.STRUCK, {"target": answer, "back": True})


def strike(target: str, *, unit: str = "") -> Deed:
    """Return the entry that voids another one."""
    return Deed(Kind.STRUCK, {"target": target}, unit)


def effects(question: Question, reply: Reply, *, answer: str, at_ms: int) -> tuple[Deed, ...]:
    """Return the entries that giving an answer writes, the answer itself last.

    Args:
        question: what was asked.
        reply: one of its answers.
        answer: the id the answer's own entry will have; what it brought about names it, so that it
            goes with it when the answer is struck.
        at_ms: when it was given, milliseconds since 1970 UTC.
    """
    timed = (Kind.HOLD_PUT, Kind.HOLD_LIFTED)
    made = [
        replace(
            one,
            unit=one.unit or question.unit,
            body={**({"at_ms": at_ms} if one.kind in timed else {}), **one.body, "answer": answer},
        )
        for one in reply.deeds
    ]
    body = {"question": question.id, "choice": reply.key, "about": list(question.about)}
    if question.after:
        body["after"] = list(question.after)
    given = Deed(Kind.QUESTION_ANSWERED, {**body, "at_ms": at_ms}, question.unit)
    return (*made, given)
