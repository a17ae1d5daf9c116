"""What the screens about the shop itself ask of a shop."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from kiosk.actions.copying import Copying
    from kiosk.actions.paperprints import PaperPrinter
    from kiosk.config import Settings
    from kiosk.rules.permission import Permit
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

    def routes_text(self) -> str:
        """Return the routes as TOML text."""
        ...

    def shipped_routes(self) -> str:
        """Return the routes that ship, as TOML text."""
        ...

    def set_routes(
        self, text: str, *, person: str = "", permit: Permit | None = None
    ) -> tuple[Problem, ...]:
        """Set the routes; with any problem nothing is set."""
        ...

    def uses(self) -> Mapping[str, str]:
        """Return the name of the product each use in a route stands for."""
        ...

    def paper_printer(self) -> PaperPrinter:
        """Return the printer for sheets of paper; to be used on any thread."""
        ...

    def copying(self) -> Copying:
        """Return what sees and makes copies of the shop's file; to be used on any thread."""
        ...

    def bring_home(self) -> bool:
        """Bring into the shop's file what waits beside it; tell whether nothing waits any more."""
        ...
