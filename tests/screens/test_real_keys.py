"""Real keys through a real X server: what injected events cannot show, kivy #5296 and #8136."""

import itertools
import json
import os
import queue
import random
import shutil
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest
from xserver import display_of

from kiosk.actions import Shop
from kiosk.clock import SystemClock
from kiosk.settingstext import load
from kiosk.store import Job, Store

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
    with display_of("1280x800") as name:
        yield name


ASK = """
import ctypes, ctypes.util, sys
x11 = ctypes.CDLL(ctypes.util.find_library("X11"))
class Message(ctypes.Structure):
    _fields_ = [("type", ctypes.c_int), ("serial", ctypes.c_ulong), ("sent", ctypes.c_int),
        ("display", ctypes.c_void_p), ("window", ctypes.c_ulong), ("kind", ctypes.c_ulong),
        ("format", ctypes.c_int), ("data", ctypes.c_long * 5), ("room", ctypes.c_long * 12)]
x11.XOpenDisplay.restype = ctypes.c_void_p
x11.XInternAtom.restype = ctypes.c_ulong
display = ctypes.c_void_p(x11.XOpenDisplay(sys.argv[1].encode()))
protocols = x11.XInternAtom(display, b"WM_PROTOCOLS", 0)
close = x11.XInternAtom(display, b"WM_DELETE_WINDOW", 0)
window = ctypes.c_ulong(int(sys.argv[2]))
told = Message(33, 0, 1, display, window, protocols, 32, (ctypes.c_long * 5)(close))
assert x11.XSendEvent(display, window, 0, ctypes.c_long(0), ctypes.byref(told))
x11.XSync(display, 0)
"""


def ask_to_close(display: str, window: int) -> None:
    """Send what a window manager sends for its close button and for Alt+F4."""
    subprocess.run([sys.executable, "-c", ASK, display, str(window)], check=True, timeout=60)


CLI = [sys.executable, "-m", "kiosk", "open"]
BATCH = 100  # scans in a row; then it is seen that all arrived
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWX"


def listen_to(kiosk) -> None:
    """Read what a kiosk prints as it comes; a select would not see what is read ahead."""
    kiosk.lines = queue.Queue()

    def read() -> None:
        for line in kiosk.stdout:
            kiosk.lines.put(line.strip())

    kiosk.reader = threading.Thread(target=read, daemon=True)
    kiosk.reader.start()


def next_line(kiosk, within: float = 60.0) -> str:
    try:
        return kiosk.lines.get(timeout=within)
    except queue.Empty:
        return "nothing came"


@pytest.fixture
def env(display, tmp_path):
    """The environment of a login on that display."""
    ours = {"DISPLAY": display, "SDL_VIDEODRIVER": "x11", "SDL_AUDIODRIVER": "dummy"}
    return {
        **os.environ,
        **ours,
        "XDG_STATE_HOME": str(tmp_path),
        "PYTHONPATH": str(HERE.parents[1]),
    }


@pytest.fixture
def start(env):
    """Start the kiosk in a window on the display, and end it after the test."""
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
        listen_to(kiosk)
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
        kiosk.kill()
        kiosk.wait(20)
        kiosk.reader.join(20)
        kiosk.stdout.close()


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


def test_a_thousand_scans_at_full_rate_arrive_while_the_focus_comes_and_goes(start):
    kiosk, tool, _window = start("toggle")
    dice = random.Random(7)
    sent = ["".join(dice.choices(LETTERS, k=7)) for _ in range(1_000)]
    one = ("type", "--delay", "1", "--args", "1")
    arrived = []
    for start_at in range(0, len(sent), BATCH):
        batch = sent[start_at : start_at + BATCH]
        # one run of the tool for all of them: nothing but its own speed comes between the keys
        tool(*(word for code in batch for word in (*one, code, "key", "Return")))
        found = (next_line(kiosk, 60.0) for _ in batch)
        arrived += itertools.takewhile(lambda line: line != "nothing came", found)
        assert arrived == sent[: start_at + len(batch)]


@pytest.fixture
def opened(env, tmp_path):
    """Open the kiosk full screen by its command, and wait until its window is there."""
    live = []

    def begin(*words):
        line = [*CLI, *words, "--shop", str(tmp_path / "shop.db")]
        live.append(subprocess.Popen(line, env=env, stderr=subprocess.PIPE, text=True))

        def tool(*words):
            return subprocess.run(
                ["xdotool", *words], env=env, capture_output=True, text=True, check=True, timeout=60
            ).stdout

        window = tool("search", "--sync", "--onlyvisible", "--class", ".").split()[-1]
        tool("windowfocus", "--sync", window)
        return live[-1], tool, window

    yield begin
    for one in live:
        one.kill()
        one.communicate(timeout=20)


