"""What starts the kiosk by itself, read as systemd and desktops read it."""

import configparser
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kiosk.appliance.autostart import desktop_entry, systemd_unit
from kiosk.cli import app

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Linux desktops only")
ODD = ["/opt/my venv/python", "-m", "kiosk", "--shop", '/srv/100% "jars" $HOME\\x;y.db', ""]


def read(text):
    parser = configparser.RawConfigParser(strict=False, comment_prefixes=("#",))
    parser.optionxform = str
    parser.read_string(text)
    return parser


def autostart(*words, env=None):
    return CliRunner().invoke(app, ["autostart", *words], env=env)


def as_systemd_reads(line):
    """Split a command as systemd.service(5) says: quotes and backslashes, then %% and $$."""
    return [word.replace("%%", "%").replace("$$", "$") for word in shlex.split(line)]


def as_desktops_read(value):
    """Read Exec as the Desktop Entry Specification says: escapes of a string, then quoting."""
    value = value.replace("\\\\", "\\")
    words = re.findall(r'"((?:\\.|[^"\\])*)"|(\S+)', value)
    return [
        plain if plain else re.sub(r"\\(.)", r"\1", quoted).replace("%%", "%")
        for quoted, plain in words
    ]


def test_the_unit_restarts_the_kiosk_whatever_happened_and_leaves_it_ended_by_hand(tmp_path):
    ran = autostart("--systemd", "--out", str(tmp_path), "--station", "finish")
    assert ran.exit_code == 0, ran.output
    unit = read((tmp_path / "cleatclock-bench.service").read_text("utf-8"))
    service = unit["Service"]
    assert (service["Restart"], service["RestartSec"]) == ("always", "1")
    assert service["RestartPreventExitStatus"] == "0 1 2"
    assert unit["Unit"]["StartLimitIntervalSec"] == "0"
    assert unit["Unit"]["After"] == "graphical-session.target"
    assert unit["Install"]["WantedBy"] == "graphical-session.target"
    assert "PYTHONUNBUFFERED=1" in service["Environment"]
    words = as_systemd_reads(service["ExecStart"])
    assert words == [
        sys.executable, "-P", "-m", "kiosk", "open", "--bench", "--station", "finish",
    ]  # fmt: skip


def test_the_command_of_a_unit_starts_this_installation(tmp_path):
    autostart("--systemd", "--out", str(tmp_path))
    unit = read((tmp_path / "cleatclock-bench.service").read_text("utf-8"))
    words = as_systemd_reads(unit["Service"]["ExecStart"])
    ran = subprocess.run(
        [*words, "--help"], capture_output=True, text=True, timeout=60, check=False, cwd=tmp_path
    )
    assert "Start the kiosk on this screen" in ran.stdout


def test_what_is_said_puts_it_in_place_and_undoes_it(tmp_path):
    said = autostart("--systemd", "--board", "--out", str(tmp_path / "a b")).output
    file = tmp_path / "a b" / "cleatclock-board.service"
    assert f"cp {shlex.quote(str(file))} " in said
    assert "systemctl --user enable --now cleatclock-board.service" in said
    assert "systemctl --user disable --now cleatclock-board.service" in said
    assert "/systemd/user/cleatclock-board.service" in said.splitlines()[-1]


@pytest.mark.parametrize(
    ("kind", "file"),
    [("--systemd", "systemd/user/cleatclock-bench.service"),
     ("--xdg", "autostart/cleatclock-bench.desktop")],
)  # fmt: skip
def test_without_a_folder_it_goes_into_the_users_own(tmp_path, kind, file):
    ran = autostart(kind, env={"XDG_CONFIG_HOME": str(tmp_path)})
    assert ran.exit_code == 0, ran.output
    assert (tmp_path / file).is_file()
    assert "cp " not in ran.output


def test_the_desktop_entry_holds_what_it_must(tmp_path):
    shop = tmp_path / "my shop.db"
    ran = autostart("--xdg", "--board", "--out", str(tmp_path), env={"CLEATCLOCK_SHOP": str(shop)})
    assert ran.exit_code == 0, ran.output
    entry = read((tmp_path / "cleatclock-board.desktop").read_text("utf-8"))["Desktop Entry"]
    assert (entry["Type"], entry["Terminal"]) == ("Application", "false")
    assert entry["Name"]
    words = as_desktops_read(entry["Exec"])
    assert words[0] == sys.executable
    assert words[-3:] == ["--board", "--shop", str(shop)]


def test_odd_words_come_back_as_they_were():
    unit = read(systemd_unit(ODD, home="bench", env={"A B": '1 "2" %'}).text)["Service"]
    assert as_systemd_reads(unit["ExecStart"]) == ODD
    assert as_systemd_reads(unit["Environment"]) == ['A B=1 "2" %']
    entry = read(desktop_entry(ODD, home="bench").text)["Desktop Entry"]
    assert as_desktops_read(entry["Exec"]) == ODD


@pytest.mark.parametrize("words", [[], ["--systemd", "--xdg"], ["--xdg", "--station", "kitchen"]])
def test_an_unclear_wish_is_refused_and_nothing_written(tmp_path, words):
    ran = autostart(*words, "--out", str(tmp_path / "x"))
    assert ran.exit_code == 2
    assert not (tmp_path / "x").exists()


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="needs systemd")
def test_systemd_finds_nothing_wrong_with_the_unit(tmp_path):
    words = [sys.executable, "-P", "-m", "kiosk", "open", "--shop", "/srv/100% jars.db"]
    made = systemd_unit(words, home="bench", env={"A": "b c"})
    (tmp_path / made.name).write_text(made.text, "utf-8")
    run = tmp_path / "run"
    run.mkdir(mode=0o700)
    ran = subprocess.run(
        ["systemd-analyze", "--user", "--man=no", "verify", str(tmp_path / made.name)],
        env={**os.environ, "XDG_RUNTIME_DIR": str(run)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    if "initialize manager" in ran.stderr:
        pytest.skip(f"systemd does not run here: {ran.stderr.strip()}")
    ours = [line for line in ran.stderr.splitlines() if made.name in line]
    assert (ran.returncode, ours) == (0, [])


@pytest.mark.skipif(shutil.which("desktop-file-validate") is None, reason="needs its tool")
def test_the_desktops_tool_finds_nothing_wrong_with_the_entry(tmp_path):
    made = desktop_entry([sys.executable, "-m", "kiosk", "open"], home="bench")
    file = Path(tmp_path) / made.name
    file.write_text(made.text, "utf-8")
    subprocess.run(["desktop-file-validate", str(file)], check=True, timeout=60)
