"""What the screens about the shop itself ask of a shop."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from kiosk.actions.copies import Copies, Copy
    from kiosk.config import Settings
    from kiosk.rules.problems import Problem
    from kiosk.rules.route import Route


class UpkeepFace(Protocol):
    """The part of `kiosk.actions.Shop` that is about the shop itself.

    Called on the shop's thread only, but for `adopt` and `settings`.
    """

    @property
    def settings(self) -> Settings:
        """Return the settings the kiosk works by."""
        ...

    @property
    def settings_file(self) -> Path:
        """Return the file the settings are kept in."""
        ...

    def keep_setting(
        self, name: str, value: Any
    ) -> tuple[Settings, tuple[Problem, ...]]:  # Any: a TOML value
        """Keep one setting; with any problem nothing changes."""
        ...

    def keep_settings(
        self, values: Mapping[str, Any]
    ) -> tuple[Settings, tuple[Problem, ...]]:  # Any: a TOML value
        """Keep several settings, all or none."""
        ...

    def adopt(self, settings: Settings) -> None:
        """Work by these settings from now on."""
        ...

    def kept_settings(self) -> tuple[Settings, tuple[str, ...]]:
        """Return the settings as they stand in their file, and what is wrong with them."""
        ...

    def is_fresh(self) -> bool:
        """Tell whether nobody has set anything in this shop."""
        ...

    def routes(self) -> Mapping[str, Route]:
        """Return the route of each kind of unit."""
        ...

    def uses(self) -> Mapping[str, str]:
        """Return the name of the product each use in a route stands for."""
        ...

    def copies(self) -> Copies:
        """Return the copies of the shop's file, and where new ones may go."""
        ...

    def make_copy(self, folder: Path) -> tuple[Copy | None, tuple[Problem, ...]]:
        """Copy the shop's file into a folder; with any problem there is none."""
        ...
