"""Real keys through a real X server: what injected events cannot show, kivy #5296 and #8136."""

import os
import select
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TOOLS = ("Xvfb", "xdotool")
MISSING = [name for name in TOOLS if shutil.which(name) is None]
CODES = ["K7F3Q97", "G22AB4C", "XW9TUV8"]
HERE = Path(__file__).parent

pytestmark = pytest.mark.skipif(
    bool(MISSING) or sys.platform != "linux",
    reason=f"needs {' and '.join(MISSING or TOOLS)}: apt install xvfb xdotool",
)


@pytest.fixture
def display():
    """A display of our own: keys go to whichever window has the focus."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x800x24", "-nolisten", "tcp"],
        pass_fds=[write],
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as said:
        ready, _, _ = select.select([said], [], [], 30)
        number = said.readline().strip() if ready else ""
    if not number:
        server.kill()
        pytest.fail("the display did not start")
    yield f":{number}"
    server.terminate()
    server.wait(20)


def next_line(kiosk, within: float = 60.0) -> str:
    ready, _, _ = select.select([kiosk.stdout], [], [], within)
    return kiosk.stdout.readline().strip() if ready else "nothing came"


@pytest.fixture
def start(display):
    """Start the kiosk in a window on the display, and end it after the test."""
    env = {**os.environ, "DISPLAY": display, "SDL_VIDEODRIVER": "x11", "SDL_AUDIODRIVER": "dummy"}
    live = []

    def begin(*words: str):
        kiosk = subprocess.Popen(
            [sys.executable, str(HERE / "real_window.py"), *words],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=env,
            text=True,
            bufsize=1,
        )
        live.append(kiosk)
        assert next_line(kiosk) == "ready"

        def tool(*words: str) -> str:
            return subprocess.run(
                ["xdotool", *words], env=env, capture_output=True, text=True, check=True, timeout=60
            ).stdout

        window = tool("search", "--onlyvisible", "--class", ".").split()[-1]
        tool("windowfocus", window)
        return kiosk, tool, window

    yield begin
    for kiosk in live:
        kiosk.terminate()
        kiosk.communicate(timeout=20)


def test_keys_of_a_scanner_arrive_after_a_text_field_lost_the_focus(start):
    kiosk, tool, _ = start()
    for code in CODES:
        tool("type", "--delay", "2", code)
        tool("key", "Return")
        assert next_line(kiosk) == code


def test_the_kiosk_fills_a_screen_without_a_window_manager_and_escape_leaves_it_open(start):
    kiosk, tool, window = start("full")
    shape = dict(
        line.split("=") for line in tool("getwindowgeometry", "--shell", window).splitlines()
    )
    assert (shape["X"], shape["Y"], shape["WIDTH"], shape["HEIGHT"]) == ("0", "0", "1280", "800")
    tool("key", "Escape")
    tool("key", "F1")
    tool("type", "--delay", "2", CODES[0])
    tool("key", "Return")
    assert next_line(kiosk) == CODES[0]
