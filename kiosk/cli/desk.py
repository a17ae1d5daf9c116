"""The commands that answer and those that look after the shop's file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kiosk import report
from kiosk.actions.catalogue import act_of
from kiosk.boardsheet import SUFFIXES, write_board
from kiosk.cli.air import WhatIf, supposed
from kiosk.cli.common import (
    AsJson,
    At,
    Desk,
    Exit,
    Person,
    ShopFile,
    at_desk,
    check_day,
    end_problems,
    one_of,
    say,
    settings_of,
    stop,
    writing,
)
from kiosk.cli.permits import Supervisor, permit_for, permit_of
from kiosk.cli.sending import end_sent
from kiosk.config import PAPERS
from kiosk.rules.airwords import read_air
from kiosk.rules.entries import Kind
from kiosk.rules.permission import Act, Permit
from kiosk.rules.problems import Problem
from kiosk.rules.route import STATIONS
from kiosk.rules.times import read_minutes
from kiosk.settingstext import write_commented
from kiosk.store import Job
from kiosk.tablereport import ENDINGS, write_units

app = typer.Typer()

Csv = Annotated[
    Path | None, typer.Option("--csv", help="Write the units to this file instead: .csv or .tsv.")
]


@app.command()
def board(
    what_if: WhatIf = "",
    out: Annotated[Path | None, typer.Option(help="Print it: PDF or PNG file to write.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter; else as in the settings.")] = "",
    print_: Annotated[
        bool,
        typer.Option("--print", help="Print it: paper_printer in the settings, else a PDF."),
    ] = False,
    csv: Csv = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say where every open unit stands, or print it for those who pin paper."""
    check_table(csv)
    if csv is not None and (out is not None or print_):
        stop("--csv does not go with --out or --print.", Exit.INPUT)
    if out is not None or print_:
        _print_board(out, paper, what_if, shop, at, print_=print_, as_json=as_json)
        return
    with at_desk(shop, at) as desk:
        asked, words = supposed(desk, what_if, as_json=as_json)
        head = f"{words}; nothing of this is recorded\n" if words else ""
        answer = report.board_json(asked, desk.now) | {"what_if": words or None}
        if csv is not None:
            keep_units(answer["units"], csv)
            return
        say(head + report.board_text(asked, desk.now), answer, as_json)


def _print_board(
    out: Path | None,
    paper: str,
    what_if: str,
    shop: Path | None,
    at: str | None,
    *,
    print_: bool,
    as_json: bool,
) -> None:
    one_of(paper, ("", *PAPERS), "--paper")
    if print_ and out is not None:
        stop("--print does not go with --out.", Exit.INPUT)
    if out is not None and out.suffix.lower() not in SUFFIXES:
        stop(f"{out} is no file to print to; name one that ends in .pdf or .png.", Exit.INPUT)
    if what_if:
        stop("Only the board as it is may be pinned up; leave --what-if out.", Exit.INPUT)
    with at_desk(shop, at) as desk:
        named = f"board-{desk.now.astimezone(desk.shop.zone):%Y-%m-%d}.pdf"
        file = out or desk.shop.store.folder / named
        with writing(file):
            files = write_board(desk.shop, desk.now, out=file, paper=paper or desk.settings.paper)
        if print_:
            sent = desk.shop.paper_printer(paper=paper).send(file)
            end_sent(desk, sent, as_json=as_json)
            return
        names = [str(file) for file in files]
        answer = {"at": report.iso(desk.now, desk.shop.zone), "files": names}
        say("\n".join(names), answer, as_json)


def check_table(out: Path | None) -> None:
    """Refuse a table file whose ending says nothing."""
    if out is not None and out.suffix.lower() not in ENDINGS:
        stop(f"{out} is no table; name one that ends in {' or '.join(ENDINGS)}.", Exit.INPUT)


def keep_units(units: list[report.Json], out: Path) -> None:
    """Write units to a table file, and say so."""
    with writing(out):
        write_units(units, out)
    typer.echo(f"{report.count(len(units), 'unit')} written to {out}.")


