"""Show the shop's routes: steps, stations, rests, products. They are changed in their file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from kiosk.rules.route import Route, Step, Wait
from kiosk.rules.stages import STAGES
from kiosk.rules.words import _, capital, join, known, say, say_n
from kiosk.screens.face import DeskFace, ShopFace
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("The routes could not be shown. Try again.")
HOW = _(
    "To change one: cleatclock routes > routes.toml, edit it, "
    "then cleatclock routes --set routes.toml"
)


@dataclass(frozen=True, slots=True)
class RouteView:
    """One kind's route in words: its title, what it comes to, and its steps."""

    kind: str
    title: str
    below: str
    steps: tuple[Row, ...]


class RoutesDesk:
    """The screens about routes."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the shop's upkeep."""
        self._shop, self._desk, self._back = shop, desk, back

    def open(self) -> None:
        """Show the kinds of units that have a route."""
        before = self._desk.show

        def then(views: tuple[RouteView, ...]) -> None:
            if self._desk.show is before:
                self._list(views)

        self._desk.ask(lambda: see_routes(self._shop), then, lost=NOT_SEEN)

    def _list(self, views: tuple[RouteView, ...], page: int = 0) -> None:
        rows = [
            Row(
                view.title,
                view.below,
                partial(self.show, view, partial(self._list, views, page)),
                value=say_n("{n} step", "{n} steps", len(view.steps)),
            )
            for view in views
        ]
        desk, shown = self._desk, Listed(_("Routes"), rows, HOW)
        turn = partial(self._list, views)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=self._back, page=page))

    def show(self, view: RouteView, back: Callable[[], object], page: int = 0) -> None:
        """Show the steps of one kind's route."""
        desk, title = self._desk, say("Route: {kind}", kind=view.title)
        shown = Listed(title, view.steps, view.below)
        turn = partial(self.show, view, back)
        desk.put(ListScreen(desk.trim, shown, turn=turn, back=back, page=page))


def see_routes(shop: ShopFace) -> tuple[RouteView, ...]:
    """Return the routes in words; on the shop's thread."""
    uses = shop.uses()
    return tuple(see_route(route, uses) for route in shop.routes().values())


def see_route(route: Route, uses: Mapping[str, str]) -> RouteView:
    """Return one route in words; `uses` gives the product each use stands for."""
    titles = {step.name: step.title for step in route.steps}
    rows = tuple(
        Row(
            say("{number}. {step}", number=number, step=step.title),
            _below(step, uses, titles),
            value=capital(known(step.station, "station")),
        )
        for number, step in enumerate(route.steps, 1)
    )
    ends = join((_wait(wait, titles) for wait in route.ends), ", ")
    below = say("Done once {ends}.", ends=ends) if ends else ""
    return RouteView(route.kind, route.title, below, rows)


def _below(step: Step, uses: Mapping[str, str], titles: Mapping[str, str]) -> str:
    rests = join((_wait(wait, titles) for wait in step.waits), ", ")
    closes = join((_wait(wait, titles) for wait in step.closes), ", ")
    # finishes are named by each unit's part list, so a route knows no product for them
    used = uses.get(step.uses, _("the unit's finish") if step.uses == "finish" else step.uses)
    return join(
        (
            _("every part by itself") if step.each else "",
            say("waits: {rests}", rests=rests) if rests else "",
            say("late once {closes}", closes=closes) if closes else "",
            say("uses {product}", product=used) if used else "",
        ),
        "; ",
    )


def _wait(wait: Wait, titles: Mapping[str, str]) -> str:
    title = titles.get(wait.after, wait.after)
    return say("{step} {stage}", step=title, stage=STAGES[wait.stage].words)
