"""What entries about a unit recorded, as values: steps, holds, findings, and answers given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from kiosk.rules.entries import Entry


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
    """Why a unit can't go on, since when, by whose word and at which kiosk."""

    entry: str
    reason: str
    at: datetime
    person: str
    kiosk: str = ""


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
    """A question a person answered: what it asked, what was chosen, the entries it was about."""

    entry: str
    what: str
    choice: str
    about: frozenset[str]


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
    return Hold(entry.id, reason, entry.at, entry.person, entry.kiosk)


def touched_of(entry: Entry) -> Touched:
    """Return what an entry says of how dry something was found."""
    body = entry.body
    step, stage = str(body.get("step", "")), str(body.get("stage", ""))
    figures = [_figure(body, name) for name in ("share", "temperature_c", "humidity")]
    return Touched(step, stage, body.get("dry") is True, entry.at, entry.person, *figures)


def answered_of(entry: Entry) -> Answered:
    """Return the answer an entry gave; a body not understood answers nothing."""
    about = entry.body.get("about")
    ids = frozenset(map(str, about)) if isinstance(about, list) else frozenset()
    what = str(entry.body.get("question", "")).partition(":")[0]
    return Answered(entry.id, what, str(entry.body.get("choice", "")), ids)


def is_answered(answers: tuple[Answered, ...], what: str, *ids: str) -> bool:
    """Tell whether one answer to a question of this sort was about all these entries."""
    return any(one.what == what and one.about.issuperset(ids) for one in answers)


def _figure(body: Mapping[str, object], name: str) -> float | None:
    value = body.get(name)
    sound = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if sound and abs(value) < 1e6 else None  # type: ignore[arg-type]
