"""The door to the shop server: a connection, and one round of exchange between it and a store."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

from db.exchange import Changed, Forked, Link, ServerAway, ServerRefused
from db.log import Row
from db.refusals import CHANGED, FORKED

__all__ = [
    "FORKED",
    "Changed",
    "Forked",
    "Link",
    "Row",
    "ServerAway",
    "ServerRefused",
    "Swapped",
    "look",
    "swap",
]

Heads = Mapping[str, tuple[int, str]]
BATCH: Final = 200  # entries in one transaction, at either end (measured choice)


class Marks(Protocol):
    """What knows the link of each entry."""

    def link_at(self, kiosk: str, seq: int) -> str | None:
        """Return the link of one entry by its place in a kiosk's sequence, None where none is."""
        ...


class Door(Marks, Protocol):
    """What a round asks of the shop; each call is one transaction at most."""

    def outbox(self, count: int) -> Sequence[Row]:
        """Return the first entries made here that no shop server is known to have."""
        ...

    def heads(self) -> dict[str, tuple[int, str]]:
        """Return the place in its sequence and the link of each kiosk's latest entry."""
        ...

    def match_sent(self, heads: Mapping[str, int]) -> bool:
        """Send again what the server had and has no more."""
        ...

    def take_receipts(self, received: Sequence[tuple[str, int]]) -> None:
        """Note when the server received entries made here."""
        ...

    def take_in(self, rows: Sequence[Row]) -> object:
        """Take in entries that others made."""
        ...


@dataclass(frozen=True, slots=True)
class Swapped:
    """What one round did: entries sent and taken in, and milliseconds this clock is ahead.

    wrong says in words where the server does not hold what a kiosk wrote: none of that kiosk's
    entries from there on was taken in; everybody else's were.
    """

    sent: int
    taken: int
    ahead_ms: int
    wrong: str = ""


@dataclass(slots=True)
class _Round:
    """How far a round is."""

    told: Callable[[int, int], None]
    sent: int = 0
    taken: int = 0

    def count(self, *, sent: int = 0, taken: int = 0) -> None:
        self.sent, self.taken = self.sent + sent, self.taken + taken
        self.told(self.sent, self.taken)


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
    now = _Round(told)
    ahead, heads = link.ahead_ms(clock), link.heads()
    wrong = _fetch(door, link, heads, batch, now)
    # after fetching: a file brought back has its own latest entries again
    door.match_sent({kiosk: seq for kiosk, (seq, _link) in heads.items()})
    while rows := list(door.outbox(batch)):
        if rows[0].kiosk != link.letter:
            raise ServerRefused(
                f"entries made here under the letter {rows[0].kiosk} wait, but this kiosk is"
                f" {link.letter} now: join again with --as-new, which brings them under that letter"
            )
        own = [row for row in rows if row.kiosk == link.letter]
        door.take_receipts(link.send(own))
        now.count(sent=len(own))
    return Swapped(now.sent, now.taken, ahead, " ".join(wrong))


def look(door: Marks, link: Link) -> str:
    """Return in words where the server does not hold what a kiosk wrote; nothing is exchanged.

    Raises:
        ServerAway, ServerRefused: as for swap.
    """
    wrong = []
    for kiosk, head in sorted(link.heads().items()):
        try:
            _check_head(door, link, kiosk, head)
        except Changed as error:
            wrong.append(str(error))
    return " ".join(wrong)


def _fetch(
    door: Door, link: Link, heads: Mapping[str, tuple[int, str]], batch: int, now: _Round
) -> list[str]:
    """Take in what the server has of each kiosk; return where it is not what that one wrote."""
    known, wrong = door.heads(), []
    for kiosk, (last, mark) in sorted(heads.items()):
        after = known.get(kiosk, (0, ""))
        try:
            _check_head(door, link, kiosk, (last, mark))
            while after[0] < last and (rows := link.fetch(kiosk, after, batch)):
                door.take_in(rows)
                now.count(taken=len(rows))
                after = (rows[-1].seq, rows[-1].chain)
        except Changed as error:
            wrong.append(str(error))
    return wrong


def _check_head(door: Marks, link: Link, kiosk: str, head: tuple[int, str]) -> None:
    """Look whether what the server has latest of a kiosk is what stands there here, if it does."""
    here = door.link_at(kiosk, head[0])
    if here is None or here == head[1]:
        return
    if kiosk == link.letter:
        raise Forked(FORKED.format(kiosk=kiosk))
    raise Changed(CHANGED.format(seq=head[0], kiosk=kiosk))


def common_place(door: Marks, link: Marks, kiosk: str, last: int) -> int:
    """Return up to which place both hold the same entries of a kiosk; 0 for none.

    Each link tells of all before it, so that the last place they agree at is found by halving.

    Args:
        door: the shop.
        link: the server.
        kiosk: whose.
        last: the kiosk's latest place here.

    Raises:
        ServerAway, ServerRefused: the server could not be asked.
    """
    same, other = 0, last + 1
    while other - same > 1:
        middle = (same + other) // 2
        here = door.link_at(kiosk, middle)
        if here is not None and here == link.link_at(kiosk, middle):
            same = middle
        else:
            other = middle
    return same
