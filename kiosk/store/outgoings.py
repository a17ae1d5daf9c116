"""What of a shop's log goes to a shop server, and how far it went."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from db.log import Log, Row
from kiosk.rules.entries import LATEST_MS, from_ms


class Outgoings:
    """What is asked of a log and told to it while it is exchanged with a server."""

    _log: Log

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
        return {
            kiosk: from_ms(min(max(ms, 0), LATEST_MS)) for kiosk, ms in self._log.latest().items()
        }
