"""The command that says what units on cleats may carry, and takes in walls and how units hang."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated

import typer

from kiosk import hangreport, report
from kiosk.cli import hangpaper
from kiosk.cli.common import (
    AsJson,
    At,
    Desk,
    Exit,
    Person,
    ShopFile,
    at_desk,
    end,
    end_problems,
    one_of,
    say,
    stop,
    writing,
)
from kiosk.cli.permits import Supervisor, permit_of
from kiosk.config import PAPERS
from kiosk.hangjson import hanging_json
from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.fitwords import change_fitting
from kiosk.rules.hanging.hangviews import HangingView
from kiosk.rules.permission import Act
from kiosk.rules.route import State
from kiosk.tables import read_table
from kiosk.tables.writing import SEPARATORS, keep_table, unguard

app = typer.Typer()


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is to be done about one job."""

    job: str
    wall: str
    units: tuple[str, ...]
    person: str | None
    supervisor: str | None
    as_json: bool


@app.command()
def hang(
    job: Annotated[str, typer.Argument(help="The job's code.")],
    unit: Annotated[
        list[str] | None,
        typer.Option("--unit", help="Only this unit, in full; may be repeated."),
    ] = None,
    set_: Annotated[
        list[str] | None,
        typer.Option("--set", help="How the --unit hangs, such as drop=140; may be repeated."),
    ] = None,
    wall: Annotated[str, typer.Option(help="The wall meant, by its name.")] = "",
    import_: Annotated[
        Path | None, typer.Option("--import", help="Take in the --wall as measured: CSV or XLSX.")
    ] = None,
    template: Annotated[
        Path | None, typer.Option(help="Write a CSV file to fill in, of the --wall.")
    ] = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="With --import only say what would come in.")
    ] = False,
    allow: Annotated[
        str, typer.Option(help="Let this unit go up without a number; with --reason.")
    ] = "",
    reason: Annotated[str, typer.Option(help="Why it goes up all the same.")] = "",
    out: Annotated[Path | None, typer.Option(help="Write load cards to this PDF file.")] = None,
    four: Annotated[bool, typer.Option("--four", help="Four cards on a page.")] = False,
    drawing: Annotated[
        Path | None, typer.Option(help="Write the drawing of the --wall to this PDF file.")
    ] = None,
    print_: Annotated[
        bool,
        typer.Option("--print", help="Print the cards, with --wall its drawing: paper_printer."),
    ] = False,
    paper: Annotated[str, typer.Option(help="Paper of that: a4 or letter.")] = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
    supervisor: Supervisor = None,
) -> None:
    """Say what a job's units on bevelled cleats may carry, why not, and what would help."""
    asked = _Asked(job, wall, tuple(unit or ()), person, supervisor, as_json)
    sheets = hangpaper.Sheets(out, drawing, paper, four=four, prints=print_)
    one_of(paper, ("", *PAPERS), "--paper")
    _check(asked, set_, import_, template, allow=allow, sheets=sheets)
    if reason and not allow:
        stop("--reason goes with --allow.", Exit.INPUT)
    if dry_run and import_ is None:
        stop("--dry-run goes with --import.", Exit.INPUT)
    records = bool(set_ or allow or sheets.wanted or (import_ and not dry_run))
    with at_desk(shop, at, records=records) as desk:
        _known(desk, asked)
        if template is not None:
            _template(desk, asked, template)
        elif import_ is not None:
            _import(desk, asked, import_, dry_run=dry_run)
        elif set_:
            _fit(desk, asked, set_)
        elif allow:
            _allow(desk, asked, allow, reason)
        elif sheets.wanted:
            hangpaper.write(
                desk, sheets, job, wall=wall, units=asked.units, person=person, as_json=as_json
            )
        else:
            _answer(desk, asked)


def _check(
    asked: _Asked,
    set_: list[str] | None,
    import_: Path | None,
    template: Path | None,
    *,
    allow: str,
    sheets: hangpaper.Sheets,
) -> None:
    """Refuse what does not go together."""
    sheets.check()
    given = {
        "--set": bool(set_),
        "--import": import_ is not None,
        "--template": template is not None,
        "--allow": bool(allow),
        "--out, --drawing or --print": sheets.wanted,
    }
    named = [option for option, is_given in given.items() if is_given]
    if len(named) > 1:
        stop(f"Give one of {', '.join(named)} at a time.", Exit.INPUT)
    if (import_ is not None or template is not None or sheets.drawing) and not asked.wall:
        stop("Say which wall: --wall NAME.", Exit.INPUT)
    if set_ and len(asked.units) != 1:
        stop("Say which unit hangs so: --unit NAME, one at a time.", Exit.INPUT)
    if template is not None and template.suffix.lower() not in SEPARATORS:
        endings = " or ".join(SEPARATORS)
        stop(f"{template} is no table; name one that ends in {endings}.", Exit.INPUT)


