"""Say how far a sheet is cut: which lines are made, which comes next, which parts are free."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from kiosk.rules.sheets.model import CutLine


@dataclass(frozen=True, slots=True)
class Progress:
    """How far one sheet is cut.

    done are the numbers of the lines made. next is the first line that is not, or that freed a part
    which is not recorded yet; None where there is none.
    """

    done: frozenset[int]
    next: int | None


def progress(
    lines: Sequence[CutLine],
    *,
    cut: Collection[str],
    made: Collection[int],
    dropped: Collection[str] = (),
) -> Progress:
    """Return how far a sheet is cut.

    A line is made where its number was recorded, where all parts that it frees are cut, and where
    any line is made that cuts what comes of it.

    Args:
        lines: all of the sheet, in order.
        cut: the codes of parts that are cut, also of those spoiled since.
        made: the numbers of lines recorded by themselves.
        dropped: codes of parts that no list asks for any more: nobody scans them.
    """
    owed = {line.number: _owed(line, dropped) for line in lines}
    done: set[int] = set()
    for line in lines:
        parts = owed[line.number]
        if line.number in made or (parts and parts.issubset(cut)):
            done.update((line.number, *needed(lines, line.number)))
    waiting = [line.number for line in lines if line.number not in done]
    waiting += [line.number for line in lines if not owed[line.number].issubset(cut)]
    return Progress(frozenset(done), next(iter(waiting), None))


def needed(lines: Sequence[CutLine], number: int) -> tuple[int, ...]:
    """Return the lines that must be made before a line can be, in order."""
    before = _before(lines)
    found: list[int] = []
    at = before.get(number)
    while at is not None:
        found.append(at)
        at = before.get(at)
    return tuple(sorted(found))


def _before(lines: Sequence[CutLine]) -> Mapping[int, int]:
    """Return for each line the one that its piece comes from, where it is not the whole sheet."""
    last: dict[str, int] = {}
    found: dict[int, int] = {}
    for line in lines:
        if line.piece_in in last:
            found[line.number] = last[line.piece_in]
        for piece in (line.piece_in, line.piece_out, line.rest):
            last[piece] = line.number
    return found


def _owed(line: CutLine, dropped: Collection[str]) -> set[str]:
    return {code for code in line.frees if code not in dropped}
