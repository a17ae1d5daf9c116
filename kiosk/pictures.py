"""Draw every screen of a copy of a shop as PNG files: one size, language and theme a run.

`python -m kiosk.pictures SHOPFILE FOLDER 1280x800 2026-03-11T15:40+00:00 de dark` prints the path
of each file made; without the last words it is drawn as the shop's settings say. A number after
them draws only the first so many. Scans are recorded to show their answers, so it is run on a copy.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from kiosk.clock import FixedClock
from kiosk.config import Settings
from kiosk.language import LANGUAGES
from kiosk.palette import THEMES, choose_theme
from kiosk.settingstext import load

USAGE = "python -m kiosk.pictures SHOPFILE FOLDER WIDTHxHEIGHT TIME [LANGUAGE [THEME [COUNT]]]"


def parse_size(text: str) -> tuple[int, int] | None:
    """Return the pixels of a size such as `1280x800`, or None where it is none."""
    width, _, height = text.lower().partition("x")
    if not (width.isdecimal() and height.isdecimal()):
        return None
    return int(width), int(height)


def parse_time(text: str) -> datetime | None:
    """Return an aware time written as in ISO 8601, or None where it is none."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return None
    return at if at.tzinfo is not None else None


def settings_of(file: Path, *, language: str = "", theme: str = "") -> Settings:
    """Return the settings beside a shop's file, in another language or theme where one is named."""
    beside = file.with_name("settings.toml")
    settings, _ = load(beside.read_text("utf-8-sig") if beside.is_file() else "")
    return replace(settings, language=language or settings.language, theme=theme or settings.theme)


def main(words: Sequence[str]) -> int:
    """Run as a command; return the exit status."""
    if not 4 <= len(words) <= 7:
        sys.stderr.write(f"Say which shop, where to, how large and when: {USAGE}\n")
        return 2
    size, at = parse_size(words[2]), parse_time(words[3])
    if size is None or at is None:
        wrong = words[2] if size is None else words[3]
        sys.stderr.write(f"{wrong} is not understood: {USAGE}\n")
        return 2
    language, theme, count = (*words[4:], "", "", "")[:3]
    is_known = language in ("", *LANGUAGES) and theme in ("", *THEMES)
    if not is_known or not (count.isdecimal() or not count):
        sys.stderr.write(f"{' '.join(words[4:])} is not understood: {USAGE}\n")
        return 2
    most = int(count) if count else None
    file, folder = Path(words[0]), Path(words[1])
    settings = settings_of(file, language=language, theme=theme)
    choose_theme(settings.theme)  # before anything imports the screens, which take its colours
    from kiosk.app import KioskUnavailable, late_shop, write_pictures

    try:
        made = write_pictures(late_shop(file, settings, FixedClock(at)), folder, size, most)
    except KioskUnavailable as error:
        sys.stderr.write(f"{error}\n")
        return 3
    sys.stdout.writelines(f"{path}\n" for path in made)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
