"""The commands of the day: what to do now, and how long each step takes."""

from __future__ import annotations

from typing import Annotated

import typer

from kiosk.cli.common import AsJson, At, Person, ShopFile, at_desk, end_problems, say
from kiosk.dayreport import times_json, times_text
from kiosk.rules.problems import Problem

app = typer.Typer()


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