def _known(desk: Desk, asked: _Asked) -> None:
    """Refuse a job or unit there is not, naming those there are."""
    jobs = desk.shop.jobs()
    if asked.job not in jobs:
        have = ", ".join(jobs) or "none yet"
        stop(f"There is no job {asked.job}. Jobs are: {have}.", Exit.INPUT)
    view = desk.shop.hanging(asked.job)
    hang = [*(one.unit for one in view.units), *view.unmeasured]
    for name in asked.units:
        if name not in hang:
            have = ", ".join(hang) or "none"
            stop(f"{asked.job} has no unit {name} that hangs. It has: {have}.", Exit.INPUT)


def _template(desk: Desk, asked: _Asked, out: Path) -> None:
    with writing(out):
        keep_table(desk.shop.wall_template(asked.job, asked.wall), out)
    answer = {"at": report.iso(desk.now, desk.shop.zone), "files": [str(out)]}
    say(f"{out}: fill it in, then --import it.", answer, asked.as_json)


def _import(desk: Desk, asked: _Asked, file: Path, *, dry_run: bool) -> None:
    """Take in a wall; with any problem nothing is taken in, and all are named."""
    table, problems = read_table(file)
    end_problems(problems, asked.as_json)
    rows = [[unguard(cell) for cell in row] for row in table]
    found, problems = desk.shop.import_wall(asked.job, asked.wall, rows)
    end_problems(problems, asked.as_json)
    if found is None:
        return
    system = desk.shop.job_system(asked.job)
    if dry_run:
        text = f"Nothing is taken in. {hangreport.measured_text(found, system)}"
        say(text, hangreport.kept_json(found), asked.as_json)
        return
    who = desk.who(asked.person)
    end_problems(desk.shop.measure_wall(asked.job, found, person=who), asked.as_json)
    say(hangreport.kept_text(found, system), hangreport.kept_json(found), asked.as_json)


def _fit(desk: Desk, asked: _Asked, words: list[str]) -> None:
    """Keep how a unit hangs, and say what it may carry so."""
    (unit,) = asked.units
    said = desk.shop.fittings(asked.job).get(unit, Fitting())
    found, problems = change_fitting(said, words, unit=desk.shop.job_system(asked.job).value)
    more = desk.shop.check_fitting(asked.job, unit, found)
    end_problems((*problems, *more), asked.as_json)
    desk.shop.fit_unit(asked.job, unit, found, person=desk.who(asked.person))
    _answer(desk, asked)


def _allow(desk: Desk, asked: _Asked, unit: str, reason: str) -> None:
    """Let a unit go up that has no number, as a person's own decision that is kept."""
    who, permit = desk.who(asked.person), None
    if reason and asked.supervisor is not None and desk.shop.supervisors():
        permit = permit_of(desk, Act.GO_AHEAD, asked.supervisor, person=who, as_json=asked.as_json)
    answer = desk.shop.allow_hanging(asked.job, unit, reason.strip(), person=who, permit=permit)
    text, found = report.answer_text(answer), report.answer_json(answer, desk.shop.zone)
    say(text, found, asked.as_json)
    end(answer.outcome)


def _answer(desk: Desk, asked: _Asked) -> None:
    view = desk.shop.hanging(asked.job)
    if asked.wall:
        view = _of_wall(view, asked.wall)
    hung = {
        one.unit
        for one in desk.shop.standings(desk.now)
        if one.job == asked.job and one.state == State.HUNG
    }
    system, only = desk.shop.job_system(asked.job), asked.units
    text = hangreport.hanging_text(view, system, hung=hung, only=only)
    say(text, hanging_json(view, desk.now, desk.shop.zone, only=only), asked.as_json)


def _of_wall(view: HangingView, wall: str) -> HangingView:
    """Return what is said of one wall, or end where nobody measured it."""
    walls = {one.wall.wall: one for one in view.walls}
    if wall not in walls:
        way = f"Measured are: {', '.join(walls) or 'none yet'}. Measure it, and --import it."
        stop(f"Nobody measured a wall {wall}. {way}", Exit.INPUT)
    units = tuple(one for one in view.units if one.wall == wall)
    names = {one.unit for one in units}
    order = tuple(step for step in view.order if step.unit in names)
    return replace(view, walls=(walls[wall],), units=units, order=order, unmeasured=())
