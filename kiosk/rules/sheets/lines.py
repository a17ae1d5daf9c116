"""Put the cuts of a planned sheet into the one order a person follows, bevels among them.

First come the square cuts of the breakdown, in its order; then, with the blade tilted once for each
tilt, the bevels of all strips with equal fence settings together; last the cuts that take cleats to
length out of a lane.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from kiosk.rules.breakdown.model import Direction, Sheet
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.sheets.cleats import reach
from kiosk.rules.sheets.model import NOTHING, CutLine, PlannedSheet, SheetPlan, Strip
from kiosk.rules.words import Phrase, _, say

Lane = tuple[tuple[str, Length], ...]
"""Code and length of each cleat of a lane."""

LEANS: Final = _(
    "Lean the blade away from the fence: leaning towards it, it traps what it cuts off."
)  # common practice, no source
GUARDED: Final = _(
    "Guard on, push stick in hand, and nobody behind the strip."
)  # common practice, no source
ON_A_RAIL: Final = _(
    "A bevel's measure is the short face, at the saw table. With a saw on a rail, mark the long"
    " face instead."
)  # geometry


def cut_lines(planned: PlannedSheet) -> tuple[CutLine, ...]:
    """Return all cuts of a sheet, numbered from 1; nothing for a sheet that is a part as it is.

    Strips stand for their cleats: their codes are freed by no line. A lane's end and the wedge
    beside a single lane are waste: a bevelled remainder goes back to no stock. Never raises; a
    strip that does not lie on the sheet is passed over.
    """
    names = _names(planned.sheet)
    found = [(names[strip.code], strip) for strip in planned.strips if strip.code in names]
    # the blade is tilted once for each tilt, the fence set once for each setting
    found.sort(key=lambda one: (one[1].tilt, -one[1].setting))
    bevels = [_bevel(name, strip) for name, strip in found]
    ends = [line for name, strip in found for line in _to_length(name, strip, planned.kerf)]
    ends.sort(key=lambda line: -line.measure)
    lines = [*_square(planned), *bevels, *ends]
    return tuple(replace(line, number=number) for number, line in enumerate(lines, 1))


def setting_of(line: CutLine) -> tuple[Direction, Length, float] | None:
    """Return what the saw is set to for a line; None for a trimmed edge, which is not counted."""
    return None if line.is_trim else (line.direction, line.measure, line.tilt)


def count_settings(lines: Sequence[CutLine]) -> int:
    """Count how often fence or blade are set for a sequence; trims are left out."""
    found = [setting_of(line) for line in lines if not line.is_trim]
    return sum(one != before for one, before in zip(found, [None, *found], strict=False))


def freeing(planned: PlannedSheet) -> Mapping[str, int]:
    """Return of each part's code the number of the line that frees it, in the order of labels.

    0 stands for the part that its sheet is without a cut.
    """
    strips = {strip.code for strip in planned.strips}
    whole = planned.sheet.whole
    order = {whole: 0} if whole and whole not in strips else {}
    for line in cut_lines(planned):
        order.update(dict.fromkeys(line.frees, line.number))
    return order


def label_order(plan: SheetPlan) -> tuple[str, ...]:
    """Return the codes of all parts of a plan in the order in which their labels are due."""
    return tuple(code for planned in plan.sheets for code in freeing(planned))


def strip_at(planned: PlannedSheet, line: CutLine) -> Strip | None:
    """Return the strip that a bevel line parts, None for any other line.

    Its first long face is what the kept side measures on the upper face of the sheet.
    """
    names = _names(planned.sheet)
    if not line.tilt:
        return None
    return next((strip for strip in planned.strips if names.get(strip.code) == line.piece_in), None)


def bevel_words(planned: PlannedSheet, *, system: System) -> tuple[Phrase, ...]:
    """Return what to say beside the bevels of a sheet, nothing where it has none."""
    needs = {
        (strip.tilt, reach(strip.thickness, strip.tilt))
        for line in cut_lines(planned)
        if (strip := strip_at(planned, line))
    }
    if not needs:
        return ()
    blades = [
        say("Tilt the blade to {tilt:g}°; so tilted it must reach {reach}.", tilt=tilt,
            reach=show(deep, system))
        for tilt, deep in sorted(needs)
    ]  # fmt: skip
    return (*blades, LEANS, GUARDED, ON_A_RAIL)


def _names(sheet: Sheet) -> dict[str, str]:
    """Return of each code on a sheet what the cuts call its piece."""
    names = {sheet.whole: sheet.name}
    for cut in sheet.cuts:
        names[cut.part] = cut.piece_out
        names[cut.rest_part] = cut.rest
    names.pop("", None)
    return names


def _square(planned: PlannedSheet) -> Iterator[CutLine]:
    strips = {"", *(strip.code for strip in planned.strips)}
    offcuts = {one.piece for one in planned.sheet.offcuts}
    for cut in planned.sheet.cuts:
        yield CutLine(
            number=cut.number,
            piece_in=cut.piece_in,
            direction=cut.direction,
            measure=Length(cut.measure),
            piece_out=cut.piece_out,
            rest=cut.rest,
            rest_length=Length(cut.rest_length),
            rest_width=Length(cut.rest_width),
            frees=tuple(code for code in (cut.part, cut.rest_part) if code not in strips),
            is_trim=cut.is_trim,
            keeps_offcut=cut.rest in offcuts,
        )


def _bevel(name: str, strip: Strip) -> CutLine:
    """Return the bevel cut of a strip: its first lane is kept at the fence, the other remains."""
    lanes = [f"{name}.{number}" for number, _lane in enumerate(strip.lanes, 1)]
    is_pair = len(lanes) > 1
    return CutLine(
        number=0,
        piece_in=name,
        direction=Direction.RIP,
        measure=strip.setting,
        piece_out=f"{name}.1",
        rest=lanes[1] if is_pair else "",
        rest_length=strip.length if is_pair else NOTHING,
        rest_width=strip.long_faces[1] if is_pair else NOTHING,
        frees=tuple(lane[0][0] for lane in strip.lanes if _is_whole(lane, strip)),
        tilt=strip.tilt,
        long_face=strip.long_faces[0],
    )


def _is_whole(lane: Lane, strip: Strip) -> bool:
    """Tell whether a lane is one cleat as long as its strip."""
    return len(lane) == 1 and lane[0][1] == strip.length


def _to_length(name: str, strip: Strip, kerf: Length) -> Iterator[CutLine]:
    """Yield the cuts that take the cleats out of the lanes of a strip, the longest first."""
    faces = zip(strip.lanes, strip.long_faces, strict=False)
    for number, (lane, face) in enumerate(faces, 1):
        if not _is_whole(lane, strip):
            yield from _lane_cuts(f"{name}.{number}", lane, (strip.length, face), kerf)


def _lane_cuts(
    name: str, lane: Lane, size: tuple[Length, Length], kerf: Length
) -> Iterator[CutLine]:
    left, face = size
    cleats = sorted(lane, key=lambda cleat: -cleat[1])
    for number, (code, length) in enumerate(cleats, 1):
        left = Length(max(left - length - kerf, 0))
        behind = cleats[number:]
        # the last cleat of an exact fit is what remains
        is_last = len(behind) == 1 and behind[0][1] == left
        rest = name if behind and not is_last else f"{name}.{number + 1}" if left else ""
        yield CutLine(
            number=0,
            piece_in=name,
            direction=Direction.CROSSCUT,
            measure=length,
            piece_out=f"{name}.{number}",
            rest=rest,
            rest_length=left if rest else NOTHING,
            rest_width=face if rest else NOTHING,
            frees=(code, behind[0][0]) if is_last else (code,),
        )
        if is_last:
            return
