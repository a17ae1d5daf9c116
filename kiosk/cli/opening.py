"""The command that opens the kiosk, alone on its machine and where it stood before."""

from __future__ import annotations

from typing import Annotated

import typer

from kiosk.cli.common import Person, ShopFile
from kiosk.cli.shopfile import Stopped
from kiosk.cli.starting import Asked, start

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
    asked = Asked(station, board, screen, window=window, shop=shop, person=person)
    try:
        start(asked)
    except Stopped as end:
        if str(end):
            typer.echo(str(end), err=True)
        raise typer.Exit(end.status) from None
