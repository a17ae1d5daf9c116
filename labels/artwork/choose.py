"""Choose the design for a label's size, or say how large the label must be."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Final

from labels import LabelError
from labels.artwork.plan import Plan, lay_out_design
from labels.stocks import DESIGNS, Stock

_STEP_MM: Final = 0.5
_LEAST_MM: Final = 10.0
_MOST_MM: Final = (210.0, 300.0)  # widest and highest a stock may be


class LabelTooSmall(LabelError):
    """No design, or not the wanted one, goes on a label at this resolution."""


def choose_design(width_mm: float, height_mm: float, dpi: int) -> str:
    """Return the design that survives most of those that fit a label.

    The order is that of the trials with smeared labels (docs/rules.md, "Labels"): two QR codes and
    bars, one and bars, two alone.

    Args:
        width_mm: width of the label in millimetres.
        height_mm: height of the label in millimetres.
        dpi: dots per inch of the printer, such as 203, 300 or 600.

    Raises:
        LabelTooSmall: none fits; the message says how large the label must be.
    """
    found = _chosen(width_mm, height_mm, dpi)
    if not found:
        raise LabelTooSmall(_too_small(width_mm, height_mm, dpi))
    return found


@lru_cache(maxsize=64)
def lay_out(stock: Stock, dpi: int) -> Plan:
    """Return where everything goes on a label of this stock.

    Args:
        stock: the stock; its design decides what the label carries, or its size does.
        dpi: dots per inch of the printer, such as 203, 300 or 600.

    Raises:
        LabelTooSmall: the design does not fit; the message says what does.
    """
    width, height = stock.width_mm, stock.height_mm
    design = stock.design or choose_design(width, height, dpi)
    plan = _plan(design, width, height, dpi)
    if plan is None:
        other = _chosen(width, height, dpi)
        raise LabelTooSmall(
            f"The design {design} does not fit {stock.key} ({width:g} × {height:g} mm) at {dpi} "
            f"dots per inch. Choose a larger label, or leave design out: {other} fits."
            if other
            else _too_small(width, height, dpi)
        )
    return plan


def _plan(design: str, width_mm: float, height_mm: float, dpi: int) -> Plan | None:
    if dpi < 1:
        return None
    return lay_out_design(design, width_mm=width_mm, height_mm=height_mm, dpi=dpi)


def _chosen(width_mm: float, height_mm: float, dpi: int) -> str:
    fitting = (name for name in DESIGNS if _plan(name, width_mm, height_mm, dpi))
    return next(fitting, "")


def _too_small(width_mm: float, height_mm: float, dpi: int) -> str:
    """Say how large a label must be: wider, higher, or both."""
    widest, highest = _MOST_MM
    wider = _least(widest, lambda mm: bool(_chosen(mm, height_mm, dpi)))
    higher = _least(highest, lambda mm: bool(_chosen(width_mm, mm, dpi)))
    ways = []
    if wider:
        ways.append(f"{wider:g} mm wide if it stays {height_mm:g} mm high")
    if higher:
        ways.append(f"{higher:g} mm high if it stays {width_mm:g} mm wide")
    if not ways:
        side = _least(min(_MOST_MM), lambda mm: bool(_chosen(mm, mm, dpi)))
        ways = [f"about {side:g} × {side:g} mm"] if side else []
    if not ways:
        return f"{dpi} dots per inch are too coarse for a label. Use what the printer's maker says."
    return (
        f"A label of {width_mm:g} × {height_mm:g} mm is too small for its codes at {dpi} dots per "
        f"inch. Use a larger label: {', or '.join(ways)}."
    )


def _least(most: float, fits: Callable[[float], bool]) -> float:
    """Return the least length in steps of half a millimetre that fits, 0 where none does."""
    steps = range(int((most - _LEAST_MM) / _STEP_MM) + 1)
    lengths = (_LEAST_MM + step * _STEP_MM for step in steps)
    return next((mm for mm in lengths if fits(mm)), 0.0)
