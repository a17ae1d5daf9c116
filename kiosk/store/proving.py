"""Make, prove and bring back copies: all of a copy is read, folded and compared.

The log is what counts. Lists (jobs, units, codes) that do not follow from it are made anew in the
copy, never in the file it was made of, and it is said; anything else that is wrong refuses it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from db.backup import backup, leave_wal, restore, verify
from db.connect import DbError
from db.contents import Contents, Lists, first_other, looking_into
from kiosk.store import Store
from kiosk.store.notes import clock_time, entry_of
from kiosk.store.settling import LISTED, settled_anew

_MOST_NAMED = 3  # of what differs, so many are named; choice


@dataclass(frozen=True, slots=True)
class Proof:
    """What was found in a file by reading all of it; it is sound where problems is empty.

    Counts are of its lists: jobs, units that are there, codes of parts. latest is when the last
    entry was recorded, by its kiosk's clock. lists says what did not follow from the log.
    """

    entries: int = 0
    jobs: int = 0
    units: int = 0
    pieces: int = 0
    latest: datetime | None = None
    problems: tuple[str, ...] = ()
    lists: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Compared:
    """A copy beside its shop: other is the place of the first entry the shop has otherwise.

    since counts the entries of the shop that the copy has not. why says why there was nothing to
    compare with.
    """

    other: int | None = None
    since: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class Drilled:
    """What bringing a copy back into a scratch folder showed."""

    proof: Proof
    compared: Compared


def prove(path: Path) -> Proof:
    """Read all of a file: is it whole, can every entry be read, do the lists follow from the log?

    The fold of the log is the oracle, as in `Store.rebuild`.
    """
    try:
        problems = tuple(verify(path))
        if problems:
            return Proof(problems=problems)
        with looking_into(path) as contents:
            return _weigh(contents)
    except (DbError, OSError) as error:
        return Proof(problems=(str(error),))


def compare(copy: Path, shop: Path) -> Compared:
    """Hold a copy against the shop's file, which may be in use, entry by entry.

    A shop's file that is gone or damaged is no fault of the copy: it is only said.
    """
    try:
        with looking_into(copy) as ours, looking_into(shop) as theirs:
            other = first_other(ours, theirs)
            shared = ours.count() if other is None else other - 1
            return Compared(other, theirs.count() - shared)
    except (DbError, OSError) as error:
        return Compared(why=str(error))


def take_copy(shop: Path, to: Path) -> Proof:
    """Copy a shop's file, which may be in use, and prove the copy before it gets its name.

    Raises:
        DbError: no copy was made; a copy that stood at that name before is still there.
    """
    found: list[Proof] = []

    def check(part: Path) -> list[str]:
        beside = compare(part, shop)
        if beside.other is not None:
            return [f"entry {beside.other} is not as the shop has it"]
        found.append(_make_sound(part))
        return [beside.why] if beside.why else list(found[0].problems)

    backup(shop, to, check)
    return found[0]


def bring_back(copy: Path, path: Path) -> tuple[Proof, Path | None]:
    """Put a copy in place of the shop's file, proved before anything is replaced.

    Returns:
        What was found in it, and where what was there is kept, if anything.

    Raises:
        DbError: the copy is not sound or the file is in use; nothing was changed.
    """
    found: list[Proof] = []

    def check(part: Path) -> list[str]:
        found.append(_make_sound(part))
        return list(found[0].problems)

    kept = restore(copy, path, check)
    return found[0], kept


def drill(copy: Path, shop: Path, scratch: Path) -> Drilled:
    """Bring a copy back into an empty folder, just as into the shop, open it, and prove it.

    Raises:
        DbError: it cannot be brought back; the text says why.
        OSError: the folder cannot be used.
    """
    file = scratch / "shop.db"
    proof, _kept = bring_back(copy, file)
    with _opened(file) as store:  # as a kiosk does: an older schema is brought up to date
        store.load()
    opened = prove(file)
    problems = (*opened.problems, *opened.lists)
    return Drilled(replace(proof, problems=problems), compare(file, shop))


def rebuild(path: Path) -> Proof:
    """Make a file's lists anew from its log, and return what was found before.

    Raises:
        DbError: nothing was changed; the text says why.
    """
    found = prove(path)
    if found.problems:
        raise DbError("; ".join(found.problems))
    with _opened(path) as store:
        store.rebuild()
    return found


def _make_sound(part: Path) -> Proof:
    """Prove a copy, and make its lists anew where they do not follow from its log."""
    found = prove(part)
    if found.problems or not found.lists:
        return found
    with _opened(part) as store:
        store.rebuild()
    leave_wal(part)
    again = prove(part)
    return replace(again, lists=found.lists, problems=(*again.problems, *again.lists))


@contextmanager
def _opened(path: Path) -> Iterator[Store]:
    store = Store.open(path, "K")  # the letter does not matter: nothing is recorded
    try:
        yield store
    finally:
        store.close()


def first_entry(path: Path) -> datetime | None:
    """Return when a file's first entry was recorded; None where there is none to be read."""
    with suppress(DbError), looking_into(path) as contents:
        return _time_of(contents.first_ms())
    return None


def _weigh(contents: Contents) -> Proof:
    count, listed = 0, []
    for row in contents.rows():
        count += 1
        if row.kind in LISTED:
            listed.append(entry_of(row))
    changes = settled_anew(
        listed,
        history=lambda job, unit: map(entry_of, contents.rows_about(job, unit)),
        of_units=lambda job: map(entry_of, contents.rows_of_units(job)),
    )
    wanted = Lists(
        {code: (is_open, body) for code, is_open, body in changes.jobs},
        {(job, unit): is_there for job, unit, is_there in changes.units},
        {code: (job, unit) for code, job, unit in changes.pieces},
    )
    found, last = contents.lists(), contents.last_ms()
    told = contents.count()
    wrong = () if count == told else (f"{told} entries are counted, {count} can be read",)
    lists = [
        *_differences("job", wanted.jobs, found.jobs),
        *_differences("unit", wanted.units, found.units),
        *_differences("code", wanted.pieces, found.pieces),
    ]
    return Proof(
        count,
        len(found.jobs),
        sum(found.units.values()),
        len(found.pieces),
        _time_of(last),
        wrong,
        tuple(lists),
    )


def _time_of(wall_ms: int | None) -> datetime | None:
    # a clock that was far off is no reason to refuse a copy
    return None if wall_ms is None else clock_time(wall_ms)


def _differences(what: str, wanted: Mapping[Any, Any], found: Mapping[Any, Any]) -> list[str]:
    """Say which of a list do not follow from the log; keys are texts or pairs of texts."""
    wrong = [key for key in wanted.keys() | found.keys() if wanted.get(key) != found.get(key)]
    if not wrong:
        return []
    names = sorted(key if isinstance(key, str) else "/".join(key) for key in wrong)
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    named = ", ".join(names[:_MOST_NAMED])
    return [f"{what} {named}{more}"]
