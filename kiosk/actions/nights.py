"""Make a copy of the shop's file each night: proved, kept by a rule, and brought to a second place.

All here may be called on any thread and in any process; nothing needs the open shop.
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from kiosk.actions.copies import FOLDER, note_copy
from kiosk.actions.copynotes import SECOND, Night, SecondState, keep_night_note, read_night_note
from kiosk.actions.secondfolder import bring_over, drop_old
from kiosk.appliance import AlreadyOpen, hold_alone
from kiosk.config import Settings
from kiosk.rules.keeping import AGAIN_AFTER, due_since, is_due, night_name
from kiosk.settingstext import zone_of
from kiosk.store import StoreError
from kiosk.store.proving import take_copy

_LOWER = 10  # steps of priority a copy stands back behind the kiosk; choice


def night_has_work(shop: Path, settings: Settings, now: datetime) -> bool:
    """Tell whether a copy is to be made now, or the second folder looked at again."""
    night = read_night_note(shop)
    if shop.is_file() and _is_due(night, settings, now, tried=night.tried):
        return True
    if not settings.second_folder or night.at is None:
        return False
    if (night.second, night.second_state) == (settings.second_folder, SecondState.DONE):
        return False
    return night.second_tried is None or not timedelta() <= now - night.second_tried < AGAIN_AFTER


def run_night(shop: Path, settings: Settings, now: datetime) -> Night:
    """Make the nightly copy where it is due, look after the second folder, and note both.

    Of two that are asked for at once, one is made. A second folder that never answers holds up no
    copy of a later night: what is at it then holds nothing else.

    Args:
        shop: the shop's file; it may be in use.
        settings: the kiosk's.
        now: aware.

    Raises:
        StoreError: there is no shop's file.
    """
    if not shop.is_file():
        raise StoreError(f"{shop} is not there; there is nothing to copy")
    with suppress(AlreadyOpen), hold_alone(shop, "night"):
        night = read_night_note(shop)
        if _is_due(night, settings, now, tried=None):
            keep_night_note(shop, _copy(night, shop, settings, now))
    with suppress(AlreadyOpen), hold_alone(shop, "second"):
        whose, own = (shop.stem, settings.kiosk_letter), shop.parent / FOLDER
        if own.is_dir():
            second = settings.second_folder
            found = bring_over(read_night_note(shop), own=own, second=second, whose=whose, now=now)
            # a copy may have been made and noted while a slow folder was written to
            seen = {name: getattr(found, name) for name in SECOND}
            keep_night_note(shop, replace(read_night_note(shop), **seen))
    return read_night_note(shop)


def _is_due(night: Night, settings: Settings, now: datetime, *, tried: datetime | None) -> bool:
    is_there = bool(night.file) and Path(night.file).is_file()
    since = due_since(now, settings.copy_at, zone_of(settings))
    return is_due(now, since=since, last=night.at if is_there else None, tried=tried)


def run_night_aside(shop: Path, settings: Settings, now: datetime) -> Night:
    """Do the same in a process of its own that stands back behind the kiosk's."""
    with suppress(OSError, AttributeError):  # not every system knows it
        os.nice(_LOWER)
    return run_night(shop, settings, now)


def _copy(night: Night, shop: Path, settings: Settings, now: datetime) -> Night:
    local = now.astimezone(zone_of(settings))
    own = shop.parent / FOLDER
    to = own / night_name(shop.stem, settings.kiosk_letter, local)
    try:
        own.mkdir(exist_ok=True)
        drop_old(own, shop.stem, settings.kiosk_letter)
        proof = take_copy(shop, to)
    except (StoreError, OSError) as error:
        return replace(night, tried=now, why=str(error))
    note_copy(shop, to, local)
    drop_old(own, shop.stem, settings.kiosk_letter)
    return replace(
        night,
        at=now,
        file=str(to),
        entries=proof.entries,
        jobs=proof.jobs,
        units=proof.units,
        pieces=proof.pieces,
        lists="; ".join(proof.lists),
        tried=None,
        why="",
    )
