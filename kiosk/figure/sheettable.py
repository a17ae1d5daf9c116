"""Lay out the sequence of a sheet's cuts, a line each, with a box to tick and equal settings tied.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.figure.paper import cell
from kiosk.figure.shapes import GREY, INK, RULE, Area, Box, Line, Shape, Words
from kiosk.figure.sheetlegend import tick
from kiosk.figure.sheetsay import Names, say_sides
from kiosk.language import shown
from kiosk.rules.breakdown.model import Direction
from kiosk.rules.lengths import Length, System, tape
from kiosk.rules.sheets.lines import count_settings, setting_of
from kiosk.rules.sheets.model import CutLine
from kiosk.rules.words import _, join, say, say_n
from labels.artwork.letters import fit, plain, width_of, wrap
from labels.codes import shown as grouped

_MEASURE, _PLAIN, _SMALL, LEAST = 17, 14, 12, 9
_ROW, _LINE = 25.0, 16.0
HEADING: Final = 26.0
# Widths of tick, number, cut, piece in and measure; what comes off and what remains share the rest.
_WIDTHS: Final = (30.0, 36.0, 112.0, 92.0, 112.0)
_GIVES: Final = 0.56
_NAMES: Final = ("", _("no."), _("kind of cut"), _("from"), _("measure"), _("gives"), _("remains"))
_PAD: Final = 8.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the sequence in words.

    gives and remains are lines of text. is_new says that the fence is set for it, is_more that the
    next line has the same setting. is_made ticks it.
    """

    line: CutLine
    gives: tuple[str, ...]
    remains: tuple[str, ...]
    is_new: bool
    is_more: bool
    is_made: bool


def compose_rows(
    lines: Sequence[CutLine],
    names: Names,
    *,
    system: System,
    done: frozenset[int] = frozenset(),
    trim: int = 0,
) -> tuple[Row, ...]:
    """Return the lines of a sheet in words; lengths are said in a system.

    trim is what each edge of the sheet loses.
    """
    off = tape(Length(trim), system)
    later = {line.piece_in for line in lines}
    strips = {line.piece_in for line in lines if line.tilt}
    settings = [None, *map(setting_of, lines), None]
    rows = []
    for number, line in enumerate(lines, 1):
        before, own, behind = settings[number - 1 : number + 2]
        rows.append(
            Row(
                line,
                _trims(line, off) if line.is_trim else _gives(line, names, later, strips),
                _remains(line, later, system),
                is_new=own is not None and own != before,
                is_more=own is not None and own == behind,
                is_made=line.number in done,
            )
        )
    return tuple(rows)


def _trims(line: CutLine, off: str) -> tuple[str, ...]:
    """Return what a trim takes: whoever guides a saw by hand sets that, not what is left."""
    if line.direction is Direction.RIP:
        return (say("{off} off a long edge", off=off),)
    return (say("{off} off a short edge", off=off),)


def _gives(line: CutLine, names: Names, later: set[str], strips: set[str]) -> tuple[str, ...]:
    """Return what comes off: the piece where it is cut further, and each part that is free now."""
    found: list[str] = []
    if line.piece_out in strips:
        found.append(say("{piece}, a strip of cleats", piece=line.piece_out))
    elif line.piece_out in later:
        found.append(line.piece_out)
    elif not line.frees:
        found.append(say("{piece}, waste", piece=line.piece_out))
    for code in line.frees:
        part, unit = names.get(code, ("", ""))
        found.append(join((join((unit, part)), grouped(code)), ", "))
    return tuple(found)


def _remains(line: CutLine, later: set[str], system: System) -> tuple[str, ...]:
    if not line.rest:
        return ()
    size = say_sides(line.rest_length, line.rest_width, system)
    if line.keeps_offcut:
        offcut = say("Offcut {piece}: label it", piece=line.rest)
        return (offcut, say("{size}, to stock", size=size))
    if line.rest in later:
        return (say("{piece}: {size}", piece=line.rest, size=size),)
    freed = len(line.frees) - (line.piece_out not in later)
    return () if freed > 0 else (say("waste: {size}", size=size),)


# -- on the page ---------------------------------------------------------------------------------


def height_of(row: Row, width: float, system: System) -> float:
    """Return how tall a line is in a table of that width."""
    columns = _columns(width)
    texts = ((row.gives, columns[5]), (row.remains, columns[6]))
    count = max(len(_broken(text, room)) for text, (_x, room) in texts)
    count = max(count, 1 + len(_long_face(row.line, columns[4][1], system)))
    return max(_ROW, count * _LINE + 10)


def heading_shapes(left: float, y: float, width: float) -> Iterator[Shape]:
    """Yield the names of the columns, with a rule below them."""
    for (x, room), name in zip(_columns(width), _NAMES, strict=True):
        yield from cell(name, left + x, y + HEADING - 9, room=room, size=_SMALL, least=LEAST,
                        colour=GREY)  # fmt: skip
    yield Line(((left, y + HEADING), (left + width, y + HEADING)), 2.0, INK)


