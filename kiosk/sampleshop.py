"""Open a kiosk on the sample shop, at the Wednesday afternoon its week leads to.

`python -m kiosk.sampleshop FOLDER [window]` makes the shop in the folder, and fills the screen or
not. The kiosk says on the bench that it is the sample, and is left under Shop.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import redirect_stdout
from datetime import datetime
from io import StringIO
from pathlib import Path

from kiosk.app import KioskUnavailable, boot, late_shop, make_app
from kiosk.clock import Clock, SystemClock
from kiosk.demo import NOW, PEOPLE, run_demo
from kiosk.settingstext import load


class ClockFrom:
    """A clock that stands at a time when it is made and runs on from there."""

    def __init__(self, start: datetime, clock: Clock) -> None:
        self._clock, self._ahead = clock, start - clock.now()

    def now(self) -> datetime:
        """Return the time, aware."""
        return self._clock.now() + self._ahead


def make_sample(folder: Path) -> Path:
    """Take the sample shop through its week, and return its file."""
    file = folder / "sample-shop.db"
    with redirect_stdout(StringIO()):
        run_demo(keep=file)
    return file


def open_sample(folder: Path, *, fullscreen: bool = True) -> None:
    """Make the sample shop and run a kiosk on it until it is left.

    Raises:
        KioskUnavailable: no window could be opened.
    """
    file = make_sample(folder)
    settings, _ = load(file.with_name("settings.toml").read_text("utf-8"))
    boot(None if fullscreen else (1280, 800), fullscreen=fullscreen)
    shop = late_shop(file, settings, ClockFrom(NOW, SystemClock()))
    make_app(shop, station="finish", person=PEOPLE[0], fullscreen=fullscreen, is_sample=True).run()


def main(words: Sequence[str]) -> int:
    """Run as a command; return the exit status."""
    if len(words) not in (1, 2) or words[1:] not in ([], ["window"]):
        sys.stderr.write("Say where: python -m kiosk.sampleshop FOLDER [window]\n")
        return 2
    try:
        open_sample(Path(words[0]), fullscreen=len(words) == 1)
    except KioskUnavailable as error:
        sys.stderr.write(f"{error}\n")
        return 3
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
