"""The parts of one sheet: rows to tap, and the panel of one part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from kiosk.rules.cards import BACK
from kiosk.rules.sheets.checks import codes_on
from kiosk.rules.sheets.views import PartName, SheetView
from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, Trim
from kiosk.screens.flow import AskScreen
from kiosk.screens.partview import PartLine
from kiosk.screens.rows import Listed, Row
from labels.codes import shown


@dataclass(frozen=True, slots=True)
class PartActs:
    """What the panel of a part does."""

    label: Callable[[], object]
    spoiled: Callable[[], object]
    back: Callable[[], object]


def list_parts(
    one: SheetView, names: Mapping[str, PartName], pick: Callable[[str], object]
) -> Listed:
    """Return the parts of a sheet as rows, those that are cut with a tick."""
    rows = []
    for code in codes_on(one.planned):
        name = names.get(code, PartName(code, "", ""))
        words = join((name.unit, name.part), "  ")
        shape, state = look_of(one, code)
        below = keep_units(join((state, name.size, shown(code)), ", "))
        rows.append(Row(words, below, partial(pick, code), shape))
    title = say_n(
        "{sheet}: {n} part", "{sheet}: {n} parts", len(rows), sheet=one.planned.sheet.name
    )
    return Listed(title, rows)


def look_of(one: SheetView, code: str) -> tuple[str, str]:
    """Return the mark and the word of a part on its sheet."""
    if code in one.spoiled:
        return "cross", _("spoiled")
    if code in one.cut:
        return "tick", _("cut")
    return "dot", _("not cut")


def ask_part(trim: Trim, line: PartLine, acts: PartActs) -> AskScreen:
    """Return the panel of a part: name, unit, size and code; its label, spoiled, and back."""
    choices = (
        Choice(_("Its label"), acts.label),
        Choice(_("Spoiled"), acts.spoiled, "cross"),
        Choice(_("Back"), acts.back, card=BACK),
    )
    unit = join((line.unit, line.unit_name))
    title = say("{part} of {unit}", part=line.part, unit=unit)
    state = _("cut") if line.is_done else _("not cut")
    size = keep_units(line.size)
    line_words = join((size, shown(line.code), state, line.times), "; ")
    return AskScreen(trim, title, choices, line=line_words)
