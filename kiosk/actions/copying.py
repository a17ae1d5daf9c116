"""All that copies need of a shop, so that no thread of the kiosk waits for them."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from kiosk.actions.copies import Copies, Copy, make_copy, see_copies
from kiosk.actions.copyfaults import say_fault
from kiosk.actions.copynotes import Drill, Night, read_drill_note, read_night_note
from kiosk.actions.copywords import Proved, Told, tell_copies, tell_drill
from kiosk.actions.drills import run_drill_aside
from kiosk.actions.nights import night_has_work, run_night_aside
from kiosk.config import Settings
from kiosk.helper import Helper, HelperGone
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.settingstext import zone_of
from kiosk.store import StoreError

LONGEST_S = 3600.0  # what has not ended by then hangs at a folder that does not answer; choice


@dataclass(frozen=True, slots=True)
class Copying:
    """The shop's file, the time in its zone and its settings; to be used on any thread.

    A stick or a network folder may not answer for minutes; the shop must not wait for it.
    """

    file: Path
    at: datetime
    settings: Settings

    def see(self) -> Copies:
        """Return the copies of the shop's file, and where new ones may go."""
        return see_copies(self.file, second=self.settings.second_folder)

    def tell(self) -> Told:
        """Return how it stands with the nightly copies, in brief and line by line."""
        notes = read_night_note(self.file), read_drill_note(self.file)
        return tell_copies(*notes, settings=self.settings, now=self.at)

    def make(self, folder: Path) -> tuple[Copy | None, tuple[Problem, ...]]:
        """Copy the shop's file into a folder and prove the copy; with any problem there is none."""
        try:
            return make_copy(self.file, folder, self.at), ()
        except (StoreError, OSError) as error:
            said = say("No copy was made: {error}.", error=say_fault(str(error)))
            return None, (Problem(said, _("Choose another folder, or make room there.")),)

    def has_work(self) -> bool:
        """Tell whether the nightly copy is due, or the second folder is to be looked at again."""
        return night_has_work(self.file, self.settings, self.at)

    def run_night(self) -> Night:
        """Do what is due of the nightly copies, in a process of its own.

        Raises:
            HelperGone: it could not be done, or a folder did not answer for an hour.
        """
        with Helper(_until(LONGEST_S)) as helper:
            return helper.call(run_night_aside, self.file, self.settings, self.at)

    def prove(self, copy: Path) -> Proved:
        """Bring a copy back into a scratch folder, in a process of its own: sound, and how so."""
        try:
            with Helper(_until(LONGEST_S)) as helper:
                drill = helper.call(run_drill_aside, copy, self.file, self.at)
        except HelperGone as error:
            drill = Drill(self.at, str(copy), None, str(error) or "it took too long")
        return tell_drill(drill, now=self.at, zone=zone_of(self.settings))


def _until(seconds: float) -> Callable[[], bool]:
    """Return what says yes for so long."""
    end = time.monotonic() + seconds
    return lambda: time.monotonic() < end
