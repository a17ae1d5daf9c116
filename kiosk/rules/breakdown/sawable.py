"""Check a breakdown from the places of the parts alone: apart, inside, the right way, sawable.

Knows nothing of trees and cut lists, and shares no code with what makes layouts, nor with `recut`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations

from kiosk.rules.breakdown.model import Breakdown, Offcut, Placed, Sheet, Task
from kiosk.rules.words import _, say

Box = tuple[int, int, int, int]
"""Left, low, right and high edge."""


def find_faults(task: Task, breakdown: Breakdown) -> tuple[str, ...]:
    """Return what is wrong with the places of the parts, in words; nothing where they are sound.

    Never raises, whatever the breakdown holds.
    """
    faults = [
        say("{sheet}: {what}", sheet=sheet.name, what=what)
        for sheet in breakdown.sheets
        for what in _sheet(task, sheet)
    ]
    lying = [one.code for sheet in breakdown.sheets for one in sheet.parts]
    wanted = [part.code for part in task.parts for _number in range(part.quantity)]
    if sorted([*lying, *breakdown.left_out]) != sorted(wanted):
        faults.append(_("The parts that lie on the sheets are not those of the list."))
    used = Counter(sheet.stock for sheet in breakdown.sheets)
    for stock, count in used.items():
        there = [one.count for one in task.stocks if one == stock]
        if not there or (None not in there and count > sum(filter(None, there))):
            faults.append(say("{stock}: there are not so many of them", stock=stock.code))
    return tuple(faults)


def is_sawable(boxes: Sequence[Box], kerf: int) -> bool:
    """Tell whether boxes can be parted by through cuts of a blade of so much.

    Any cut that goes through may be made first: what could be parted before still can after it.
    """
    waiting = [list(boxes)]
    while waiting:
        group = waiting.pop()
        if len(group) < 2:
            continue
        halves = _halves(group, 0, kerf) or _halves(group, 1, kerf)
        if halves is None:
            return False
        waiting.extend(halves)
    return True


def _halves(group: list[Box], axis: int, kerf: int) -> tuple[list[Box], list[Box]] | None:
    """Part boxes by one straight cut across an axis, None if each would go through a box."""
    group = sorted(group, key=lambda box: box[axis])
    reach = group[0][axis + 2]
    for number, box in enumerate(group):
        if number and box[axis] >= reach + kerf:
            return group[:number], group[number:]
        reach = max(reach, box[axis + 2])
    return None


def _box(one: Placed | Offcut) -> Box:
    return one.x, one.y, one.x + one.length, one.y + one.width


def _sheet(task: Task, sheet: Sheet) -> Iterator[str]:
    stock, kerf = sheet.stock, task.kerf
    boxes = [*map(_box, sheet.parts), *map(_box, sheet.offcuts)]
    right, high = stock.length - stock.trim, stock.width - stock.trim
    if any(
        box[0] < stock.trim or box[1] < stock.trim or box[2] > right or box[3] > high
        for box in boxes
    ):
        yield _("something lies outside its trimmed edges")
    if any(not _is_apart(one, other, kerf) for one, other in combinations(boxes, 2)):
        yield _("two parts lie closer than the blade is thick")
    elif not is_sawable(boxes, kerf):
        yield _("the parts cannot be parted by cuts that go through")
    sizes = {part.code: part for part in task.parts}
    for one in sheet.parts:
        part = sizes.get(one.code)
        if part is None:
            yield say("nobody asked for a part {part}", part=one.code)
            continue
        straight = (one.length, one.width) == (part.length, part.width)
        turned = (one.width, one.length) == (part.length, part.width) and not part.is_locked
        if not (straight or turned) or one.is_turned is straight:
            yield say("{part}: it lies there in another size or turned", part=one.code)


def _is_apart(one: Box, other: Box, kerf: int) -> bool:
    return any(
        one[axis + 2] + kerf <= other[axis] or other[axis + 2] + kerf <= one[axis]
        for axis in (0, 1)
    )
