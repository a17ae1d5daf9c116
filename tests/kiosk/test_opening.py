"""The first frame waits for little: what is loaded before it, and which options it reads itself."""

import inspect
import os
import subprocess
import sys
from pathlib import Path

import pytest

from kiosk.cli import opening
from kiosk.cli.starting import Asked, read_options

HEAVY = (
    "babel", "barcode", "charset_normalizer", "db", "kiosk.actions", "kiosk.cli.every",
    "kiosk.report", "kiosk.rules.standing", "kiosk.screens.kiosk_app", "kiosk.store",
    "kiosk.tables", "labels.artwork", "labels.printing", "paho", "peewee", "platformdirs",
    "pydantic", "python_calamine", "qrcode", "sqlite3", "tomlkit", "typer", "zxingcpp",
)  # fmt: skip
FRAME = """
import sys
import kiosk.app
def drawn(*given, **named):
    first(*given, **named)
    print(*sorted(sys.modules))
    raise SystemExit(0)
first, kiosk.app._draw_first = kiosk.app._draw_first, drawn
from kiosk.cli import main
main()
"""


@pytest.mark.parametrize("home", ["--bench", "--board"])
def test_the_first_frame_is_drawn_without_what_is_heavy(tmp_path, home):
    env = {
        **os.environ,
        "SDL_VIDEODRIVER": "offscreen",
        "SDL_AUDIODRIVER": "dummy",
        "XDG_STATE_HOME": str(tmp_path),
    }
    words = [sys.executable, "-c", FRAME, "open", "--window", home]
    words += ["--shop", str(tmp_path / "shop.db")]
    ran = subprocess.run(words, env=env, capture_output=True, text=True, timeout=120, check=True)
    loaded = set(ran.stdout.split())
    assert f"kiosk.screens.{home.removeprefix('--')}" in loaded
    # platformdirs names the folder of the log
    assert loaded.intersection(HEAVY) <= {"platformdirs"}


def test_a_file_that_cannot_be_used_is_refused_in_words(tmp_path):
    file = tmp_path / "shop.db"
    file.write_bytes(b"this is no shop" * 1_000)
    env = {
        **os.environ,
        "SDL_VIDEODRIVER": "offscreen",
        "SDL_AUDIODRIVER": "dummy",
        "XDG_STATE_HOME": str(tmp_path),
    }
    words = [sys.executable, "-m", "kiosk", "open", "--window", "--shop", str(file)]
    ran = subprocess.run(words, env=env, capture_output=True, text=True, timeout=120, check=False)
    assert ran.returncode == 3
    assert f"The shop's file {file} cannot be used" in ran.stderr


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ([], Asked()),
        (["--station", "finish", "--person=Ida"], Asked("finish", person="Ida")),
        (["--board", "--screen", "2"], Asked(board=True, screen=2)),
        (["--bench", "--window"], Asked(board=False, window=True)),
        (["--shop", "a.db"], Asked(shop=Path("a.db"))),
        (["--board", "--bench"], Asked(board=False)),
        (["--help"], None),
        (["--stati", "cut"], None),
        (["--screen", "two"], None),
        (["--screen", "-1"], None),
        (["--shop"], None),
        (["--window=yes"], None),
        (["extra"], None),
    ],
)  # fmt: skip
def test_plain_options_are_read_and_all_else_is_left_to_the_parser(words, asked):
    assert read_options(words) == asked


def test_both_readers_know_the_same_options():
    command = opening.app.registered_commands[0].callback
    assert list(inspect.signature(command).parameters) == list(Asked.__slots__)
    for words in (["--station", "cut"], ["--screen", "1"], ["--shop", "x"], ["--person", "x"]):
        assert getattr(read_options(words), words[0].removeprefix("--")) not in (None, "", 0)
