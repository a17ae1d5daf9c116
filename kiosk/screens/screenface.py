"""What the page about this screen asks of a shop."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol


class ScreenFace(Protocol):
    """The part of `kiosk.actions.Shop` that keeps settings; called on the shop's thread only."""

    def keep_settings(self, values: Mapping[str, Any]) -> str:
        """Keep settings for the next start; return nothing, or why they were not kept."""
        ...
