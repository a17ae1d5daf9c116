"""The command `cleatclock`."""

from __future__ import annotations

from importlib.metadata import version as installed
from pathlib import Path
from typing import Annotated

import typer

from kiosk.cli import air, day, desk, machine, opening, paper, people, promising, work

app = typer.Typer(
    help="From part list to hang day: labels, scans, a clock for every rest, one board.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    add_completion=False,
)


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"cleatclock {installed('cleatclock')}")
        raise typer.Exit


@app.callback()
def _top(
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Say which.")
    ] = False,
) -> None:
    pass


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


app.registered_commands.extend(opening.app.registered_commands)
app.registered_commands.extend(work.app.registered_commands)
app.registered_commands.extend(desk.app.registered_commands)
app.registered_commands.extend(day.app.registered_commands)
app.registered_commands.extend(promising.app.registered_commands)
app.registered_commands.extend(air.app.registered_commands)
app.registered_commands.extend(paper.app.registered_commands)
app.registered_commands.extend(people.app.registered_commands)
app.registered_commands.extend(machine.app.registered_commands)


def main() -> None:
    """Run the command line."""
    app()
