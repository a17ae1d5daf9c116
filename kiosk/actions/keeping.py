"""Keep settings in the file beside the shop's."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.actions.core import Core
from kiosk.settingsfile import NAME, keep_settings


class Keeping(Core):
    """The settings of a shop, as a person changes them at the kiosk."""

    def keep_settings(self, values: Mapping[str, Any]) -> str:
        """Keep settings for the next start; return nothing, or in words why they were not kept."""
        return keep_settings(self.store.folder / NAME, dict(values))
