"""One kiosk at a time, back where it was, a log that is bounded and names nobody."""

import json
import logging
import os
import signal
import subprocess
import sys
import threading
from dataclasses import replace
from logging.handlers import RotatingFileHandler

import pytest
from typer.testing import CliRunner

from kiosk.app import Ended
from kiosk.appliance import (
    AlreadyOpen,
    Memory,
    Scrub,
    Whereabouts,
    hold_alone,
    is_open,
    keep_awake,
    log_files,
    logbook,
    lone,
    start_log,
)
from kiosk.cli import app
from kiosk.rules.route import STATIONS

HOLD = """
import sys
from pathlib import Path
from kiosk.appliance import hold_alone
with hold_alone(Path(sys.argv[1]), sys.argv[2]):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def other():
    """Another process that holds the lock of a shop; it can be killed."""
    live = []

    def start(file, home):
        words = [sys.executable, "-c", HOLD, str(file), home]
        live.append(
            subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        )
        assert live[-1].stdout.readline() == "held\n"
        return live[-1]

    yield start
    for one in live:
        one.kill()
        one.communicate()


# -- one at a time ---------------------------------------------------------------------------


def test_a_second_bench_is_refused_with_what_to_do(tmp_path, other):
    first = other(tmp_path / "shop.db", "bench")
    with pytest.raises(AlreadyOpen) as refused, hold_alone(tmp_path / "shop.db", "bench"):
        pytest.fail("there are two")
    said = str(refused.value)
    assert f"process {first.pid}" in said
    assert "Ctrl+Shift+Q" in said
    assert "cleatclock open --board" in said


def test_a_board_opens_beside_a_bench_but_no_second_board(tmp_path, other):
    other(tmp_path / "shop.db", "bench")
    with hold_alone(tmp_path / "shop.db", "board"):
        assert is_open(tmp_path / "shop.db", "board")
    assert not is_open(tmp_path / "shop.db", "board")


def test_another_shops_bench_is_another_matter(tmp_path, other):
    other(tmp_path / "shop.db", "bench")
    with hold_alone(tmp_path / "sample.db", "bench"):
        pass


def test_one_file_by_two_names_is_one_shop(tmp_path, other):
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    other(tmp_path / "real" / "shop.db", "bench")
    assert is_open(tmp_path / "link" / "shop.db", "bench")


def test_what_a_killed_kiosk_leaves_behind_does_not_block(tmp_path, other):
    first = other(tmp_path / "shop.db", "bench")
    assert is_open(tmp_path / "shop.db", "bench")
    first.send_signal(signal.SIGKILL)
    first.wait(20)
    assert lone.lock_file(tmp_path / "shop.db", "bench").exists()
    with hold_alone(tmp_path / "shop.db", "bench"):
        pass


def test_a_disk_without_locks_opens_all_the_same(tmp_path, monkeypatch, caplog):
    def no_locks(_handle):
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(lone, "_lock", no_locks)
    with hold_alone(tmp_path / "shop.db", "bench"):
        pass
    assert "no lock can be taken" in caplog.text


def test_the_command_refuses_a_second_bench_before_it_loads_what_draws(tmp_path, other):
    other(tmp_path / "shop.db", "bench")
    words = ["open", "--window", "--bench", "--shop", str(tmp_path / "shop.db")]
    script = (
        "import sys\nfrom kiosk.cli import app\n"
        f"try: app({words!r})\n"
        "except SystemExit as end: print(end.code, 'kivy' in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=False
    )
    assert ran.stdout.strip() == "1 False"
    assert "is open on this machine already" in ran.stderr


# -- back where it was -----------------------------------------------------------------------


def memory(folder, *, station="cut", person=""):
    return Memory(folder / "shop.db", station=station, person=person, stations=STATIONS)


def test_a_kiosk_that_never_ran_starts_as_its_settings_say(tmp_path):
    assert memory(tmp_path, station="finish", person="Mara").recall() == Whereabouts(
        "bench", "finish", "Mara", "bench"
    )


def test_it_comes_back_where_it_was(tmp_path):
    there = Whereabouts("bench", "install", "Ivo", "board")
    memory(tmp_path).keep(there)
    assert memory(tmp_path).recall() == there


def test_a_board_is_remembered_and_leaves_the_benchs_station_alone(tmp_path):
    memory(tmp_path).keep(Whereabouts("bench", "install", "Ivo", "bench"))
    memory(tmp_path).keep(Whereabouts("board", "cut", "", "board"))
    assert memory(tmp_path).recall() == Whereabouts("board", "install", "Ivo", "bench")


def test_a_setting_changed_since_is_followed(tmp_path):
    memory(tmp_path, station="cut", person="Mara").keep(Whereabouts("bench", "finish", "Ivo"))
    found = memory(tmp_path, station="install", person="Mara").recall()
    assert (found.station, found.person) == ("install", "Ivo")


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "nonsense", "[" * 100_000, '{"station": 3, "home": ["x"], "settings": 1}',
     '{"station": "kitchen", "settings": {"station": "cut", "person": ""}}'],
)  # fmt: skip
def test_a_spoilt_memory_is_as_good_as_none(tmp_path, text):
    (tmp_path / "shop.db.kiosk.json").write_text(text, "utf-8")
    assert memory(tmp_path).recall() == Whereabouts("bench", "cut", "", "bench")


@pytest.fixture
def opened(tmp_path, monkeypatch):
    """Run the command `open` without a window; return where it would have stood."""
    from kiosk.app import Ended

    found = []

    def run(_shop, *, start, memory, ready, fullscreen, on_screen):
        ready()
        found.append(start)
        return Ended.BY_HAND

    monkeypatch.setattr("kiosk.app.run_kiosk", run)
    monkeypatch.setattr(logbook, "log_folder", lambda: tmp_path / "logs")

    def open_with(*words):
        ran = CliRunner().invoke(app, ["open", *words, "--shop", str(tmp_path / "shop.db")])
        assert ran.exit_code == 0, ran.output
        return found[-1]

    before, root = logging.getLogger("cleatclock").level, logging.getLogger()
    handlers = list(root.handlers)
    hooks = sys.excepthook, threading.excepthook
    yield open_with
    sys.excepthook, threading.excepthook = hooks
    logging.captureWarnings(capture=False)
    logging.getLogger("cleatclock").setLevel(before)
    for one in [one for one in root.handlers if one not in handlers]:
        root.removeHandler(one)
        one.close()


def test_open_without_options_comes_back_and_an_option_wins(opened):
    opened("--station", "finish", "--person", "Ivo")
    assert opened() == Whereabouts("bench", "finish", "Ivo", "bench")
    assert opened("--station", "install").station == "install"
    assert opened("--person", "Mara") == Whereabouts("bench", "install", "Mara", "bench")
    assert opened("--board").home == "board"
    assert opened().home == "board"
    assert opened("--bench") == Whereabouts("bench", "install", "Mara", "bench")
    opened("--board")
    assert opened("--station", "cut").home == "bench"


def test_a_fault_is_logged_and_ends_with_a_status_that_is_started_again(
    opened, tmp_path, monkeypatch
):
    def fails(*_args, **_rest):
        raise ZeroDivisionError("no shelf holds nothing")

    monkeypatch.setattr("kiosk.app.run_kiosk", fails)
    ran = CliRunner().invoke(app, ["open", "--shop", str(tmp_path / "shop.db")])
    assert ran.exit_code == 3
    assert "no shelf holds nothing" in ran.output
    (kept,) = (tmp_path / "logs").glob("*.log")
    assert "ZeroDivisionError" in kept.read_text("utf-8")


def test_a_kiosk_ended_to_restart_is_opened_again_in_its_place(opened, tmp_path, monkeypatch):
    run = []
    monkeypatch.setattr("os.execv", lambda file, command: run.append((file, command)))
    monkeypatch.setattr("kiosk.app.run_kiosk", lambda *_args, **_rest: Ended.TO_RESTART)
    file = tmp_path / "shop.db"
    asked = ["open", "--shop", str(file), "--station", "cut", "--window"]
    assert CliRunner().invoke(app, asked).exit_code == 0
    ((program, command),) = run
    assert program == sys.executable
    # no station: whoever changed it at the kiosk comes back to that one
    assert command[1:] == ["-m", "kiosk", "open", "--shop", str(file), "--bench", "--window"]
    with hold_alone(file, "bench"):  # let go before it is opened again
        pass


def test_open_without_options_beside_an_open_board_is_the_bench(opened, tmp_path, other):
    opened("--board")
    other(tmp_path / "shop.db", "board")
    assert opened().home == "bench"


# -- the log ---------------------------------------------------------------------------------


@pytest.fixture
def logged(tmp_path, opened):
    """A log begun as the kiosk does, with a person it must not name."""
    file = logbook.log_file(tmp_path / "shop.db", "bench")
    assert start_log(file, Scrub({"person": ("Mara Lind", "Mara")})) == ""
    return file


def test_a_log_keeps_tracebacks_and_names_nobody(logged):
    log = logging.getLogger("cleatclock.screens")
    try:
        raise ValueError("mara lind has no slot")
    except ValueError as error:
        log.error("refused for Mara: %s", error, exc_info=error)
    log.info("opened")
    text = logged.read_text("utf-8")
    assert "Traceback (most recent call last)" in text
    assert "refused for (person): (person) has no slot" in text
    assert "mara" not in text.lower()
    assert "INFO cleatclock.screens: opened" in text


def test_what_libraries_chat_about_stays_out_and_what_goes_wrong_comes_in(logged):
    logging.getLogger("somebody.else").info("chat")
    logging.getLogger("somebody.else").warning("grave")
    assert "chat" not in logged.read_text("utf-8")
    assert "grave" in logged.read_text("utf-8")


def test_a_log_is_bounded(logged, monkeypatch, tmp_path):
    ours = [one for one in logging.getLogger().handlers if isinstance(one, RotatingFileHandler)]
    monkeypatch.setattr(ours[-1], "maxBytes", 2_000)
    for turn in range(1_000):
        logging.getLogger("cleatclock.screens").info("line %d of many", turn)
    files = sorted(logged.parent.iterdir())
    assert len(files) == logbook.FILES
    assert sum(file.stat().st_size for file in files) <= logbook.FILES * 2_000
    assert "line 999 of many" in logged.read_text("utf-8")
    assert log_files(tmp_path / "shop.db")[-1] == logged


def test_two_shops_whose_files_have_one_name_keep_logs_and_memories_apart(tmp_path, opened):
    one, other = (tmp_path / name / "shop.db" for name in ("glaze", "kiln"))
    assert logbook.log_file(one, "bench") != logbook.log_file(other, "bench")
    assert logbook.log_file(one, "bench") != logbook.log_file(one, "board")
    for shop, station in ((one, "cut"), (other, "install")):
        shop.parent.mkdir()
        memory = Memory(shop, station="cut", person="", stations=("cut", "install"))
        memory.keep(Whereabouts(station=station))
        with hold_alone(shop, "bench"):
            assert not is_open(other if shop == one else one, "bench")
    kept = Memory(one, station="cut", person="", stations=("cut", "install")).recall()
    assert kept.station == "cut"


def test_a_link_to_a_shops_file_leads_to_the_same_log(tmp_path):
    (tmp_path / "there").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "there")
    files = [logbook.log_file(tmp_path / name / "shop.db", "bench") for name in ("there", "link")]
    assert files[0] == files[1]


def test_a_fault_nobody_caught_is_in_the_log(logged, capsys):
    def breaks():
        raise ValueError("the rack has no slot 7")

    thread = threading.Thread(target=breaks)
    thread.start()
    thread.join()
    try:
        breaks()
    except ValueError as error:
        sys.excepthook(ValueError, error, error.__traceback__)
    text = logged.read_text("utf-8")
    assert text.count("ValueError: the rack has no slot 7") == 2
    assert "ended by a fault" in text


def test_a_kiosk_without_a_place_for_its_log_says_so_and_goes_on(tmp_path, opened):
    (tmp_path / "logs").write_text("no folder", "utf-8")
    said = start_log(tmp_path / "logs" / "shop-bench.log", Scrub())
    assert "cannot be written" in said
    assert opened("--bench").home == "bench"


def test_the_kiosks_own_log_names_nobody(opened, tmp_path):
    opened("--person", "Mara")
    text = logbook.log_file(tmp_path / "shop.db", "bench").read_text("utf-8")
    assert "opened: bench at cut" in text
    assert "ended by hand" in text
    assert "Mara" not in text


# -- names -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "clean"),
    [
        ("GLAZE/G01: no slot", "(unit): no slot"),
        ("g01, G010 and G01x", "(unit), G010 and G01x"),
        ("Andr\u00e9 and Andre\u0301", "(person) and (person)"),
        ("lost ipp://10.0.0.7/queue, 10.0.0.7:1883", "lost (address), (address):1883"),
        ("version 2.3.1 at mara@example.org", "version 2.3.1 at (address)"),
    ],
)
def test_whole_names_are_taken_out_longest_first(text, clean):
    scrub = Scrub({"job": ["GLAZE"], "unit": ["G01", "GLAZE/G01"], "person": ["Andr\u00e9", ""]})
    assert scrub.clean(text) == clean


def test_without_names_only_addresses_go():
    assert Scrub().clean("all is well") == "all is well"


# -- the screen stays on ---------------------------------------------------------------------


@pytest.fixture
def xset(tmp_path):
    """A stand-in for the X server's tool that writes down what it was asked for."""
    tool = tmp_path / "xset"
    tool.write_text(f'#!/bin/sh\necho "$@" > {tmp_path}/asked\nexit ${{XSET_ENDS:-0}}\n', "utf-8")
    tool.chmod(0o755)
    env = {"DISPLAY": ":9", "PATH": f"{tmp_path}:{os.environ['PATH']}"}
    return env, tmp_path / "asked"


