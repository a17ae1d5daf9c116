"""Copies of the shop's file: where to, which there are, and when the last was made."""

from __future__ import annotations

import itertools
import os
import re
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from kiosk.store.proving import take_copy

FOLDER = "copies"  # beside the shop's file
NOTED = "copies.log"  # when which copy was made: the stick it lies on may be gone
_STAMP = re.compile(r"-(\d{4}-\d\d-\d\d)-(\d{4})(?:-(\d+))?\.db$")
# where systems put what is plugged in: a name, or a user's name and below it a name
_PLUGGED = ("/media", "/run/media", "/mnt", "/Volumes")


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of the shop's file; bytes is 0 where it is not to be reached now."""

    file: Path
    bytes: int


@dataclass(frozen=True, slots=True)
class Copies:
    """What is known of copies: when the last was made and where, and those in reach."""

    last: datetime | None
    last_file: Path | None
    found: tuple[Copy, ...]
    folders: tuple[Path, ...]


def see_copies(shop_file: Path, plugged: Iterable[Path] | None = None, second: str = "") -> Copies:
    """Return the copies in reach, newest first, and the folders a copy may go to.

    Args:
        shop_file: the shop's file.
        plugged: folders of sticks and disks; None looks where this system puts them.
        second: the second folder of nightly copies; empty: none.
    """
    own = shop_file.parent / FOLDER
    sticks = tuple(plugged_in() if plugged is None else plugged)
    folders = dict.fromkeys((own, *sticks, *([Path(second)] if second else [])))
    found = [copy for folder in folders for copy in _copies_in(folder, shop_file.stem)]
    found.sort(key=_when, reverse=True)
    last, file = last_noted(shop_file)
    return Copies(last, file, tuple(found), (own, *sticks))


def make_copy(shop_file: Path, folder: Path, at: datetime) -> Copy:
    """Copy the shop's file into a folder under the time's name, prove it, and note it.

    Args:
        shop_file: the shop's file; it may be in use.
        folder: made where it is missing.
        at: now, in the shop's zone.

    Raises:
        StoreError: no copy was made.
        OSError: the folder cannot be used.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stem = f"{shop_file.stem}-{at:%Y-%m-%d-%H%M}"
    more = (f"{stem}-{number}.db" for number in itertools.count(2))
    names = itertools.chain([f"{stem}.db"], more)
    to = next(folder / name for name in names if not (folder / name).exists())
    take_copy(shop_file, to)
    note_copy(shop_file, to, at)
    return Copy(to, to.stat().st_size)


def note_copy(shop_file: Path, to: Path, at: datetime) -> None:
    """Note when a copy was made; a copy that cannot be noted is a copy all the same."""
    try:
        with (shop_file.parent / NOTED).open("a", encoding="utf-8") as stream:
            stream.write(f"{at.isoformat(timespec='minutes')}\t{to}\n")
    except OSError:
        return


def plugged_in() -> list[Path]:
    """Return the folders of sticks and disks that are plugged in and can be written to."""
    if sys.platform.startswith("win"):
        drives = [Path(f"{letter}:\\") for letter in "DEFGHIJKLMNOP"]
        return [drive for drive in drives if drive.is_dir() and os.access(drive, os.W_OK)]
    found = []
    for top in map(Path, _PLUGGED):
        for folder in sorted(_folders(top)):
            below = [folder] if os.path.ismount(folder) else sorted(_folders(folder))
            found += [one for one in below if os.path.ismount(one) and os.access(one, os.W_OK)]
    return found


def _folders(top: Path) -> list[Path]:
    try:
        return [one for one in top.iterdir() if one.is_dir()]
    except OSError:
        return []


def _copies_in(folder: Path, stem: str) -> list[Copy]:
    try:
        files = [one for one in folder.glob("*.db") if _is_copy(one, stem)]
        return [Copy(one, one.stat().st_size) for one in files]
    except OSError:
        return []


def _is_copy(file: Path, stem: str) -> bool:
    found = _STAMP.search(file.name)
    if found is None:
        return False
    begins = file.name[: found.start()]
    return begins == stem or (begins.startswith(f"{stem}-") and begins.endswith("-night"))


def _when(copy: Copy) -> tuple[str, str, int]:
    """Return the day, the minute and the number within it from a copy's name."""
    found = _STAMP.search(copy.file.name)
    assert found is not None  # only names that have it are listed
    day, minute, number = found.groups()
    return day, minute, int(number or 1)


def last_noted(shop_file: Path) -> tuple[datetime | None, Path | None]:
    """Return when the last copy was made, and where; None where none is noted."""
    try:
        lines = (shop_file.parent / NOTED).read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return None, None
    for line in reversed(lines):
        when, _tab, where = line.partition("\t")
        try:
            at = datetime.fromisoformat(when)
        except ValueError:
            continue
        if at.tzinfo is not None:
            return at, Path(where)
    return None, None
