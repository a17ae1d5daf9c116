"""Prove a copy by bringing it back into a scratch folder, as it would be into the shop."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from kiosk.actions.copynotes import Drill, keep_drill_note
from kiosk.store import StoreError
from kiosk.store.proving import drill

_LOWER = 10  # as a nightly copy
_SCRATCH = ".drill-"
_LEFT_S = 24 * 3600.0  # a scratch folder that old belongs to no drill that still runs; choice


def run_drill(copy: Path, shop: Path, now: datetime) -> Drill:
    """Bring a copy back into a scratch folder beside the shop's file, prove it, and note it.

    The shop's file is only read; it may be in use, or gone.
    """
    beside = shop.parent if shop.parent.is_dir() else None
    try:
        _clear_left(beside, now)
        with tempfile.TemporaryDirectory(prefix=_SCRATCH, dir=beside) as scratch:
            made = Drill(now, str(copy), drill(copy, shop, Path(scratch)))
    except (StoreError, OSError) as error:
        made = Drill(now, str(copy), None, str(error))
    keep_drill_note(shop, made)
    return made


def run_drill_aside(copy: Path, shop: Path, now: datetime) -> Drill:
    """Do the same in a process of its own that stands back behind the kiosk's."""
    with suppress(OSError, AttributeError):  # not every system knows it
        os.nice(_LOWER)
    return run_drill(copy, shop, now)


def _clear_left(folder: Path | None, now: datetime) -> None:
    """Remove the scratch folders of drills that were broken off, as by a power cut."""
    for left in folder.glob(f"{_SCRATCH}*") if folder is not None else ():
        if now.timestamp() - left.stat().st_mtime > _LEFT_S:
            shutil.rmtree(left, ignore_errors=True)
