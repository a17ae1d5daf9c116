"""What of a shop's log goes to a shop server, and how far it went."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from db.log import Log, Row
from kiosk.rules.entries import Kind
from kiosk.store.notes import changes_of, clock_time, entry_of
from labels.codes import is_of, number_of


class Outgoings:
    """What is asked of a log and told to it while it is exchanged with a server."""

    _log: Log
    _kiosk: str
    _sent: Mapping[str, int]

    def outbox(self, count: int) -> list[Row]:
        """Return the first entries made here that no shop server is known to have."""
        return self._log.outbox(count)

    def heads(self) -> dict[str, tuple[int, str]]:
        """Return the place in its sequence and the link of each kiosk's latest entry."""
        return self._log.heads()

    def send_all_again(self) -> None:
        """Send every entry made here again, as the server is a new one.

        Raises:
            StoreError: nothing was changed; the text says why.
        """
        self._log.forget_sent()

    def own_letters(self) -> list[str]:
        """Return the letters under which entries were made in this file itself."""
        return list(self._log.sent())

    def waiting(self) -> int:
        """Return how many entries made here no shop server is known to have."""
        return self._log.waiting()

    def match_sent(self, heads: Mapping[str, int]) -> bool:
        """Send again what the server had and has no more, by each kiosk's latest entry there.

        Raises:
            StoreError: nothing was changed; the text says why.
        """
        return self._log.match_sent(heads)

    def link_at(self, kiosk: str, seq: int) -> str | None:
        """Return the link of one entry by its place in a kiosk's sequence, None where none is."""
        return self._log.link_at(kiosk, seq)

    def move(self, after: Mapping[str, int], to: str) -> int:
        """Bring what stands after some places in sequences under another letter; return how many.

        For entries no server has. The store is to be opened anew, with that letter.

        Raises:
            StoreError: nothing was changed; the text says why.
        """
        return self._log.move(after, to)

    def latest_by_kiosk(self) -> dict[str, datetime]:
        """Return when each kiosk made its latest entry here, by letter (aware, UTC)."""
        return {kiosk: clock_time(ms) for kiosk, ms in self._log.latest().items()}

    def become(self, letter: str) -> None:
        """Work under another letter from now on."""
        self._kiosk = letter

    def _newly_received(self) -> list[Row]:
        """Return entries that another process has sent: when one was received may order it anew."""
        before, self._sent = self._sent, self._log.sent()
        return [
            row
            for kiosk, seq in self._sent.items()
            if seq > (known := before.get(kiosk, 0))
            for row in self._log.kiosk_rows(kiosk, known, seq - known)
            if is_moved(replace(row, received_ms=None), row.received_ms)
        ]

    def _skip_numbers(self, rows: Sequence[Row]) -> None:
        """Hand out no number again that this kiosk handed out before its file was lost."""
        codes = [code for code, _job, _unit in changes_of(map(entry_of, rows)).pieces]
        kept = (entry_of(row).body.get("code") for row in rows if row.kind == Kind.OFFCUT_KEPT)
        codes += [code for code in kept if isinstance(code, str)]
        numbers = [number_of(one) for one in codes if is_of(one, self._kiosk)]
        if numbers:
            self._log.skip_numbers(self._kiosk, max(numbers))


def is_moved(row: Row, received_ms: int | None) -> bool:
    """Tell whether an entry has another place or time once it is known when it was received.

    Only one of a clock that ran ahead has; the others need not be folded anew.
    """
    before, after = entry_of(row), entry_of(replace(row, received_ms=received_ms))
    return (before.order, before.at) != (after.order, after.at)
