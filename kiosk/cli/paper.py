"""The commands about labels: write or print them, their stocks, the printers, and lost labels."""

from __future__ import annotations

import time
from pathlib import Path
from threading import Event
from typing import Annotated

import typer

from kiosk import labelreport
from kiosk.actions import Order, Wanted
from kiosk.actions.labelfiles import ORDERS, free_path, name_of
from kiosk.cli.common import (
    AsJson,
    At,
    Desk,
    Exit,
    Person,
    ShopFile,
    at_desk,
    end_problems,
    one_of,
    say,
    stop,
    writing,
)
from kiosk.printdesk import PrintDesk
from labels.codes import compact
from labels.printing import Line, Stage, discover, open_printer
from labels.ruler import write_preview, write_ruler

app = typer.Typer()
ASK_S = 0.3


@app.command()
def labels(
    job: Annotated[str, typer.Argument(help="The job's code; left out with --places.")] = "",
    stock: Annotated[str, typer.Option(help="Label stock; see `cleatclock stocks`.")] = "",
    skip: Annotated[int, typer.Option(help="Labels already used on the first sheet.")] = 0,
    out: Annotated[Path | None, typer.Option(help="PDF or PNG file to write.")] = None,
    part: Annotated[
        list[str] | None, typer.Option(help="Only the part with this code; may be repeated.")
    ] = None,
    unit: Annotated[
        list[str] | None, typer.Option(help="The label of this unit itself; may be repeated.")
    ] = None,
    units: Annotated[bool, typer.Option("--units", help="The labels of all units.")] = False,
    places: Annotated[bool, typer.Option("--places", help="The labels of all places.")] = False,
    new: Annotated[bool, typer.Option("--new", help="Only labels never printed before.")] = False,
    order: Annotated[
        str, typer.Option(help="cut: as parts come off the saw, where sheets are planned; or list.")
    ] = "cut",
    reason: Annotated[str, typer.Option(help="Why again: lost, unreadable, wrong label …")] = "",
    printer: Annotated[
        str, typer.Option(help="Print there: a queue's name or ipp://…; `set`: the settings'.")
    ] = "",
    wait: Annotated[float, typer.Option(help="Seconds to wait until they are out.")] = 60.0,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Write or print labels; each is read back before it is written."""
    if not job and not places:
        stop("Say whose labels: cleatclock labels JOB, or --places.", Exit.INPUT)
    if printer and out:
        stop("--printer does not go with --out.", Exit.INPUT)
    one_of(order, ORDERS, "--order")
    only = [*(compact(one) for one in part or ()), *(unit or ())]
    wanted = Wanted(job, only, new, bool(units or unit), stock, skip, reason, order=order)
    if places:
        wanted = Wanted("", stock=stock, skip=skip)
    with at_desk(shop, at, records=True) as desk:
        who = desk.who(person)
        if printer:
            _print(desk, wanted, printer, wait, who, as_json=as_json)
            return
        # without a name a file of its own: what is not printed yet is never written over
        file = out or free_path(Path(), name_of(wanted), desk.shop.now().astimezone(desk.shop.zone))
        run = desk.shop.labels(wanted, file, person=who)
    say(labelreport.labels_text(run), labelreport.labels_json(run), as_json)
    if run.problems:
        raise typer.Exit(int(Exit.INPUT))


def _print(
    desk: Desk, wanted: Wanted, printer: str, wait: float, who: str, *, as_json: bool
) -> None:
    """Print and wait until all is out; what is not out in time is not logged as printed."""
    where = desk.settings.printer.strip() if printer == "set" else printer
    if not where:
        stop("No printer is set. Name one: --printer NAME, or printer in the settings.", Exit.INPUT)
    found = desk.shop.orders(wanted, person=who)
    end_problems(found.problems, as_json)
    for code in () if as_json else found.void:
        typer.echo(labelreport.left_out(code))

    def out(one: Order) -> None:
        desk.shop.came_out(one, person=who)

    told: set[str] = set()

    def tell(line: Line) -> None:
        words = f"{line.state.words} {line.state.remedy}".strip()
        if not as_json and words and words not in told:  # several prints say the same
            told.add(words)
            typer.echo(words)

    at_work = PrintDesk(
        open_printer(where, seconds=time.monotonic), clock=desk.shop.clock, out=out, tell=tell
    )
    for order in found.orders:
        at_work.submit(order)
    until = time.monotonic() + wait
    while at_work.step() and time.monotonic() < until:
        if any(line.state.stage is Stage.FAILED for line in at_work.lines()):
            break
        Event().wait(ASK_S)
    lines = [line for order in found.orders if (line := at_work.line(order.key)) is not None]
    say(
        labelreport.prints_text(found.orders, lines),
        labelreport.print_json(found.orders, lines),
        as_json,
    )
    if any(line.state.stage is not Stage.DONE for line in lines):
        raise typer.Exit(int(Exit.MACHINERY))


@app.command()
def stocks(
    preview: Annotated[str, typer.Option(help="Draw a sample label of this stock.")] = "",
    ruler: Annotated[str, typer.Option(help="Draw a test page to set this stock's offset.")] = "",
    out: Annotated[Path | None, typer.Option(help="PNG or PDF file for it.")] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """List the label stocks, draw a sample label, or a test page with rulers."""
    with at_desk(shop) as desk:
        found = desk.shop.stocks()
        for line in desk.shop.stock_problems():
            typer.echo(f"stocks: {line}", err=True)
        key = preview or ruler
        if key and key not in found:
            stop(f"There is no label stock {key}. Use {', '.join(found)}.", Exit.INPUT)
        if key:
            file = out or Path(f"{key}-{'preview' if preview else 'ruler'}.png")
            draw = write_preview if preview else write_ruler
            with writing(file):
                draw(found[key], dpi=desk.settings.label_dpi, out=file)
            say(str(file), {"stock": key, "file": str(file)}, as_json)
            return
        rows = [
            {
                "stock": one.key,
                "title": one.title,
                "width_mm": one.width_mm,
                "height_mm": one.height_mm,
                "per_page": one.per_page,
            }
            for one in found.values()
        ]
        text = "\n".join(f"{one.key:14} {one.title}" for one in found.values())
        say(text, {"stocks": rows}, as_json)


@app.command()
def printers(shop: ShopFile = None, as_json: AsJson = False) -> None:
    """List the print queues of this computer, and how the printers in the settings are."""
    with at_desk(shop) as desk:
        queues, problems = discover()
        for line in problems:
            typer.echo(line, err=True)
        names = list(queues)
        own, paper = desk.settings.printer, desk.settings.paper_printer
        names += [one for one in dict.fromkeys((own, paper)) if one and one not in names]
        rows = []
        for name in names:
            state = open_printer(name, seconds=time.monotonic).check()
            rows.append(
                {
                    "printer": name,
                    "in_use": name == own,
                    "for_paper": name == paper,
                    "ok": state.stage is Stage.DONE,
                    "words": state.words,
                    "remedy": state.remedy or None,
                }
            )
        text = "\n".join(
            f"{'*' if row['in_use'] else ' '}{'P' if row['for_paper'] else ' '} "
            f"{row['printer']:30} "
            f"{row['words']} {row['remedy'] or ''}"
            for row in rows
        )
        none = "No print queue is known here; labels go to PDF. A network printer: ipp://…"
        say(text or none, {"printers": rows}, as_json)


@app.command()
def find(
    words: Annotated[list[str], typer.Argument(help="Unit, size, name, material or code.")],
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """Find parts by unit, size or name, as when a label is lost."""
    with at_desk(shop) as desk:
        hits = desk.shop.find_parts(" ".join(words))
        say(
            labelreport.parts_text(hits, desk.shop),
            labelreport.parts_json(hits, desk.shop),
            as_json,
        )
        if not hits:
            raise typer.Exit(int(Exit.INPUT))