@app.command()
def due(
    station: Annotated[str, typer.Option(help="cut, assemble, finish or install; else all.")] = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say what a station has to do, most pressing first."""
    if station and station not in STATIONS:
        stop(f"--station {station} is none of {', '.join(STATIONS)}", Exit.INPUT)
    with at_desk(shop, at) as desk:
        stations = (station,) if station else STATIONS
        lists = {name: desk.shop.due(name, desk.now) for name in stations}
        text = "\n\n".join(f"{name}\n{report.due_text(rows, name)}" for name, rows in lists.items())
        rows = [report.due_json(rows, name, desk.shop.zone) for name, rows in lists.items()]
        say(text, {"at": report.iso(desk.now, desk.shop.zone), "stations": rows}, as_json)


@app.command()
def history(
    unit: Annotated[str, typer.Argument(help="The unit's name, or JOB/UNIT.")],
    job: Annotated[str, typer.Option("--job", help="The job's code, where it is not clear.")] = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """List all entries about a unit, with their ids for striking."""
    with at_desk(shop, at) as desk:
        found = [key for key in desk.shop.named(unit) if job in ("", key[0])]
        if not found and job and desk.shop.store.history(job, unit):
            found = [(job, unit)]
        if len(found) != 1:
            jobs = ", ".join(key[0] for key in found)
            where = f"is in {jobs}; write JOB/UNIT" if found else "is not known"
            stop(f"{unit} {where}.", Exit.INPUT)
        rows = report.history_rows(desk.shop.store.history(*found[0]), desk.shop, desk.now)
        say(report.history_text(rows), {"entries": rows}, as_json)


@app.command()
def job(
    code: Annotated[str | None, typer.Argument(help="The job's code; without it, all.")] = None,
    name: Annotated[str | None, typer.Option(help="Set the name.")] = None,
    site: Annotated[str | None, typer.Option(help="Set where it goes up.")] = None,
    hang_day: Annotated[str | None, typer.Option(help="Set the hang day.")] = None,
    show: Annotated[str | None, typer.Option(help="Show lengths in mm or inch.")] = None,
    close: Annotated[bool, typer.Option("--close", help="Close it: all is hung.")] = False,
    reason: Annotated[str, typer.Option(help="Why to close it although not all is hung.")] = "",
    csv: Csv = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """Show the jobs, or set what is known of one."""
    changes = close or any(value is not None for value in (name, site, hang_day, show))
    if changes and code is None:
        stop("Say which job: cleatclock job CODE …", Exit.INPUT)
    check_day(hang_day)
    one_of(show or "mm", ("mm", "inch"), "--show")
    check_table(csv)
    if csv is not None and (changes or code is None):
        stop("Write the units of one job: cleatclock job CODE --csv FILE.", Exit.INPUT)
    with at_desk(shop, at, records=changes) as desk:
        jobs = desk.shop.jobs()
        if code is not None and changes:
            old = jobs.get(code, Job(code))
            new = Job(
                code,
                old.name if name is None else name,
                old.site if site is None else site,
                old.hang_day if hang_day is None else hang_day,
                show or old.units,
                open=old.open and not close,
            )
            who, permit = desk.who(person), None
            if close and reason and supervisor is not None and desk.shop.supervisors():
                permit = permit_of(desk, Act.CLOSE, supervisor, person=who, as_json=as_json)
            problems = desk.shop.set_job(new, reason=reason, person=who, permit=permit)
            end_problems(problems, as_json, status=Exit.REFUSED if close else Exit.INPUT)
            jobs = desk.shop.jobs()
        chosen = [one for one in jobs.values() if code in (None, one.code)]
        if code is not None and not chosen:
            stop(f"There is no job {code}. Jobs are: {', '.join(jobs) or 'none yet'}.", Exit.INPUT)
        if csv is not None:
            units = report.board_json(desk.shop, desk.now)["units"]
            keep_units([unit for unit in units if unit["job"] == code], csv)
            return
        rows = [
            {
                "job": one.code,
                "name": one.name,
                "site": one.site,
                "hang_day": one.hang_day or None,
                "units": one.units,
                "open": one.open,
            }
            for one in chosen
        ]
        text = "\n".join(
            f"{one.code:10} {one.name:30} hang day {one.hang_day or 'not set'}"
            f"{'' if one.open else '  closed'}"
            for one in chosen
        )
        say(text or "No jobs yet.", {"jobs": rows}, as_json)


@app.command()
def routes(
    set_file: Annotated[Path | None, typer.Option("--set", help="Use this file.")] = None,
    shop: ShopFile = None,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """Print the shop's routes to copy and change, or set them."""
    _text_command(Kind.ROUTES_SET, set_file, shop, at, who=(person, supervisor))


@app.command()
def products(
    set_file: Annotated[Path | None, typer.Option("--set", help="Use this file.")] = None,
    confirm: Annotated[
        str | None, typer.Option(help="The figures of this product are those of the label.")
    ] = None,
    figure: Annotated[
        str | None, typer.Option(help='A figure from the label, such as "clear.recoat=2 h".')
    ] = None,
    reference: Annotated[
        str | None, typer.Option(help='The air its figures are for: "clear=21C 70%".')
    ] = None,
    factor: Annotated[
        str | None, typer.Option(help="Accept a factor from findings, such as clear.sand=1.2.")
    ] = None,
    shop: ShopFile = None,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """Print the shop's products, set them, or enter what a label says."""
    asked = {
        "--set": set_file,
        "--confirm": confirm,
        "--figure": figure,
        "--reference": reference,
        "--factor": factor,
    }
    given = {option: value for option, value in asked.items() if value is not None}
    if len(given) > 1:
        stop(f"Give one of {', '.join(given)} at a time.", Exit.INPUT)
    if set_file is not None or not given:
        _text_command(Kind.PRODUCTS_SET, set_file, shop, at, who=(person, supervisor))
        return
    with at_desk(shop, at, records=True) as desk:
        who = desk.who(person)
        permit = permit_for(desk, Act.PRODUCTS, supervisor, person=who)
        if confirm is not None:
            problems = desk.shop.confirm_product(confirm, person=who, permit=permit)
            said = f"{confirm} is confirmed from its label."
        else:
            (option,) = given
            problems, said = _label_words(desk, option, str(given[option]), who, permit)
        end_problems(problems, as_json=False)
        typer.echo(said)


def _label_words(
    desk: Desk, option: str, words: str, who: str, permit: Permit | None
) -> tuple[tuple[Problem, ...], str]:
    """Enter what a label says, written `key.stage=2 h`, `key=21C 70%` or `key.stage=1.2`."""
    name, _, value = words.partition("=")
    key, _, stage = name.strip().partition(".")
    done = f"{name.strip()} is {value.strip()}."
    if option == "--figure":
        minutes = read_minutes(value)
        if not stage or minutes is None:
            return _unclear(option, words, 'Write "clear.recoat=2 h", min, h or d.'), done
        return desk.shop.set_figure(key, stage, minutes, person=who, permit=permit), done
    if option == "--reference":
        air, problems = read_air(value, fahrenheit=desk.shop.fahrenheit)
        if air is None:
            return problems or _unclear(option, words, 'Write "clear=21C 70%".'), done
        return desk.shop.set_reference(key, *air, person=who, permit=permit), done
    try:
        factor = float(value.replace(",", "."))
    except ValueError:
        return _unclear(option, words, "Write clear.sand=1.2."), done
    if not stage:
        return _unclear(option, words, "Write clear.sand=1.2."), done
    return desk.shop.accept_factor(key, stage, factor, person=who, permit=permit), done


def _unclear(option: str, words: str, remedy: str) -> tuple[Problem, ...]:
    return (Problem(f"{words} is not clear.", remedy, column=option, value=words),)


def _text_command(
    kind: Kind,
    file: Path | None,
    shop: Path | None,
    at: str | None,
    *,
    who: tuple[str | None, str | None],
) -> None:
    """Print routes or products, or set them; who: the person and the supervisor named."""
    with at_desk(shop, at, records=file is not None) as desk:
        if file is None:
            typer.echo(desk.shop.text_of(kind), nl=False)
            return
        try:
            text = file.read_text("utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            stop(f"{file} cannot be read: {error}", Exit.INPUT)
        person = desk.who(who[0])
        permit = permit_for(desk, act_of(kind), who[1], person=person)
        problems = desk.shop.set_text(kind, text, person=person, permit=permit)
        end_problems(problems, as_json=False)
        typer.echo("Set. Every unit stands by it from now on.")


@app.command()
def settings(shop: ShopFile = None) -> None:
    """Print the settings, a sentence on each, to be kept as settings.toml beside the file."""
    _path, found, wrong = settings_of(shop)
    for line in wrong:
        typer.echo(f"settings: {line}", err=True)
    typer.echo(write_commented(found), nl=False)
