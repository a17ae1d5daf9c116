"""The command for questions: what kiosks recorded that does not fit, and what people answer."""

from __future__ import annotations

from typing import Annotated

import typer

from kiosk import askreport, report
from kiosk.cli.common import AsJson, At, Exit, Person, ShopFile, at_desk, end, say, stop

app = typer.Typer()


@app.command()
def questions(
    answer: Annotated[
        str | None, typer.Option(help="Answer one: its id and the answer, ID=CHOICE.")
    ] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """List what only a person can decide, or answer it."""
    with at_desk(shop, at, records=answer is not None) as desk:
        if answer is None:
            found = desk.shop.questions(desk.now)
            rows = {
                "at": report.iso(desk.now, desk.shop.zone),
                "questions": askreport.questions_json(found),
            }
            say(askreport.questions_text(found), rows, as_json)
            return
        question, between, choice = answer.rpartition("=")
        if not between:
            stop("Write --answer ID=CHOICE, as `cleatclock questions` lists them.", Exit.INPUT)
        done = desk.shop.answer_question(question, choice, person=desk.who(person))
        say(report.answer_text(done), report.answer_json(done, desk.shop.zone), as_json)
        end(done.outcome)
