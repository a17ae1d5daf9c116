"""Reckon coats, stripes, wall paint, fillers and abrasive discs from the steps that are left."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final

from kiosk.rules.buying.measures import METRE, edge, face, surface
from kiosk.rules.buying.model import Group, Left, Need
from kiosk.rules.lengths import PER_MM
from kiosk.rules.problems import Problem
from kiosk.rules.products import Product
from kiosk.rules.route import Step
from kiosk.rules.setup import Setup
from kiosk.rules.words import _, known, say

_GROUPS: Final = {
    "finish": Group.COAT,
    "wall_paint": Group.WALL_PAINT,
    "stripe": Group.STRIPE,
    "filler": Group.FILLER,
    "wall_filler": Group.WALL_FILLER,
}
SANDING: Final = ("sand", "scuff")
"""What the names of steps that take abrasive discs begin with, as in the routes that ship."""


def coat_needs(
    left: Left, setup: Setup, figures: Mapping[str, Fraction]
) -> Iterator[Need | Problem]:
    """Yield what each step left on a unit puts on, and what cannot be reckoned.

    A coat goes on both faces and all edges of every part, on a wall on its face alone.
    """
    if left.spec.kind == "wall" and left.steps and not left.pieces:
        yield Problem(
            say("Wall {unit} has no size, so no paint is reckoned.", unit=left.spec.unit),
            _("Give its length and width in the part list and revise it."),
        )
    for step in left.steps:
        group = _GROUPS.get(step.uses)
        if group is not None:
            yield from _put_on(left, step, group, setup=setup, figures=figures)


def _put_on(
    left: Left, step: Step, group: Group, *, setup: Setup, figures: Mapping[str, Fraction]
) -> Iterator[Need | Problem]:
    product = setup.product(step, left.spec)
    if product is None:
        key = left.spec.finish if step.uses == "finish" else setup.uses.get(step.uses, "")
        words = say("No product “{key}” is known, so none is reckoned.", key=key)
        yield Problem(words, _("Add it to the products, or name another one."))
        return
    measure, rate = _measured(left, group, product, figures)
    if rate is None:
        words = say("How far {product} goes is not known.", product=known(product.title, "product"))
        example = f"[{product.key}] coverage = {{ label_m2_l = 10 }}"
        yield Problem(words, say("Enter it in the products: {example}.", example=example))
        return
    yield Need(
        group=group,
        item=product.key,
        what=_name(product, group),
        amount=measure * rate if group in _BY_VOLUME else measure / rate,
        measure=measure,
        rate=rate,
    )


_BY_VOLUME: Final = (Group.FILLER, Group.WALL_FILLER)


def _name(product: Product, group: Group) -> str:
    """Return what is bought: the same product in another colour is another can."""
    title = known(product.title, "product")
    if group is Group.STRIPE:
        return say("{product}, for stripes", product=title)
    if group in (Group.WALL_PAINT, Group.WALL_FILLER):
        return say("{product}, for walls", product=title)
    return title


def _measured(
    left: Left, group: Group, product: Product, figures: Mapping[str, Fraction]
) -> tuple[Fraction, Fraction | None]:
    """Return the area in m² or length in m of one coat, and its rate: m²/l, l/m or l/m²."""
    if group is Group.FILLER:
        return sum(map(edge, left.pieces), Fraction(0)), figures["filler_ml_m"] / 1000
    if group is Group.WALL_FILLER:
        depth = _exact(product.own_depth_mm or product.depth_mm or 1)
        # a millimetre on a square metre is a litre
        return area_of(left) * figures["wall_filled_percent"] / 100, depth
    spread = product.own_coverage_m2_l or product.coverage_m2_l
    rate = _exact(spread) if spread else None
    if group is Group.STRIPE:
        longest = max((one.length for one in left.pieces), default=0)
        return Fraction(longest, METRE) * figures["stripe_mm"] * PER_MM / METRE, rate
    return area_of(left), rate


def area_of(left: Left) -> Fraction:
    """Return the area of a unit in m²: of a wall its face, else both faces and all edges."""
    measure = face if left.spec.kind == "wall" else surface
    return sum(map(measure, left.pieces), Fraction(0))


def disc_needs(left: Left, figures: Mapping[str, Fraction]) -> Iterator[Need]:
    """Yield the discs that the sanding left on a unit takes, each time over all of it."""
    times = sum(step.name.partition("-")[0] in SANDING for step in left.steps)
    area = area_of(left) * times
    if area:
        rate = figures["disc_m2"]
        what = _("Abrasive discs, 150 mm")
        yield Need(
            group=Group.DISCS, item="", what=what, amount=area / rate, measure=area, rate=rate
        )


def _exact(value: float) -> Fraction:
    return Fraction(str(value))
