"""The commands about people and answer cards."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kiosk import labelreport
from kiosk.cli.common import (
    AsJson,
    At,
    Exit,
    Person,
    ShopFile,
    at_desk,
    end_problems,
    say,
    stop,
)
from kiosk.cli.permits import Pins, Supervisor, change_pins, permit_for
from kiosk.rules.people import tidy_name
from kiosk.rules.permission import Act
from kiosk.rules.problems import Problem
from kiosk.rules.workday import FIELDS
from labels.codes import shown

app = typer.Typer()

Out = Annotated[Path, typer.Option(help="PDF or PNG file to write.")]
Stock = Annotated[str, typer.Option(help="Label stock; see `cleatclock stocks`.")]


@app.command()
def people(
    add: Annotated[
        list[str] | None, typer.Option(help="Put somebody on the list; may be repeated.")
    ] = None,
    off: Annotated[
        list[str] | None, typer.Option(help="Take somebody off the list; may be repeated.")
    ] = None,
    badges: Annotated[
        Path | None, typer.Option(help="Write badges to this PDF or PNG file.")
    ] = None,
    only: Annotated[
        list[str] | None, typer.Option(help="Only the badge of this person; may be repeated.")
    ] = None,
    stock: Stock = "",
    hours: Annotated[
        str, typer.Option(help="Whose hours differ from the shop's; say how with the next ones.")
    ] = "",
    opens: Annotated[str | None, typer.Option(help="They come at, such as 09:00.")] = None,
    closes: Annotated[str | None, typer.Option(help="They leave at, such as 15:30.")] = None,
    break_starts: Annotated[str | None, typer.Option(help="Their break begins at.")] = None,
    break_minutes: Annotated[str | None, typer.Option(help="How long it is; 0: none.")] = None,
    days: Annotated[str | None, typer.Option(help="Their days, such as Mon-Thu, Sat.")] = None,
    stations: Annotated[
        str | None, typer.Option(help="Stations they work at, such as cut, assemble; all.")
    ] = None,
    away: Annotated[
        str | None, typer.Option(help="Days away, such as 2026-05-04..2026-05-08.")
    ] = None,
    set_pin: Annotated[
        str, typer.Option(help="Give this person a PIN: a supervisor; or a new one of their own.")
    ] = "",
    reset_pin: Annotated[
        list[str] | None,
        typer.Option(help="A supervisor forgot the PIN: set a new one; may be repeated."),
    ] = None,
    drop_pin: Annotated[
        str, typer.Option(help="Take this person's PIN away: no supervisor any more.")
    ] = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """List the people of the shop, add some, take some off, set hours and PINs, print badges."""
    given = (opens, closes, break_starts, break_minutes, days, stations, away)
    texts = {name: text for name, text in zip(FIELDS, given, strict=True) if text is not None}
    if texts and not hours:
        stop("Say whose hours: --hours NAME.", Exit.INPUT)
    about_pins = bool(set_pin or reset_pin or drop_pin)
    with at_desk(shop, at, records=bool(add or off or texts or about_pins)) as desk:
        who = desk.who(person)
        problems: list[Problem] = []
        for name in add or ():
            problems += desk.shop.add_person(name, person=who)[1]
        held = {one.name.casefold() for one in desk.shop.supervisors()}
        permit = None
        if any(tidy_name(name).casefold() in held for name in off or ()):
            permit = permit_for(desk, Act.SUPERVISORS, supervisor, person=who, as_json=as_json)
        for name in off or ():
            problems += desk.shop.off_person(name, person=who, permit=permit)[1]
        if hours:
            problems += desk.shop.set_hours(hours, texts, person=who)[1]
        end_problems(problems, as_json)
        if about_pins:
            asked = Pins(set_pin, tuple(reset_pin or ()), drop_pin)
            change_pins(desk, asked, supervisor, person=who, as_json=as_json)
        run = desk.shop.badges(badges, names=only or (), stock=stock) if badges else None
        end_problems(run.problems if run else (), as_json)
        found, said = desk.shop.people(), desk.shop.hours()
        pins = {one.code for one in desk.shop.supervisors()}
    rows = [
        {
            "name": one.name,
            "code": one.code,
            "away": one.away,
            "supervisor": one.code in pins,
            "hours": said.get(one.code, {}),
        }
        for one in found
    ]
    file = str(badges) if badges else None
    lines = [
        f"{one.name:24} {shown(one.code)}{'  off' if one.away else ''}"
        f"{'  supervisor' if one.code in pins else ''}"
        + "".join(f"  {name} {text}" for name, text in said.get(one.code, {}).items())
        for one in found
    ]
    text = "\n".join(lines) or "Nobody is on the list. Add somebody: cleatclock people --add NAME"
    if run is not None:
        text = f"{text}\n{labelreport.labels_text(run)}"
    say(text, {"people": rows, "file": file}, as_json)


@app.command()
def cards(
    out: Out = Path("cards.pdf"),
    stock: Stock = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """Write the answer cards: scanning one does what the tap would."""
    with at_desk(shop) as desk:
        run = desk.shop.cards(out, stock=stock)
    say(labelreport.labels_text(run), labelreport.labels_json(run), as_json)
    if run.problems:
        raise typer.Exit(int(Exit.INPUT))
