"""The command `cleatclock`."""

from __future__ import annotations

import os
from importlib.metadata import version as installed
from pathlib import Path
from typing import Annotated

import typer

from kiosk.cli import air, desk, paper, people, work
from kiosk.cli.common import Exit, Person, ShopFile, at_desk, stop
from kiosk.clock import SystemClock
from kiosk.config import shop_path
from kiosk.palette import choose_theme
from kiosk.rules.route import STATIONS

app = typer.Typer(
    help="From part list to hang day: labels, scans, a clock for every rest, one board.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    add_completion=False,
)


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"cleatclock {installed('cleatclock')}")
        raise typer.Exit


@app.callback()
def _top(
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Say which.")
    ] = False,
) -> None:
    pass


@app.command("open")
def open_kiosk(
    station: Annotated[str, typer.Option(help="cut, assemble, finish or install.")] = "",
    board: Annotated[bool, typer.Option("--board", help="Show the board only.")] = False,
    screen: Annotated[
        int, typer.Option("--screen", min=0, help="On this screen, counted from 1.")
    ] = 0,
    window: Annotated[bool, typer.Option("--window", help="In a window, not full screen.")] = False,
    shop: ShopFile = None,
    person: Person = None,
) -> None:
    """Start the kiosk on this screen."""
    if station and station not in STATIONS:
        stop(f"There is no station {station}; name one of {', '.join(STATIONS)}.", Exit.INPUT)
    with at_desk(shop) as opened:  # a file that cannot be used is refused before a window opens
        settings, who = opened.settings, opened.who(person)
    if screen and window:
        stop("--screen fills a screen; leave --window out.", Exit.INPUT)
    choose_theme(settings.theme)  # before the screens take their colours
    from kiosk.app import KioskUnavailable, late_shop, run_kiosk

    file = shop_path(str(shop) if shop else None, os.environ)
    try:
        run_kiosk(
            late_shop(file, settings, SystemClock()),
            station=station or settings.station,
            screen="board" if board else "bench",
            person=who,
            fullscreen=not window,
            on_screen=screen,
        )
    except KioskUnavailable as error:
        stop(str(error), Exit.MACHINERY)


@app.command()
def demo(
    pictures: Annotated[
        Path | None, typer.Option(help="Write a picture of every screen into this folder.")
    ] = None,
    keep: Annotated[Path | None, typer.Option(help="Keep the sample shop in this file.")] = None,
) -> None:
    """Run the sample shop through its week to a Wednesday afternoon; needs no display."""
    from kiosk.demo import run_demo

    run_demo(pictures=pictures, keep=keep)


app.registered_commands.extend(work.app.registered_commands)
app.registered_commands.extend(desk.app.registered_commands)
app.registered_commands.extend(air.app.registered_commands)
app.registered_commands.extend(paper.app.registered_commands)
app.registered_commands.extend(people.app.registered_commands)


def main() -> None:
    """Run the command line."""
    app()
