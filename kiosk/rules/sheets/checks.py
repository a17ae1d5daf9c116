"""Ask every check before a sheet is shown, kept or printed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from kiosk.rules.breakdown import recut, sawable
from kiosk.rules.breakdown.model import Breakdown, Part, Task
from kiosk.rules.parts import Piece
from kiosk.rules.sheets import bevelcheck
from kiosk.rules.sheets.model import PlannedSheet
from kiosk.rules.sheets.strips import as_part
from kiosk.rules.sheets.tasks import part_of
from kiosk.rules.words import Phrase, say


def codes_on(planned: PlannedSheet) -> tuple[str, ...]:
    """Return the codes of the parts on a sheet, cleats in place of their strips."""
    strips = {strip.code: strip for strip in planned.strips}
    found: list[str] = []
    for one in planned.sheet.parts:
        strip = strips.get(one.code)
        lanes = strip.lanes if strip else (((one.code, 0),),)
        found += [code for lane in lanes for code, _length in lane]
    return tuple(found)


def find_faults(planned: PlannedSheet, wanted: Mapping[str, Piece]) -> tuple[Phrase | str, ...]:
    """Return what is wrong with a sheet by any of three checks, in words.

    Never raises, whatever the sheet holds.

    Args:
        planned: the sheet.
        wanted: the pieces of the job by code; of a part that is none of them, as one that a revised
            list dropped, the size on the sheet counts.
    """
    found = Breakdown(sheets=(planned.sheet,), bound=0, levels=planned.levels)
    task = _task(planned, wanted)
    faults = [*recut.find_faults(task, found), *sawable.find_faults(task, found)]
    codes = codes_on(planned)
    # only a strip's code holds a stroke: what it is to be parted into got lost
    faults += [
        say("{part}: nothing says which cleats it holds", part=code)
        for code in codes
        if code not in wanted and "/" in code
    ]
    if all(code in wanted for code in codes):
        faults += bevelcheck.find_faults(planned, [wanted[code] for code in codes])
    else:
        faults += bevelcheck.find_faults(planned)
    return tuple(dict.fromkeys(faults))


def find_lost(
    sheets: Iterable[PlannedSheet], left_out: Iterable[str], wanted: Iterable[str]
) -> tuple[Phrase, ...]:
    """Return which parts are not once on the sheets or among those left out, in words."""
    counts = Counter(code for one in sheets for code in codes_on(one))
    counts.update(left_out)
    return tuple(
        say("{part}: it is cut {count} times", part=code, count=counts[code])
        for code in dict.fromkeys([*wanted, *counts])
        if counts[code] != 1
    )


def say_fault(planned: PlannedSheet, faults: tuple[Phrase | str, ...]) -> Phrase:
    """Return why a sheet is not shown."""
    return say(
        "Sheet {name} is not shown, as it failed a check: {fault}.",
        name=planned.sheet.name,
        fault=faults[0],
    )


def _task(planned: PlannedSheet, wanted: Mapping[str, Piece]) -> Task:
    """Return what was asked of one sheet: its own parts, from the sheet that it is."""
    strips = {strip.code: as_part(strip) for strip in planned.strips}
    parts = []
    for one in planned.sheet.parts:
        if one.code in strips:
            parts.append(strips[one.code])
        elif one.code in wanted:
            parts.append(part_of(wanted[one.code]))
        else:
            length, width = one.length, one.width
            if one.is_turned:
                length, width = width, length
            parts.append(Part(code=one.code, length=length, width=width))
    return Task(
        parts=tuple(dict.fromkeys(parts)),
        stocks=(planned.sheet.stock,),
        kerf=planned.kerf,
        levels=planned.levels,
        least_offcut=planned.least_offcut,
    )
