"""Say a sheet, its next cut and what comes of it, in words to be read at a saw."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile

from kiosk.rules.breakdown.model import Direction
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.lengths import Length, System, show, tape
from kiosk.rules.sheets.model import CutLine, Material, PlannedSheet
from kiosk.rules.sheets.views import PartName
from kiosk.rules.words import Phrase, _, join, number, say, say_n
from labels.codes import shown

Name = Callable[[str], str]  # of a part or a strip by its code


@dataclass(frozen=True, slots=True)
class CutWords:
    """One cut as a screen shows it; what is not to be said is empty.

    kind and measure are read from afar. piece_in becomes piece_out. frees are the parts it frees,
    same how many cuts follow at this setting.
    """

    title: str
    kind: str
    measure: str
    from_where: str
    is_bevel: bool
    piece_in: str
    piece_out: str
    rest: str
    frees: str
    same: str
    caution: str


def system_of(units: str) -> System:
    """Return how a job writes lengths, by the units of its list."""
    return System.INCH if units in ("inch", "in") else System.MM


def say_size(length: Length, width: Length, system: System) -> Phrase:
    """Return length × width."""
    if system is System.MM:
        sides = [tape(side, system, unit_mark=False) for side in (length, width)]
        return say("{length} × {width} mm", length=sides[0], width=sides[1])
    return say("{length} × {width}", length=tape(length, system), width=tape(width, system))


def say_material(material: Material, system: System) -> Phrase:
    """Return what a sheet is made of, and how thick."""
    if material.thickness is None:
        return join((material.name or _("material not named"),))
    thick = show(material.thickness, system)
    name = material.name or _("material not named")
    return say("{material}, {thickness}", material=name, thickness=thick)


def say_sheet(sheet: PlannedSheet, system: System) -> Phrase:
    """Return which sheet it is, of what, and its size or the code of the offcut."""
    stock = sheet.sheet.stock
    size = say_size(Length(stock.length), Length(stock.width), system)
    what = say_material(sheet.material, system)
    if sheet.offcut:
        size = say("offcut {code}, {size}", code=shown(sheet.offcut), size=size)
    return say("{sheet}: {material}, {size}", sheet=sheet.sheet.name, material=what, size=size)


def say_cut(
    lines: Sequence[CutLine],
    line: CutLine,
    system: System,
    *,
    name: Name,
    trim: int = 0,
) -> CutWords:
    """Return one of a sheet's cuts in words.

    name says what a part is called, trim what each edge of the sheet loses.
    """
    where = _("from the trimmed edge")
    if line.is_trim:
        where = say("is left once {off} of this edge is off", off=tape(Length(trim), system))
    elif line.tilt:
        where = say(
            "short face, at a fence. With a saw on a rail: {long}, the long face",
            long=tape(line.long_face, system),
        )
    return CutWords(
        title=say("Cut {n} of {count}", n=line.number, count=len(lines)),
        kind=say_kind(line),
        measure=tape(line.measure, system),
        from_where=where,
        is_bevel=bool(line.tilt),
        piece_in=line.piece_in,
        piece_out="" if line.is_trim else line.piece_out,
        rest=_say_rest(lines, line, system),
        frees=_say_frees(line, name),
        same=_say_same(lines, line),
        caution=say_caution(line),
    )


def say_kind(line: CutLine) -> Phrase:
    """Return what kind of cut it is; of a bevel with the tilt of the blade."""
    if line.tilt:
        return say("Bevel, blade at {tilt}°", tilt=number(f"{line.tilt:g}"))
    is_rip = line.direction is Direction.RIP
    if line.is_trim:
        return _("Trim a long edge") if is_rip else _("Trim a short edge")
    return _("Rip") if is_rip else _("Crosscut")


def say_caution(line: CutLine) -> str:
    """Return the caution of a cut: of dust with a sheet's first, of blades with a tilted one."""
    if line.tilt:
        return HAZARDS["blades"]
    return HAZARDS["dust"] if line.number == 1 else ""


def say_all(*sentences: str) -> str:
    """Return sentences behind one another, with one full stop between them; empty ones left out."""
    found = ""
    for one in filter(None, sentences):
        found = join((found, one), " " if found.endswith(".") else ". ")
    return found


def _say_rest(lines: Sequence[CutLine], line: CutLine, system: System) -> str:
    if not line.rest:
        return "" if line.is_trim else _("nothing is left")
    size = say_size(line.rest_length, line.rest_width, system)
    if line.keeps_offcut:
        return say("{piece} is left, {size}: back to stock", piece=line.rest, size=size)
    later = {one.piece_in for one in lines}
    is_part = len(line.frees) > (line.piece_out not in later)
    if line.rest not in later and not is_part:
        return say("waste is left, {size}", size=size)
    return say("{piece} is left, {size}", piece=line.rest, size=size)


def _say_frees(line: CutLine, name: Name) -> str:
    return join(map(name, line.frees), "; ")


def _say_same(lines: Sequence[CutLine], line: CutLine) -> str:
    count = count_same(lines, line)
    return say_n("same setting, {n} more", "same setting, {n} more", count) if count else ""


def count_same(lines: Sequence[CutLine], line: CutLine) -> int:
    """Count the cuts that follow one at the same setting of fence and blade."""
    after = [one for one in lines if one.number > line.number]
    return sum(1 for _one in takewhile(lambda one: _setting(one) == _setting(line), after))


def _setting(line: CutLine) -> tuple[object, ...]:
    return (line.direction, line.measure, line.tilt, line.is_trim)


def say_far(cuts: tuple[int, int], parts: tuple[int, int]) -> Phrase:
    """Return how far a sheet is: cuts made of all, parts cut of all."""
    return join(
        (
            say_n("{done} of {n} cut", "{done} of {n} cuts", cuts[1], done=cuts[0]),
            say_n("{done} of {n} part", "{done} of {n} parts", parts[1], done=parts[0]),
        ),
        ", ",
    )


def say_names(names: Mapping[str, PartName], planned: PlannedSheet, code: str) -> Phrase:
    """Return what a part is called; of a strip, all cleats that are cut from it."""
    strips = [strip for strip in planned.strips if strip.code == code]
    codes = [one for strip in strips for lane in strip.lanes for one, _length in lane] or [code]
    return join(
        (join((names[one].unit, names[one].part)) if one in names else one for one in codes), ", "
    )
