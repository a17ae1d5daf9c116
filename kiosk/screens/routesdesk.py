"""Show the shop's routes, and lead to where they are changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.routechange import RouteChange
from kiosk.screens.routeview import RouteView, see_routes
from kiosk.screens.rows import Listed, ListScreen

NOT_SEEN = _("The routes could not be shown. Try again.")
HOW = _("Tap one to see its steps or to change how it is finished.")


class RoutesDesk:
    """The screens about routes."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the shop's upkeep."""
        self._shop, self._desk, self._back = shop, desk, back
        self.change = RouteChange(shop, desk, back=self.open)

    def open(self) -> None:
        """Show the kinds of units that have a route."""
        before = self._desk.show

        def then(views: tuple[RouteView, ...]) -> None:
            if self._desk.show is before:
                self._list(views)

        self._desk.ask(lambda: see_routes(self._shop), then, lost=NOT_SEEN)

    def _list(self, views: tuple[RouteView, ...], page: int = 0) -> None:
        rows = [
            replace(view.row, act=partial(self.show, view, partial(self._list, views, page)))
            for view in views
        ]
        extra = (Choice(_("Take from a file"), self.change.open_files),)
        desk, shown = self._desk, Listed(_("Routes"), rows, HOW)
        turn = partial(self._list, views)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=self._back, page=page, extra=extra))

    def show(self, view: RouteView, back: Callable[[], object], page: int = 0) -> None:
        """Show the steps of one kind's route."""
        desk, title = self._desk, say("Route: {kind}", kind=view.title)
        shown = Listed(title, view.steps, view.below)
        turn = partial(self.show, view, back)
        extra = (Choice(_("Change it"), partial(self.change.open, view)),)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=back, page=page, extra=extra))
