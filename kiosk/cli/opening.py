"""The command that opens the kiosk, alone on its machine and where it stood before."""

from __future__ import annotations

import logging
import os
import platform
import signal
import sys
from importlib.metadata import version
from pathlib import Path
from typing import Annotated

import typer

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
from kiosk.cli.common import Exit, Person, ShopFile, at_desk, settings_of, stop
from kiosk.clock import SystemClock
from kiosk.config import Settings
from kiosk.palette import choose_theme
from kiosk.rules.route import STATIONS

LOG = logging.getLogger("cleatclock.appliance")
app = typer.Typer()


@app.command("open")
def open_kiosk(
    station: Annotated[str, typer.Option(help="cut, assemble, finish or install.")] = "",
    board: Annotated[
        bool | None, typer.Option("--board/--bench", help="Show the board only, or a bench.")
    ] = None,
    screen: Annotated[
        int, typer.Option("--screen", min=0, help="On this screen, counted from 1.")
    ] = 0,
    window: Annotated[bool, typer.Option("--window", help="In a window, not full screen.")] = False,
    shop: ShopFile = None,
    person: Person = None,
) -> None:
    """Start the kiosk on this screen; without options, where it stood when it ended."""
    if station and station not in STATIONS:
        stop(f"There is no station {station}; name one of {', '.join(STATIONS)}.", Exit.INPUT)
    if screen and window:
        stop("--screen fills a screen; leave --window out.", Exit.INPUT)
    path, settings, _wrong = settings_of(shop)
    choose_theme(settings.theme)  # before the screens take their colours
    memory = Memory(path, station=settings.station, person=settings.person, stations=STATIONS)
    start = _start(memory.recall(), path, station=station, board=board, person=person)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with hold_alone(path, start.home):
            with at_desk(shop):  # a file that cannot be used is refused before a window opens
                pass
            again = _run(path, settings, start, memory, fullscreen=not window, on_screen=screen)
    except AlreadyOpen as error:
        stop(str(error), Exit.REFUSED)
    except OSError as error:
        stop(f"The folder {path.parent} cannot be made: {error}", Exit.MACHINERY)
    if again:  # in place of this process, so that whatever watches it goes on watching
        command = reopen(path, start.home, window=window, screen=screen)
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
    *,
    fullscreen: bool,
    on_screen: int,
) -> bool:
    """Run the kiosk; tell whether it is to be opened again."""
    scrub = Scrub({"person": (start.person, settings.person), "shop": (settings.shop,)})
    if problem := start_log(log_file(path, start.home), scrub):
        typer.echo(problem, err=True)
    named = f"{version('cleatclock')}, Python {platform.python_version()}, {platform.system()}"
    LOG.info("opened: %s at %s; %s", start.home, start.station, named)
    try:
        memory.keep(start)
    except OSError as error:
        LOG.warning("where the kiosk stands was not written down: %s", error)
    from kiosk.app import Ended, KioskUnavailable, late_shop, run_kiosk

    shop = late_shop(path, settings, SystemClock())
    try:
        ended = run_kiosk(
            shop, start=start, memory=memory, fullscreen=fullscreen, on_screen=on_screen
        )
    except KioskUnavailable as error:
        LOG.error("not opened: %s", error)
        stop(str(error), Exit.MACHINERY)
    except Exception as error:  # whatever it was: the log has it, and a restart may help
        LOG.exception("ended by a fault")
        stop(f"The kiosk ended by a fault: {error or type(error).__name__}", Exit.MACHINERY)
    LOG.info("%s", ended)
    if ended == Ended.BY_SYSTEM:
        raise typer.Exit(128 + signal.SIGTERM)
    return ended == Ended.TO_RESTART
