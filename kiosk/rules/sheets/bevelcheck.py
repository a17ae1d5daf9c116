"""Check what a sheet is cut by, bevels included, by cutting it again from the lines alone.

Shares no code with what lays cleats into strips and reckons their bevels: both trapezoids of a
bevel are rebuilt from fence setting, tilt, blade and sheet. A face may differ from what is wanted
by `ALLOWED`, as tilts make no whole units; all else must agree to the unit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import cos, radians, tan
from typing import Final

from kiosk.rules.breakdown.model import Direction
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.lines import cut_lines
from kiosk.rules.sheets.model import CutLine, PlannedSheet, Strip
from kiosk.rules.words import _, say

ALLOWED: Final = 16  # units, 0.01 mm (choice): more than is rounded, far less than a saw shows

_Size = tuple[int, int]


@dataclass(slots=True)
class _Sawn:
    """What lies at the saw: pieces with length and width, codes with the pieces they are.

    strips says of a piece's name which strip it is, ahead how often it is yet to be cut,
    kept what goes back to stock, trims how often which edge lost how much.
    """

    pieces: dict[str, _Size]
    strips: dict[str, Strip]
    ahead: Counter[str]
    wanted: dict[str, _Size]
    labels: dict[str, str] = field(default_factory=dict)
    freed: Counter[str] = field(default_factory=Counter)
    kept: set[str] = field(default_factory=set)
    trims: Counter[tuple[Direction, int]] = field(default_factory=Counter)


def find_faults(
    planned: PlannedSheet,
    pieces: Sequence[Piece] = (),
    *,
    lines: Sequence[CutLine] | None = None,
) -> tuple[str, ...]:
    """Return what is wrong with the cuts of a planned sheet, in words; nothing where all is sound.

    Never raises, whatever the sheet holds.

    Args:
        planned: its strips are those that lie on it, and no others.
        pieces: those of the job; what lies on the sheet is compared with them.
        lines: what is cut by; None for those of `cut_lines`.
    """
    faults = [*_strips(planned), *(_asked(planned, pieces) if pieces else ())]
    # a strip that makes no sense cannot be cut again
    if not faults:
        faults += _follow(planned, cut_lines(planned) if lines is None else lines)
    sheet = planned.sheet.name
    return tuple(say("{sheet}: {what}", sheet=sheet, what=fault) for fault in faults)


def _strips(planned: PlannedSheet) -> Iterator[str]:
    """Tell which strips do not lie on the sheet, or cannot give their cleats."""
    lying = [(one.code, one.length, one.width) for one in planned.sheet.parts]
    thickness = planned.material.thickness
    for strip in planned.strips:
        if lying.count((strip.code, strip.length, strip.width)) != 1:
            yield say("strip {strip}: it does not lie there once, in its size", strip=strip.code)
        if thickness is not None and strip.thickness != thickness:
            yield say("strip {strip}: its sheet has another thickness", strip=strip.code)
        faces = [face for face in strip.long_faces if face > 0]
        if not strip.lanes or len(faces) != len(strip.lanes):
            yield say("strip {strip}: it has not one lane or two", strip=strip.code)
        elif not 0 < strip.tilt < 90:
            yield say("strip {strip}: no blade is tilted so", strip=strip.code)
        else:
            yield from _section(strip, planned.kerf)
        for lane in strip.lanes:
            needs = sum(length for _code, length in lane) + planned.kerf * (len(lane) - 1)
            if not lane or needs > strip.length:
                yield say("strip {strip}: a lane is empty or too full", strip=strip.code)


def _section(strip: Strip, kerf: int) -> Iterator[str]:
    """Compare the section of a strip with those of its cleats and of the slot between them."""
    lean = strip.thickness * tan(radians(strip.tilt))
    slot = kerf / cos(radians(strip.tilt))
    first, second = strip.long_faces
    if min(face for face in (first, second) if face) - lean <= 0:
        yield say("strip {strip}: a cleat has no short face", strip=strip.code)
    # each area by the thickness: a trapezoid's is the mean of its faces
    whole = (first - lean / 2) + slot + (second - lean / 2) if second else first
    if abs(whole - strip.width) > ALLOWED:
        yield say("strip {strip}: its cleats and the slot are not its section", strip=strip.code)


def _asked(planned: PlannedSheet, pieces: Sequence[Piece]) -> Iterator[str]:
    """Compare what lies on the sheet with the pieces of the job."""
    known = {piece.code: piece for piece in pieces}
    tilts = {
        code: strip.tilt
        for strip in planned.strips
        for lane in strip.lanes
        for code, _length in lane
    }
    for code, (length, width) in _wanted(planned).items():
        piece = known.get(code)
        if piece is None:
            yield say("nobody asked for a part {part}", part=code)
        elif code in tilts and piece.bevel != tilts[code]:
            yield say("{part}: its bevel is another", part=code)
        elif {piece.length, piece.width} != {length, width} or (
            code in tilts and piece.length != length
        ):
            yield say("{part}: it comes out in another size", part=code)


def _wanted(planned: PlannedSheet) -> dict[str, _Size]:
    """Return length and long face of all parts on a sheet, cleats in place of strips."""
    strips = {strip.code: strip for strip in planned.strips}
    wanted: dict[str, _Size] = {}
    for one in planned.sheet.parts:
        if one.code not in strips:
            wanted[one.code] = (one.length, one.width)
            continue
        strip = strips[one.code]
        for lane, face in zip(strip.lanes, strip.long_faces, strict=False):
            wanted.update({code: (length, face) for code, length in lane})
    return wanted


def _follow(planned: PlannedSheet, lines: Sequence[CutLine]) -> Iterator[str]:
    """Make the cuts one after the other, and look at what they leave."""
    sheet = planned.sheet
    names = {sheet.whole: sheet.name}
    for cut in sheet.cuts:
        names.update({cut.part: cut.piece_out, cut.rest_part: cut.rest})
    sawn = _Sawn(
        pieces={sheet.name: (sheet.stock.length, sheet.stock.width)},
        strips={names[strip.code]: strip for strip in planned.strips if strip.code in names},
        ahead=Counter(line.piece_in for line in lines),
        wanted=_wanted(planned),
    )
    if sheet.whole in sawn.wanted:
        sawn.freed[sheet.whole] += 1
    for number, line in enumerate(lines, 1):
        why = _make(sawn, line, planned.kerf)
        if not why and line.number != number:
            why = _("its number is out of order")
        if why:
            yield say("cut {number}: {why}", number=line.number, why=why)
            return
    yield from _left(sawn, planned)


def _make(sawn: _Sawn, line: CutLine, kerf: int) -> str:
    """Make one cut; return why it cannot be made, '' if it was."""
    if line.piece_in not in sawn.pieces:
        return say("there is no piece {piece} to cut", piece=line.piece_in)
    sawn.ahead[line.piece_in] -= 1
    length, width = sawn.pieces.pop(line.piece_in)
    is_rip = line.direction is Direction.RIP
    side = width if is_rip else length
    if not 0 < line.measure < side:
        return _("the fence stands outside the piece")
    if line.tilt:
        return _bevel(sawn, line, (length, width), kerf)
    beyond = max(side - line.measure - kerf, 0)
    out = (length, line.measure) if is_rip else (line.measure, width)
    rest = (length, beyond) if is_rip else (beyond, width)
    if line.is_trim:
        sawn.trims[line.direction, side - line.measure] += 1
        return _lay_down(sawn, line, out, None)
    return _lay_down(sawn, line, out, rest if beyond else None)


def _bevel(sawn: _Sawn, line: CutLine, size: _Size, kerf: int) -> str:
    """Part a strip by a tilted blade: its setting is the first cleat's face at the table.

    At the upper face the blade stands further out by the lean, so there the first cleat is wide
    and the second narrow.
    """
    strip = sawn.strips.get(line.piece_in)
    if strip is None or line.direction is not Direction.RIP or size != (strip.length, strip.width):
        return _("this piece has no bevel")
    if line.tilt != strip.tilt:
        return _("the blade is tilted otherwise than the bevel is")
    lean = strip.thickness * tan(radians(line.tilt))
    slot = kerf / cos(radians(line.tilt))
    length, width = size
    first, second = strip.long_faces
    # long and short face differ by the lean: where one is right, so is the other
    if abs(line.measure + lean - first) > ALLOWED:
        return _("the first cleat gets other faces")
    if second and abs(width - line.measure - slot - second) > ALLOWED:
        return _("the second cleat gets other faces")
    return _lay_down(sawn, line, (length, first), (length, second) if second else None)


def _lay_down(sawn: _Sawn, line: CutLine, out: _Size, rest: _Size | None) -> str:
    """Lay down what a cut made, with its labels; return why that cannot be, '' if it can."""
    if line.piece_out in sawn.pieces or line.rest in (line.piece_out, *sawn.pieces):
        return _("there are two pieces of one name")
    said = (line.rest_length, line.rest_width)
    if said != (rest or (0, 0)) or bool(line.rest) is not bool(rest):
        return _("what remains has another size")
    made = {line.piece_out: out} | ({line.rest: rest} if rest else {})
    sawn.pieces.update(made)
    if line.keeps_offcut:
        sawn.kept.add(line.rest)
    for code in line.frees:
        size = sawn.wanted.get(code)
        if size is None:
            return say("nobody asked for a part {part}", part=code)
        name = next((one for one in made if one not in sawn.labels and not sawn.ahead[one]), "")
        if made.get(name) != size:
            return say("{part}: it comes out in another size", part=code)
        sawn.labels[name] = code
        sawn.freed[code] += 1
    return ""


def _left(sawn: _Sawn, planned: PlannedSheet) -> Iterator[str]:
    """Tell which parts were not freed once, and which edges and offcuts are not as they should."""
    for code in sawn.wanted:
        if sawn.freed[code] != 1:
            yield say("{part}: it is freed {times} times", part=code, times=sawn.freed[code])
    trim = planned.sheet.stock.trim
    if sawn.trims != ({(way, trim): 2 for way in Direction} if trim else {}):
        yield _("its edges are not trimmed as they should be")
    sizes = {one.piece: (one.length, one.width) for one in planned.sheet.offcuts}
    if sawn.kept != set(sizes):
        yield _("other offcuts are kept than remain")
    for name, size in sizes.items():
        if name in sawn.labels or sawn.pieces.get(name) != size:
            yield say("offcut {piece} is not there", piece=name)
