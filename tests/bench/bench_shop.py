"""Whole paths through the shop: scan, board, fold, take-in; each against a baseline of this run."""

from __future__ import annotations

import csv
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
FRAME_MS = 16.0  # one frame of a 60 Hz screen
Line = tuple[str, float, str, str]


def run(*, history: int = 1_000_000, units: int = 1_000, scans: int = 200) -> Iterator[Line]:
    """Yield name, value, unit and what it is compared with."""
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as scratch:
        folder = Path(scratch)
        yield from _scan(folder, scans)
        yield from _take_in(folder)
        yield from _board(folder, units, history)


def _shop(file: Path) -> tuple[Shop, FixedClock]:
    settings, _ = load('zone = "UTC"\nrepeat_seconds = 0\n')
    clock = FixedClock(START)
    return Shop(Store.open(file, "K"), settings, clock), clock


def _list(file: Path, units: int, pieces: int) -> Path:
    with file.open("w", newline="", encoding="utf-8") as out:
        write = csv.writer(out)
        write.writerow(["Unit", "Kind", "Part", "Qty", "Length (mm)", "Width (mm)", "Finish"])
        for number in range(units):
            for part in range(max(1, pieces // 2)):
                write.writerow([f"U{number}", "shelf", f"Part {part}", 2, 600 + part, 300, "clear"])
    return file


def _median_ms(action: Callable[[], object]) -> float:
    began = time.perf_counter()
    action()
    return (time.perf_counter() - began) * 1000


def _scan(folder: Path, scans: int) -> Iterator[Line]:
    """A durable scan against a raw durable commit of one row, interleaved in the same run."""
    shop, clock = _shop(folder / "scan.db")
    taken = shop.take_in(_list(folder / "scan.csv", scans // 4, 4), Job("SCAN"))
    codes = [piece.code for unit in taken.units for piece in unit.pieces][:scans]
    raw = sqlite3.connect(folder / "raw.db", isolation_level=None)
    raw.execute("PRAGMA journal_mode=wal")
    raw.execute("PRAGMA synchronous=full")
    raw.execute("CREATE TABLE entry (pos INTEGER PRIMARY KEY, body TEXT)")
    body = '{"step":"cut","part":"K7F3Q97","at_ms":1773043200000}'

    def commit() -> None:
        raw.execute("BEGIN IMMEDIATE")
        raw.execute("INSERT INTO entry (body) VALUES (?)", (body,))
        raw.execute("COMMIT")

    baseline, measured = [], []
    for code in codes:
        clock.set(clock.now() + timedelta(seconds=5))
        baseline.append(_median_ms(commit))
        began = time.perf_counter()
        answer = shop.scan(code, station="cut")
        measured.append((time.perf_counter() - began) * 1000)
        assert answer.outcome == Outcome.RECORDED
    raw.close()
    shop.store.close()
    one, other = statistics.median(measured), statistics.median(baseline)
    yield "durable scan", one, "ms", f"raw durable commit {other:.2f} ms"
    yield "durable scan / raw commit", one / other, "x", "goal 1.5"


def _take_in(folder: Path) -> Iterator[Line]:
    """10,000 pieces from file to durable log, against reading the same file with csv alone."""
    shop, _ = _shop(folder / "big.db")
    file = _list(folder / "big.csv", 500, 20)

    def plain() -> None:
        with file.open(encoding="utf-8") as source:
            list(csv.reader(source))

    base = _median_ms(plain)
    rows = [(number, "0" * 32, "K", number, "{}" * 60) for number in range(10_000)]
    raw = sqlite3.connect(folder / "rows.db", isolation_level=None)
    raw.execute("PRAGMA journal_mode=wal")
    raw.execute("PRAGMA synchronous=full")
    raw.execute("CREATE TABLE entry (pos INTEGER PRIMARY KEY, id, kiosk, seq, body)")

    def many() -> None:
        raw.execute("BEGIN IMMEDIATE")
        raw.executemany("INSERT INTO entry VALUES (?, ?, ?, ?, ?)", rows)
        raw.execute("COMMIT")

    bare = _median_ms(many)
    raw.close()
    taken_ms = _median_ms(lambda: shop.take_in(file, Job("BIG")))
    states = dict(shop.store.states())
    shop.store.close()
    count = sum(len(state.pieces) for state in states.values())
    assert count == 10_000
    yield "take-in of 10,000 pieces", taken_ms / 1000, "s", f"csv alone {base:.0f} ms; goal 2 s"
    yield "take-in / 10,000 bare rows", taken_ms / bare, "x", f"file and checks; rows {bare:.0f} ms"


def _board(folder: Path, units: int, history: int) -> Iterator[Line]:
    """The board after one scan, with little history and with much; and the fold rate."""
    shop, clock = _shop(folder / "board.db")
    taken = shop.take_in(_list(folder / "board.csv", units, 4), Job("NOW"))
    small = _after_scan(shop, clock, taken.units[0].pieces[0].code)
    _fill_history(shop, history)
    codes = [unit.pieces[1].code for unit in taken.units[:20]]
    large = statistics.median([_after_scan(shop, clock, code) for code in codes])
    entries = shop.store.history("NOW", taken.units[0].unit)
    rounds = 2_000
    began = time.perf_counter()
    for _ in range(rounds):
        fold_unit(entries)
    rate = rounds * len(entries) / (time.perf_counter() - began)
    count = sum(shop.store.tally().values())
    rebuilt = _median_ms(shop.store.rebuild) / 1000
    shop.store.close()
    yield f"board after a scan, {units} open units", small, "ms", "little history"
    yield f"same, {history:,} entries of history", large, "ms", f"goal {FRAME_MS:g}"
    yield "with / without history", large / small, "x", "goal: not growing"
    yield "fold rate", rate, "entries/s", "units of a few entries"
    yield "projection made again", count / rebuilt, "entries/s", "goal 200,000"


def _after_scan(shop: Shop, clock: FixedClock, code: str) -> float:
    shop.floor()
    clock.set(clock.now() + timedelta(seconds=5))
    assert shop.scan(code, station="cut").outcome == Outcome.RECORDED
    return _median_ms(shop.floor)


def _fill_history(shop: Shop, history: int) -> None:
    """Write a closed job with much history."""
    batch = 20_000
    for start in range(0, history, batch):
        notes = [
            Note(Kind.STEP_DONE, "OLD", f"U{number // 20}", {"step": f"coat-{number % 20}"})
            for number in range(start, min(start + batch, history))
        ]
        shop.store.write(notes, shop.now())
