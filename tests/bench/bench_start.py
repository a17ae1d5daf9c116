"""Cold start of `cleatclock open`, against a plain Kivy hello in the same run.

Started means: the first frame is painted, and it is the screen the kiosk stood at. The lists on it
are still empty and say so. What is scanned from then on waits in the window's queue until the rest
is loaded, and is then recorded; `tests/screens/test_real_keys.py` shows that, not this. Measured
here besides is the time to the first frame with an answer, of a scan made in the first turn in
which the kiosk listens: nobody who scans earlier is answered earlier. Times count from before the
process is started; both sides have their bytecode compiled, as an installed program has.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

ROUNDS = 5
TOLD = """
import time
def tell_first_flip(then=lambda: None):
    from kivy.core.window import Window
    flip = Window.flip
    def flipped():
        flip()
        Window.flip = flip
        print("frame", time.monotonic(), time.process_time(), flush=True)
        then()
    Window.flip = flipped
"""
EMPTY = """
import os
os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_LOG_MODE="PYTHON")
from kivy.config import Config
Config.set("graphics", "multisamples", "0")
from kivy.app import App
from kivy.uix.label import Label
class Empty(App):
    def load_kv(self, filename=None):
        return False
    def build(self):
        tell_first_flip(self.stop)
        return Label(text="Hello")
Empty().run()
"""
KIOSK = """
import sys
import kiosk.app
boot, make = kiosk.app.boot, kiosk.app.make_app
def booted(*given, **named):
    boot(*given, **named)
    tell_first_flip()
def made(*given, **named):
    from kivy.clock import Clock
    from kivy.core.window import Window
    app = make(*given, **named)
    def scan(dt):
        for letter in code:
            Window.dispatch("on_textinput", letter)
        Window.dispatch("on_key_down", 13, 40, None, [])
    def look(*rest):
        if app.desk.answer is None:
            return
        Window.unbind(on_draw=look)
        flip = Window.flip
        def flipped():
            flip()
            print("answer", time.monotonic(), time.process_time(), flush=True)
            app.stop()
        Window.flip = flipped
    Clock.schedule_once(scan, 0)
    Window.bind(on_draw=look)
    return app
kiosk.app.boot, kiosk.app.make_app = booted, made
from kiosk.cli import main
code = sys.argv.pop()
sys.argv[1:] = ["open", "--window", "--shop", sys.argv[1]]
main()
"""


def run(*, units: int = 1_000) -> Iterator[tuple[str, float, str, str]]:
    """Yield name, value, unit and what it is compared with."""
    with tempfile.TemporaryDirectory(prefix="cleatclock-bench-") as scratch:
        folder = Path(scratch)
        file, codes = _a_shop(folder, units)
        env = {
            **{
                name: value
                for name, value in os.environ.items()
                if name != "PYTHONDONTWRITEBYTECODE"
            },
            "SDL_VIDEODRIVER": "offscreen",
            "SDL_AUDIODRIVER": "dummy",
            "XDG_STATE_HOME": scratch,
            "PYTHONPYCACHEPREFIX": str(folder / "bytecode"),
        }
        took: dict[str, list[tuple[float, float]]] = {"empty": [], "frame": [], "answer": []}
        for turn in range(ROUNDS + 1):
            empty = _marks(env, EMPTY)
            kiosk = _marks(env, KIOSK, str(file), codes[turn])
            if turn:  # the first round compiles
                took["empty"].append(empty["frame"])
                took["frame"].append(kiosk["frame"])
                took["answer"].append(kiosk["answer"])
    empty, frame, answer = (
        list(map(statistics.median, zip(*rows, strict=True))) for rows in took.values()
    )
    beside = f"Kivy hello {empty[0]:.2f} s"
    yield "cold start to first frame", frame[0], "s", beside
    yield "kiosk / Kivy hello", frame[0] / empty[0], "x", "both to the first frame; goal 1.5"
    beside = f"{frame[1]:.2f} s against {empty[1]:.2f} s; counts where others use the machine"
    yield "  the same in processor time", frame[1] / empty[1], "x", beside
    beside = f"{units} open units, {answer[1]:.2f} s of processor time"
    yield "cold start to first answered scan", answer[0], "s", beside


def _a_shop(folder: Path, units: int) -> tuple[Path, list[str]]:
    """Return a shop's file with open units, and a code for each round."""
    from kiosk.actions import Shop
    from kiosk.clock import SystemClock
    from kiosk.settingstext import load
    from kiosk.store import Job, Store

    settings, file, listed = load("")[0], folder / "start.db", folder / "start.csv"
    head = "Unit,Kind,Part,Qty,Length (mm),Width (mm),Finish\n"
    rows = "".join(f"U{number},shelf,Board,1,600,300,clear\n" for number in range(units))
    listed.write_text(head + rows, "utf-8")
    store = Store.open(file, settings.kiosk_letter)
    taken = Shop(store, settings, SystemClock()).take_in(listed, Job("BENCH"))
    store.close()
    return file, [piece.code for unit in taken.units for piece in unit.pieces][: ROUNDS + 1]


def _marks(env: dict[str, str], script: str, *given: str) -> dict[str, tuple[float, float]]:
    """Return after how many seconds, and how many of processor time, a process painted what."""
    began = time.monotonic()  # one clock for all processes
    words = [sys.executable, "-c", TOLD + script, *given]
    ran = subprocess.run(words, env=env, check=True, capture_output=True, text=True)
    rows = [line.split() for line in ran.stdout.splitlines()]
    marks = [row for row in rows if row[0] in ("frame", "answer")]
    return {name: (float(at) - began, float(used)) for name, at, used in marks}


if __name__ == "__main__":
    for name_, value_, unit_, beside_ in run():
        print(f"{name_:42} {value_:12,.2f} {unit_:10} {beside_}", flush=True)
