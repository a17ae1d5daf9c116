"""Keep the shop itself: its settings, its routes to look at, and copies of its file."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kiosk.actions.copying import Copying
from kiosk.actions.core import Core
from kiosk.config import Settings, running
from kiosk.rules.problems import Problem
from kiosk.rules.route import Route
from kiosk.settingsfile import keep_settings, read_settings
from kiosk.store import StoreError


class Upkeep(Core):
    """What is done to the shop itself."""

    @property
    def settings_file(self) -> Path:
        """Return the file the settings are kept in."""
        return self.store.folder / "settings.toml"

    def keep_setting(
        self, name: str, value: Any
    ) -> tuple[Settings, tuple[Problem, ...]]:  # Any: a TOML value
        """Keep one setting, and work by it where it needs no new start.

        Returns:
            The settings as they stand in their file, and the problems; with any nothing changed.
        """
        return self.keep_settings({name: value})

    def keep_settings(
        self, values: Mapping[str, Any]
    ) -> tuple[Settings, tuple[Problem, ...]]:  # Any: a TOML value
        """Keep several settings, all or none; see `keep_setting`."""
        problems = keep_settings(self.settings_file, values)
        kept, _ = read_settings(self.settings_file)
        if not problems:
            self.adopt(running(kept, self.settings))
        return kept, problems

    def adopt(self, settings: Settings) -> None:
        """Work by these settings from now on."""
        self.use_settings(settings)

    def kept_settings(self) -> tuple[Settings, tuple[str, ...]]:
        """Return the settings as they stand in their file, and what is wrong with them."""
        return read_settings(self.settings_file)

    def is_fresh(self) -> bool:
        """Tell whether nobody has set anything in this shop: no settings, no job."""
        return not self.settings_file.is_file() and not self.jobs()

    def routes(self) -> Mapping[str, Route]:
        """Return the route of each kind of unit."""
        return self.setup.routes

    def uses(self) -> Mapping[str, str]:
        """Return what each use in a route stands for: the name of a product, where it is known."""
        products = self.setup.products
        return {use: products[key].title for use, key in self.setup.uses.items() if key in products}

    def copying(self) -> Copying:
        """Return what sees and makes copies of the shop's file; to be used on any thread."""
        return Copying(self.store.file, self.now().astimezone(self.zone), self.settings)

    def bring_home(self) -> bool:
        """Bring into the shop's file what waits beside it; tell whether nothing waits any more.

        A disk that does not take it now may later; nothing is lost.
        """
        try:
            return self.store.bring_home()
        except StoreError:
            return False
