"""Say what a list of what to buy stands on, and which cautions go with the products on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final

from kiosk.rules.buying.figures import FIGURES, say_figure
from kiosk.rules.buying.model import Group, Need
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.products import Product
from kiosk.rules.setup import Setup
from kiosk.rules.words import _, join, known, say


def list_assumptions(
    needs: Sequence[Need],
    figures: Mapping[str, Fraction],
    *,
    allowance: int,
    whole: bool,
    is_estimate: bool,
) -> Iterator[str]:
    """Yield what a list stands on, as far as it makes use of it.

    allowance is in percent, whole as in `BuyingList`; is_estimate tells that sheets without a plan
    are among it.
    """
    yield (
        _("For the whole jobs, as if nothing were done or in stock yet.")
        if whole
        else _("For what is left to do; parts cut and coats on are not counted again.")
    )
    yield say(
        "{percent} % allowance is in every amount but that of sheets by a plan; all are rounded up"
        " to what is sold.",
        percent=allowance,
    )
    if is_estimate:
        yield _(
            "Sheets without a plan are an estimate: a plan may take more, offcuts may spare some."
        )
    groups = {one.group for one in needs}
    for group, sentence in _SAID:
        if group in groups:
            yield sentence
    for figure in FIGURES:
        if _USED[figure.name] & groups:
            yield say_figure(figure, figures[figure.name])


_SAID: Final = (
    (Group.CLEATS, _("Cleat stock is for who buys it ready-made; it is in the sheets too.")),
    (
        Group.GLUE,
        _("Glue and screws: every bevelled part counts along its long face, wall cleats too."),
    ),
    (
        Group.SCREWS,
        _("Screws for the wall are not among them: what holds there is to be decided for that wall."
          " Check the lengths against the thickness they go into."),
    ),
    (Group.EDGING, _("A front, back, top or bottom edge is taken for one along a part's length.")),
    (
        Group.COAT,
        _("Coats go on both faces and all edges of every part, also where it is glued."
          " The first coat on raw wood takes more, which is not counted."),
    ),
    (Group.WALL_PAINT, _("A wall counts with its whole face; openings are not taken off.")),
)  # fmt: skip
_USED: Final[Mapping[str, frozenset[Group]]] = {
    "glue_g_m2": frozenset((Group.GLUE,)),
    "joined_edge_percent": frozenset((Group.GLUE, Group.SCREWS)),
    "screw_pitch_mm": frozenset((Group.SCREWS,)),
    "edging_spare_mm": frozenset((Group.EDGING,)),
    "filler_ml_m": frozenset((Group.FILLER,)),
    "wall_filled_percent": frozenset((Group.WALL_FILLER,)),
    "stripe_mm": frozenset((Group.STRIPE,)),
    "disc_m2": frozenset((Group.DISCS,)),
}
_NO_PRODUCT: Final = frozenset(
    (Group.CLEATS, Group.SCREWS, Group.EDGING, Group.DISCS, Group.SHEETS)
)


def list_cautions(needs: Sequence[Need], setup: Setup) -> Iterator[str]:
    """Yield the usual cautions of the products bought, each with the products it is about."""
    keys = dict.fromkeys(one.item for one in needs if one.group not in _NO_PRODUCT)
    bought = [setup.products[key] for key in keys]
    sands = any(one.group is Group.DISCS for one in needs)
    if sands:
        yield HAZARDS["dust"]
    for hazard, sentence in HAZARDS.items():
        about = [product for product in bought if hazard in product.hazards]
        if about and not (sands and hazard == "dust"):
            names = join([_title(product) for product in about], "; ")
            yield say("{names}: {caution}", names=names, caution=sentence)
    for product in bought:
        if product.caution:
            caution = known(product.caution, "caution")
            yield say("{names}: {caution}", names=_title(product), caution=caution)


def _title(product: Product) -> str:
    return known(product.title, "product")
