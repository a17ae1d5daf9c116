"""Say what keeps a task from being broken down: sizes that cannot be, parts larger than a sheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.lengths import LONGEST, PER_MM
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

THICKEST: Final = 20 * PER_MM  # choice: no blade of a track or panel saw takes as much


def find_problems(task: Task) -> tuple[Problem, ...]:
    """Return all that is wrong with a task; row counts its parts from 1. Never raises."""
    found = [*_saw(task), *_stocks(task), *_codes(task)]
    sizes = [problem for row, part in enumerate(task.parts, 1) for problem in _size(part, row)]
    if found or sizes:
        return (*found, *sizes)
    return tuple(_too_large(task))


def _saw(task: Task) -> Iterator[Problem]:
    if not 0 <= task.kerf <= THICKEST:
        yield Problem(
            _("The kerf is less than nothing, or more than 20 mm."),
            _("Measure the width of a cut and give that."),
        )
    if task.levels is not None and task.levels < 2:
        yield Problem(
            _("With fewer than two levels hardly any part can be cut."),
            _("Allow two levels or more: rips, then crosscuts."),
        )
    if task.least_offcut <= 0:
        yield Problem(
            _("The least size of an offcut is nothing or less."),
            _("Give the shortest side that is worth keeping."),
        )


def _stocks(task: Task) -> Iterator[Problem]:
    if not task.stocks:
        yield Problem(_("There is no sheet to cut from."), _("Give the size of a sheet."))
    for stock in task.stocks:
        if why := _why_not(stock):
            yield Problem(
                say("Sheet {code}: {why}.", code=stock.code, why=why),
                _("Check its length, width, trim and number."),
            )


def _why_not(stock: Stock) -> str:
    if not 0 < stock.length <= LONGEST or not 0 < stock.width <= LONGEST:
        return _("a side is nothing or less, or more than 20 m")
    if stock.count is not None and stock.count < 0:
        return _("there are less than none of it")
    if stock.trim < 0 or 2 * stock.trim >= min(stock.length, stock.width):
        return _("the trim is less than nothing, or takes all of it")
    return ""


def _codes(task: Task) -> Iterator[Problem]:
    if not task.parts:
        yield Problem(_("There is no part to cut."), _("Give at least one part."))
    known: set[str] = set()
    for row, part in enumerate(task.parts, 1):
        is_again = part.code in known
        known.add(part.code)
        if not part.code:
            message, remedy = _("A part has no code."), _("Give each part a code.")
        elif is_again:
            message = say("Part {code} is there twice.", code=part.code)
            remedy = _("Give each size a code of its own, and a quantity.")
        else:
            continue
        yield Problem(message, remedy, row=row)


def _size(part: Part, row: int) -> Iterator[Problem]:
    if not 0 < part.length <= LONGEST or not 0 < part.width <= LONGEST:
        yield Problem(
            say("Part {code}: a side is nothing or less, or more than 20 m.", code=part.code),
            _("Check its length and width."),
            row=row,
        )
    if part.quantity < 1:
        yield Problem(
            say("Part {code}: it is wanted less than once.", code=part.code),
            _("Leave it out, or give how many are wanted."),
            row=row,
        )


def _too_large(task: Task) -> Iterator[Problem]:
    sheets = [
        (stock.length - 2 * stock.trim, stock.width - 2 * stock.trim)
        for stock in task.stocks
        if stock.count is None or stock.count > 0
    ]
    for row, part in enumerate(task.parts, 1):
        if _fits(part.length, part.width, sheets):
            continue
        if not part.is_locked or not _fits(part.width, part.length, sheets):
            message = say("Part {code} is larger than any sheet inside its trim.", code=part.code)
            remedy = _("Take larger sheets, or join the part from two.")
        else:
            message = say("Part {code} fits only across the grain.", code=part.code)
            remedy = _("Let its grain run either way, or take larger sheets.")
        if part.is_locked or not _fits(part.width, part.length, sheets):
            yield Problem(message, remedy, row=row)


def _fits(length: int, width: int, sheets: list[tuple[int, int]]) -> bool:
    return any(length <= most and width <= wide for most, wide in sheets)
