"""Say what entries change in the projection where their order of arrival is not the log's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from db.log import Changes
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.jobfold import WORK, JobState, fold_job
from kiosk.store.notes import Key, changes_of

# What the projection lists; everything else only says whether what is listed is there and open.
LISTED = (
    Kind.JOB_OPENED,
    Kind.JOB_CLOSED,
    Kind.UNIT_TAKEN,
    Kind.UNIT_GONE,
    Kind.UNIT_CODED,
    Kind.PART_SPOILED,
)
BACKWARDS = (Kind.STRUCK, Kind.QUESTION_ANSWERED)  # may make void what came before


def may_change(entry: Entry, *, shown: Callable[[str, str], bool]) -> bool:
    """Tell whether an entry that was not known before may change the projection.

    Args:
        entry: one that comes in.
        shown: tells of a job and a unit whether the unit is there and the job open. Work keeps
            such a one shown, and shows another again.
    """
    if entry.kind in LISTED or entry.kind in BACKWARDS:
        return True
    return entry.kind in WORK and not shown(entry.job, entry.unit)


def settled(
    fresh: Sequence[Entry],
    *,
    history: Callable[[str, str], Iterable[Entry]],
    of_units: Callable[[str], Iterable[Entry]],
) -> Changes:
    """Return what fresh entries change in the projection, folded with all that is known.

    Args:
        fresh: the entries that come in, in any order.
        history: the entries known about a unit of a job, about the job itself for an empty unit.
        of_units: the entries known about all units of a job.
    """
    fresh = sorted(fresh, key=lambda entry: entry.order)
    plain = changes_of(fresh)
    units = {(job, unit): is_there for job, unit, is_there in plain.units}
    by_key: dict[Key, list[Entry]] = {}
    for entry in fresh:
        if entry.job:
            by_key.setdefault((entry.job, entry.unit), []).append(entry)
    for (job, unit), entries in by_key.items():
        ours = [*history(job, unit), *entries] if unit else []
        if any(one.kind == Kind.UNIT_GONE for one in ours):  # else it stays where it is
            state = fold_unit(ours)
            units[job, unit] = state is not None and not state.away
    by_job: dict[str, list[Entry]] = {}
    for (code, _unit), entries in by_key.items():
        by_job.setdefault(code, []).extend(entries)
    jobs = []
    for code, entries in by_job.items():
        found = job_state(code, history=history, of_units=of_units, fresh=entries)
        if found is not None:
            jobs.append((code, found.is_open, found.body))
        elif any(entry.kind in LISTED for entry in entries):
            jobs.append((code, True, {}))  # the kiosk that opened it is still to be heard of
    rows = tuple((job, unit, is_there) for (job, unit), is_there in units.items())
    return replace(plain, jobs=tuple(jobs), units=rows)


def settled_anew(
    entries: Iterable[Entry],
    *,
    history: Callable[[str, str], Iterable[Entry]],
    of_units: Callable[[str], Iterable[Entry]],
) -> Changes:
    """Return the whole projection that all entries of a log make.

    Only what the projection lists is kept in memory, and only of units that a list left out and
    of jobs more is read.

    Args:
        entries: all of them, or at least those LISTED, in any order.
        history: see `settled`.
        of_units: see `settled`.
    """
    listed = [entry for entry in entries if entry.kind in LISTED]
    gone = {(entry.job, entry.unit) for entry in listed if entry.kind == Kind.UNIT_GONE}

    def needed(job: str, unit: str) -> Iterable[Entry]:
        return history(job, unit) if not unit or (job, unit) in gone else ()

    return settled(listed, history=needed, of_units=of_units)


def job_state(
    code: str,
    *,
    history: Callable[[str, str], Iterable[Entry]],
    of_units: Callable[[str], Iterable[Entry]],
    fresh: Sequence[Entry] = (),
) -> JobState | None:
    """Return a job's state, reading what its units recorded only where that matters."""
    known = [*history(code, "")]
    found = fold_job([*known, *(entry for entry in fresh if not entry.unit)])
    if found is not None and found.needs_units:
        found = fold_job([*known, *fresh, *of_units(code)])
    return found
