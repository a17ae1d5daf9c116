"""What entries about a unit recorded, as values: steps, holds, findings, and answers given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final, TypeAlias

from kiosk.rules.entries import Entry, Kind


@dataclass(frozen=True, slots=True)
class Done:
    """A step recorded: by which entry, when it happened, by whom; early holds the reason given."""

    entry: str
    at: datetime
    person: str
    kiosk: str
    early: str = ""


@dataclass(frozen=True, slots=True)
class Recorded:
    """A step recorded that does not count: of the unit, or of the part with this code.

    first is the entry that counts in its place, empty where the record was struck.
    """

    step: str
    part: str
    done: Done
    first: str = ""


@dataclass(frozen=True, slots=True)
class Hold:
    """Why a unit can't go on, since when, by whose word and at which kiosk.

    answer is the answer to a question that put it, empty for none.
    """

    entry: str
    reason: str
    at: datetime
    person: str
    kiosk: str = ""
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Touched:
    """What a person found at the bench of something put on: dry, or still tacky, for a stage.

    share is how far its clock was, temperature_c and humidity the air, None where not known.
    """

    step: str
    stage: str
    dry: bool
    at: datetime
    person: str
    share: float | None = None
    temperature_c: float | None = None
    humidity: float | None = None


@dataclass(frozen=True, slots=True)
class Answered:
    """A question a person answered: its id, what was chosen, the entries it was about, by whom."""

    question: str
    choice: str
    about: frozenset[str]
    by: Done

    @property
    def what(self) -> str:
        """Return the sort of question."""
        return self.question.partition(":")[0]


@dataclass(frozen=True, slots=True)
class Allowed:
    """A person's word for hanging a unit that the check of hanging refuses.

    whys are the refusals that stood then, by key, check the same in words; another refusal is not
    covered. allowed_by is the supervisor, empty for none.
    """

    entry: str
    reason: str
    at: datetime
    person: str
    whys: tuple[str, ...] = ()
    check: tuple[str, ...] = ()
    allowed_by: str = ""


Torn: TypeAlias = tuple[Answered, Answered]
"""Two different answers to one question: the one that counts, and the other."""


def done_of(entry: Entry) -> Done:
    """Return what an entry that records a step says."""
    early = str(entry.body.get("early", ""))
    return Done(entry.id, entry.at, entry.person, entry.kiosk, early)


def recorded_of(entry: Entry, first: str = "") -> Recorded:
    """Return a record of a step that does not count, and the entry that does in its place."""
    step, part = str(entry.body.get("step", "")), str(entry.body.get("part", ""))
    return Recorded(step, part, done_of(entry), first)


def hold_of(entry: Entry) -> Hold:
    """Return the hold an entry put."""
    reason = str(entry.body.get("reason", ""))
    return Hold(entry.id, reason, entry.at, entry.person, entry.kiosk, entry.answer)


def touched_of(entry: Entry) -> Touched:
    """Return what an entry says of how dry something was found."""
    body = entry.body
    step, stage = str(body.get("step", "")), str(body.get("stage", ""))
    figures = [_figure(body, name) for name in ("share", "temperature_c", "humidity")]
    return Touched(step, stage, body.get("dry") is True, entry.at, entry.person, *figures)


def answered_of(entry: Entry) -> Answered:
    """Return the answer an entry gave; a body not understood answers nothing."""
    body, about = entry.body, entry.body.get("about")
    ids = frozenset(map(str, about)) if isinstance(about, list) else frozenset()
    return Answered(str(body.get("question", "")), str(body.get("choice", "")), ids, done_of(entry))


def allowed_of(entry: Entry) -> Allowed:
    """Return the word an entry gives for hanging a unit; a body not understood covers nothing."""
    body = entry.body
    reason, by = str(body.get("reason", "")), str(body.get("allowed_by", ""))
    listed = body.get("check")
    rows = [one for one in listed if isinstance(one, Mapping)] if isinstance(listed, list) else []
    whys = tuple(str(one.get("why", "")) for one in rows)
    said = tuple(str(one.get("message", "")) for one in rows)
    return Allowed(entry.id, reason, entry.at, entry.person, whys, said, by)


def torn_of(kept: Sequence[Entry], void: Sequence[Entry]) -> tuple[Torn, ...]:
    """Return what was answered in two ways, by the entries that count and those that are void."""
    counted: dict[str, Answered] = {}
    for one in kept:
        if one.kind == Kind.QUESTION_ANSWERED:
            counted[str(one.body.get("question", ""))] = answered_of(one)
    struck = {str(one.body.get("target")) for one in kept if one.kind == Kind.STRUCK}
    found = []
    for one in void:
        if one.kind == Kind.QUESTION_ANSWERED and one.id not in struck:
            other = answered_of(one)
            first = counted.get(other.question)
            if first is not None and first.choice != other.choice:
                found.append((first, other))
    return tuple(found)


# The answers that settle a question by being remembered; others do by what they write.
_SETTLING: Final = {
    "twice": ("same",),
    "held": ("both",),
    "spare": ("spare", "wanted"),
    "recut": ("spare",),
    "gone": ("off",),
    "closed": ("leave",),
    "lists": ("both", "first", "second"),
}


def is_answered(answers: tuple[Answered, ...], what: str, *ids: str) -> bool:
    """Tell whether an answer that settles this sort of question was about all these ids."""
    return any(
        one.what == what and one.choice in _SETTLING[what] and one.about.issuperset(ids)
        for one in answers
    )


def _figure(body: Mapping[str, object], name: str) -> float | None:
    value = body.get(name)
    sound = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if sound and abs(value) < 1e6 else None  # type: ignore[arg-type]
