"""The commands of the working day: take in, labels, scan, and corrections."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated

import typer

from kiosk import listreport, report
from kiosk.cli.common import (
    AsJson,
    At,
    Desk,
    Exit,
    Person,
    ShopFile,
    at_desk,
    check_day,
    end,
    one_of,
    say,
    stop,
)
from kiosk.cli.permits import Supervisor, permit_for, permit_of
from kiosk.rules.permission import Act
from kiosk.rules.route import STATIONS
from kiosk.rules.scanning import Answer
from kiosk.store import Job
from labels.reading import read_file

app = typer.Typer()

Code = Annotated[str, typer.Argument(help="A part's code from its label, or a unit's name.")]


@app.command("take-in")
def take_in(
    file: Annotated[Path, typer.Argument(help="Part list: CSV, TSV, XLSX or ODS.")],
    job: Annotated[str, typer.Option("--job", help="The job's code.")],
    name: Annotated[str, typer.Option(help="The job's name, for a new job.")] = "",
    site: Annotated[str, typer.Option(help="Where it goes up.")] = "",
    hang_day: Annotated[str, typer.Option(help="The day it goes up, such as 2026-03-20.")] = "",
    units: Annotated[
        str | None, typer.Option(help="Unit of measure of plain numbers: mm, cm, m, in or ft.")
    ] = None,
    show: Annotated[str, typer.Option(help="How the job shows lengths: mm or inch.")] = "",
    column: Annotated[
        list[str] | None,
        typer.Option(help='What a column means, such as "Long side=length"; none leaves it out.'),
    ] = None,
    revise: Annotated[
        bool, typer.Option("--revise", help="Compare with the job's list and take in what differs.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only say what would come in.")
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """Take in a part list; with any problem nothing is taken in."""
    units = {"inch": "in", "inches": "in", "feet": "ft"}.get(units or "", units)
    shows = show or ("inch" if units in ("in", "ft") else "")
    one_of(units or "", ("", "mm", "cm", "m", "in", "ft"), "--units")
    one_of(shows, ("", "mm", "inch"), "--show")
    check_day(hang_day)
    columns = columns_of(column or [])
    with at_desk(shop, at, records=True) as desk:
        known = desk.shop.jobs().get(job)
        wanted = Job(job, name, site, hang_day, shows or (known.units if known else ""))
        who, permit = desk.who(person), None
        if revise and not dry_run:
            permit = permit_for(desk, Act.REVISE, supervisor, person=who, as_json=as_json)
        taken = desk.shop.take_in(
            file,
            wanted,
            units=units,
            columns=columns,
            revise=revise,
            dry_run=dry_run,
            person=who,
            permit=permit,
        )
    say(listreport.taken_text(taken), listreport.taken_json(taken), as_json)
    if taken.problems:
        raise typer.Exit(int(Exit.INPUT))


def columns_of(said: Sequence[str]) -> dict[str, str]:
    """Read `HEADING=meaning`; a heading may hold an equals sign itself."""
    found = {}
    for one in said:
        heading, equals, meaning = one.rpartition("=")
        if not equals:
            stop(f'--column "{one}" is unclear. Write "HEADING=meaning".', Exit.INPUT)
        found[heading] = meaning
    return found


@app.command()
def scan(
    code: Annotated[str, typer.Argument(help="A part's code, or a unit's name.")] = "",
    station: Annotated[str, typer.Option(help="cut, assemble, finish or install.")] = "",
    step: Annotated[str | None, typer.Option(help="The step meant, such as coat-2.")] = None,
    reason: Annotated[str | None, typer.Option(help="Why to go ahead although too early.")] = None,
    picture: Annotated[Path | None, typer.Option(help="Read the label in this picture.")] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """Record what a scan at a station means; the label may be in a picture."""
    if picture is not None:
        found, problems = read_file(picture)
        if len(found.codes) > 1:
            problems = (f"{picture.name} shows {' and '.join(found.codes)}; scan one of them.",)
        if problems:
            stop(problems[0], Exit.INPUT)
        code = found.codes[0]
    if not code:
        stop("Say which: cleatclock scan CODE, or --picture FILE.", Exit.INPUT)

    def act(desk: Desk) -> Answer:
        where = station or desk.settings.station
        one_of(where, STATIONS, "--station")
        who, permit = desk.who(person), None
        if reason and supervisor is not None and desk.shop.supervisors():
            permit = permit_of(desk, Act.GO_AHEAD, supervisor, person=who, as_json=as_json)
        return desk.shop.scan(
            code, station=where, person=who, step=step, reason=reason, permit=permit
        )

    _record(act, shop, at, as_json=as_json)


@app.command()
def strike(
    entry: Annotated[
        str | None, typer.Argument(help="The entry's id; without it, this kiosk's latest.")
    ] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Void an entry; it is kept, but counts no more."""

    def act(desk: Desk) -> Answer:
        who = desk.who(person)
        return desk.shop.strike(entry, person=who) if entry else desk.shop.strike_last(person=who)

    _record(act, shop, at, as_json=as_json)


@app.command()
def hold(
    unit: Code,
    reason: Annotated[str, typer.Option(help="Why the unit can't go on.")],
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Put a unit on hold."""
    _record(
        lambda desk: desk.shop.hold(unit, reason, person=desk.who(person)),
        shop,
        at,
        as_json=as_json,
    )


@app.command()
def lift(
    unit: Code,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Lift a unit's holds."""
    _record(lambda desk: desk.shop.lift(unit, person=desk.who(person)), shop, at, as_json=as_json)


@app.command()
def spoil(
    part: Code,
    reason: Annotated[str, typer.Option(help="What happened to it.")] = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Mark a part as spoiled; its recut gets a code of its own."""
    _record(
        lambda desk: desk.shop.spoil(part, reason, person=desk.who(person)),
        shop,
        at,
        as_json=as_json,
    )


def _record(
    act: Callable[[Desk], Answer], shop: Path | None, at: str | None, *, as_json: bool
) -> None:
    """Open the shop, do one thing, say the answer, and end with its status."""
    with at_desk(shop, at, records=True) as desk:
        answer = act(desk)
        say(report.answer_text(answer), report.answer_json(answer, desk.shop.zone), as_json)
        end(answer.outcome)
