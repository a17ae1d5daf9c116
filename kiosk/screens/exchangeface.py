"""What the exchange with a server asks of a shop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from kiosk.exchange import Door


class ExchangeFace(Protocol):
    """The part of `kiosk.actions.Shop` that is exchanged; called on the shop's thread only."""

    def door(self) -> Door:
        """Return what entries go out and come in by."""
        ...
