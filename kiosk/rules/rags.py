"""Say whether oily rags of today's work still lie about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time

from kiosk.rules.fold import UnitState
from kiosk.rules.setup import Setup


@dataclass(frozen=True, slots=True)
class Rags:
    """Oily rags that nobody has ticked off: since when, of which product, and whether it is time.

    pressing is True from the shop's closing time on, and on any later day.
    """

    since: datetime
    product: str
    pressing: bool


def rags_out(
    states: Iterable[UnitState],
    setup: Setup,
    *,
    now: datetime,
    cleared: datetime | None,
    closes_at: time,
) -> Rags | None:
    """Return the oily rags not ticked off since an oily product was last used, None if none.

    Args:
        states: the units whose steps may have used one.
        setup: the shop's products, and its zone.
        now: the moment asked about, aware.
        cleared: when they were last ticked off.
        closes_at: the shop's closing time, local.
    """
    found: tuple[datetime, str] | None = None
    oily = {key for key, product in setup.products.items() if "oily_rags" in product.hazards}
    for state in states if oily else ():
        for step in setup.steps(state.spec):
            done = state.done.get(step.name) if step.uses else None
            product = setup.product(step, state.spec) if done else None
            if done is None or product is None or product.key not in oily:
                continue
            if done.at <= now and (cleared is None or done.at > cleared):
                found = min(found or (done.at, product.title), (done.at, product.title))
    if found is None:
        return None
    local, since = now.astimezone(setup.zone), found[0].astimezone(setup.zone)
    pressing = local.date() > since.date() or local.time() >= closes_at
    return Rags(found[0], found[1], pressing)
