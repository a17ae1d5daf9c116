"""Reckon glue, screws, edging and cleat stock from the parts of a unit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from kiosk.rules.buying.edging import parse_edges
from kiosk.rules.buying.measures import METRE, body, joined, screw_length, screws
from kiosk.rules.buying.model import Group, Left, Need
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.setup import Setup
from kiosk.rules.words import _, known, number, say


def joint_needs(
    left: Left, setup: Setup, figures: Mapping[str, Fraction]
) -> Iterator[Need | Problem]:
    """Yield the glue and screws of a unit that is still to be glued up."""
    glue = next((step for step in left.steps if step.uses == "glue"), None)
    if glue is None:
        return
    for piece in left.pieces:
        if piece.thickness is None:
            yield _no_thickness(left, piece)
    share = figures["joined_edge_percent"] / 100
    area, rate = joined(left.pieces, share), figures["glue_g_m2"]
    product = setup.product(glue, left.spec)
    if product is None:
        words = say(
            "No product “{key}” is known, so none is reckoned.", key=setup.uses.get("glue", "")
        )
        yield Problem(words, _("Add it to the products, or name another one."))
    elif area:
        yield Need(
            group=Group.GLUE,
            item=product.key,
            what=known(product.title, "product"),
            amount=area * rate / 1000,
            measure=area,
            rate=rate,
        )
    yield from _screws(left, share, figures["screw_pitch_mm"])


def _screws(left: Left, share: Fraction, pitch: Fraction) -> Iterator[Need]:
    largest = body(left.pieces)
    for piece in left.pieces:
        count = screws(piece, share, pitch) if piece is not largest and piece.thickness else 0
        if count:
            size = screw_length(piece)
            yield Need(
                group=Group.SCREWS,
                item=f"{size:03}",
                what=say("Wood screws, {size} mm", size=size),
                amount=Fraction(count),
                measure=Fraction(1),
                rate=pitch,
            )


def edging_needs(
    left: Left, figures: Mapping[str, Fraction], system: System
) -> Iterator[Need | Problem]:
    """Yield the edging of a unit's parts, as long as it is not edged."""
    for piece in () if left.is_edged else left.pieces:
        edges = parse_edges(piece.edge)
        if edges is None:
            words = say(
                "{unit}, {part}: which edges “{text}” means is not understood; none is reckoned.",
                unit=left.spec.unit,
                part=piece.part,
                text=piece.edge,
            )
            yield Problem(words, _("Write it like: all round, front, 2 long + 1 short."))
        elif any(edges):
            longs, shorts = edges
            length = Fraction(longs * piece.length + shorts * piece.width, METRE)
            spare = (longs + shorts) * figures["edging_spare_mm"] / 1000
            yield Need(
                group=Group.EDGING,
                item=f"{piece.thickness or 0:09}",
                what=_thick(_("Edging"), piece.thickness, system),
                amount=length + spare,
                measure=length,
                rate=spare,
            )


def cleat_needs(left: Left, system: System) -> Iterator[Need]:
    """Yield the running length of bevelled parts still to be cut, for who buys them ready-made."""
    for piece in left.uncut:
        if piece.bevel:
            length = Fraction(piece.length, METRE)
            yield Need(
                group=Group.CLEATS,
                item=f"{piece.thickness or 0:09} {piece.width:09} {piece.bevel:g}",
                what=say(
                    "Cleat stock, {width} wide on the long face, {bevel}° bevel{thickness}",
                    width=show(piece.width, system),
                    bevel=number(f"{piece.bevel:g}"),
                    thickness=_thick("", piece.thickness, system),
                ),
                amount=length,
                measure=Fraction(1),
            )


def _thick(what: str, thickness: Length | None, system: System) -> str:
    """Return a name with the thickness of its board, where that is known."""
    if thickness is None:
        return what
    return say("{what}, {thickness} thick", what=what, thickness=show(thickness, system))


def _no_thickness(left: Left, piece: Piece) -> Problem:
    words = say(
        "{unit}, {part}: it has no thickness; its edges, joints and screws are not reckoned.",
        unit=left.spec.unit,
        part=piece.part,
    )
    return Problem(words, _("Give its thickness in the part list and revise it."))