@pytest.mark.skipif(sys.platform == "win32", reason="a tool of the X server")
def test_blanking_and_standby_are_turned_off(xset):
    env, asked = xset
    assert keep_awake(env)
    assert asked.read_text("utf-8").split() == ["s", "off", "-dpms"]


@pytest.mark.skipif(sys.platform == "win32", reason="a tool of the X server")
def test_where_that_fails_it_is_logged_and_harms_nothing(xset, caplog, tmp_path):
    env, asked = xset
    with caplog.at_level(logging.INFO, logger="cleatclock"):
        assert not keep_awake({**env, "XSET_ENDS": "1"})
        assert not keep_awake({**env, "PATH": str(tmp_path / "none")})
    assert "may go dark" in caplog.text
    asked.unlink()
    assert not keep_awake({**env, "SDL_VIDEODRIVER": "offscreen"})
    assert not keep_awake({"PATH": env["PATH"]})
    assert not asked.exists()


def test_a_board_keeps_nothing_but_that_it_is_one(tmp_path):
    memory(tmp_path).keep(replace(Whereabouts(), home="board"))
    kept = json.loads((tmp_path / "shop.db.kiosk.json").read_text("utf-8"))
    assert kept["home"] == "board"
    assert [file.name for file in tmp_path.iterdir()] == ["shop.db.kiosk.json"]
