"""Say what entries change in the projection where their order of arrival is not the log's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from db.log import Changes
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.jobfold import JobState, fold_job
from kiosk.store.notes import Key, changes_of

# What is written here is the last in order, so that only these can change what came before.
BACKWARDS = (Kind.STRUCK, Kind.QUESTION_ANSWERED)


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
        if unit and (state := fold_unit([*history(job, unit), *entries])) is not None:
            units[job, unit] = not state.away
    jobs = []
    for code in dict.fromkeys(job for job, _unit in by_key):
        ours = [entry for entry in fresh if entry.job == code]
        found = job_state(code, history=history, of_units=of_units, fresh=ours)
        if found is not None:
            jobs.append((code, found.is_open, found.body))
    rows = tuple((job, unit, is_there) for (job, unit), is_there in units.items())
    return replace(plain, jobs=tuple(jobs), units=rows)


def job_state(
    code: str,
    *,
    history: Callable[[str, str], Iterable[Entry]],
    of_units: Callable[[str], Iterable[Entry]],
    fresh: Sequence[Entry] = (),
) -> JobState | None:
    """Return a job's state, reading what its units recorded only where that matters."""
    entries = [*history(code, ""), *fresh]
    found = fold_job(entries)
    if found is not None and found.needs_units:
        found = fold_job([*entries, *of_units(code)])
    return found
