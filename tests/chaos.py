"""Kiosks that scan while everything around them fails; at the end nothing may be lost or doubled.

A seeded nemesis does the harm, each acknowledged scan is written down, and a checker compares what
was acknowledged with what the server and every kiosk hold. Mutants show that it would be seen.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path

import psycopg

import kiosk.exchange
from db.backup import verify
from db.chain import faults
from db.log import Row
from kiosk.rules.entries import Entry, Kind, to_ms
from kiosk.rules.fold import fold_unit
from kiosk.screens.worker import Worker
from kiosk.store import Note, Store
from kiosk.store.link import Link, Swapped, swap
from kiosk.store.notes import entry_of
from tests.pgserver import Prepared, Server
from tests.proxy import Fault, Proxy

JOB, UNITS = "GLAZE", tuple(f"G{n}" for n in range(1, 13))
STEPS = ("cut", "glue", "fill", "sand", "coat 1", "coat 2")
_UNIT = {"kind": "panel", "name": "Panel", "pieces": []}
_PATIENCE_S = 120  # of a machine with other work
_SQL = (
    "SELECT id, kiosk, seq, l, c, wall_ms, received_ms, person, kind, job, unit, body::json, chain"
    " FROM cleatclock.entry ORDER BY kiosk, seq"
)
_LINKS = (
    "SELECT id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain"
    " FROM cleatclock.entry ORDER BY kiosk, seq"
)


def sent_early(door, link, *, clock, batch=200, told=lambda _sent, _taken: None):
    """The mutant: entries count as sent before the server has them, and nobody looks again."""
    door.match_sent = lambda _heads: False
    rows = list(door.outbox(batch))
    door.take_receipts([(row.id, clock()) for row in rows])
    if rows:
        link.send(rows)
    return swap(door, link, clock=clock, batch=batch, told=told)


MUTANTS: dict[str, Callable[..., Swapped]] = {"sent-early": sent_early}


class Scanner:
    """A kiosk without a screen: it scans, writes down what was acknowledged, and exchanges."""

    def __init__(self, folder: Path, letter: str, url: str, *, seed: int, per_s: float) -> None:
        folder.mkdir(exist_ok=True)
        self.folder, self.letter, self._per_s = folder, letter, per_s
        self._random = random.Random(seed)
        self._ended = threading.Event()
        self._worker = Worker(lambda call: call(0.0))
        self._store = self._worker.call(lambda: Store.open(folder / "shop.db", letter))
        self._exchange = kiosk.exchange.Exchange(
            url,
            passfile=folder / "server.pass",
            letter=letter,
            door=lambda: self._store,
            ask=self._worker.call,
            clock=self,
            told=lambda _state: None,
        )
        self._thread = threading.Thread(target=self._scan, daemon=True)

    def now(self) -> datetime:
        """The time, by a clock that somebody sets wrong."""
        file = self.folder / "offset"
        ahead = float(file.read_text() or 0) if file.exists() else 0.0
        return datetime.now(UTC) + timedelta(seconds=ahead)

    def start(self) -> None:
        """Begin to scan."""
        self._exchange.start()
        self._thread.start()

    def stop(self) -> None:
        """End in good order."""
        self._ended.set()
        self._thread.join()
        self._exchange.stop()
        self._worker.call(self._store.close)
        self._worker.stop()

    def _scan(self) -> None:
        mine: list[str] = []
        with (self.folder / "history").open("a", encoding="utf-8") as history:
            while not self._ended.wait(self._random.uniform(0.5, 1.5) / self._per_s):
                note = self._note(mine)
                (entry,) = self._worker.call(
                    lambda note=note: self._store.write([note], self.now())
                )
                history.write(entry.id + "\n")  # whoever scanned has seen the tick
                history.flush()
                mine.append(entry.id)
                self._exchange.wake()

    def _write(self, note: Note) -> tuple[Entry, ...]:
        return self._store.write([note], self.now())

    def _note(self, mine: list[str]) -> Note:
        unit = self._random.choice(UNITS)
        if mine and self._random.random() < 0.1:
            return Note(Kind.STRUCK, JOB, unit, {"target": self._random.choice(mine)}, "Mara")
        return Note(Kind.STEP_DONE, JOB, unit, {"step": self._random.choice(STEPS)}, "Mara")


@dataclass(slots=True)
class Kiosk:
    """A scanner in this process, or one in a process of its own that can be killed."""

    folder: Path
    letter: str
    url: str
    seed: int
    per_s: float
    mutant: str = ""
    apart: bool = False
    starts: int = 0
    _here: Scanner | None = None
    _process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Begin, or begin again."""
        self.starts += 1
        seed = self.seed * 1_000 + self.starts
        if not self.apart:
            self._here = Scanner(self.folder, self.letter, self.url, seed=seed, per_s=self.per_s)
            self._here.start()
            return
        words = [self.folder, self.letter, self.url, seed, self.per_s, self.mutant]
        line = [sys.executable, "-m", "tests.chaos", *map(str, words)]
        self._process = subprocess.Popen(line)

    def kill(self) -> None:
        """Kill it as a power cut would, but for the disk."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()

    def stop(self) -> None:
        """End it in good order."""
        if self._here is not None:
            self._here.stop()
        if self._process is not None:
            self._process.send_signal(signal.SIGTERM)
            self._process.wait(_PATIENCE_S)

    def set_clock(self, seconds: float) -> None:
        """Set its clock wrong by so much."""
        part = self.folder / "offset.part"
        part.write_text(str(seconds))
        part.replace(self.folder / "offset")


@dataclass(slots=True)
class Nemesis:
    """Does harm, one kind after the other, each as often as the others; seeded."""

    random: random.Random
    proxy: Proxy
    server: Server
    kiosks: Sequence[Kiosk]
    hold_s: tuple[float, float]
    done: Counter[str] = field(default_factory=Counter)
    _bag: list[str] = field(default_factory=list)

    def kinds(self) -> list[str]:
        """Return all there are."""
        found = ["server stopped", "server stopped at once", "server killed", "bytes swallowed"]
        found += ["lines reset", "connection refused", "cut after request", "cut before reply"]
        found += ["network slow", "clock set wrong"]
        return [*found, "kiosk killed"] if self.kiosks[0].apart else found

    def harm(self) -> None:
        """Do one kind of harm, hold it, and mend it."""
        if not self._bag:
            self._bag = self.kinds()
            self.random.shuffle(self._bag)
        kind = self._bag.pop()
        self.done[kind] += 1
        hold = self.random.uniform(*self.hold_s)
        if kind.startswith("server"):
            {"server stopped": self.server.stop, "server killed": self.server.kill}.get(
                kind, lambda: self.server.stop("immediate")
            )()
            time.sleep(hold)
            self.server.start()
        elif kind == "kiosk killed":
            one = self.random.choice(self.kiosks)
            one.kill()
            one.start()
        elif kind == "clock set wrong":
            ahead = self.random.choice((-86_400, -3_600, 30, 3_600, 315_576_000, 0))
            self.random.choice(self.kiosks).set_clock(ahead)
        else:
            self._harm_network(kind, hold)

    def _harm_network(self, kind: str, hold: float) -> None:
        at = self.random.choice((b"INSERT", b"COMMIT"))
        if kind == "lines reset":
            self.proxy.reset()
        elif kind.startswith("cut"):
            fault = Fault.AFTER_REQUEST if kind == "cut after request" else Fault.BEFORE_REPLY
            self.proxy.do(fault, at=at)
        else:
            faults = {"bytes swallowed": Fault.SWALLOW, "connection refused": Fault.REFUSE}
            self.proxy.do(faults.get(kind, Fault.DELAY))
        time.sleep(hold)
        self.proxy.mend()


@dataclass(slots=True)
class Found:
    """What a run came to."""

    acknowledged: int = 0
    on_server: int = 0
    lost: int = 0
    doubles: int = 0
    unequal: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    faults: Counter[str] = field(default_factory=Counter)

    @property
    def is_sound(self) -> bool:
        """Whether nothing was lost, doubled, unequal or damaged."""
        return not (self.lost or self.doubles or self.unequal or self.damaged)


def run_chaos(
    prepared: Prepared,
    folder: Path,
    *,
    seconds: float,
    seed: int,
    kiosks: str = "KMPR",
    per_s: float = 15.0,
    hold_s: tuple[float, float] = (0.3, 7.0),
    apart: bool = True,
    mutant: str = "",
) -> Found:
    """Let kiosks scan for so long while things fail, then check; the same seed, the same harm."""
    proxy = Proxy(prepared.server.port)
    made = [
        Kiosk(folder / one, one, proxy.url(prepared.add_kiosk(one)), seed + n, per_s, mutant, apart)
        for n, one in enumerate(kiosks)
    ]
    _open_job(made[0])
    nemesis = Nemesis(random.Random(seed), proxy, prepared.server, made, hold_s)
    for one in made:
        one.start()
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        time.sleep(nemesis.random.uniform(*hold_s) * 0.4)
        nemesis.harm()
    for one in made:
        one.stop()
    proxy.close()
    found = check(prepared, made)
    found.faults = nemesis.done
    return found


def _open_job(first: Kiosk) -> None:
    first.folder.mkdir(exist_ok=True)
    store = Store.open(first.folder / "shop.db", first.letter)
    notes = [Note(Kind.JOB_OPENED, JOB, "", {"name": "Glaze store"})]
    notes += [Note(Kind.UNIT_TAKEN, JOB, unit, _UNIT) for unit in UNITS]
    store.write(notes, datetime.now(UTC))
    store.close()


def check(prepared: Prepared, kiosks: Sequence[Kiosk]) -> Found:
    """Let everybody exchange in peace, then compare all with what was acknowledged."""
    found = Found()
    with psycopg.connect(prepared.admin_url) as line:
        stores = {one.letter: Store.open(one.folder / "shop.db", one.letter) for one in kiosks}
        for _pass in range(2):
            for one in kiosks:
                url = one.url.replace(one.url.split("@")[1].split("/")[0], _place(prepared))
                with closing(Link.open(url)) as link:
                    done = swap(stores[one.letter], link, clock=lambda: to_ms(datetime.now(UTC)))
                found.damaged += [f"{one.letter}: {done.wrong}"] if done.wrong else []
        rows = [Row(0, *values) for values in line.execute(_SQL)]
        found.damaged += list(faults(line.execute(_LINKS).fetchall()))
    ids = Counter(row.id for row in rows)
    told = [Counter((one.folder / "history").read_text().split()) for one in kiosks]
    found.acknowledged, found.on_server = sum(one.total() for one in told), len(rows)
    found.lost = sum(entry not in ids for one in told for entry in one)
    places = Counter((row.kiosk, row.seq) for row in rows)
    found.doubles = sum(n - 1 for count in (ids, places, *told) for n in count.values())
    states = fold(rows)
    for letter, store in stores.items():
        is_same = dict(store.states()) == states and store.heads() == _heads(rows)
        found.unequal += [] if is_same else [letter]
        store.close()
    found.damaged += [why for one in kiosks for why in verify(one.folder / "shop.db")]
    return found


def fold(rows: Sequence[Row]) -> dict[tuple[str, str], object]:
    """The fold of everything, by the rows the server holds."""
    ours = sorted((row for row in rows if row.unit), key=lambda row: (row.job, row.unit))
    made = {
        key: fold_unit(map(entry_of, some))
        for key, some in groupby(ours, key=lambda row: (row.job, row.unit))
    }
    return {key: state for key, state in made.items() if state is not None and not state.gone}


def _heads(rows: Sequence[Row]) -> dict[str, tuple[int, str]]:
    return {row.kiosk: (row.seq, row.chain) for row in rows}


def _place(prepared: Prepared) -> str:
    return f"127.0.0.1:{prepared.server.port}"


def main(folder: str, letter: str, url: str, seed: str, per_s: str, mutant: str = "") -> None:
    """Run one kiosk in this process until it is told to end."""
    if mutant:
        kiosk.exchange.swap = MUTANTS[mutant]  # type: ignore[assignment]
    one = Scanner(Path(folder), letter, url, seed=int(seed), per_s=float(per_s))
    ended = threading.Event()
    signal.signal(signal.SIGTERM, lambda _number, _frame: ended.set())
    one.start()
    while not ended.wait(0.2) and os.getppid() != 1:
        pass
    one.stop()


if __name__ == "__main__":
    main(*sys.argv[1:])
