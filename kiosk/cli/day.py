"""The commands of the day: what to do now, and how long each step takes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kiosk.actions.daying import EVALUATIONS
from kiosk.cli.common import AsJson, At, Exit, Person, ShopFile, at_desk, end_problems, one_of, say
from kiosk.cli.work import columns_of
from kiosk.dayreport import day_json, day_text, times_json, times_text
from kiosk.promisereport import promise_json, promise_text
from kiosk.rules.problems import Problem

app = typer.Typer()


@app.command()
def day(
    evaluations: Annotated[
        int, typer.Option(min=0, help="How many plans are tried; 0: only the simple rules.")
    ] = EVALUATIONS,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say who does what when today, why now, what must rest overnight, and what will be late."""
    with at_desk(shop, at) as desk:
        found = desk.shop.plan_day(desk.now, evaluations=evaluations)
        found = desk.shop.with_chances(found)
        zone = desk.shop.zone
    say(day_text(found, zone), day_json(found, zone), as_json)


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


@app.command()
def times(
    set_: Annotated[
        tuple[str, str, float] | None,
        typer.Option("--set", help="Kind, step and minutes of one part or unit: shelf sand 12."),
    ] = None,
    clear: Annotated[
        tuple[str, str] | None,
        typer.Option(help="Kind and step that count as learned again: shelf sand."),
    ] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """List how long each step takes, as learned from the scans or set by the shop."""
    with at_desk(shop, at, records=bool(set_ or clear)) as desk:
        problems: list[Problem] = []
        if set_:
            kind, step, minutes = set_
            problems += desk.shop.set_touch_time(kind, step, minutes, person=desk.who(person))
        if clear:
            problems += desk.shop.set_touch_time(*clear, None, person=desk.who(person))
        end_problems(problems, as_json)
        found = desk.shop.touch_times()
    say(times_text(found), times_json(found), as_json)
