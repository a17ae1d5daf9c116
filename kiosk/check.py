"""Check what the kiosk stands on: one finding each, with the remedy."""

from __future__ import annotations

import ctypes.util
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.actions.copywords import judge_copies
from kiosk.actions.labelfiles import OWN_STOCKS, own_stocks
from kiosk.actions.servercopy import dump_hint
from kiosk.appliance import log_file
from kiosk.clock import SystemClock
from kiosk.config import PASSFILE, Settings
from kiosk.rules.entries import to_ms
from kiosk.rules.exchanging import say_clock, say_skew
from kiosk.rules.labelwords import say_drawing, say_print
from kiosk.rules.paperwords import paper_remedy, say_paper
from kiosk.rules.words import _, join, say
from kiosk.scanner import Reader
from kiosk.store import Store, StoreError, beside, verify
from labels.artwork import unfit
from labels.codes import code_for, parse
from labels.printing import Stage, discover, open_printer

if TYPE_CHECKING:
    from kiosk.store.link import Link

APT_LINE = "sudo apt install python3-venv libgl1 libegl1 libmtdev1"
LOW_DISK_BYTES = 200 * 1024 * 1024  # a year of scans and a backup beside it
_SUFFIXES = {"any": _("any"), "enter": _("enter"), "tab": _("tab"), "none": _("none")}
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
    hint = dump_hint(settings.server)
    server = (lambda: Check(_("server"), True, hint),) if hint else ()
    return (
        partial(_disk, path),
        partial(_database, path),
        partial(_copies, path, settings),
        partial(_settings, path, wrong),
        _display,
        _fonts,
        partial(_scanner, settings),
        partial(_printer, settings),
        partial(_paper_printer, settings),
        partial(_stocks, path, settings),
        partial(_exchange, path, settings),
        partial(_log, path),
        *server,
    )


