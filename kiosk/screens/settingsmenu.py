"""The way to all that is about the shop itself: settings, places, routes, copies, the check."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.rules.words import _
from kiosk.screens.aboutdesk import AboutDesk
from kiosk.screens.backupdesk import BackupDesk
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.firstrun import FirstRun
from kiosk.screens.flow import AskScreen
from kiosk.screens.placesdesk import PlacesDesk
from kiosk.screens.routesdesk import RoutesDesk
from kiosk.screens.settingsdesk import SettingsDesk

ALONE = _("One kiosk, one file: it is not connected with others. Shop, Exchange says how.")
TOGETHER = _("Exchanges with the other kiosks through the shop server: see Shop, Exchange.")


class Upkeep:
    """The screens about the shop itself, and the first questions to a new shop."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        *,
        back: Callable[[], object],
        part_list: Callable[[], object],
    ) -> None:
        """Take `back`, which leads to the shop's screen, and where a list is taken in."""
        self._shop, self._desk, self._back = shop, desk, back
        self.settings = SettingsDesk(shop, desk, back=self.open, places=self.open_places)
        self.places = PlacesDesk(shop, desk, keep=self.settings.keep, back=self.open)
        self.routes = RoutesDesk(shop, desk, back=self.open)
        self.copies = BackupDesk(shop, desk, back=self.open)
        self.about = AboutDesk(shop, desk, back=self.open)
        self.first = FirstRun(
            shop, desk, keep=self.settings.keep, shop_menu=back, part_list=part_list
        )

    def open(self) -> None:
        """Show what there is."""
        choices = (
            Choice(_("Settings"), self.settings.open_first_page),
            Choice(_("Places"), self.places.open),
            Choice(_("Routes"), self.routes.open),
            Choice(_("Copies"), self.copies.open),
            Choice(_("About and check"), self.about.open),
            Choice(_("First questions"), self.first.open),
            Choice(_("Back"), self._back),
        )
        desk = self._desk
        title = _("The shop itself")
        line = TOGETHER if self._shop.settings.server else ALONE
        desk.put(AskScreen(desk.trim, title, choices, line=line, columns=3))

    def open_places(self) -> None:
        """Show the places."""
        self.places.open()

    def greet(self) -> None:
        """Ask a shop that nobody has set up its first questions."""
        self.first.greet()
