"""Cut the power of a shop's file, as a simulator: what was written and not yet synced may be lost.

A layer below SQLite notes every write, sync and removal. For a cut at any moment the files are made
again as a disk could hold them: what was synced is there; of what was not, a first part, some
pieces, or a piece torn at a sector's edge. Killing a process cannot show this, as the system keeps
what a killed process wrote. The shape is that of SQLite's own crash tests (sqlite.org, "How SQLite
Is Tested", 3.4).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import apsw

from db.backup import verify
from db.log import Changes, Draft, Log

SECTOR = 512
PAGES = 25  # of the write-ahead log before it is brought home: often, to be cut at that, too


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened to a file: write (offset, data), cut (to a length), sync, gone."""

    what: str
    file: str
    offset: int = 0
    data: bytes = b""


@dataclass(slots=True)
class History:
    """What happened, and after how many events each transaction was acknowledged.

    before holds the files that were there, durable, at the beginning.
    """

    before: dict[str, bytes] = field(default_factory=dict)
    events: list[Event] = field(default_factory=list)
    acknowledged: list[int] = field(default_factory=list)


class _Disk(apsw.VFS):
    def __init__(self, history: History) -> None:
        below = apsw.vfs_names()[0]
        super().__init__("powerloss", below, makedefault=True)
        self.history, self.below = history, below

    def xOpen(self, name, flags):  # type: ignore[no-untyped-def]  # noqa: N802 - SQLite's name
        return _File(self, name, flags)

    def xDelete(self, name, syncdir):  # type: ignore[no-untyped-def]  # noqa: N802
        super().xDelete(name, syncdir)
        self.history.events.append(Event("gone", Path(name).name))


class _File(apsw.VFSFile):
    def __init__(self, disk, name, flags) -> None:  # type: ignore[no-untyped-def]
        super().__init__(disk.below, name, flags)
        self.history = disk.history
        self.name = Path(name.filename() if isinstance(name, apsw.URIFilename) else name).name

    def xWrite(self, data, offset):  # type: ignore[no-untyped-def]  # noqa: N802
        super().xWrite(data, offset)
        self.history.events.append(Event("write", self.name, offset, bytes(data)))

    def xTruncate(self, length):  # type: ignore[no-untyped-def]  # noqa: N802
        super().xTruncate(length)
        self.history.events.append(Event("cut", self.name, length))

    def xSync(self, flags):  # type: ignore[no-untyped-def]  # noqa: N802
        super().xSync(flags)
        self.history.events.append(Event("sync", self.name))


@contextmanager
def watched(folder: Path) -> Iterator[History]:
    """Note all that SQLite does to files opened meanwhile; those in the folder are durable."""
    history = History({file.name: file.read_bytes() for file in folder.iterdir()})
    disk = _Disk(history)
    try:
        yield history
    finally:
        disk.unregister()


def record(path: Path, transactions: int, *, synchronous: str = "FULL") -> History:
    """Write transactions, an entry and its row of the projection each, and return what happened."""
    with watched(path.parent) as history:
        log = Log.open(path)
        log._db.execute_sql(f"PRAGMA synchronous = {synchronous}")
        log._db.execute_sql(f"PRAGMA wal_autocheckpoint = {PAGES}")
        for number in range(transactions):
            changes = Changes(pieces=[(f"K{number:06}", "J", f"U{number}")])
            draft = Draft("step_done", "J", f"U{number}", "Mara", {"step": "cut", "number": number})
            log.append([draft], kiosk="K", wall_ms=number, changes=changes)
            history.acknowledged.append(len(history.events))
        log.close()
    return history


@dataclass(slots=True)
class Found:
    """What came of cuts: damaged files, transactions acknowledged and lost, halves of one."""

    cuts: int = 0
    damaged: int = 0
    lost: int = 0
    half: int = 0


def cut_often(history: History, folder: Path, *, cuts: int, seed: int) -> Found:
    """Cut the power at so many moments, and look at what each leaves."""
    found = Found()
    # before the file's first transaction there is nothing that could be lost
    for moment in leave(history, folder, cuts=cuts, seed=seed, first=history.acknowledged[0]):
        _look(folder, sum(at <= moment for at in history.acknowledged), found)
    return found


def leave(history: History, folder: Path, *, cuts: int, seed: int, first: int = 0) -> Iterator[int]:
    """Fill a folder as a disk could be after each of many cuts, and yield how much had happened."""
    random = Random(seed)
    moments = sorted(random.randint(first, len(history.events)) for _cut in range(cuts))
    synced = {name: bytearray(data) for name, data in history.before.items()}
    waiting: dict[str, list[Event]] = {}
    done = 0
    folder.mkdir(exist_ok=True)
    for moment in moments:
        for event in history.events[done:moment]:
            _go_on(event, synced, waiting)
        done = moment
        for old in folder.iterdir():
            old.unlink()
        for name in {*synced, *waiting}:
            if not name.endswith("-shm"):
                data = _survives(synced.get(name, bytearray()), waiting.get(name, []), random)
                (folder / name).write_bytes(data)
        yield moment


def _go_on(event: Event, synced: dict[str, bytearray], waiting: dict[str, list[Event]]) -> None:
    if event.what == "gone":
        synced.pop(event.file, None)
        waiting.pop(event.file, None)
    elif event.what == "sync":
        disk = synced.setdefault(event.file, bytearray())
        for one in waiting.pop(event.file, []):
            _write(disk, one)
    else:
        waiting.setdefault(event.file, []).append(event)


def _write(disk: bytearray, event: Event) -> None:
    if event.what == "cut":
        del disk[event.offset :]
        return
    end = event.offset + len(event.data)
    if len(disk) < end:
        disk.extend(bytes(end - len(disk)))
    disk[event.offset : end] = event.data


def _survives(synced: bytearray, waiting: list[Event], random: Random) -> bytes:
    """Return what a disk holds of a file: what was synced, and some of what was not."""
    disk = bytearray(synced)
    way = random.randrange(3)
    kept = waiting[: random.randint(0, len(waiting))]
    if way == 1:  # a disk writes in what order it likes
        kept = [one for one in waiting if random.random() < 0.5]
    for number, one in enumerate(kept):
        data = one.data
        if way == 2 and number == len(kept) - 1 and one.what == "write":
            data = data[: SECTOR * random.randint(0, len(data) // SECTOR)]
        _write(disk, Event(one.what, one.file, one.offset, data))
    return bytes(disk)


def _look(folder: Path, acknowledged: int, found: Found) -> None:
    """Open what is left as the kiosk does after the power is back, and count."""
    path = folder / "shop.db"
    found.cuts += 1
    try:
        with closing(apsw.Connection(str(path))) as file:
            entries = {row[0] for row in file.execute("SELECT seq FROM entry")}
            pieces = file.execute("SELECT count(*) FROM piece").fetchall()[0][0]
        if verify(path):
            found.damaged += 1
            return
    except (apsw.Error, OSError):
        found.damaged += 1
        return
    found.lost += acknowledged - len(entries & set(range(1, acknowledged + 1)))
    found.half += len(entries) != pieces
