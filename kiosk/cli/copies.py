"""The commands that copy the shop's file, prove a copy, and bring one back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from kiosk.actions.copies import note_copy, see_copies
from kiosk.actions.copynotes import Drill, Night, SecondState
from kiosk.actions.copywords import say_counts, say_drill, say_night, say_second
from kiosk.actions.drills import run_drill
from kiosk.actions.nights import run_night
from kiosk.cli.common import AsJson, Exit, ShopFile, entries, say, settings_of, stop
from kiosk.clock import SystemClock
from kiosk.config import Settings
from kiosk.report import iso
from kiosk.settingstext import zone_of
from kiosk.store import StoreError
from kiosk.store.proving import Compared, Proof, bring_back, compare, take_copy

app = typer.Typer()


@app.command()
def backup(
    to: Annotated[Path | None, typer.Argument(help="File to write the copy to.")] = None,
    nightly: Annotated[
        bool,
        typer.Option("--nightly", help="Make tonight's copy where it is due; for a timer."),
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """Copy the shop's file safely, also while a kiosk runs, and prove the copy."""
    if (to is None) != nightly:
        stop("Name the file to write, or give --nightly: one of the two.", Exit.INPUT)
    path, settings, _wrong = settings_of(shop)
    now = SystemClock().now()
    try:
        if to is None:
            _say_night(run_night(path, settings, now), settings, as_json=as_json)
            return
        proof = take_copy(path, to)
        note_copy(path, to.resolve(), now)
    except (StoreError, OSError) as error:
        stop(str(error), Exit.MACHINERY)
    text = f"Copied to {to} and proved: {say_counts(proof)}."
    say(text + _lists_text(proof), {"file": str(to), "proof": _proof_json(proof)}, as_json)


def _say_night(night: Night, settings: Settings, *, as_json: bool) -> None:
    """Say how it stands; a second folder that is away is no fault."""
    now, zone = SystemClock().now(), zone_of(settings)
    words = (
        say_night(night, now=now, zone=zone),
        say_second(night, settings, now=now, zone=zone),
    )
    answer = {
        "at": iso(night.at, zone),
        "file": night.file or None,
        "proof": {name: getattr(night, name) for name in ("entries", "jobs", "units", "pieces")},
        "lists": night.lists or None,
        "failed": night.why or None,
        "second": {
            "folder": night.second or None,
            "state": night.second_state or None,
            "complete_at": iso(night.second_at, zone),
            "why": night.second_why or None,
            "same_disk": night.same_disk,
        },
    }
    say("\n".join(words), answer, as_json)
    if night.why or night.lists or night.second_state == SecondState.FAILED:
        raise typer.Exit(int(Exit.MACHINERY))


@app.command()
def restore(
    copy: Annotated[
        Path | None, typer.Argument(help="A copy made by backup; with --drill else the latest.")
    ] = None,
    drill: Annotated[
        bool,
        typer.Option("--drill", help="Only prove that it can be brought back; nothing changes."),
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """Put a copy in place of the shop's file; what was there is kept beside it."""
    path, settings, _wrong = settings_of(shop)
    if drill:
        file = copy or _latest(path, settings)
        _say_drill(run_drill(file, path, SystemClock().now()), settings, as_json=as_json)
        return
    if copy is None:
        stop("Name the copy to bring back; `cleatclock restore --drill` proves it.", Exit.INPUT)
    lost = compare(copy, path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        proof, kept = bring_back(copy, path)
    except (StoreError, OSError) as error:
        stop(str(error), Exit.MACHINERY)
    answer = {
        "file": str(path),
        "kept": str(kept) if kept else None,
        "proof": _proof_json(proof),
        "later": lost.since if not lost.why else None,
    }
    text = f"Proved {copy}: {say_counts(proof)}.{_lists_text(proof)}\nRestored {path}."
    text += f" What was there is {kept}." if kept else ""
    text += _lost_text(lost)
    if settings.server:  # what is scanned first would take places that are taken on the server
        text += "\nBefore the first scan: cleatclock exchange. It brings what the copy lacks."
    say(text, answer, as_json)


def _latest(path: Path, settings: Settings) -> Path:
    found = see_copies(path, second=settings.second_folder).found
    if not found:
        stop("No copy is in reach; name one, or make one with `cleatclock backup`.", Exit.INPUT)
    return found[0].file


def _say_drill(made: Drill, settings: Settings, *, as_json: bool) -> None:
    found = made.found
    answer: dict[str, Any] = {"copy": made.file, "sound": made.is_sound, "why": made.why or None}
    if found is not None:
        beside = found.compared
        answer |= {
            "proof": _proof_json(found.proof),
            "problems": list(found.proof.problems),
            "shop": {
                "first_other": beside.other,
                "later": None if beside.why else beside.since,
                "why": beside.why or None,
            },
        }
    say("\n".join(say_drill(made, now=made.at, zone=zone_of(settings))), answer, as_json)
    if not made.is_sound:
        raise typer.Exit(int(Exit.MACHINERY))


def _proof_json(proof: Proof) -> dict[str, Any]:
    """Return what a proof counted, and what was made anew in the copy."""
    return {
        "entries": proof.entries,
        "jobs": proof.jobs,
        "units": proof.units,
        "pieces": proof.pieces,
        "lists": list(proof.lists),
    }


def _lists_text(proof: Proof) -> str:
    if not proof.lists:
        return ""
    return (
        f" These did not follow from the log and were made anew in it: {'; '.join(proof.lists)}."
        " Mend the shop's own file too: end every kiosk, then cleatclock check --rebuild."
    )


def _lost_text(lost: Compared) -> str:
    if lost.why or lost.since <= 0:
        return ""
    return f" It has {entries(lost.since)} that the copy has not."
