"""The kiosk on its screen: scan to repainted screen, idle cost, memory, restart after a kill.

.venv/bin/python -m tests.bench.bench_screen            the full run, some minutes
.venv/bin/python -m tests.bench.bench_screen --quick    a small one
"""

from __future__ import annotations

import csv
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

Line = tuple[str, float, str, str]
ENV = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "SDL_AUDIODRIVER": "dummy"}
RESTART = """
import sys
import kiosk.app
make = kiosk.app.make_app
def made(*given, **named):
    from kivy.clock import Clock
    app = make(*given, **named)
    Clock.schedule_once(lambda dt: app.stop(), 0)
    return app
kiosk.app.make_app = made
from kiosk.cli import main
sys.argv[1:] = ["open", "--window", "--shop", sys.argv[1]]
main()
"""


def run(
    *, scans: int = 1_000, units: int = 1_000, many: int = 10_000, idle_s: int = 30
) -> Iterator[Line]:
    """Yield name, value, unit and what it is compared with."""
    with tempfile.TemporaryDirectory(prefix="cleatclock-bench-") as scratch:
        folder = Path(scratch)
        for part, *numbers in (("scan", units, scans, many), ("idle", units, idle_s)):
            words = [sys.executable, "-m", "tests.bench.bench_screen", "--part", part, scratch]
            ran = subprocess.run(
                [*words, *map(str, numbers)], env=ENV, check=True, capture_output=True, text=True
            )
            yield from (tuple(line) for line in json.loads(ran.stdout.splitlines()[-1]))
        yield from _restart(folder)


def _restart(folder: Path) -> Iterator[Line]:
    """Kill a kiosk that runs, and start it again as the system would."""
    file = str(folder / "idle.db")
    env = {**ENV, "XDG_STATE_HOME": str(folder)}
    took = []
    for _ in range(3):
        words = [sys.executable, "-m", "kiosk", "open", "--window", "--shop", file]
        first = subprocess.Popen(words, env=env, stderr=subprocess.DEVNULL)
        time.sleep(4)
        first.kill()
        first.wait()
        began = time.perf_counter()
        subprocess.run(
            [sys.executable, "-c", RESTART, file], env=env, check=True, capture_output=True
        )
        took.append(time.perf_counter() - began)
    yield "restart after a kill, to the end of it", statistics.median(took), "s", "goal 2 s"


def _shop_app(folder: Path, name: str, units: int, size: tuple[int, int], screen: str):  # type: ignore[no-untyped-def]
    from kiosk.actions import Shop
    from kiosk.app import boot, late_shop, make_app
    from kiosk.clock import SystemClock
    from kiosk.settingstext import load
    from kiosk.store import Job, Store

    settings = replace(load("")[0], zone="UTC", repeat_seconds=0, sound=False)
    file, listed = folder / f"{name}.db", folder / f"{name}.csv"
    with listed.open("w", newline="", encoding="utf-8") as out:
        write = csv.writer(out)
        write.writerow(["Unit", "Kind", "Part", "Qty", "Length (mm)", "Width (mm)", "Finish"])
        for number in range(units):
            write.writerow([f"U{number}", "shelf", "Board", 1, 600, 300, "clear"])
    store = Store.open(file, settings.kiosk_letter)
    shop = Shop(store, settings, SystemClock())
    taken = shop.take_in(listed, Job("BENCH"))
    codes = [piece.code for unit in taken.units for piece in unit.pieces]
    if screen == "board":  # clocks that count down in every slot
        for unit in taken.units[:20]:
            shop.scan(unit.unit, station="assemble", step="glue-up", reason="done earlier")
    store.close()
    boot(size, fullscreen=False)
    app = make_app(late_shop(file, settings, SystemClock()), station="cut", screen=screen)
    return app, codes


def _rss_mb() -> float:
    for line in Path("/proc/self/status").read_text("utf-8").splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024
    return 0.0


def _scan_part(folder: Path, units: int, scans: int, many: int) -> Iterator[Line]:
    app, codes = _shop_app(folder, "scan", units, (1280, 800), "bench")
    from kivy.base import EventLoop
    from kivy.config import Config
    from kivy.core.window import Window

    from kiosk.screens.stage import Stage

    Config.set("graphics", "maxfps", "0")
    with Stage(app) as stage:
        app._tick_event.cancel()

        def scan(code: str) -> float:
            before, began = app.desk.answer, time.perf_counter()
            for letter in code:
                Window.dispatch("on_textinput", letter)
            Window.dispatch("on_key_down", 13, 40, None, [])
            while app.desk.answer is before:
                EventLoop.idle()
            EventLoop.idle()  # drawn and flipped
            return (time.perf_counter() - began) * 1000

        empty = []
        for _ in range(30):
            Window.canvas.ask_update()
            began = time.perf_counter()
            EventLoop.idle()
            empty.append((time.perf_counter() - began) * 1000)
        frame = statistics.median(empty)
        took = []
        for turn in range(scans):
            took.append(scan(codes[turn % len(codes)]))
            stage.settle()  # board and list, as they come before anybody scans again
        median, worst = statistics.median(took), max(took)
        beside = f"one frame repainted {frame:.1f} ms"
        yield f"scan to repainted screen, {units} units", median, "ms", f"{beside}; goal 100"
        yield "same, worst", worst, "ms", f"of {scans}"
        yield "scan to screen / one frame", median / frame, "x", "same run"
        start = _rss_mb()
        for turn in range(many):
            scan(codes[turn % len(codes)])
        grown = _rss_mb() - start
        yield f"memory grown over {many:,} scans", grown, "MB", f"from {start:.0f} MB"
        yield "memory after / before", 1 + grown / start, "x", "goal: flat"


def _idle_part(folder: Path, units: int, seconds: int) -> Iterator[Line]:
    app, _codes = _shop_app(folder, "idle", units, (1920, 1080), "board")
    from kivy.clock import Clock

    used: list[float] = []

    def begin(_dt: float) -> None:
        used.extend((time.process_time(), time.perf_counter()))
        Clock.schedule_once(end, seconds)

    def end(_dt: float) -> None:
        used.extend((time.process_time(), time.perf_counter()))
        app.stop()

    Clock.schedule_once(begin, 5)
    app.run()
    share = 100 * (used[2] - used[0]) / (used[3] - used[1])
    yield "idle board at 1920x1080", share, "% of a core", "countdowns on; goal 3"


def main() -> None:
    """Run all, or one part in a process of its own: a window is opened once."""
    if "--part" in sys.argv:
        part, scratch, *numbers = sys.argv[sys.argv.index("--part") + 1 :]
        measure = _scan_part if part == "scan" else _idle_part
        print(json.dumps(list(measure(Path(scratch), *map(int, numbers)))))
        return
    is_quick = "--quick" in sys.argv
    lines = run(scans=50, units=200, many=200, idle_s=10) if is_quick else run()
    for name, value, unit, beside in lines:
        print(f"{name:42} {value:12,.2f} {unit:10} {beside}", flush=True)


if __name__ == "__main__":
    main()
