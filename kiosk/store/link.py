"""The door to the shop server: a connection, and one round of exchange between it and a store."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

from db.exchange import Changed, Forked, Link, ServerAway, ServerRefused
from db.log import Row

__all__ = ["Changed", "Forked", "Link", "Row", "ServerAway", "ServerRefused", "Swapped", "swap"]

BATCH: Final = 200  # entries in one transaction, at either end (measured choice)


class Door(Protocol):
    """What a round asks of the shop; each call is one transaction at most."""

    def outbox(self, count: int) -> Sequence[Row]:
        """Return the first entries made here that no shop server is known to have."""
        ...

    def heads(self) -> dict[str, tuple[int, str]]:
        """Return the place in its sequence and the link of each kiosk's latest entry."""
        ...

    def take_receipts(self, received: Sequence[tuple[str, int]]) -> None:
        """Note when the server received entries made here."""
        ...

    def take_in(self, rows: Sequence[Row]) -> object:
        """Take in entries that others made."""
        ...


@dataclass(frozen=True, slots=True)
class Swapped:
    """What one round did: entries sent and taken in, and milliseconds this clock is ahead."""

    sent: int
    taken: int
    ahead_ms: int


def swap(
    door: Door,
    link: Link,
    *,
    clock: Callable[[], int],
    batch: int = BATCH,
    told: Callable[[int, int], None] = lambda _sent, _taken: None,
) -> Swapped:
    """Fetch what the server has and this file has not, then send what it has not.

    What was fetched and sent so far stays so where a round ends early: the next one goes on there.

    Args:
        door: the shop.
        link: the server.
        clock: returns this machine's time in milliseconds since 1970 UTC.
        batch: entries at a time.
        told: called after each batch with what was sent and taken so far.

    Raises:
        ServerAway: no answer; try again later.
        ServerRefused: somebody has to put something right.
    """
    ahead = link.ahead_ms(clock)
    sent = taken = 0
    known = door.heads()
    for kiosk, last in sorted(link.heads().items()):
        after = known.get(kiosk, (0, ""))
        while after[0] < last and (rows := link.fetch(kiosk, after, batch)):
            door.take_in(rows)
            taken += len(rows)
            after = (rows[-1].seq, rows[-1].chain)
            told(sent, taken)
    while rows := list(door.outbox(batch)):
        door.take_receipts(link.send(rows))
        sent += len(rows)
        told(sent, taken)
    return Swapped(sent, taken, ahead)
