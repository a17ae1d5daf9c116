"""Which shop's file and which settings; loads at once, as a kiosk's first frame waits for it."""

from __future__ import annotations

import os
from enum import IntEnum
from pathlib import Path

from kiosk.config import Settings
from kiosk.settingstext import load, shop_path


class Exit(IntEnum):
    """Exit status of every command."""

    DONE = 0
    REFUSED = 1  # by a rule: too early, on hold, unknown
    INPUT = 2  # input or usage wrong
    MACHINERY = 3  # broken machinery


class Stopped(Exception):
    """A command ends here: the text says why, status is its exit status."""

    def __init__(self, why: str, status: int) -> None:
        """Take the words, empty where all is said, and the exit status."""
        super().__init__(why)
        self.status = status


def settings_of(file: Path | None) -> tuple[Path, Settings, tuple[str, ...]]:
    """Return the shop's file, the settings kept beside it, and what is wrong with them."""
    path = shop_path(str(file) if file else None, os.environ)
    beside = path.with_name("settings.toml")
    try:
        text = beside.read_text("utf-8-sig") if beside.is_file() else ""
    except (OSError, UnicodeDecodeError) as error:
        settings, _ = load("")
        return path, settings, (f"{beside} cannot be read: {error}; the defaults are used",)
    return path, *load(text)
