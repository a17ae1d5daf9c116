"""Look for part lists: the folders of this person, the sticks put in, and what is in a folder."""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

import platformdirs

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

LISTS: Final = (".csv", ".tsv", ".xlsx", ".ods", ".xls", ".txt")
_DRIVES: Final = "DEFGHIJKLMNOPQRSTUVWXYZ"
_CHUNK: Final = 1 << 20
MOST: Final = 400  # entries of a folder that are shown; nobody turns more pages (choice)


@dataclass(frozen=True, slots=True)
class Spot:
    """A folder or a file to choose; changed is when it was written last."""

    name: str
    path: Path
    changed: datetime
    size: int = 0
    is_folder: bool = False
    is_stick: bool = False


def sticks(roots: Sequence[Path] | None = None) -> tuple[Spot, ...]:
    """Return what is plugged in and mounted, the latest first; roots are where systems mount."""
    found = [
        replace(spot, is_stick=True)
        for root in (_mount_roots() if roots is None else roots)
        for spot in _entries(root)
        # a system may mount for one person or for all: /media/NAME/STICK or /media/STICK
        if spot.is_folder and (roots is not None or os.path.ismount(spot.path))
    ]
    drives = (_spot(Path(f"{letter}:\\")) for letter in _DRIVES) if os.name == "nt" else ()
    found += [replace(drive, is_stick=True) for drive in drives if drive is not None]
    return tuple(sorted(found, key=lambda spot: spot.changed, reverse=True))


def own_folders() -> tuple[Spot, ...]:
    """Return the folders of this person that are there: downloads, documents, desktop, home."""
    paths = (
        platformdirs.user_downloads_path(),
        platformdirs.user_documents_path(),
        platformdirs.user_desktop_path(),
        Path.home(),
    )
    spots = (_spot(path) for path in dict.fromkeys(paths))
    return tuple(spot for spot in spots if spot is not None and spot.is_folder)


def look_into(
    folder: Path, endings: Collection[str] = LISTS
) -> tuple[tuple[Spot, ...], Problem | None]:
    """Return the files in a folder, newest first, then its folders; or why it is shut.

    Hidden names and files with other endings than those wanted are left out.
    """
    try:
        with os.scandir(folder):
            pass
    except OSError as error:
        reason = error.strerror or str(error)
        return (), Problem(
            say("{folder} cannot be opened: {reason}.", folder=folder.name, reason=reason),
            _("Is the stick still in? Choose another folder."),
        )
    spots = [
        spot
        for spot in _entries(folder)
        if spot.is_folder or spot.path.suffix.casefold() in endings
    ]
    spots.sort(key=lambda spot: spot.changed, reverse=True)
    spots.sort(key=lambda spot: spot.is_folder)
    return tuple(spots[:MOST]), None


def read_through(file: Path) -> bool:
    """Read a file once, so that the next reading finds it in memory; tell whether that worked.

    A file on a stick or in a network folder may make the reader wait for minutes.
    """
    try:
        with file.open("rb") as stream:
            while stream.read(_CHUNK):
                pass
    except OSError:
        return False
    return True


def _mount_roots() -> list[Path]:
    user = Path.home().name
    return [
        Path("/media") / user,
        Path("/run/media") / user,
        Path("/media"),
        Path("/mnt"),
        Path("/Volumes"),
    ]


def _entries(folder: Path) -> list[Spot]:
    try:
        paths = [path for path in folder.iterdir() if not path.name.startswith((".", "~"))]
    except OSError:
        return []
    return [spot for path in paths if (spot := _spot(path)) is not None]


def _spot(path: Path) -> Spot | None:
    """Return what is at a path, or None where it cannot be looked at."""
    try:
        told = path.stat()
        is_folder = path.is_dir()
    except OSError:
        return None
    changed = datetime.fromtimestamp(told.st_mtime, UTC)
    return Spot(path.name or str(path), path, changed, told.st_size, is_folder)