def test_only_the_service_keys_end_a_kiosk_that_fills_the_screen(opened, env, tmp_path):
    kiosk, tool, window = opened("--station", "finish")
    for key in ("Escape", "F1", "alt+F4", "ctrl+q", "ctrl+w", "super+q", "F11"):
        tool("key", "--window", window, key)
        tool("key", key)
    ask_to_close(env["DISPLAY"], int(window))
    with pytest.raises(subprocess.TimeoutExpired):
        kiosk.wait(2)
    tool("key", "ctrl+shift+q")
    assert kiosk.wait(30) == 0
    log = _log(tmp_path)
    assert "opened: bench at finish" in log
    assert log.rstrip().endswith("ended by hand")


def test_a_second_kiosk_is_refused_and_one_that_was_killed_is_not_in_the_way(opened, env, tmp_path):
    first, _tool, _window = opened("--station", "finish")
    again = [*CLI, "--shop", str(tmp_path / "shop.db")]
    second = subprocess.run(again, env=env, capture_output=True, text=True, timeout=60, check=False)
    assert second.returncode == 1
    assert f"process {first.pid}" in second.stderr
    first.kill()
    first.wait(20)
    third, tool, _window = opened()
    tool("key", "ctrl+shift+q")
    assert third.wait(30) == 0
    kept = json.loads((tmp_path / "shop.db.kiosk.json").read_text("utf-8"))
    assert kept["station"] == "finish"


WAITS = """
import sys, time
from pathlib import Path
from kiosk.cli import starting
begin, told = starting._begin, Path(sys.argv.pop())
def waits(*given):
    told.with_name("drawn").touch()
    while not told.exists():
        time.sleep(0.01)
    begin(*given)
starting._begin = waits
from kiosk.cli import main
main()
"""


def test_what_is_scanned_before_the_shop_is_open_is_kept_and_recorded(env, tmp_path):
    codes = _a_shop(tmp_path / "shop.db")
    words = [sys.executable, "-c", WAITS, "open", "--station", "cut", "--bench"]
    words += ["--shop", str(tmp_path / "shop.db"), str(tmp_path / "typed")]
    kiosk = subprocess.Popen(words, env=env)
    try:

        def tool(*words):
            return subprocess.run(
                ["xdotool", *words], env=env, capture_output=True, text=True, check=True, timeout=60
            ).stdout

        window = tool("search", "--sync", "--onlyvisible", "--class", ".").split()[-1]
        tool("windowfocus", "--sync", window)
        _await(lambda: (tmp_path / "drawn").exists())
        for code in codes:
            tool("type", "--delay", "2", code)
            tool("key", "Return")
        assert _recorded(tmp_path / "shop.db") == []  # nobody listens yet
        (tmp_path / "typed").touch()
        _await(lambda: len(_recorded(tmp_path / "shop.db")) >= len(codes))
        tool("key", "ctrl+shift+q")
        assert kiosk.wait(30) == 0
    finally:
        kiosk.kill()
        kiosk.wait(20)
    assert _recorded(tmp_path / "shop.db") == codes


def _a_shop(file):
    """Make a shop's file with parts to be cut, and return their codes."""
    settings, listed = load("")[0], file.with_name("parts.csv")
    head = "Unit,Kind,Part,Qty,Length (mm),Width (mm),Finish\n"
    listed.write_text(head + "G05,shelf,Board,3,600,300,clear\n", "utf-8")
    store = Store.open(file, settings.kiosk_letter)
    taken = Shop(store, settings, SystemClock()).take_in(listed, Job("GLAZE"))
    store.close()
    return [piece.code for unit in taken.units for piece in unit.pieces]


def _recorded(file):
    """Return the codes of the parts whose cut is in the log, in order."""
    with closing(sqlite3.connect(file)) as log:
        rows = log.execute("SELECT body FROM entry WHERE kind = 'step_done' ORDER BY pos")
        return [json.loads(body)["part"] for (body,) in rows]


def _await(is_so):
    """Look until it is so; other processes make it so."""
    for _ in range(6_000):
        if is_so():
            return
        threading.Event().wait(0.01)
    pytest.fail("it never was so")


def _log(folder):
    (file,) = (folder / "cleatclock/log").glob("shop-*-bench.log")
    return file.read_text("utf-8")


def test_a_machine_that_goes_down_closes_the_file_well(opened, tmp_path):
    kiosk, _tool, _window = opened()
    kiosk.terminate()
    assert kiosk.wait(30) == 128 + 15
    log = _log(tmp_path)
    assert log.rstrip().endswith("ended by the system")
    assert not (tmp_path / "shop.db-wal").exists()
