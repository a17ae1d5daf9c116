"""Bring the nightly copies to a second folder: a stick, another disk, a folder of another machine.

It may be away for days: that is noted, and made good the next time.
"""

from __future__ import annotations

import filecmp
import os
import shutil
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from kiosk.actions.copynotes import Night, SecondState
from kiosk.rules.keeping import read_night, to_drop
from kiosk.store import PART, StoreError, check_room


def nights_in(folder: Path, stem: str, letter: str) -> dict[datetime, Path]:
    """Return the nightly copies of one kiosk's file in a folder by their time, the oldest first.

    Raises:
        OSError: the folder cannot be looked into.
    """
    found = {read_night(file.name, stem, letter): file for file in folder.iterdir()}
    return {at: found[at] for at in sorted(at for at in found if at is not None)}


def drop_old(folder: Path, stem: str, letter: str) -> None:
    """Delete the nightly copies that need not be kept, and what a broken-off one left behind.

    Copies made by hand are never touched.
    """
    with suppress(OSError):
        nights = nights_in(folder, stem, letter)
        for at in to_drop(nights):
            nights[at].unlink(missing_ok=True)
        for file in folder.glob(f"*{PART}*"):
            if read_night(file.name.split(PART)[0], stem, letter) is not None:
                file.unlink(missing_ok=True)


def bring_over(
    night: Night, *, own: Path, second: str, whose: tuple[str, str], now: datetime
) -> Night:
    """Bring what the second folder lacks over to it, and note how it stands.

    Args:
        night: what is noted so far.
        own: the folder of the nightly copies.
        second: the second folder; empty: none.
        whose: the stem of the shop's file and the kiosk's letter.
        now: aware.
    """
    since = night.second_at if night.second == second else None
    night = replace(night, second=second, second_why="", second_at=since, second_tried=now)
    night = replace(night, same_disk=False)
    if not second:
        return replace(night, second_state=SecondState.NONE, second_at=None)
    folder = Path(second)
    try:
        # never made: where a stick is not put in, its folder would come to be on this disk
        if not folder.is_dir():
            return replace(night, second_state=SecondState.AWAY)
        if folder.resolve() == own.resolve():
            why = "it is the folder the copies are in already"
            return replace(night, second_state=SecondState.FAILED, second_why=why)
        same = folder.stat().st_dev == own.stat().st_dev
        _copy_all(nights_in(own, *whose).values(), folder)
        drop_old(folder, *whose)
    except (OSError, StoreError) as error:
        why = (error.strerror if isinstance(error, OSError) else "") or str(error)
        return replace(night, second_state=SecondState.FAILED, second_why=why)
    return replace(night, second_state=SecondState.DONE, second_at=now, same_disk=same)


def _copy_all(files: Iterable[Path], folder: Path) -> None:
    """Copy the newest first: on a stick that is nearly full, that one counts."""
    for file in sorted(files, reverse=True):
        to = folder / file.name
        if not to.is_file() or to.stat().st_size != file.stat().st_size:
            _copy_file(file, to)


def _copy_file(file: Path, to: Path) -> None:
    """Copy one file so that it appears whole, and read it back."""
    part = to.with_name(to.name + PART)
    try:
        check_room(file, to.parent)
        shutil.copyfile(file, part)
        with part.open("rb") as handle:
            os.fsync(handle)
        if not filecmp.cmp(file, part, shallow=False):
            raise OSError(f"{to} does not read back as it was written")
        part.replace(to)
    except BaseException:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise
