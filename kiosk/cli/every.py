"""All commands in one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kiosk.cli import (
    air,
    asking,
    buy,
    copies,
    day,
    desk,
    exchange,
    machine,
    opening,
    paper,
    people,
    promising,
    server,
    work,
)
from kiosk.cli.top import make_top

app = make_top()


@app.command()
def demo(
    pictures: Annotated[
        Path | None, typer.Option(help="Write a picture of every screen into this folder.")
    ] = None,
    keep: Annotated[Path | None, typer.Option(help="Keep the sample shop in this file.")] = None,
    languages: Annotated[
        str, typer.Option(help="Languages of the pictures, such as en,de; or all.")
    ] = "en",
    themes: Annotated[
        str, typer.Option(help="Colours of the pictures: light, dark or all.")
    ] = "light",
) -> None:
    """Run the sample shop through its week to a Wednesday afternoon; needs no display."""
    from kiosk.demo import run_demo
    from kiosk.language import LANGUAGES
    from kiosk.palette import THEMES

    run_demo(
        pictures=pictures,
        keep=keep,
        languages=_picked(languages, tuple(LANGUAGES), "--languages"),
        themes=_picked(themes, THEMES, "--themes"),
    )


def _picked(text: str, known: tuple[str, ...], option: str) -> tuple[str, ...]:
    """Return the words of a list parted by commas; `all` is all there are."""
    if text == "all":
        return known
    words = tuple(dict.fromkeys(word.strip() for word in text.split(",")))
    for word in words:
        if word not in known:
            typer.echo(f"{option} {word} is not known; it may be {', '.join(known)}.", err=True)
            raise typer.Exit(2)
    return words


for part in (
    opening,
    work,
    desk,
    copies,
    day,
    asking,
    promising,
    buy,
    air,
    paper,
    people,
    machine,
    exchange,
):
    app.registered_commands.extend(part.app.registered_commands)
app.add_typer(server.app, name="server")
