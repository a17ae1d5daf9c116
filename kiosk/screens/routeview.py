"""A route in words: its steps, stations, rests and products."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.rules.route import Route, Step, Wait
from kiosk.rules.stages import STAGES
from kiosk.rules.words import _, capital, join, known, say, say_n
from kiosk.screens.face import ShopFace
from kiosk.screens.rows import Row


@dataclass(frozen=True, slots=True)
class RouteView:
    """One kind's route in words: its title, what it comes to, and its steps."""

    kind: str
    title: str
    below: str
    steps: tuple[Row, ...]

    @property
    def row(self) -> Row:
        """Return it as one row of a list of routes."""
        return Row(self.title, self.below, value=say_n("{n} step", "{n} steps", len(self.steps)))


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
