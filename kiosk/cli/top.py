"""What stands above every command: the name, the help, the version."""

from __future__ import annotations

from typing import Annotated

import typer


def make_top() -> typer.Typer:
    """Return the command `cleatclock` without any command in it."""
    app = typer.Typer(
        help="From part list to hang day: labels, scans, a clock for every rest, one board.",
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        rich_markup_mode=None,
        add_completion=False,
    )
    app.callback()(_top)
    return app


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"cleatclock {version('cleatclock')}")
        raise typer.Exit


def _top(
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Say which.")
    ] = False,
) -> None:
    pass
