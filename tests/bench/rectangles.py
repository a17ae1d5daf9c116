"""What a general rectangle packer makes of a list: its best layout that can be sawn.

Eighteen ways to choose and divide a free rectangle, four orders of the parts. The packer joins free
rectangles across cut lines, as it does unless told otherwise; what cannot be sawn then is dropped.
"""

from __future__ import annotations

from itertools import product

import rectpack
from rectpack import guillotine

from kiosk.rules.breakdown.model import Task
from kiosk.rules.breakdown.sawable import Box, is_sawable

WAYS = [
    getattr(guillotine, f"Guillotine{choice}{split}")
    for choice in ("Bssf", "Blsf", "Baf")
    for split in ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")
]
ORDERS = (rectpack.SORT_AREA, rectpack.SORT_PERI, rectpack.SORT_SSIDE, rectpack.SORT_LSIDE)


def best_sawable(task: Task) -> tuple[int | None, int]:
    """Return the fewest sheets of all runs that can be sawn, and how many runs cannot.

    Parts are turned where none has its grain locked, as the packer knows no other way.
    """
    stock, kerf = task.stocks[0], task.kerf
    sheet = stock.length - 2 * stock.trim + kerf, stock.width - 2 * stock.trim + kerf
    sizes = [
        (part.length + kerf, part.width + kerf)
        for part in task.parts
        for _n in range(part.quantity)
    ]
    turns = not any(part.is_locked for part in task.parts)
    best, refused = None, 0
    for way, order in product(WAYS, ORDERS):
        found = _pack(sizes, sheet, rectpack.newPacker(
            mode=rectpack.PackingMode.Offline, pack_algo=way, sort_algo=order, rotation=turns
        ))  # fmt: skip
        if found is None or not all(is_sawable(boxes, 0) for boxes in found):
            refused += 1
        elif best is None or len(found) < best:
            best = len(found)
    return best, refused


def _pack(sizes: list[tuple[int, int]], sheet: tuple[int, int], packer) -> list[list[Box]] | None:
    """Return the boxes on each sheet, None where not all parts lie."""
    for number, (length, width) in enumerate(sizes):
        packer.add_rect(length, width, number)
    packer.add_bin(*sheet, count=len(sizes))
    packer.pack()
    if len(packer.rect_list()) < len(sizes):
        return None
    return [
        [(one.x, one.y, one.x + one.width, one.y + one.height) for one in sheet] for sheet in packer
    ]
