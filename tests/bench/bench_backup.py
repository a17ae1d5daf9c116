"""Measure how long a scan waits for the disk while a nightly copy is made beside it.

.venv/bin/python -m tests.bench.bench_backup            a log of 100,000 entries
.venv/bin/python -m tests.bench.bench_backup --quick    one of 10,000
Name a folder on the disk to be measured as a further word. Rounds with and without a copy
alternate, so that what else the machine does falls on both; trust the ratio, not the milliseconds.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from db.log import Changes, Draft, Log

NOTHING = Changes()
START_MS = 1_772_000_000_000
BETWEEN_S = 0.02  # fifty scans a second, far more than any shop: each stall is caught
MOST_STALL_S = 0.5  # choice: what a person at the bench does not take for a fault


def fill(path: Path, count: int) -> Log:
    """Make a log of so many entries about forty units of each of a hundred jobs."""
    log = Log.open(path)
    for first in range(0, count, 1_000):
        numbers = range(first, min(first + 1_000, count))
        log.append([_draft(number) for number in numbers], kiosk="K", wall_ms=START_MS + first,
                   changes=NOTHING)  # fmt: skip
    return log


def _draft(number: int) -> Draft:
    job, unit = f"JOB{number // 40 % 100}", f"U{number % 40}"
    return Draft("step_done", job, unit, "Mara", {"step": f"coat-{number % 3}", "code": "K7F3Q97"})


def waits(log: Log, *, until: Iterator[bool]) -> list[float]:
    """Record scan after scan, each durable, and return how many seconds each took."""
    found = []
    for number, goes_on in enumerate(until):
        if not goes_on:
            break
        before = time.perf_counter()
        log.append([_draft(number)], kiosk="K", wall_ms=START_MS * 2, changes=NOTHING)
        found.append(time.perf_counter() - before)
        time.sleep(BETWEEN_S)
    return found


def copying(path: Path) -> Iterator[bool]:
    """Yield True as long as a nightly copy is being made and proved, as the kiosk has it made."""
    for name in ("nightly.json", "copies.log"):
        path.with_name(name).unlink(missing_ok=True)
    command = [sys.executable, "-m", "kiosk", "backup", "--nightly", "--shop", str(path)]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as process:
        while process.poll() is None:
            yield True
    if process.returncode:
        raise SystemExit(f"no copy was made: status {process.returncode}")
    yield False


def for_seconds(seconds: float) -> Iterator[bool]:
    """Yield True for so long."""
    end = time.perf_counter() + seconds
    while time.perf_counter() < end:
        yield True
    yield False


def measure(folder: Path, *, count: int, rounds: int) -> dict[str, float]:
    """Return the longest and the usual wait of a scan in ms, with and without a copy beside it."""
    path = folder / "shop.db"
    log = fill(path, count)
    alone: list[float] = []
    beside: list[float] = []
    took = 0.0
    for _round in range(rounds):
        before = time.perf_counter()
        beside += waits(log, until=copying(path))
        took = time.perf_counter() - before
        alone += waits(log, until=for_seconds(took))
    log.close()
    note = json.loads(path.with_name("nightly.json").read_text("utf-8"))
    assert note["entries"] >= count, note
    return {
        "entries": float(count),
        "copy_s": took,
        "scans_alone": float(len(alone)),
        "scans_beside": float(len(beside)),
        "median_alone_ms": _at(alone, 0.5),
        "median_beside_ms": _at(beside, 0.5),
        "p99_alone_ms": _at(alone, 0.99),
        "p99_beside_ms": _at(beside, 0.99),
        "longest_alone_ms": _at(alone, 1.0),
        "longest_beside_ms": _at(beside, 1.0),
        "longest_ratio": _at(beside, 1.0) / _at(alone, 1.0),
        "median_ratio": _at(beside, 0.5) / _at(alone, 0.5),
    }


def _at(seconds: list[float], share: float) -> float:
    ordered = sorted(seconds)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] * 1_000


def main() -> None:
    """Print the figures, and whether the longest stall keeps to the target."""
    is_quick = "--quick" in sys.argv
    where = next((word for word in sys.argv[1:] if not word.startswith("-")), None)
    with tempfile.TemporaryDirectory(dir=where) as name:
        count, rounds = (10_000, 1) if is_quick else (100_000, 3)
        found = measure(Path(name), count=count, rounds=rounds)
    for key, value in found.items():
        print(f"{key:20} {value:12,.2f}")
    kept = found["longest_beside_ms"] <= MOST_STALL_S * 1_000
    print(f"longest stall at most {MOST_STALL_S} s: {'kept' if kept else 'NOT kept'}")


if __name__ == "__main__":
    main()
