"""Say what entries change in the projection where their order of arrival is not the log's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from db.log import Changes
from kiosk.rules.entries import Entry, Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.jobfold import JobState, fold_job
from kiosk.store.notes import Key, Note, changes_of

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
    rows = tuple((job, unit, is_there) for (job, unit), is_there in units.items())
    return replace(plain, jobs=tuple(jobs), units=rows)


def settled_anew(entries: Sequence[Entry]) -> Changes:
    """Return the whole projection that entries make, all there are."""
    return settled(entries, history=lambda _job, _unit: (), of_units=lambda _job: ())


def as_last(note: Note, number: int, *, kiosk: str, wall_ms: int) -> Entry:
    """Return a note as the entry it will be, as far as a fold can tell: the last of all."""
    about = (str(note.kind), note.job, note.unit, note.body or {})
    last = 2**62 + number
    return Entry(note.id or f"{number}", kiosk, last, last, 0, wall_ms, note.person, *about)


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
