"""Refuse cleats of the wrong board, and rows of screws where they would split it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from kiosk.rules.hanging.kinds import Board, StripFixing
from kiosk.rules.hanging.model import Cleat, Hanging
from kiosk.rules.hanging.prying import STACKED, row_limits
from kiosk.rules.hanging.refusals import BOARDS, Refusal, Why, at_least, at_most
from kiosk.rules.hanging.screws import SIZES
from kiosk.rules.lengths import System, mm
from kiosk.rules.words import _, say

THINNEST: Final = 12.0  # mm (common practice, no source)
PLIES: Final = 5  # at least (common practice, no source)


def refuse_cleat(hanging: Hanging, system: System) -> Iterator[Refusal]:
    """Yield what keeps a cleat from being rated."""
    cleat = hanging.cleat
    if cleat.board in BOARDS:
        yield Refusal(Why.BOARD, BOARDS[cleat.board], _("Use plywood."))
    if mm(cleat.thickness) < THINNEST:
        message = say("The cleat is thinner than {least}.", least=at_least(THINNEST, system))
        yield Refusal(Why.THIN, message, _("Use a thicker cleat."))
    if cleat.board is Board.PLYWOOD and cleat.plies < PLIES:
        message = say("The cleat's plywood has fewer than {least} plies.", least=PLIES)
        yield Refusal(Why.PLIES, message, _("Use plywood of more plies."))
    if cleat.bevel != 45:
        message = _("Only bevels of 45° were worked out.")
        yield Refusal(Why.BEVEL, message, _("Cut both bevels at 45°."))
    if hanging.unit.strip_fixing is not StripFixing.GLUED_AND_SCREWED:
        message = _("The hung strip or the back is not both glued and screwed.")
        yield Refusal(Why.STRIP, message, _("Glue and screw them."))
    if hanging.screw.gauge in SIZES:
        yield from _refuse_rows(cleat, SIZES[hanging.screw.gauge].shank, system)


def _refuse_rows(cleat: Cleat, shank: float, system: System) -> Iterator[Refusal]:
    low, high = row_limits(thickness=mm(cleat.thickness), height=mm(cleat.height), shank=shank)
    rows = sorted(mm(row) for row in cleat.rows)
    if high < low:
        message = say(
            "The cleat is too narrow for this screw: it must be {least} high or more.",
            least=at_least(mm(cleat.height) + low - high, system),
        )
        yield Refusal(Why.ROWS, message, _("Use a wider cleat or a thinner screw."))
    elif not rows or rows[0] < low or rows[-1] > high:
        message = say(
            "Screws must lie {low} to {high} above the cleat's lower edge.",
            low=at_least(low, system),
            high=at_most(high, system),
        )
        yield Refusal(Why.ROWS, message, _("Move the rows of screws."))
    if any(b - a < STACKED * shank for a, b in pairwise(rows)):
        message = say(
            "Rows of screws nearer than {least} split the stud.",
            least=at_least(STACKED * shank, system),
        )
        yield Refusal(Why.ROWS_NEAR, message, _("Use fewer rows or a wider cleat."))
