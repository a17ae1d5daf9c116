"""Keep how often a PIN was tried in vain: here and at this kiosk only, through any restart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import peewee

ALL_TRIES = "SELECT code, wrong, since_ms, told FROM pin_try"


@dataclass(frozen=True, slots=True)
class Tried:
    """Wrong tries of one PIN, when the latest was made (milliseconds UTC), and whether told."""

    wrong: int = 0
    since_ms: int | None = None
    told: bool = False


Change = Callable[[Tried], Tried]


def change_tries(database: peewee.SqliteDatabase, code: str, change: Change) -> Tried:
    """Change the tries of one PIN, and return what they were; to be called in a transaction.

    Two programs that try at once are counted one after the other, as the transaction holds the
    file from its first word on.
    """
    query = f"{ALL_TRIES} WHERE code = ?"
    found = database.execute_sql(query, (code,)).fetchone()
    before = Tried(int(found[1]), found[2], bool(found[3])) if found else Tried()
    after = change(before)
    database.execute_sql("DELETE FROM pin_try WHERE code = ?", (code,))
    if after != Tried():
        database.execute_sql(
            "INSERT INTO pin_try (code, wrong, since_ms, told) VALUES (?, ?, ?, ?)",
            (code, after.wrong, after.since_ms, after.told),
        )
    return before
