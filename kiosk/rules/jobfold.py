"""Fold the entries about a job into its state: open or closed, and what does not fit.

The same set of entries in any order, with doubles, gives the same state.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from kiosk.rules.entries import Entry, Kind, sift
from kiosk.rules.parts import UnitSpec, unit_from_body
from kiosk.rules.records import Answered, Torn, answered_of, is_answered, torn_of

# What shows that a job is still worked on, recorded after it was closed.
WORK = (Kind.STEP_DONE, Kind.PART_SPOILED, Kind.HOLD_PUT, Kind.UNIT_TAKEN)


@dataclass(frozen=True, slots=True)
class ListTaken:
    """A first part list of a job as one kiosk took it in: the entry, and its units by name."""

    entry: Entry
    units: Mapping[str, UnitSpec] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class JobState:
    """What is known of a job as a whole.

    body is that of the entry that set its values last. closed is the entry that closed it, None
    while it is open; worked are the entries of work recorded after that which nobody was asked
    about. lists are the part lists taken in anew, more than one where kiosks did not know of each
    other's; answers are those given about the job, torn questions answered in two ways.
    """

    code: str
    body: Mapping[str, Any]  # Any: JSON
    closed: Entry | None = None
    worked: tuple[Entry, ...] = ()
    lists: tuple[ListTaken, ...] = ()
    answers: tuple[Answered, ...] = ()
    torn: tuple[Torn, ...] = ()

    @property
    def is_open(self) -> bool:
        """Tell whether its units are to be seen: also where work came after it was closed."""
        return self.closed is None or bool(self.worked)

    @property
    def needs_units(self) -> bool:
        """Tell whether what its units recorded must be known to say whether something is asked."""
        return self.closed is not None or len(self.lists) > 1 or bool(self.torn)


def fold_job(entries: Iterable[Entry]) -> JobState | None:
    """Return the state of the job the entries are about, None if none ever opened it.

    Args:
        entries: about the job as a whole, and about its units where `needs_units` of the state
            without them says so.
    """
    kept, void = sift(entries)
    values = [one for one in kept if one.kind in (Kind.JOB_OPENED, Kind.JOB_CLOSED)]
    if not values:
        return None
    last = values[-1]
    closed = last if last.kind == Kind.JOB_CLOSED else None
    answers = tuple(
        answered_of(one) for one in kept if one.kind == Kind.QUESTION_ANSWERED and not one.unit
    )
    worked: tuple[Entry, ...] = ()
    if closed is not None:
        worked = tuple(
            one
            for one in kept
            if one.unit
            and one.kind in WORK
            and one.order > closed.order
            and not is_answered(answers, "closed", closed.id, one.id)
        )
    of_job = [[one for one in some if not one.unit] for some in (kept, void)]
    return JobState(last.job, last.body, closed, worked, _lists(kept), answers, torn_of(*of_job))


def _lists(kept: list[Entry]) -> tuple[ListTaken, ...]:
    """Return the first lists, each with the units its kiosk wrote after it."""
    taken = [one for one in kept if one.kind == Kind.LIST_TAKEN]
    units: dict[str, dict[str, UnitSpec]] = {one.id: {} for one in taken}
    for one in kept:
        if one.kind != Kind.UNIT_TAKEN or one.answer:
            continue
        before = [head for head in taken if head.kiosk == one.kiosk and head.seq < one.seq]
        if before:
            head = max(before, key=lambda head: head.seq)
            units[head.id][one.unit] = unit_from_body(one.job, one.unit, one.body)
    return tuple(
        ListTaken(one, units[one.id]) for one in taken if one.body.get("revised") is not True
    )
