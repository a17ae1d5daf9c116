"""The command that promises a hang day."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kiosk.cli.common import AsJson, At, Exit, ShopFile, at_desk, one_of, say
from kiosk.cli.work import columns_of
from kiosk.promisereport import promise_json, promise_text

app = typer.Typer()


@app.command()
def promise(
    file: Annotated[Path, typer.Argument(help="Part list: CSV, TSV, XLSX or ODS.")],
    units: Annotated[
        str | None, typer.Option(help="Unit of measure of plain numbers: mm, cm, m, in or ft.")
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(help='What a column means, such as "Long side=length"; none leaves it out.'),
    ] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say which hang day a part list could be promised; nothing is taken in."""
    one_of(units or "", ("", "mm", "cm", "m", "in", "ft"), "--units")
    columns = columns_of(column or [])
    with at_desk(shop, at) as desk:
        found = desk.shop.promise_day(file, units=units, columns=columns, now=desk.now)
        zone = desk.shop.zone
    say(promise_text(found, zone), promise_json(found, zone), as_json)
    if found.taken.problems:
        raise typer.Exit(int(Exit.INPUT))
