"""Check a breakdown by cutting it again: follow the cut list as a saw would, and measure the rest.

Knows sheets, kerf and cut lists, and nothing of places on a sheet. Shares no code with what makes
layouts, nor with `sawable`, which checks from the places alone: a slip in one shows in the others.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

from kiosk.rules.breakdown.model import Breakdown, Cut, Direction, Sheet, Task
from kiosk.rules.words import _, say


@dataclass(slots=True)
class _Sawn:
    """What lies on the saw: pieces with length, width, last direction and level; labels; dust.

    edges is the area of trimmed edges that fell off, trims the direction and depth of those cuts.
    """

    pieces: dict[str, tuple[int, int, Direction, int]]
    labels: dict[str, str] = field(default_factory=dict)
    dust: int = 0
    edges: int = 0
    trims: Counter[tuple[Direction, int]] = field(default_factory=Counter)


def find_faults(task: Task, breakdown: Breakdown) -> tuple[str, ...]:
    """Return what is wrong with the cut lists, in words; nothing where they are sound.

    Never raises, whatever the breakdown holds.
    """
    faults: list[str] = []
    made: Counter[str] = Counter(breakdown.left_out)
    for sheet in breakdown.sheets:
        sawn, why = _saw(sheet, task.kerf, breakdown.levels)
        found = [why] if why else [*_parts(task, sawn), *_remains(task, sheet, sawn)]
        faults.extend(say("{sheet}: {what}", sheet=sheet.name, what=one) for one in found)
        made.update(sawn.labels.values())
    wanted: Counter[str] = Counter()
    for part in task.parts:
        wanted[part.code] += part.quantity
    faults.extend(
        say("{part}: it is cut {made} times and wanted {wanted} times", part=code, made=made[code],
            wanted=wanted[code])
        for code in {**wanted, **made}
        if made[code] != wanted[code]
    )  # fmt: skip
    return tuple(faults)


def _saw(sheet: Sheet, kerf: int, levels: int | None) -> tuple[_Sawn, str]:
    """Follow the cuts; the second value says which cannot be made, '' if all can."""
    whole = (sheet.stock.length, sheet.stock.width, Direction.RIP, 1)
    sawn = _Sawn({sheet.name: whole})
    if sheet.whole:
        sawn.labels[sheet.name] = sheet.whole
    for number, cut in enumerate(sheet.cuts, 1):
        why = _make(sawn, cut, kerf, levels)
        if not why and cut.number != number:
            why = _("its number is out of order")
        if why:
            return sawn, say("cut {number}: {why}", number=cut.number, why=why)
    return sawn, ""


def _make(sawn: _Sawn, cut: Cut, kerf: int, levels: int | None) -> str:
    """Make one cut; return why it cannot be made, '' if it was."""
    if cut.piece_in not in sawn.pieces or cut.piece_in in sawn.labels:
        return say("there is no piece {piece} to cut", piece=cut.piece_in)
    length, width, last, level = sawn.pieces.pop(cut.piece_in)
    is_rip = cut.direction is Direction.RIP
    side, other = (width, length) if is_rip else (length, width)
    if not 0 < cut.measure < side:
        return _("the fence stands outside the piece")
    if not cut.is_trim:
        last, level = cut.direction, level + (cut.direction is not last)
    if levels is not None and level > levels:
        return _("the direction changes too often")
    beyond = max(side - cut.measure - kerf, 0)
    sawn.dust += min(kerf, side - cut.measure) * other
    sizes = [(cut.measure, cut.piece_out, cut.part)]
    if cut.is_trim:
        sawn.edges += beyond * other
        sawn.trims[cut.direction, side - cut.measure] += 1
    else:
        said = (cut.rest_length, cut.rest_width)
        if said != (((other, beyond) if is_rip else (beyond, other)) if beyond else (0, 0)):
            return _("what remains has another size")
        sizes += [(beyond, cut.rest, cut.rest_part)] if beyond else []
    for size, name, part in sizes:
        whole = (other, size, last, level) if is_rip else (size, other, last, level)
        if not _put(sawn, name, part, whole):
            return say("there are two pieces {piece}", piece=name)
    return ""


def _put(sawn: _Sawn, name: str, part: str, piece: tuple[int, int, Direction, int]) -> bool:
    """Lay a piece down, False where there is one of that name."""
    if name in sawn.pieces:
        return False
    sawn.pieces[name] = piece
    if part:
        sawn.labels[name] = part
    return True


def _parts(task: Task, sawn: _Sawn) -> Iterator[str]:
    """Tell which parts have not their size, or not their grain."""
    sizes = {part.code: part for part in task.parts}
    for name, code in sawn.labels.items():
        part, (length, width, *_more) = sizes.get(code), sawn.pieces[name]
        if part is None:
            yield say("nobody asked for a part {part}", part=code)
        elif {length, width} != {part.length, part.width}:
            yield say("{part}: it comes out in another size", part=code)
        elif part.is_locked and length != part.length:
            yield say("{part}: its grain runs the wrong way", part=code)


def _remains(task: Task, sheet: Sheet, sawn: _Sawn) -> Iterator[str]:
    """Tell which offcuts are not there, and whether anything is missing from the sheet."""
    trim = sheet.stock.trim
    if sawn.trims != ({(way, trim): 2 for way in Direction} if trim else {}):
        yield _("its edges are not trimmed as they should be")
    sizes = {part.code: part.length * part.width for part in task.parts}
    left = {name: one[:2] for name, one in sawn.pieces.items() if name not in sawn.labels}
    large = {name: one for name, one in left.items() if min(one) >= task.least_offcut}
    if large != {one.piece: (one.length, one.width) for one in sheet.offcuts}:
        yield _("its offcuts are not what remains")
    area = sum(sizes.get(code, 0) for code in sawn.labels.values())
    area += sum(length * width for length, width in left.values())
    if area + sawn.dust + sawn.edges != sheet.stock.length * sheet.stock.width:
        yield _("parts, remainders and dust are not the whole sheet")
