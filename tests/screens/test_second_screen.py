"""The board on another screen: which one, where its window lies, and what is said without one."""

import os
import select
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner
from xserver import display_of

from kiosk.cli import app
from kiosk.screens import desktop
from kiosk.screens.desktop import Monitor, monitors, pick_monitor

TWO = (Monitor(0, 0, 1280, 800), Monitor(1280, 0, 1920, 1080))
MISSING = [name for name in ("Xvfb", "xdotool") if shutil.which(name) is None]
ON_A_DISPLAY = pytest.mark.skipif(
    bool(MISSING) or sys.platform != "linux", reason="needs apt install xvfb xdotool"
)
ROOT = Path(__file__).parents[2]
PROGRAM = """
from kiosk.app import boot
from kiosk.screens.desktop import Monitor
boot(monitor=Monitor(1280, 100, 1600, 900))
from kivy.app import App
from kivy.clock import Clock
from kivy.uix.widget import Widget
class Bare(App):
    def build(self):
        return Widget()
    def on_start(self):
        Clock.schedule_once(lambda _dt: print("ready", flush=True), 0.5)
Bare().run()
"""


def test_screens_are_counted_from_one():
    assert pick_monitor(1, TWO) == (TWO[0], "")
    assert pick_monitor(2, TWO) == (TWO[1], "")


def test_a_screen_that_is_not_there_is_said_with_the_way_out():
    monitor, words = pick_monitor(2, TWO[:1])
    assert monitor is None
    assert words.startswith("There is no screen 2: one screen is attached. Plug it in")
    assert "2 screens are attached" in pick_monitor(3, TWO)[1]
    assert pick_monitor(1, ())[0] is None


def test_opening_on_a_screen_that_is_not_there_ends_in_words(tmp_path, monkeypatch):
    monkeypatch.setattr("kiosk.app.monitors", lambda: TWO[:1])
    words = ["open", "--board", "--screen", "2", "--shop", str(tmp_path / "shop.db")]
    done = CliRunner().invoke(app, words)
    assert done.exit_code == 3
    assert "There is no screen 2" in done.output


def test_a_window_and_a_screen_are_not_both_to_be_had(tmp_path):
    words = ["open", "--window", "--screen", "2", "--shop", str(tmp_path / "shop.db")]
    assert CliRunner().invoke(app, words).exit_code == 2


def test_without_a_library_to_ask_there_are_no_screens(monkeypatch):
    monkeypatch.setattr(desktop, "_load_sdl", lambda: None)
    assert monitors() == ()


@pytest.fixture
def wide_display():
    """A desktop as wide as two screens."""
    with display_of("3200x1080") as name:
        yield {
            **os.environ,
            "DISPLAY": name,
            "SDL_VIDEODRIVER": "x11",
            "SDL_AUDIODRIVER": "dummy",
            "PYTHONPATH": str(ROOT),
        }


@ON_A_DISPLAY
def test_sdl_says_where_a_real_screen_is(wide_display):
    code = "from kiosk.screens.desktop import monitors; print(monitors())"
    said = subprocess.run(
        [sys.executable, "-c", code],
        env=wide_display,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    ).stdout
    assert said.strip() == str((Monitor(0, 0, 3200, 1080),))


@ON_A_DISPLAY
def test_the_window_lies_exactly_over_the_screen_that_is_meant(wide_display, tmp_path):
    program = tmp_path / "bare.py"
    program.write_text(PROGRAM, "utf-8")
    kiosk = subprocess.Popen(
        [sys.executable, str(program)], env=wide_display, stdout=subprocess.PIPE, text=True
    )
    try:
        ready, _, _ = select.select([kiosk.stdout], [], [], 60)
        assert ready
        assert kiosk.stdout.readline().strip() == "ready"

        def tool(*words):
            return subprocess.run(
                ["xdotool", *words],
                env=wide_display,
                capture_output=True,
                text=True,
                check=True,
                timeout=60,
            ).stdout

        window = tool("search", "--onlyvisible", "--class", ".").split()[-1]
        lines = tool("getwindowgeometry", "--shell", window).splitlines()
        shape = dict(line.split("=") for line in lines)
        assert [shape[one] for one in ("X", "Y", "WIDTH", "HEIGHT")] == [
            "1280",
            "100",
            "1600",
            "900",
        ]
    finally:
        kiosk.terminate()
        kiosk.communicate(timeout=20)
