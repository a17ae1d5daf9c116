"""The command that breaks a job's sheets down, shows them, and records the cuts."""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from pathlib import Path
from threading import Event
from typing import Annotated

import typer

from kiosk import sheetreport
from kiosk.actions.labelfiles import safe_name
from kiosk.boardsheet import SUFFIXES
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
from kiosk.cli.sending import end_sent
from kiosk.config import PAPERS
from kiosk.report import Json, iso
from kiosk.rules.scanning import Outcome
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.views import Choice, SearchView, SheetsView
from kiosk.rules.times import say_time

app = typer.Typer()
LOOK_S = 0.3  # how often it is said how far a search is (choice)
HOW = "--choice, --fewer-settings, --tries and --seconds"
FEWER = "Take the layout with the fewest fence settings, even if it takes more sheets."


@app.command()
def sheets(
    job: Annotated[str, typer.Argument(help="The job's code.")],
    keep: Annotated[
        bool, typer.Option("--keep", help="Cut by what is found; a plan kept before is replaced.")
    ] = False,
    choice: Annotated[
        int, typer.Option(min=1, help="Of each material the choice of this number, else its last.")
    ] = 1,
    fewer_settings: Annotated[bool, typer.Option("--fewer-settings", help=FEWER)] = False,
    anew: Annotated[
        bool, typer.Option("--anew", help="Break down again, although a plan is kept.")
    ] = False,
    tries: Annotated[
        int | None, typer.Option(min=0, help="How many layouts are tried for each material.")
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(min=0.0, help="End the search after so many at the latest.")
    ] = None,
    cut: Annotated[
        str, typer.Option(help="Record a cut as made: sheet and number, such as S1:4.")
    ] = "",
    sheet: Annotated[
        list[str] | None,
        typer.Option(help="With --out or --print only this sheet, such as S3; may be repeated."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Write maps and cuts to this PDF or PNG file instead.")
    ] = None,
    print_: Annotated[
        bool,
        typer.Option("--print", help="Print them: paper_printer in the settings, else a PDF."),
    ] = False,
    paper: Annotated[str, typer.Option(help="Paper of that: a4 or letter.")] = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Show the sheets a job is cut from and the order of cuts; without a plan, break them down."""
    _check_paper(out, paper, print_=print_)
    if fewer_settings and choice > 1:
        stop("--choice does not go with --fewer-settings.", Exit.INPUT)
    how = choice > 1 or fewer_settings or tries is not None or seconds is not None
    if cut and (keep or anew or how or out is not None or print_):
        stop("--cut goes alone.", Exit.INPUT)
    if sheet and out is None and not print_:
        stop("--sheet goes with --out or --print.", Exit.INPUT)
    with at_desk(shop, at, records=bool(keep or cut)) as desk:
        view = _plan_of(desk, job)
        if cut:
            _cut(desk, view, cut, desk.who(person), as_json=as_json)
            return
        chosen: tuple[Choice, ...] = ()
        if how and view is not None and not (anew or keep):
            stop(f"{job} has a plan: {HOW} go with --anew or --keep.", Exit.INPUT)
        if view is None or anew or keep:
            _search(desk, job, tries=tries, seconds=seconds, as_json=as_json)
            chosen = _chosen(desk.shop.sheet_choices(), choice - 1, last=fewer_settings)
            view = desk.shop.show_choices(job, chosen)
        if keep:
            view, chosen = _keep(desk, job, chosen, desk.who(person)), ()
        if out is not None or print_:
            _write(desk, view, sheet or (), out=out, paper=paper, as_json=as_json)
            return
        text, answer = _found(desk, view, chosen) if chosen else _kept(desk, view)
        say(text, {"at": iso(desk.now, desk.shop.zone)} | answer, as_json)


def _check_paper(out: Path | None, paper: str, *, print_: bool) -> None:
    one_of(paper, ("", *PAPERS), "--paper")
    if out is not None and out.suffix.lower() not in SUFFIXES:
        stop(f"{out} is no file to print to; name one that ends in .pdf or .png.", Exit.INPUT)
    if print_ and out is not None:
        stop("--print does not go with --out.", Exit.INPUT)


def _plan_of(desk: Desk, job: str) -> SheetsView | None:
    """Return the plan a job is cut by; refuse a job there is not."""
    if job not in desk.shop.jobs():
        have = ", ".join(desk.shop.jobs()) or "none yet"
        stop(f"There is no job {job}. Jobs are: {have}.", Exit.INPUT)
    return desk.shop.sheets(job)


def _keep(desk: Desk, job: str, chosen: Sequence[Choice], who: str) -> SheetsView:
    try:
        numbers = {one.material: one.number for one in chosen}
        return desk.shop.keep_sheets(job, numbers, person=who)
    except LookupError as error:
        stop(str(error), Exit.REFUSED)


def _search(
    desk: Desk, job: str, *, tries: int | None, seconds: float | None, as_json: bool
) -> None:
    """Look for layouts, saying on a terminal how far it is; Ctrl+C ends it with the best so far."""
    started = time.monotonic()
    wrong = desk.shop.begin_sheets(job, tries=tries, processes=0)
    told = sys.stderr.isatty()
    try:
        while (state := desk.shop.sheet_search()).is_running:
            if told:
                typer.echo(f"\r\033[K{_far(state)}", nl=False, err=True)
            if seconds is not None and time.monotonic() - started >= seconds:
                desk.shop.end_sheets()
            Event().wait(LOOK_S)
    except KeyboardInterrupt:
        desk.shop.end_sheets()
    desk.shop.wait_sheets()
    if told:
        typer.echo("\r\033[K", nl=False, err=True)
    found = desk.shop.sheet_search()
    if not found.has_choices:
        status = Exit.INPUT if found.job else Exit.REFUSED  # there is nothing left to look for
        end_problems(found.problems or wrong, as_json, status=status)


def _far(state: SearchView) -> str:
    """Return in a line how far a search is: the best so far of each material."""
    found = ", ".join(
        f"{one.material.name or 'no material'} {one.sheets} (at least {one.bound})"
        for one in state.materials
        if one.sheets or one.offcuts
    )
    return f"{state.share:4.0%} {state.seconds:.0f} s  sheets: {found}; Ctrl+C takes these"[:110]


def _chosen(choices: Sequence[Choice], number: int, *, last: bool) -> tuple[Choice, ...]:
    """Return a choice for each material: that of a number, or the last where there are fewer."""
    by_material: dict[Material, list[Choice]] = {}
    for one in choices:
        by_material.setdefault(one.material, []).append(one)
    return tuple(
        min(rows, key=lambda one: one.settings) if last else rows[min(number, len(rows) - 1)]
        for rows in by_material.values()
    )


def _kept(desk: Desk, view: SheetsView) -> tuple[str, Json]:
    when = say_time(view.plan.made, now=desk.now, zone=desk.shop.zone)
    text = sheetreport.kept_text(view, desk.shop.job_system(view.plan.job), when)
    return text, sheetreport.kept_json(view, desk.shop.zone)


def _found(desk: Desk, view: SheetsView, chosen: tuple[Choice, ...]) -> tuple[str, Json]:
    problems = desk.shop.sheet_search().problems
    found = sheetreport.Found(view, chosen, desk.shop.sheet_choices(), problems)
    text = sheetreport.found_text(found, desk.shop.job_system(view.plan.job))
    return text, sheetreport.found_json(found, desk.shop.zone)


def _cut(desk: Desk, view: SheetsView | None, which: str, who: str, *, as_json: bool) -> None:
    """Record a cut, written `S1:4`."""
    name, colon, number = which.rpartition(":")
    if not colon or not number.isdecimal():
        stop(f"--cut {which} is unclear. Write sheet and number, such as S1:4.", Exit.INPUT)
    sheets = view.sheets if view else ()
    found = [one for one in sheets if one.planned.sheet.name.lower() == name.lower()]
    if view is None or not found:
        have = ", ".join(one.planned.sheet.name for one in sheets) or "none yet"
        stop(f"There is no sheet {name}. Sheets are: {have}.", Exit.INPUT)
    done = desk.shop.make_cut(view.plan.job, found[0].key, int(number), person=who)
    answer = {"job": view.plan.job, "sheet": found[0].planned.sheet.name, "number": int(number)}
    say(sheetreport.cut_text(done), answer | sheetreport.cut_json(done), as_json)
    if done.outcome == Outcome.UNKNOWN:
        raise typer.Exit(int(Exit.INPUT))
    if not done.is_recorded:
        raise typer.Exit(int(Exit.REFUSED))


def _write(
    desk: Desk,
    view: SheetsView,
    only: Sequence[str],
    *,
    out: Path | None,
    paper: str,
    as_json: bool,
) -> None:
    """Write maps and cuts to a file, or send them to the paper printer."""
    names = [one.planned.sheet.name for one in view.sheets]
    wanted = [one.upper() for one in only]
    for one in wanted:
        if one not in names:
            stop(f"There is no sheet {one}. Sheets are: {', '.join(names)}.", Exit.INPUT)
    if not names:
        stop(f"There is no sheet of {view.plan.job} to draw.", Exit.REFUSED)
    stem = "-".join((view.plan.job, *(wanted or ("sheets",))))
    file = out or desk.shop.store.folder / f"{safe_name(stem)}.pdf"
    with writing(file):
        files = desk.shop.write_maps(view, file, paper=paper, only=wanted)
    if out is None:
        end_sent(desk, desk.shop.paper_printer(paper=paper).send(file), as_json=as_json)
        return
    told = [str(one) for one in files]
    unkept = [] if view.plan.id else ["Nothing of it is kept: with --keep these are cut by."]
    say("\n".join([*told, *unkept]), {"at": iso(desk.now, desk.shop.zone), "files": told}, as_json)
