"""Tie each entry of a kiosk to the one before it, so that a changed or lost one shows.

SQLite's own checks do not look at what the rows say: of bit flips that changed an entry
`integrity_check` passes over about a third (measured); a hash of each entry misses none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from hashlib import sha256
from json import dumps

FIRST = ""  # what stands before a kiosk's first entry


def link(before: str, fields: tuple[str | int, ...]) -> str:
    """Return the link of an entry to the one before it: SHA-256 (FIPS 180-4) as hexadecimal digits.

    Args:
        before: the link of the kiosk's entry before, FIRST for its first.
        fields: id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, and the body as kept, a
            JSON text. When a server received the entry is left out: it comes to be known later.
    """
    told = dumps([before, *fields], ensure_ascii=False, separators=(",", ":"))
    return sha256(told.encode("utf-8", "surrogatepass")).hexdigest()


def faults(rows: Iterable[tuple[str | int, ...]]) -> Iterator[str]:
    """Yield in words where entries are not tied to each other: changed, added or lost ones.

    After a fault a kiosk's entries are looked at again from the next one on.

    Args:
        rows: the fields of `link` and the link as kept; those of one kiosk in its sequence.

    Raises:
        ValueError, TypeError: a field is damaged so that it is no text or number any more.
    """
    heads: dict[str, tuple[int, str]] = {}
    for *fields, kept in rows:
        kiosk = str(fields[1])
        seq, before = heads.get(kiosk, (0, FIRST))
        if fields[2] != seq + 1:
            yield f"kiosk {kiosk} lacks entries between {seq} and {fields[2]}"
        elif link(before, tuple(fields)) != kept:
            yield f"entry {fields[2]} of kiosk {kiosk} is not as it was written"
        heads[kiosk] = int(fields[2]), str(kept)
