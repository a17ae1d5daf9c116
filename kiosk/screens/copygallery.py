"""Draw the screens about copies of the shop's file, in every state."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from kiosk.actions.copies import Copies, Copy
from kiosk.actions.copynotes import Drill, LastDrill, Night, SecondState
from kiosk.actions.copywords import tell_copies, tell_drill
from kiosk.rules.words import _
from kiosk.screens.backupdesk import BackupDesk, say_copies
from kiosk.screens.busyscreen import SLOW_S, BusyScreen
from kiosk.screens.stage import Stage
from kiosk.store.proving import Compared, Drilled, Proof

_AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
_STICK = Path("/media/glaze/stick")
_OWN = Path("/home/glaze/shop/copies")
_FILE = _OWN / "shop-K-night-2026-03-11-0230.db"
_NIGHT = Night(
    at=_AT.replace(hour=2, minute=30),
    file=str(_FILE),
    entries=1_033,
    jobs=2,
    units=44,
    pieces=290,
    second=str(_STICK),
    second_state=SecondState.AWAY,
    second_at=_AT - timedelta(days=2),
)
_PROOF = Proof(1_033, 2, 44, 290, _AT - timedelta(hours=20))
_WRONG = ("*** in database main *** Tree 5 page 71 cell 2: Rowid 812 out of order",)


def show_copies(stage: Stage, copies: BackupDesk) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    copies.open()
    stage.settle()
    yield "copies"
    settings = replace(stage.app.shop.settings, second_folder=str(_STICK), zone="UTC")
    found = Copies(_NIGHT.at, _FILE, (Copy(_FILE, 1_435_000),), (_OWN, _STICK))
    for name, night in (("copies-nightly", _NIGHT), ("copies-no-room", _tried())):
        told = tell_copies(night, LastDrill(night.at, night.file), settings=settings, now=_AT)
        seen = say_copies(found, told, now=_AT, zone=UTC)
        copies.show(seen)
        stage.step(2)
        yield name
        copies.show_standing(seen)
        stage.step(2)
        yield f"{name}-stands"
    copy = Copy(_STICK / "shop-2026-03-11-1540.db", 1_435_000)
    wrong = _("Write the whole folder, such as /media/stick.")
    states = (
        ("folder", lambda: copies.ask_folder("stick", wrong)),
        ("busy", lambda: copies.show_copying(_STICK)),
        ("done", lambda: copies.show_told(copy, ())),
        ("proving", lambda: copies.show_proving(_FILE)),
    )
    for name, put in states:
        put()
        if isinstance(stage.app.desk.show, BusyScreen):
            stage.app.desk.show.count(SLOW_S)
        stage.step(2)
        yield f"copies-{name}"
    for name, drill in _drills():
        copies.show_proved(tell_drill(drill, now=_AT, zone=UTC))
        stage.step(2)
        yield name


def _drills() -> tuple[tuple[str, Drill], ...]:
    sound = Drilled(_PROOF, Compared(since=12))
    mended = Drilled(
        Proof(1_033, 2, 44, 290, _PROOF.latest, lists=("unit GLAZE/G04", "code K7F3Q97")),
        Compared(other=812, since=12),
    )
    wrong = Drilled(Proof(problems=_WRONG), Compared())
    return (
        ("copies-proved", Drill(_AT, str(_FILE), sound)),
        ("copies-proved-mended", Drill(_AT, str(_FILE), mended)),
        ("copies-not-sound", Drill(_AT, str(_FILE), wrong)),
    )


def _tried() -> Night:
    why = (
        f"the disk of {_OWN} has no room for a copy: 33 MiB are needed, 12 MiB are free. "
        "Move older copies or other files elsewhere"
    )
    done = SecondState.DONE
    return replace(_NIGHT, tried=_AT, why=why, second_state=done, same_disk=True)
