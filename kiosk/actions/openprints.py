"""Prints that are not out yet, kept beside the shop's file so that a restart loses none."""

from __future__ import annotations

import json
import logging
import os
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any, Final

from kiosk.actions.labelfiles import Wanted, say_lost
from kiosk.actions.orders import Order, Ordering
from kiosk.rules.words import join
from labels import LabelError

LOG = logging.getLogger("cleatclock.printing")
FILE: Final = "open-prints.json"  # beside the shop's file
_ASIDE: Final = "open-prints.unreadable.json"


@dataclass(frozen=True, slots=True)
class Kept:
    """One print that is not out: its key, exactly which labels, who asked.

    before tells how often each label had been printed, by which it is seen whether it was logged
    meanwhile; empty for labels that could not be drawn.
    """

    key: str
    wanted: Wanted
    person: str = ""
    before: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A kept print drawn again, or in words why it cannot be."""

    kept: Kept
    orders: tuple[Order, ...] = ()
    wrong: str = ""


class OpenPrints(Ordering):
    """A shop that remembers what is not out yet; the file is never in the way of the work."""

    def keep_print(self, kept: Kept) -> None:
        """Keep a print until it is out or dropped."""
        self._write_prints({**self._read_prints(), kept.key: kept})

    def drop_print(self, key: str) -> None:
        """Forget a print."""
        kept = self._read_prints()
        if kept.pop(key, None) is not None:
            self._write_prints(kept)

    def came_out(self, order: Order, *, person: str = "") -> None:
        """Log that the labels of an order have come out, and forget the print.

        Raises:
            StoreError: it is not logged.
        """
        super().came_out(order, person=person)
        self.drop_print(order.key)

    def unfinished(self) -> tuple[Kept, ...]:
        """Return what was kept and is to be drawn again; what was logged is forgotten."""
        return tuple(kept for kept in self._read_prints().values() if not self._is_logged(kept))

    def draw_kept(self, kept: Kept) -> Unfinished:
        """Draw the labels of a kept print again, under the same key."""
        try:
            found = self.orders(kept.wanted, person=kept.person)
        except (LabelError, OSError) as error:
            return Unfinished(kept, wrong=say_lost(error))
        if found.problems:
            return Unfinished(
                kept, wrong=join(join((one.message, one.remedy)) for one in found.problems)
            )
        if kept.before and len(found.orders) == 1:  # by its key the printer still knows it
            return Unfinished(kept, (replace(found.orders[0], key=kept.key),))
        return Unfinished(kept, found.orders)

    def _is_logged(self, kept: Kept) -> bool:
        """Tell whether all its labels were printed since: the kiosk ended before it forgot them."""
        now: dict[str, int] = {}
        for unit in self.store.units_of(kept.wanted.job) if kept.wanted.job else ():
            state = self.store.state(kept.wanted.job, unit)
            now.update(state.printed if state else {})
        before = kept.before
        done = bool(before) and all(now.get(code, 0) > n for code, n in before.items())
        if done:
            self.drop_print(kept.key)
        return done

    # -- the file --------------------------------------------------------------------------------

    def _read_prints(self) -> dict[str, Kept]:
        file = self.store.folder / FILE
        try:
            rows = json.loads(file.read_text("utf-8"))
            return {str(row["key"]): _kept(row) for row in rows}
        except FileNotFoundError:
            return {}
        except OSError as error:
            LOG.error("%s cannot be read: %s", file, error)
        except (ValueError, TypeError, KeyError, AttributeError) as error:
            LOG.error("%s is damaged and set aside: %s", file, error)
            try:
                file.replace(file.with_name(_ASIDE))
            except OSError as more:
                LOG.error("%s cannot be set aside: %s", file, more)
        return {}

    def _write_prints(self, kept: Mapping[str, Kept]) -> None:
        file = self.store.folder / FILE
        fresh = file.with_suffix(".new")
        try:
            _write_through(fresh, json.dumps([asdict(one) for one in kept.values()], indent=1))
            fresh.replace(file)
        except OSError as error:
            LOG.error("%s cannot be written: %s", file, error)


def _write_through(file: Path, text: str) -> None:
    """Write a file so that it is on the disk before it takes the old one's place."""
    with file.open("w", encoding="utf-8") as out:
        out.write(text)
        out.flush()
        os.fsync(out.fileno())


def _kept(row: Any) -> Kept:  # Any: JSON
    before = {str(code): int(n) for code, n in row["before"].items()}
    said = row["wanted"]
    wanted = Wanted(
        str(said["job"]),
        [str(one) for one in said["only"]],
        units=bool(said["units"]),
        stock=str(said["stock"]),
        skip=int(said["skip"]),
        reason=str(said["reason"]),
        people=bool(said.get("people")),  # files written before badges were printed lack it
        order=str(said.get("order", "cut")),
    )
    return Kept(str(row["key"]), wanted, str(row["person"]), before)
