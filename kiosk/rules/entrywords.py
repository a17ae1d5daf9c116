"""Say in words what an entry about a unit recorded."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.rules.entries import Entry, Kind
from kiosk.rules.fold import UnitState
from kiosk.rules.reasons import say_reason
from kiosk.rules.route import Step
from kiosk.rules.words import Phrase, _, join, known, say, say_n
from labels.codes import shown

_PLAIN: Mapping[str, Phrase] = {
    Kind.UNIT_GONE: _("left out by a revised list"),
    Kind.HOLD_LIFTED: _("hold lifted"),
    Kind.UNIT_CODED: _("unit label made"),
    Kind.QUESTION_ANSWERED: _("question answered"),
}


def say_allowed(words: str, entry: Entry) -> str:
    """Return the words of an entry, and who allowed it where a supervisor did."""
    name = entry.body.get("allowed_by")
    if not isinstance(name, str) or not name:
        return words
    return say("{what}, allowed by {name}", what=words, name=name)


def say_of_hanging(entry: Entry) -> Phrase | None:
    """Return what an entry of walls and of hanging recorded; None for any other."""
    match entry.kind:
        case Kind.WALL_MEASURED:
            return say("wall {wall} measured", wall=entry.body.get("wall", ""))
        case Kind.UNIT_FITTED:
            return _("how it hangs was entered")
        case Kind.HANGING_ALLOWED:
            reason = say_reason(str(entry.body.get("reason", "")))
            return say("may be hung without a number: {reason}", reason=reason)
    return None


def say_of_sheets(entry: Entry) -> Phrase | None:
    """Return what an entry of sheets or of the stock recorded; None for any other."""
    body = entry.body
    sheet, code = str(body.get("sheet", "")).rpartition("/")[2], shown(str(body.get("code", "")))
    match entry.kind:
        case Kind.CUT_MADE:
            return say("cut {number} of sheet {sheet}", number=body.get("number", ""), sheet=sheet)
        case Kind.SHEET_USED:
            return say("sheet {sheet} begun", sheet=sheet)
        case Kind.OFFCUT_KEPT:
            return say("offcut {code} kept", code=code)
        case Kind.OFFCUT_GONE:
            return say("offcut {code} thrown away", code=code)
        case Kind.STOCK_COUNTED:
            return _("sheets counted")
        case Kind.SHEETS_PLANNED:
            return _("sheets planned")
    return None


def say_what(
    entry: Entry, titles: Mapping[str, str], *, parts: Mapping[str, str], struck: str = ""
) -> str:
    """Return what an entry recorded and who allowed it, without unit, time and person.

    Args:
        entry: about a unit.
        titles: steps by name, in words.
        parts: names of parts by code.
        struck: what an entry that strikes voided, in words.
    """
    return say_allowed(_say_plainly(entry, titles, parts, struck), entry)


def _say_plainly(
    entry: Entry, titles: Mapping[str, str], parts: Mapping[str, str], struck: str
) -> str:
    body = entry.body
    name, part = str(body.get("step", "")), str(body.get("part", ""))
    match entry.kind:
        case Kind.STEP_DONE:
            title = titles.get(name, name.replace("-", " "))
            early = say_reason(str(body.get("early", "")))
            about = join((title, parts.get(part, part)), ": ")
            return say("{what}, went ahead: {reason}", what=about, reason=early) if early else about
        case Kind.PART_SPOILED:
            return say("spoiled: {part}", part=parts.get(part, part))
        case Kind.HOLD_PUT:
            return say("on hold: {reason}", reason=say_reason(str(body.get("reason", ""))))
        case Kind.DRYNESS_FOUND:
            return _("found dry") if body.get("dry") else _("found still tacky")
        case Kind.LABELS_PRINTED:
            codes = body.get("codes")
            return say_n("{n} label", "{n} labels", len(codes) if isinstance(codes, list) else 0)
        case Kind.UNIT_TAKEN:
            pieces = body.get("pieces")
            count = len(pieces) if isinstance(pieces, list) else 0
            return say_n("part list: {n} part", "part list: {n} parts", count)
        case Kind.STRUCK:
            return say("struck: {what}", what=struck) if struck else _("struck")
    if (said := say_of_sheets(entry) or say_of_hanging(entry)) is not None:
        return said
    return _PLAIN.get(entry.kind, known(entry.kind.replace("_", " "), "entry"))


def built_upon(entry: Entry, state: UnitState, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Return the steps recorded although they come after what an entry recorded.

    They stay recorded when that entry is struck.
    """
    order = [step.name for step in steps]
    name = str(entry.body.get("step", ""))
    if entry.kind != Kind.STEP_DONE or name not in order:
        return ()
    part = state.piece(str(entry.body.get("part", "")))
    done = set(state.done) | (set(part.done) if part else set())
    return tuple(step for step in steps[order.index(name) + 1 :] if step.name in done)