def _disk(path: Path) -> Check:
    folder = next(one for one in (path.parent, *path.parents) if one.is_dir())
    if not os.access(folder, os.W_OK):
        words = say("{folder} cannot be written.", folder=folder)
        return Check(_("disk"), False, words, _("Give the kiosk's user the folder."))
    free = shutil.disk_usage(folder).free
    detail = say("{count:,} MiB free at {folder}", count=free // 2**20, folder=folder)
    if free < LOW_DISK_BYTES:
        return Check(_("disk"), False, detail, _("Make room: move backups elsewhere."))
    return Check(_("disk"), True, detail)


def _database(path: Path) -> Check:
    if not path.is_file():
        words = say("{file} is not there yet; the first part list makes it.", file=path)
        return Check(_("database"), True, words)
    try:
        found = verify(path)
    except (StoreError, OSError) as error:
        found = [str(error)]
    if found:
        remedy = _("Keep the file, and bring back the latest copy: cleatclock restore COPY")
        return Check(_("database"), False, join(found, "; "), remedy)
    size, waiting = path.stat().st_size // 1024, beside(path)
    waits = waiting.stat().st_size // 1024 if waiting.is_file() else 0
    count = size + waits
    if not waits:
        words = say("{file} is whole ({count:,} KiB)", file=path, count=count)
        return Check(_("database"), True, words)
    words = say(
        "{file} is whole ({count:,} KiB, {waits:,} of them in {other})",
        file=path,
        count=count,
        waits=waits,
        other=waiting.name,
    )
    remedy = _("Copy it with: cleatclock backup TO. A copy by hand would lack the latest work.")
    return Check(_("database"), True, words, remedy)


def _copies(path: Path, settings: Settings) -> Check:
    """Say when the last good copy was made; two nights without one need looking after."""
    if not path.is_file():
        return Check(_("copies"), True, _("there is nothing to copy yet"))
    is_well, words, remedy = judge_copies(path, settings, SystemClock().now())
    return Check(_("copies"), is_well, words, remedy)


def _settings(path: Path, wrong: tuple[str, ...]) -> Check:
    file = path.with_name("settings.toml")
    if wrong:
        return Check(_("settings"), False, join(wrong, "; "), say("Mend {file}.", file=file))
    return Check(_("settings"), True, str(file) if file.is_file() else _("as shipped"))


def _display() -> Check:
    missing = [name for name in ("GL", "EGL") if ctypes.util.find_library(name) is None]
    if missing:
        names = join((f"lib{name}" for name in missing), _(" and "))
        words = say("{names} missing: the kiosk cannot draw.", names=names)
        return Check(_("display"), False, words, APT_LINE)
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
        words = say("No window could be opened: {error}", error=error)
        return Check(_("display"), False, words, APT_LINE)
    if ran.returncode:
        return Check(_("display"), False, _("No window could be opened."), APT_LINE)
    if shown:
        return Check(_("display"), True, _("a window opens"))
    words = _("a window opens off screen; no screen is attached to this login")
    return Check(_("display"), True, words)


def _fonts() -> Check:
    kivy = find_spec("kivy")
    home = Path(kivy.origin).parent if kivy and kivy.origin else Path()
    fonts = home / "data" / "fonts"
    missing = [
        name for name in ("Roboto-Regular.ttf", "Roboto-Bold.ttf") if not (fonts / name).is_file()
    ]
    if missing:
        words = say("{names} missing", names=", ".join(missing))
        return Check(_("fonts"), False, words, _("Install Kivy again."))
    return Check(_("fonts"), True, _("Roboto, with equal-width digits"))


def _log(path: Path) -> Check:
    """Say where the kiosk writes what went wrong."""
    file = log_file(path, "bench")
    folder = next(one for one in file.parents if one.is_dir())
    if not os.access(folder, os.W_OK):
        words = say("{folder} cannot be written.", folder=folder)
        return Check(_("log"), False, words, _("Give the user the folder."))
    beside = log_file(path, "board").name
    return Check(_("log"), True, say("{file}, and {other} of a board", file=file, other=beside))


def _scanner(settings: Settings) -> Check:
    """Send a sound code through the reader as a scanner would."""
    code = code_for(settings.kiosk_letter, 1)
    reader = Reader()
    for place, letter in enumerate(code):
        reader.feed(letter, place * 0.002)
    read: Callable[[float], str | None] = reader.end
    sound = parse(read(1.0) or "").code == code
    remedy = _(
        "Set the scanner to US keyboard, suffix Enter or Tab; then scan a label at the bench."
    )
    if not sound:
        words = _("The reader does not read back a sound code.")
        return Check(_("scanner"), False, words, remedy)
    end = _SUFFIXES.get(settings.scanner_suffix, settings.scanner_suffix)
    return Check(_("scanner"), True, say("reads codes that end with {end}", end=end), remedy)


def _printer(settings: Settings) -> Check:
    if settings.printer:
        state = open_printer(settings.printer, seconds=time.monotonic).check()
        ready = state.stage in (Stage.DONE, Stage.PRINTING)
        words = say("{printer}: {state}", printer=settings.printer, state=say_print(state.words))
        return Check(_("printer"), ready, words, "" if ready else say_print(state.remedy))
    queues, problems = discover()
    paper = _("Print the PDF at 100 %, never fitted to the page.")
    if problems or not queues:
        words = _("no printer is set; labels are written as PDF")
        return Check(_("printer"), True, words, paper)
    named = say(
        "queues: {queues}; none is set, so labels are written as PDF", queues=", ".join(queues)
    )
    return Check(_("printer"), True, named, _("Name one under printer in settings.toml."))


def _paper_printer(settings: Settings) -> Check:
    name = settings.paper_printer.strip()
    if not name:
        words = _("no paper printer is set; day sheets are written as PDF")
        return Check(_("paper"), True, words)
    state = open_printer(name, seconds=time.monotonic).check()
    ready = state.stage in (Stage.DONE, Stage.PRINTING)
    words = say("{printer}: {state}", printer=name, state=say_paper(state.words))
    return Check(_("paper"), ready, words, "" if ready else paper_remedy(state.reason))


def _exchange(path: Path, settings: Settings) -> Check:
    """Ask the shop server whether it lets this kiosk in and its log goes on ours; send nothing."""
    if not settings.server:
        return Check(_("exchange"), True, _("no server is set; this kiosk works alone"))
    try:
        from kiosk.exchange import check_letter
        from kiosk.store.link import Link, ServerAway
    except ImportError:
        words = _("The driver for PostgreSQL is missing.")
        return Check(_("exchange"), False, words, "python -m pip install 'psycopg[binary]'")
    try:
        with closing(Link.open(settings.server, passfile=path.with_name(PASSFILE))) as link:
            check_letter(link.letter, settings.kiosk_letter)
            ahead = link.ahead_ms(lambda: to_ms(SystemClock().now()))
            told = {"shop": link.shop, "letter": link.letter, "clock": say_clock(ahead)}
            wrong = _differs(path, settings, link)
    except ServerAway as error:
        remedy = _("The kiosk works on alone, and sends what waits later.")
        return Check(_("exchange"), False, str(error), remedy)
    except StoreError as error:  # its words say the way out
        return Check(_("exchange"), False, str(error), _("The kiosk works on alone until then."))
    if wrong:
        return Check(_("exchange"), False, wrong, _("All other kiosks' entries are exchanged."))
    words = say("kiosk {letter} of {shop}; this clock: {clock}", **told)
    skew = say_skew(ahead)
    return Check(_("exchange"), not skew, words, skew)


def _differs(path: Path, settings: Settings, link: Link) -> str:
    """Return in words where the server does not hold what a kiosk wrote; raise where we forked."""
    from kiosk.store.link import look

    if not path.is_file():
        return ""
    store = Store.open(path, settings.kiosk_letter)
    try:
        return look(store, link)
    finally:
        store.close()


def _stocks(path: Path, settings: Settings) -> Check:
    """Say which label stocks cannot be printed on, so that it is not found at the printer."""
    own = path.with_name(OWN_STOCKS)
    stocks, problems = own_stocks(path.parent)
    wrong = [*problems, *map(say_drawing, unfit(stocks.values(), settings.label_dpi))]
    if wrong:
        return Check(_("stocks"), False, join(wrong, " "), say("Mend {file}.", file=own))
    if settings.label_stock not in stocks:
        words = say("There is no label stock {key}.", key=settings.label_stock)
        remedy = say("Use {names}.", names=", ".join(stocks))
        return Check(_("stocks"), False, words, remedy)
    words = say(
        "{key} is in the printer; own ones stand in {file}", key=settings.label_stock, file=own
    )
    return Check(_("stocks"), True, words)