def row_shapes(
    row: Row, left: float, y: float, width: float, *, system: System, is_top: bool
) -> Iterator[Shape]:
    """Yield a line whose upper edge is at y; is_top says its setting again at a page's top."""
    columns = [(left + x, room) for x, room in _columns(width)]
    bottom, base = y + height_of(row, width, system), y + 18
    line = row.line
    side = Box(left, y + 4, left + 17, y + 21, edge=INK)
    yield side
    if row.is_made:
        yield tick(side)
    x, room = columns[1]
    yield from cell(str(line.number), x, base, room=room, size=_PLAIN, least=LEAST)
    x, room = columns[2]
    yield from _cut_sign(line, Box(x, y + 6, x + 20, y + 19))
    yield from cell(_cut_words(line), x + 27, base, room=room - 27, size=_PLAIN, least=LEAST)
    x, room = columns[3]
    yield from cell(line.piece_in, x, base, room=room, size=_PLAIN, least=LEAST)
    yield from _measure(row, columns[4], (y, bottom), tape(line.measure, system), is_top=is_top)
    x, room = columns[4]
    for number, (text, size) in enumerate(_long_face(line, room, system), 1):
        yield Words(x + 16, base + number * _LINE, text, size)
    for texts, (x, room) in ((row.gives, columns[5]), (row.remains, columns[6])):
        for number, (text, size) in enumerate(_broken(texts, room)):
            yield Words(x, base + number * _LINE, text, size)
    if not row.is_more:
        yield Line(((left, bottom), (left + width, bottom)), 0.8, RULE)


def _measure(
    row: Row, column: tuple[float, float], edges: tuple[float, float], text: str, *, is_top: bool
) -> Iterator[Shape]:
    """Yield the measure: large with a triangle where the fence is set, tied to those that keep it.

    A bar runs down beside all lines of one setting.
    """
    x, room = column
    y, bottom = edges
    has_first = row.is_new or is_top or row.line.is_trim
    size, colour = (_MEASURE, INK) if has_first else (_PLAIN - 1, GREY)
    yield from cell(text, x + 16, y + 18, room=room - 16, size=size, least=LEAST, colour=colour)
    if row.line.is_trim:
        return
    if row.is_new:
        yield Area(((x, y + 5), (x + 11, y + 12.5), (x, y + 20)), INK)
    top = y + 20 if row.is_new else y
    end = bottom if row.is_more else bottom - 5
    if not row.is_new or row.is_more:
        yield Line(((x + 1.5, top), (x + 1.5, end)), 3.0, INK)


def _long_face(line: CutLine, room: float, system: System) -> list[tuple[str, int]]:
    """Return what stands below a bevel's measure: what a saw on a rail is set to."""
    if not line.tilt:
        return []
    long = tape(line.long_face, system)
    whole = plain(shown(say("long face {long}", long=long)))
    for size in (_SMALL, _SMALL - 1, _SMALL - 2):
        if width_of(whole, size) <= room - 16:
            return [(whole, size)]
    return _broken((_("long face"), long), room - 16, largest=_SMALL)


def _cut_words(line: CutLine) -> str:
    if line.is_trim:
        return _("trim")
    if line.tilt:
        return say("bevel {tilt:g}°", tilt=line.tilt)
    return _("rip") if line.direction is Direction.RIP else _("crosscut")


def _cut_sign(line: CutLine, box: Box) -> Iterator[Shape]:
    """Yield a small board with the blade's way over it: along a rip, across a crosscut."""
    yield Box(box.left, box.top, box.right, box.bottom, edge=GREY)
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    if line.tilt:
        yield Line(((box.left + 6, box.bottom + 2), (box.right - 6, box.top - 2)), 2.4, INK)
    elif line.direction is Direction.RIP:
        near = y if not line.is_trim else box.top + 2
        yield Line(((box.left - 2, near), (box.right + 2, near)), 2.4, INK)
    else:
        near = x if not line.is_trim else box.left + 2
        yield Line(((near, box.top - 2), (near, box.bottom + 2)), 2.4, INK)


def _broken(texts: Sequence[str], room: float, *, largest: int = _PLAIN) -> list[tuple[str, int]]:
    """Return texts in lines with their size: smaller where they must be, then broken at spaces."""
    found: list[tuple[str, int]] = []
    for text in texts:
        words = plain(shown(text))
        for size in range(largest, _SMALL - 1, -1):
            if width_of(words, size) <= room:
                found.append((words, size))
                break
        else:
            lines = wrap(words, int(room), _SMALL)
            found += [fit(line, int(room), largest=_SMALL, least=LEAST) for line in lines]
    return found


def _columns(width: float) -> tuple[tuple[float, float], ...]:
    """Return left edge and room of each column."""
    rest = width - sum(_WIDTHS)
    found, x = [], 0.0
    for wide in (*_WIDTHS, rest * _GIVES, rest * (1 - _GIVES)):
        found.append((x, wide - _PAD))
        x += wide
    return tuple(found)


def say_count(lines: Sequence[CutLine]) -> str:
    """Return how many cuts there are and how often the fence is set for them."""
    cuts = say_n("{n} cut", "{n} cuts", len(lines))
    return join(
        (cuts, say_n("{n} fence setting", "{n} fence settings", count_settings(lines))), ", "
    )


def part_count(lines: Sequence[CutLine], whole: str = "") -> int:
    """Count the parts some lines free; whole is the part a sheet is without a cut."""
    return sum(len(line.frees) for line in lines) + bool(whole and not lines)
