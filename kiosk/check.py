"""Check what the kiosk stands on: one finding each, with the remedy."""

from __future__ import annotations

import ctypes.util
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from importlib.util import find_spec
from pathlib import Path

from kiosk.appliance import log_file
from kiosk.config import Settings
from kiosk.scanner import Reader
from kiosk.store import StoreError, verify
from labels.codes import code_for, parse
from labels.printing import Stage, discover, open_printer

APT_LINE = "sudo apt install python3-venv libgl1 libegl1 libmtdev1"
LOW_DISK_BYTES = 200 * 1024 * 1024  # a year of scans and a backup beside it
_WINDOW_TEST = """
import os
os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1")
from kivy.config import Config
Config.set("graphics", "multisamples", "0")
from kivy.core.window import Window
raise SystemExit(0 if Window is not None else 4)
"""


@dataclass(frozen=True, slots=True)
class Check:
    """One finding: what was checked, whether it is well, what was seen, what to do."""

    name: str
    ok: bool
    detail: str
    remedy: str = ""


def run_checks(path: Path, settings: Settings, wrong: tuple[str, ...]) -> tuple[Check, ...]:
    """Return the findings about the shop's file and this machine.

    Args:
        path: the shop's file; it need not exist yet.
        settings: as read from beside it.
        wrong: what was wrong with the settings.
    """
    return tuple(step() for step in check_steps(path, settings, wrong))


def check_steps(
    path: Path, settings: Settings, wrong: tuple[str, ...]
) -> tuple[Callable[[], Check], ...]:
    """Return the same checks one by one, so that a screen can say how far they are."""
    return (
        partial(_disk, path),
        partial(_database, path),
        partial(_settings, path, wrong),
        _display,
        _fonts,
        partial(_scanner, settings),
        partial(_printer, settings),
        partial(_log, path),
    )


def _disk(path: Path) -> Check:
    folder = next(one for one in (path.parent, *path.parents) if one.is_dir())
    if not os.access(folder, os.W_OK):
        return Check(
            "disk", False, f"{folder} cannot be written.", "Give the kiosk's user the folder."
        )
    free = shutil.disk_usage(folder).free
    detail = f"{free // 2**20:,} MiB free at {folder}"
    if free < LOW_DISK_BYTES:
        return Check("disk", False, detail, "Make room: move backups elsewhere.")
    return Check("disk", True, detail)


def _database(path: Path) -> Check:
    if not path.is_file():
        return Check("database", True, f"{path} is not there yet; the first part list makes it.")
    try:
        found = verify(path)
    except (StoreError, OSError) as error:
        found = [str(error)]
    if found:
        remedy = "Keep the file, and bring back the latest copy: cleatclock restore COPY"
        return Check("database", False, "; ".join(found), remedy)
    return Check("database", True, f"{path} is whole ({path.stat().st_size // 1024:,} KiB)")


def _settings(path: Path, wrong: tuple[str, ...]) -> Check:
    file = path.with_name("settings.toml")
    if wrong:
        return Check("settings", False, "; ".join(wrong), f"Mend {file}.")
    return Check("settings", True, str(file) if file.is_file() else "as shipped")


def _display() -> Check:
    missing = [name for name in ("GL", "EGL") if ctypes.util.find_library(name) is None]
    if missing:
        names = " and ".join(f"lib{name}" for name in missing)
        return Check("display", False, f"{names} missing: the kiosk cannot draw.", APT_LINE)
    shown = any(os.environ.get(key) for key in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"))
    env = dict(os.environ) if shown else {**os.environ, "SDL_VIDEODRIVER": "offscreen"}
    try:
        ran = subprocess.run(
            [sys.executable, "-c", _WINDOW_TEST],
            env=env,
            capture_output=True,
            timeout=60,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        return Check("display", False, f"No window could be opened: {error}", APT_LINE)
    if ran.returncode:
        return Check("display", False, "No window could be opened.", APT_LINE)
    if shown:
        return Check("display", True, "a window opens")
    return Check("display", True, "a window opens off screen; no screen is attached to this login")


def _fonts() -> Check:
    kivy = find_spec("kivy")
    home = Path(kivy.origin).parent if kivy and kivy.origin else Path()
    fonts = home / "data" / "fonts"
    missing = [
        name for name in ("Roboto-Regular.ttf", "Roboto-Bold.ttf") if not (fonts / name).is_file()
    ]
    if missing:
        return Check("fonts", False, f"{', '.join(missing)} missing", "Install Kivy again.")
    return Check("fonts", True, "Roboto, with equal-width digits")


def _log(path: Path) -> Check:
    """Say where the kiosk writes what went wrong."""
    file = log_file(path, "bench")
    folder = next(one for one in file.parents if one.is_dir())
    if not os.access(folder, os.W_OK):
        return Check("log", False, f"{folder} cannot be written.", "Give the user the folder.")
    beside = log_file(path, "board").name
    return Check("log", True, f"{file}, and {beside} of a board")


def _scanner(settings: Settings) -> Check:
    """Send a sound code through the reader as a scanner would."""
    code = code_for(settings.kiosk_letter, 1)
    reader = Reader()
    for place, letter in enumerate(code):
        reader.feed(letter, place * 0.002)
    read: Callable[[float], str | None] = reader.end
    sound = parse(read(1.0) or "").code == code
    remedy = "Set the scanner to US keyboard, suffix Enter or Tab; then scan a label at the bench."
    if not sound:
        return Check("scanner", False, "The reader does not read back a sound code.", remedy)
    return Check("scanner", True, f"reads codes that end with {settings.scanner_suffix}", remedy)


def _printer(settings: Settings) -> Check:
    if settings.printer:
        state = open_printer(settings.printer, seconds=time.monotonic).check()
        ready = state.stage in (Stage.DONE, Stage.PRINTING)
        words = f"{settings.printer}: {state.words}"
        return Check("printer", ready, words, "" if ready else state.remedy)
    queues, problems = discover()
    paper = "Print the PDF at 100 %, never fitted to the page."
    if problems or not queues:
        return Check("printer", True, "no printer is set; labels are written as PDF", paper)
    named = f"queues: {', '.join(queues)}; none is set, so labels are written as PDF"
    return Check("printer", True, named, "Name one under printer in settings.toml.")
