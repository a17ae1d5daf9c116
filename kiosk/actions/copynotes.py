"""What is noted of copies beside the shop's file: the last nightly one, and the last proof."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Any, TypeVar

from kiosk.store import StoreError
from kiosk.store.proving import Drilled, first_entry

_NIGHT, _DRILL = "nightly.json", "drill.json"
_TIMES = ("at", "tried", "second_at", "second_tried")
T = TypeVar("T")


class SecondState(StrEnum):
    """How it stands with the second folder."""

    NONE = ""  # none is set, or nothing was tried yet
    DONE = "done"
    AWAY = "away"  # a stick that is not put in, a machine that is off
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Night:
    """The last good nightly copy, the last try in vain, and the second folder.

    at and file are those of the last good one, with the counts it was proved by; lists says what of
    the shop's own lists did not follow from its log and was made anew in the copy. tried and why
    are of a later try in vain, None where there was none. second_at is when the second folder last
    had every copy, second_tried when it was looked at; same_disk is True where it is on the same
    disk as the shop's file.
    """

    at: datetime | None = None
    file: str = ""
    entries: int = 0
    jobs: int = 0
    units: int = 0
    pieces: int = 0
    lists: str = ""
    tried: datetime | None = None
    why: str = ""
    second: str = ""
    second_state: str = SecondState.NONE
    second_at: datetime | None = None
    second_tried: datetime | None = None
    second_why: str = ""
    same_disk: bool = False


SECOND = ("second", "second_state", "second_at", "second_tried", "second_why", "same_disk")


@dataclass(frozen=True, slots=True)
class Drill:
    """A copy brought back into a scratch folder: what was found, or why it could not be."""

    at: datetime
    file: str
    found: Drilled | None
    why: str = ""

    @property
    def is_sound(self) -> bool:
        """Tell whether the copy could be brought back as it is."""
        return self.found is not None and not self.found.proof.problems


@dataclass(frozen=True, slots=True)
class LastDrill:
    """The last proof of a copy, as it is noted."""

    at: datetime | None = None
    file: str = ""
    is_sound: bool = True


def read_night_note(shop: Path) -> Night:
    """Return what is noted of nightly copies; a damaged note counts as none."""
    return _read(shop.parent / _NIGHT, Night)


def keep_night_note(shop: Path, night: Night) -> None:
    """Note it; on a full disk the copies themselves are not touched by that."""
    _keep(shop.parent / _NIGHT, asdict(night))


def forget_lists(shop: Path) -> None:
    """Note that the shop's own lists follow from its log again."""
    night = read_night_note(shop)
    if night.lists:
        keep_night_note(shop, replace(night, lists=""))


def read_drill_note(shop: Path) -> LastDrill:
    """Return what is noted of the last proof; a damaged note counts as none."""
    return _read(shop.parent / _DRILL, LastDrill)


def keep_drill_note(shop: Path, drill: Drill) -> None:
    """Note that a copy was proved, or that it is not sound."""
    _keep(shop.parent / _DRILL, asdict(LastDrill(drill.at, drill.file, drill.is_sound)))


def first_work(shop: Path) -> datetime | None:
    """Return when the shop's first entry was recorded, None where there is none to be read."""
    with suppress(StoreError, OSError):
        return first_entry(shop)
    return None


def _read(file: Path, kind: type[T]) -> T:
    try:
        kept = json.loads(file.read_text("utf-8"))
        values = {name: _value(name, kept[name]) for name in _names(kind) if name in kept}
        made = kind(**values)
    except (OSError, ValueError, TypeError):
        return kind()
    usual = kind()
    for name in _names(kind):
        if name not in _TIMES and type(getattr(made, name)) is not type(_plain(usual, name)):
            return usual
    return made


def _names(kind: type[Any]) -> list[str]:
    return [field.name for field in fields(kind)]


def _plain(usual: object, name: str) -> object:
    value = getattr(usual, name)
    return str(value) if isinstance(value, StrEnum) else value


def _value(name: str, kept: Any) -> Any:  # Any: JSON
    if name not in _TIMES or kept is None:
        return kept
    at = datetime.fromisoformat(kept)
    if at.tzinfo is None:
        raise ValueError(kept)
    return at


def _keep(file: Path, values: dict[str, Any]) -> None:  # Any: JSON, and times
    text = json.dumps(values, ensure_ascii=False, indent=1, default=_iso)
    part = file.with_name(file.name + ".part")
    with suppress(OSError):
        with part.open("w", encoding="utf-8") as stream:
            stream.write(text + "\n")
            stream.flush()
            os.fsync(stream.fileno())
        part.replace(file)


def _iso(value: object) -> str:
    if isinstance(value, datetime):
        return value.isoformat()
    return str(value)
