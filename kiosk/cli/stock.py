"""The command of what there is to cut from: sheets by size, and offcuts with codes of their own."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from kiosk import labelreport, stockreport
from kiosk.actions import LabelRun, Wanted
from kiosk.actions.labelfiles import FOLDER
from kiosk.cli.common import (
    AsJson,
    At,
    Desk,
    Exit,
    Person,
    ShopFile,
    at_desk,
    end_problems,
    say,
    stop,
    writing,
)
from kiosk.report import iso
from labels.codes import compact, shown

app = typer.Typer()
ANY = ("", "any")


@app.command()
def stock(
    count: Annotated[
        str | None, typer.Option(help="Count sheets of this material, as on lists.")
    ] = None,
    offcut: Annotated[str | None, typer.Option(help="Add an offcut of this material.")] = None,
    thickness: Annotated[
        str, typer.Option(help="Its thickness, such as 18 or 3/4 in; left out, that of the lists.")
    ] = "",
    size: Annotated[
        str,
        typer.Option(help='Length along the grain and width, such as 2440x1220 or "96 x 48 in".'),
    ] = "",
    number: Annotated[str, typer.Option(help="How many sheets; any: as many as it takes.")] = "any",
    trim: Annotated[str, typer.Option(help="What each edge of the sheet loses.")] = "",
    gone: Annotated[str | None, typer.Option(help="The offcut with this code is gone.")] = None,
    why: Annotated[str, typer.Option(help="Why it is gone: used, broken, thrown away …")] = "",
    out: Annotated[Path | None, typer.Option(help="PDF or PNG file for an offcut's label.")] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """List the sheets and offcuts there are, count sheets, add an offcut or say it is gone."""
    asked = {"--count": count, "--offcut": offcut, "--gone": gone}
    given = [option for option, value in asked.items() if value is not None]
    _check(given, {"--size": size, "--number": "" if number in ANY else number,
                   "--thickness": thickness, "--trim": trim, "--why": why})  # fmt: skip
    sides = _sides(size) if size else ("", "")
    with at_desk(shop, at, records=bool(given)) as desk:
        who = desk.who(person)
        if not given:
            _list(desk, as_json=as_json)
            return
        if count is not None:
            done = desk.shop.count_sheets(
                count,
                thickness,
                length=sides[0],
                width=sides[1],
                count="" if number in ANY else number,
                trim=trim,
                person=who,
            )
        elif offcut is not None:
            length, width = sides
            done = desk.shop.add_offcut(offcut, thickness, length=length, width=width, person=who)
        else:
            done = desk.shop.throw_offcut(compact(gone or ""), why, person=who)
        end_problems(done.problems, as_json)
        text, answer = stockreport.answer_text(done), stockreport.answer_json(done)
        if offcut is not None:
            run = _label(desk, done.code, out, who)
            end_problems(run.problems, as_json)
            text = f"{text}\n{labelreport.labels_text(run)}"
            answer |= {"file": str(run.files[0])}
        say(text, answer, as_json)
        if not done.entry:
            raise typer.Exit(int(Exit.REFUSED))


def _list(desk: Desk, *, as_json: bool) -> None:
    found = desk.shop.stock()
    rows = {"at": iso(desk.now, desk.shop.zone)} | stockreport.stock_json(found)
    say(stockreport.stock_text(found, desk.shop.job_system()), rows, as_json)


def _check(given: list[str], options: dict[str, str]) -> None:
    """Refuse what contradicts itself, is missing, or would be passed over."""
    typed = [option for option, value in options.items() if value]
    if len(given) > 1:
        stop(f"Give one of {', '.join(given)} at a time.", Exit.INPUT)
    if not given and typed:
        stop(f"{typed[0]} goes with --count, --offcut or --gone.", Exit.INPUT)
    if "--number" in typed and given != ["--count"]:
        stop("--number goes with --count; offcuts are added one by one.", Exit.INPUT)
    if "--size" not in typed and given in (["--count"], ["--offcut"]):
        stop("Say how large: --size 2440x1220, the length along the grain first.", Exit.INPUT)


def _sides(text: str) -> tuple[str, str]:
    """Part a size such as `2440x1220` or `96 x 48 in` into its two sides, as typed.

    A unit behind the second side holds for the first one too, where that has none.
    """
    sides = re.split(r"\s*[x×*]\s*", text.strip())
    if len(sides) != 2 or not all(sides):
        stop(f"--size {text} is unclear. Write length x width, such as 2440x1220.", Exit.INPUT)
    length, width = sides
    unit = re.search(r"[^\W\d]+\.?$|[\"']+$", width)
    if unit and re.search(r"[\d.,/]$", length):
        length = f"{length} {unit[0]}"
    return length, width


def _label(desk: Desk, code: str, out: Path | None, who: str) -> LabelRun:
    """Draw an offcut's label, into a folder beside the shop's file where no other is named."""
    folder = desk.shop.store.folder / FOLDER
    file = out or folder / f"offcut-{shown(code)}.pdf"
    with writing(file):
        if out is None:
            folder.mkdir(exist_ok=True)
        return desk.shop.labels(Wanted("", only=[code]), file, person=who)
