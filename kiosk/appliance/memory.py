"""Where a kiosk stood when it ended, so that it comes back with the same screen."""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, replace
from pathlib import Path

HOMES = ("bench", "board")


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """The station, who works there, and whether the bench or the board is on the screen.

    home is what the kiosk was opened as; a bench may show the board for a while.
    """

    home: str = "bench"
    station: str = ""
    person: str = ""
    shown: str = "bench"


class Memory:
    """One small file beside the shop's file; a bench and a board share it.

    What the settings said is kept with it: a setting that was changed since is followed.
    """

    def __init__(self, shop: Path, *, station: str, person: str, stations: tuple[str, ...]) -> None:
        """Take the shop's file, what its settings say, and the stations that may be recalled."""
        there = shop.resolve()
        self._file = there.with_name(f"{there.name}.kiosk.json")
        self._settings = {"station": station, "person": person}
        self._stations = stations

    def recall(self) -> Whereabouts:
        """Return where the kiosk stood; what is not known is as the settings say."""
        kept = self._read()
        before = kept.get("settings")
        settings = before if isinstance(before, dict) else {}
        found = dict(self._settings)
        for name, set_to in self._settings.items():
            value = kept.get(name)
            if isinstance(value, str) and settings.get(name) == set_to:
                found[name] = value
        if found["station"] not in self._stations:
            found["station"] = self._settings["station"]
        home, shown = (_home(kept.get(name)) for name in ("home", "shown"))
        return Whereabouts(home, found["station"], found["person"], shown)

    def keep(self, now: Whereabouts) -> None:
        """Write down where the kiosk stands; of a board, only that it was one.

        Raises:
            OSError: it could not be written.
        """
        if now.home == "board":
            now = replace(self.recall(), home="board")
        text = json.dumps({**asdict(now), "settings": self._settings}, ensure_ascii=False)
        # written beside it and put in its place: a crash leaves the old one or the new one
        part = self._file.with_name(f"{self._file.name}.{os.getpid()}.part")
        part.write_text(text + "\n", "utf-8")
        part.replace(self._file)

    def _read(self) -> dict[str, object]:
        try:
            found = json.loads(self._file.read_text("utf-8"))
        except (OSError, ValueError, RecursionError):
            return {}
        return found if isinstance(found, dict) else {}


def _home(value: object) -> str:
    return value if isinstance(value, str) and value in HOMES else "bench"
