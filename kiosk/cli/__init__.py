"""The command `cleatclock`."""

from __future__ import annotations

from importlib.metadata import version as installed
from pathlib import Path
from typing import Annotated

import typer

from kiosk.cli import desk, work
from kiosk.cli.common import Exit, Person, ShopFile, at_desk, stop

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
    window: Annotated[bool, typer.Option("--window", help="In a window, not full screen.")] = False,
    shop: ShopFile = None,
    person: Person = None,
) -> None:
    """Start the kiosk on this screen."""
    with at_desk(shop) as opened:
        from kiosk.app import KioskUnavailable, run_kiosk

        try:
            run_kiosk(
                opened.shop,
                station=station or opened.settings.station,
                screen="board" if board else "bench",
                person=opened.who(person),
                fullscreen=not window,
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


def main() -> None:
    """Run the command line."""
    app()
