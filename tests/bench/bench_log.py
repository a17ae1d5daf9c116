"""Measure the log against raw sqlite3 on the same disk, in rounds that alternate.

Run it with a folder on the disk to be measured: python tests/bench/bench_log.py FOLDER. Ratios and
processor time are to be trusted, wall times on a shared machine are not.
"""

import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

from db.log import Changes, Draft, Log
from db.records import COLUMNS

NOTHING = Changes()
_TABLE = (
    "CREATE TABLE entry (pos INTEGER PRIMARY KEY, id TEXT UNIQUE, kiosk, seq, l, c, wall_ms,"
    " received_ms, person, kind, job, unit, body, chain, UNIQUE (kiosk, seq))"
)
_INSERT = f"INSERT INTO entry ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"


def _draft(number: int) -> Draft:
    return Draft("step_done", "GLAZE", f"U{number % 40}", "Mara", {"step": f"coat-{number}"})


class _Raw:
    """One durable row a commit, as sqlite3 alone does it."""

    def __init__(self, path: Path) -> None:
        self.file = sqlite3.connect(path, isolation_level=None)
        self.file.execute("PRAGMA journal_mode = wal")
        self.file.execute("PRAGMA synchronous = full")
        self.file.execute(_TABLE)
        self.last = 0

    def write(self, count: int) -> None:
        first, self.last = self.last + 1, self.last + count
        self.file.execute("BEGIN IMMEDIATE")
        self.file.executemany(
            _INSERT,
            [
                (
                    n,
                    f"{n:032x}",
                    "K",
                    n,
                    n,
                    0,
                    n,
                    None,
                    "Mara",
                    "step_done",
                    "J",
                    "U",
                    "{}",
                    "0" * 64,
                )
                for n in range(first, self.last + 1)
            ],
        )
        self.file.execute("COMMIT")


def _seconds(clock: Callable[[], float], call: Callable[[], object]) -> float:
    before = clock()
    call()
    return clock() - before


def measure(folder: Path, *, count: int, rounds: int) -> dict[str, float]:
    """Return how many times raw sqlite3 the log takes for `count` entries in one transaction.

    wall and cpu are ratios of medians over the rounds; cpu_ms is the log's processor time for one
    entry, less raw sqlite3's.
    """
    log, raw = Log.open(folder / f"log-{count}.db"), _Raw(folder / f"raw-{count}.db")
    drafts = [_draft(number) for number in range(count)]

    def ours() -> None:
        log.append(drafts, kiosk="K", wall_ms=1_772_000_000_000, changes=NOTHING)

    found: dict[str, list[float]] = {"ours": [], "raw": [], "ours_cpu": [], "raw_cpu": []}
    for clock, end in ((time.perf_counter, ""), (time.process_time, "_cpu")):
        for _ in range(rounds):
            found["raw" + end].append(_seconds(clock, lambda: raw.write(count)))
            found["ours" + end].append(_seconds(clock, ours))
    log.close()
    raw.file.close()
    half = {name: median(values) for name, values in found.items()}
    return {
        "wall": half["ours"] / half["raw"],
        "cpu": half["ours_cpu"] / half["raw_cpu"],
        "cpu_ms": (half["ours_cpu"] - half["raw_cpu"]) * 1_000 / count,
    }


def durable_append(folder: Path, rounds: int = 200) -> dict[str, float]:
    """Return the ratios for one entry a commit, as a scan writes it."""
    return measure(folder, count=1, rounds=rounds)


def bulk_append(folder: Path, rounds: int = 15) -> dict[str, float]:
    """Return the ratios for 300 entries a commit, as a part list writes them."""
    return measure(folder, count=300, rounds=rounds)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as name:
        for bench in (durable_append, bulk_append):
            figures = bench(Path(name))
            print(bench.__name__, {key: round(value, 3) for key, value in figures.items()})
