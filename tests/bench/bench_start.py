"""Cold start to the first frame, against an empty Kivy window in the same run."""

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
ENV = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "SDL_AUDIODRIVER": "dummy"}
EMPTY = """
import os
os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_LOG_MODE="PYTHON")
from kivy.config import Config
Config.set("graphics", "multisamples", "0")
from kivy.app import App
from kivy.clock import Clock
from kivy.uix.label import Label
class Empty(App):
    def load_kv(self, filename=None):
        return False
    def build(self):
        Clock.schedule_once(lambda dt: self.stop(), 0)
        return Label(text="x")
Empty().run()
"""
KIOSK = """
import sys
from pathlib import Path
from kiosk.app import boot, late_shop, make_app
from kiosk.clock import SystemClock
from kiosk.settingstext import load
settings, _ = load("")
boot((1280, 800), fullscreen=False)
from kivy.clock import Clock
app = make_app(late_shop(Path(sys.argv[1]), settings, SystemClock()), station="finish")
Clock.schedule_once(lambda dt: app.stop(), 0)
app.run()
"""


def run() -> Iterator[tuple[str, float, str, str]]:
    """Yield name, value, unit and what it is compared with."""
    with tempfile.TemporaryDirectory() as scratch:
        file = Path(scratch) / "shop.db"
        kiosk = [sys.executable, "-c", KIOSK, str(file)]
        times: dict[str, list[float]] = {"kiosk": [], "empty": []}
        for _ in range(ROUNDS):
            times["empty"].append(_seconds([sys.executable, "-c", EMPTY]))
            times["kiosk"].append(_seconds(kiosk))
    ours, empty = (statistics.median(times[name]) for name in ("kiosk", "empty"))
    yield "cold start to first frame", ours, "s", f"empty window {empty:.2f} s"
    yield "kiosk / empty window", ours / empty, "x", "whole process, both stop after it"


def _seconds(words: list[str]) -> float:
    began = time.perf_counter()
    subprocess.run(words, env=ENV, check=True, capture_output=True)
    return time.perf_counter() - began
