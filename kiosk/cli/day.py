"""The commands of the day: what to do now, and how long each step takes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from kiosk.actions.daying import EVALUATIONS
from kiosk.boardsheet import SUFFIXES
from kiosk.cli.common import (
    AsJson,
    At,
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
from kiosk.dayreport import day_json, day_text, times_json, times_text
from kiosk.report import iso
from kiosk.rules.problems import Problem
from kiosk.rules.times import read_minutes
from kiosk.rules.words import say as in_words

NOT_ADOPTED = "Made for this answer; with --adopt people work by it, and kiosks too."

app = typer.Typer()


@app.command()
def day(
    evaluations: Annotated[
        int | None,
        typer.Option(
            min=0,
            help="Look for a better plan and try so many; 0: only the simple rules. Without it the"
            " plan people work by is said, and one is looked for only where there is none.",
        ),
    ] = None,
    adopt: Annotated[
        bool, typer.Option("--adopt", help="People work by this plan from now on; kiosks too.")
    ] = False,
    out: Annotated[
        Path | None, typer.Option(help="Write the day to this PDF or PNG file instead.")
    ] = None,
    paper: Annotated[str, typer.Option(help="Paper of that: a4 or letter.")] = "",
    person: Annotated[
        str | None,
        typer.Option("--person", "--for", help="Only this one's sheet, with --out or --print."),
    ] = None,
    print_: Annotated[
        bool,
        typer.Option("--print", help="Print it: paper_printer in the settings, else a PDF."),
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say who does what when today, why now, what must rest overnight, and what will be late."""
    one_of(paper, ("", *PAPERS), "--paper")
    if out is not None and out.suffix.lower() not in SUFFIXES:
        stop(f"{out} is no file to print to; name one that ends in .pdf or .png.", Exit.INPUT)
    if print_ and out is not None:
        stop("--print does not go with --out.", Exit.INPUT)
    with at_desk(shop, at, records=adopt) as desk:
        worked = desk.shop.worked_day(desk.now) if evaluations is None else None
        tries = EVALUATIONS if evaluations is None else evaluations
        found = worked or desk.shop.plan_day(desk.now, evaluations=tries)
        if adopt:
            found = replace(found, adopted=desk.shop.adopt_day(person=desk.who(None)))
        found = desk.shop.with_chances(found)
        if tries:
            found = desk.shop.with_change(found)
        zone = desk.shop.zone
        if person is not None and person not in found.people:
            here = ", ".join(found.people) or "nobody"
            stop(f"Nobody called {person} works that day; there are {here}.", Exit.INPUT)
        if print_:
            with writing(desk.shop.store.folder):
                sent = desk.shop.write_sheets(person, day=found, paper=paper).send()
            end_sent(desk, sent, as_json=as_json)
            return
        if out is not None:
            with writing(out):
                files = desk.shop.write_day(found, out, paper=paper, person=person)
            names = [str(file) for file in files]
            say("\n".join(names), {"at": iso(desk.now, zone), "files": names}, as_json)
            return
    text = day_text(found, zone)
    if found.adopted is None and any(step.state != "done" for step in found.steps):
        text += f"\n\n{NOT_ADOPTED}"
    say(text, day_json(found, zone), as_json)


@app.command()
def times(
    set_: Annotated[
        tuple[str, str, str] | None,
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
            kind, step, text = set_
            minutes = read_minutes(text)
            if minutes is None:
                problems.append(_no_minutes(kind, step, text))
            else:
                problems += desk.shop.set_touch_time(kind, step, minutes, person=desk.who(person))
        if clear:
            problems += desk.shop.set_touch_time(*clear, None, person=desk.who(person))
        end_problems(problems, as_json)
        found = desk.shop.touch_times()
    say(times_text(found), times_json(found), as_json)


def _no_minutes(kind: str, step: str, text: str) -> Problem:
    """Return that a text is no span, with an example of one."""
    words = in_words(
        "“{text}” is no number of minutes for {kind}, step {step}.", text=text, kind=kind, step=step
    )
    example = f"times --set {kind} {step} 12"
    remedy = in_words("Write minutes, such as: cleatclock {example}.", example=example)
    return Problem(words, remedy, column="minutes", value=text)
