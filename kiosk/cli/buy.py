"""The command that says what to buy."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kiosk.boardsheet import SUFFIXES
from kiosk.buyreport import buying_json, buying_text, write_table
from kiosk.cli.common import (
    AsJson,
    At,
    Exit,
    ShopFile,
    at_desk,
    end_problems,
    one_of,
    say,
    stop,
    writing,
)
from kiosk.cli.sending import end_sent
from kiosk.config import PAPERS
from kiosk.report import iso
from kiosk.tablereport import ENDINGS

app = typer.Typer()


@app.command()
def buy(
    jobs: Annotated[
        list[str] | None, typer.Argument(help="The jobs' codes; none: all open ones together.")
    ] = None,
    whole: Annotated[
        bool, typer.Option("--whole", help="As if nothing were done or in stock yet.")
    ] = False,
    allowance: Annotated[
        int | None,
        typer.Option(min=0, max=100, help="Percent beyond the bare need; else the settings'."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Write it to this file instead: .csv, .tsv, .pdf or .png.")
    ] = None,
    paper: Annotated[str, typer.Option(help="Paper of that: a4 or letter.")] = "",
    print_: Annotated[
        bool,
        typer.Option("--print", help="Print it: paper_printer in the settings, else a PDF."),
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say what to buy for jobs: sheets, glue, screws, edging, coats and discs still needed."""
    one_of(paper, ("", *PAPERS), "--paper")
    ending = out.suffix.lower() if out is not None else ""
    if out is not None and ending not in (*ENDINGS, *SUFFIXES):
        stop(f"{out} is no file to write to; name one that ends in .csv or .pdf.", Exit.INPUT)
    if print_ and out is not None:
        stop("--print does not go with --out.", Exit.INPUT)
    with at_desk(shop, at) as desk:
        found = desk.shop.buying(jobs or (), whole=whole, allowance=allowance)
        end_problems([one for one in found.problems if one.column == "job"], as_json)
        if print_:
            with writing(desk.shop.store.folder):
                sent = desk.shop.buying_sheets(found, paper=paper).send()
            end_sent(desk, sent, as_json=as_json)
            return
        if out is None:
            say(buying_text(found), buying_json(found), as_json)
            return
        with writing(out):
            if ending in ENDINGS:
                write_table(found, out)
                files: tuple[Path, ...] = (out,)
            else:
                files = desk.shop.write_buying(found, out, paper=paper)
        names = [str(file) for file in files]
        say("\n".join(names), {"at": iso(desk.now, desk.shop.zone), "files": names}, as_json)
