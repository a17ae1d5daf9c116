"""Open the kiosk: its options read without what reads every command, then the first frame."""

from __future__ import annotations

import logging
import os
import platform
import signal
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kiosk.appliance import (
    AlreadyOpen,
    Memory,
    Scrub,
    Whereabouts,
    hold_alone,
    is_open,
    log_file,
    start_log,
)
from kiosk.cli.shopfile import Exit, Stopped, settings_of
from kiosk.clock import SystemClock
from kiosk.config import Settings
from kiosk.palette import choose_theme
from kiosk.rules.stations import STATIONS

LOG = logging.getLogger("cleatclock.appliance")


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for by options; see `cleatclock open --help`."""

    station: str = ""
    board: bool | None = None
    screen: int = 0
    window: bool = False
    shop: Path | None = None
    person: str | None = None


def read_options(words: Sequence[str]) -> Asked | None:
    """Return what plain options ask for; None leaves it to the parser of all commands.

    That one explains a slip and shows the help, but takes as long to load as Kivy's window.
    """
    found: dict[str, Any] = {}
    left = list(words)
    while left:
        name, equals, value = left.pop(0).partition("=")
        if name in ("--board", "--bench") and not equals:
            found["board"] = name == "--board"
        elif name == "--window" and not equals:
            found["window"] = True
        elif name in _VALUES and (equals or left):
            key, made = _VALUES[name]
            value = value if equals else left.pop(0)
            if made is int and not (value.isascii() and value.isdecimal()):
                return None
            found[key] = made(value)
        else:
            return None
    return Asked(**found)


_VALUES: dict[str, tuple[str, type]] = {
    "--station": ("station", str),
    "--screen": ("screen", int),
    "--shop": ("shop", Path),
    "--person": ("person", str),
}


def start(asked: Asked) -> None:
    """Open the kiosk and run it until it is ended.

    Raises:
        Stopped: it was refused, or it ended other than by hand.
    """
    station, board, person, shop = asked.station, asked.board, asked.person, asked.shop
    if station and station not in STATIONS:
        raise Stopped(
            f"There is no station {station}; name one of {', '.join(STATIONS)}.", Exit.INPUT
        )
    if asked.screen and asked.window:
        raise Stopped("--screen fills a screen; leave --window out.", Exit.INPUT)
    path, settings, wrong = settings_of(shop)
    for line in wrong:
        print(f"settings: {line}", file=sys.stderr)
    choose_theme(settings.theme)  # before the screens take their colours
    memory = Memory(path, station=settings.station, person=settings.person, stations=STATIONS)
    start = _start(memory.recall(), path, station=station, board=board, person=person)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with hold_alone(path, start.home):
            again = _run(path, settings, start, memory, asked)
    except AlreadyOpen as error:
        raise Stopped(str(error), Exit.REFUSED) from error
    except OSError as error:
        raise Stopped(
            f"The folder {path.parent} cannot be made: {error}", Exit.MACHINERY
        ) from error
    if again:  # in place of this process, so that whatever watches it goes on watching
        command = reopen(path, start.home, window=asked.window, screen=asked.screen)
        os.execv(command[0], command)


def reopen(path: Path, home: str, *, window: bool, screen: int) -> list[str]:
    """Return the command that opens a kiosk again: station and person come from its memory."""
    how = ["--window"] if window else ["--screen", str(screen)] if screen else []
    at = "--board" if home == "board" else "--bench"
    return [sys.executable, "-m", "kiosk", "open", "--shop", str(path), at, *how]


def _start(
    kept: Whereabouts, path: Path, *, station: str, board: bool | None, person: str | None
) -> Whereabouts:
    """Return where to start: as the options say, else as it was."""
    home = kept.home
    if board is not None:
        home = "board" if board else "bench"
    elif station or (home == "board" and is_open(path, "board")):
        home = "bench"  # a station is a bench's; and beside a board that is open, it is the bench
    return Whereabouts(
        home,
        station or kept.station,
        kept.person if person is None else person,
        # whoever names a station, or comes from the board, wants to see the bench
        kept.shown if home == kept.home == "bench" and not station else home,
    )


def _run(
    path: Path,
    settings: Settings,
    start: Whereabouts,
    memory: Memory,
    asked: Asked,
) -> bool:
    """Run the kiosk; tell whether it is to be opened again."""
    scrub = Scrub({"person": (start.person, settings.person), "shop": (settings.shop,)})
    if problem := start_log(log_file(path, start.home), scrub):
        print(problem, file=sys.stderr)
    try:
        memory.keep(start)  # before there is a window: a kiosk may be killed at any moment
    except OSError as error:
        LOG.warning("where the kiosk stands was not written down: %s", error)
    from kiosk.app import Ended, KioskUnavailable, late_shop, run_kiosk

    shop = late_shop(path, settings, SystemClock())
    try:
        ended = run_kiosk(
            shop,
            start=start,
            memory=memory,
            ready=lambda: _begin(path, settings, start),
            fullscreen=not asked.window,
            on_screen=asked.screen,
        )
    except Stopped:  # the shop's file cannot be used, and that is said
        raise
    except KioskUnavailable as error:
        LOG.error("not opened: %s", error)
        raise Stopped(str(error), Exit.MACHINERY) from error
    except Exception as error:  # whatever it was: the log has it, and a restart may help
        LOG.exception("ended by a fault")
        why = f"The kiosk ended by a fault: {error or type(error).__name__}"
        raise Stopped(why, Exit.MACHINERY) from error
    LOG.info("%s", ended)
    if ended == Ended.BY_SYSTEM:
        raise Stopped("", 128 + signal.SIGTERM)
    return ended == Ended.TO_RESTART


def _begin(path: Path, settings: Settings, start: Whereabouts) -> None:
    """Refuse a file that cannot be used, and log what was opened; the first frame is on."""
    from importlib.metadata import version

    from kiosk.actions import Shop
    from kiosk.store import Store, StoreError

    try:
        store = Store.open(path, settings.kiosk_letter)
        try:
            for line in Shop(store, settings, SystemClock()).unknown_uses():
                print(f"settings: {line}", file=sys.stderr)
        finally:
            store.close()
    except (StoreError, OSError) as error:
        raise Stopped(f"The shop's file {path} cannot be used: {error}", Exit.MACHINERY) from error
    named = f"{version('cleatclock')}, Python {platform.python_version()}, {platform.system()}"
    LOG.info("opened: %s at %s; %s", start.home, start.station, named)
