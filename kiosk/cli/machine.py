"""The commands about the machine: is all well, what to send to who helps, start by itself."""

from __future__ import annotations

import os
import shlex
import sys
from pathlib import Path
from typing import Annotated

import typer

from kiosk.actions.copynotes import forget_lists
from kiosk.appliance import is_open
from kiosk.appliance.autostart import Starter, desktop_entry, systemd_unit
from kiosk.bundle import gather, write_bundle
from kiosk.check import run_checks
from kiosk.cli.common import AsJson, Exit, Person, ShopFile, one_of, say, settings_of, stop, writing
from kiosk.rules.route import STATIONS
from kiosk.settingstext import shop_path
from kiosk.store import StoreError
from kiosk.store.proving import rebuild

app = typer.Typer()
# where the usual shop file and the log are, if this login has them elsewhere
_KEPT_ENV = ("XDG_DATA_HOME", "XDG_STATE_HOME")


@app.command()
def check(
    bundle: Annotated[
        Path | None,
        typer.Option(help="Write what a helper needs to see into this ZIP file, without names."),
    ] = None,
    renew: Annotated[
        bool,
        typer.Option("--rebuild", help="First make the lists of jobs, units, codes anew."),
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """Check disk, database, copies, display, scanner, printer, log: a line each with the remedy."""
    path, found, wrong = settings_of(shop)
    if renew:
        _rebuild(path)
    checks = run_checks(path, found, wrong)
    text = "\n".join(
        f"{'ok ' if one.ok else 'NOT'} {one.name:10} {one.detail}"
        + (f"\n    {'':10} {one.remedy}" if one.remedy else "")
        for one in checks
    )
    rows = [
        {"name": one.name, "ok": one.ok, "detail": one.detail, "remedy": one.remedy or None}
        for one in checks
    ]
    answer = {"checks": rows, "bundle": str(bundle) if bundle else None}
    if bundle is not None:
        made = gather(path, found, checks)
        with writing(bundle):
            write_bundle(made, bundle)
        text += f"\n{bundle} is written; look into it before you send it."
        text += f"\nNot in it: {made.left_out}." if made.left_out else ""
    say(text, answer, as_json)
    if not all(one.ok for one in checks):
        raise typer.Exit(int(Exit.MACHINERY))


def _rebuild(path: Path) -> None:
    """Make the lists anew from the log, and say what was not as the log says."""
    if any(is_open(path, home) for home in ("bench", "board")):
        stop("A kiosk is open for this file, and works by its lists: end it first.", Exit.REFUSED)
    try:
        found = rebuild(path)
    except (StoreError, OSError) as error:
        stop(f"The lists were not made anew: {error}", Exit.MACHINERY)
    forget_lists(path)
    wrong = "; ".join(found.lists)
    typer.echo(f"Made anew: {wrong}." if wrong else "The lists follow from the log.", err=True)


@app.command()
def autostart(
    systemd: Annotated[
        bool, typer.Option("--systemd", help="A user unit: starts at login and after a fault.")
    ] = False,
    xdg: Annotated[
        bool, typer.Option("--xdg", help="An entry of the desktop's autostart: starts at login.")
    ] = False,
    out: Annotated[
        Path | None, typer.Option(help="Write it into this folder, not where it takes effect.")
    ] = None,
    station: Annotated[
        str, typer.Option(help="Always start at this station; else where the kiosk was.")
    ] = "",
    board: Annotated[
        bool, typer.Option("--board/--bench", help="Start the board, or the bench.")
    ] = False,
    shop: ShopFile = None,
    person: Person = None,
) -> None:
    """Let the kiosk of this installation start by itself."""
    if systemd == xdg:
        stop("Say which: --systemd (starts again after a fault) or --xdg (at login).", Exit.INPUT)
    if sys.platform == "win32":
        stop("On Windows, put a shortcut to the command into the folder shell:startup.", Exit.INPUT)
    one_of(station, ("", *STATIONS), "--station")
    home = "board" if board else "bench"
    words = [sys.executable, "-P", "-m", "kiosk", "open", f"--{home}"]
    # a session knows nothing of what is set in a terminal only
    is_named = shop is not None or bool(os.environ.get("CLEATCLOCK_SHOP"))
    file = shop_path(str(shop) if shop else None, os.environ).resolve() if is_named else None
    options = {"--station": station, "--person": person, "--shop": file}
    words += [word for name, value in options.items() if value for word in (name, str(value))]
    env = {name: os.environ[name] for name in _KEPT_ENV if os.environ.get(name)}
    env |= {"PYTHONUNBUFFERED": "1"}
    made = systemd_unit(words, home=home, env=env) if systemd else desktop_entry(words, home=home)
    typer.echo(_put(made, out))


def _put(made: Starter, out: Path | None) -> str:
    """Write it and return what to do next, and how to undo it."""
    folder = out or made.folder
    with writing(folder / made.name):
        folder.mkdir(parents=True, exist_ok=True)
        (folder / made.name).write_text(made.text, "utf-8")
    there, file = shlex.quote(str(made.folder)), shlex.quote(str(folder / made.name))
    copied = (f"mkdir -p {there}", f"cp {file} {there}") if out else ()
    return "\n".join(
        [
            f"{folder / made.name} is written.",
            "To let it take effect:",
            *(f"  {step}" for step in (*copied, *made.steps)),
            "To undo it:",
            *(f"  {step}" for step in (*made.undo, f"rm {there}/{made.name}")),
        ]
    )
