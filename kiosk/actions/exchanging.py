"""What the exchange with a shop server asks of a shop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.actions.core import Core

if TYPE_CHECKING:
    from kiosk.exchange import Door


class Exchanging(Core):
    """A shop that is exchanged with others."""

    def door(self) -> Door:
        """Return what entries go out and come in by; to be used on the shop's thread."""
        return self.store
