"""Write lengths as they are found on a tape and drills as they are sold, in inch jobs too."""

from __future__ import annotations

from enum import StrEnum

from kiosk.rules.lengths import PER_64TH, PER_INCH, Length, System, from_mm, show
from kiosk.rules.words import number


class Toward(StrEnum):
    """Which way a length is rounded to a mark: what is to have at most goes down, at least up."""

    NEAREST = "nearest"
    LESS = "less"
    MORE = "more"


def on_tape(
    length: Length,
    system: System,
    *,
    toward: Toward = Toward.NEAREST,
    marks: int = 16,
    unit_mark: bool = True,
) -> str:
    """Write a length to be measured off: in inches on a mark of a tape, in millimetres as it is.

    A whole number of 64ths stays what somebody wrote. Any other length, such as one that was
    reckoned or came from millimetres, goes to the nearest mark, or the one toward. marks are those
    of an inch: 16 (common on tapes), 64 for drill bits. For reading only: it is not the length.
    unit_mark is as in `show`.
    """
    if system is System.MM or length % PER_64TH == 0:
        return show(length, system, unit_mark=unit_mark)
    step = PER_INCH // marks
    add = {Toward.NEAREST: step // 2, Toward.LESS: 0, Toward.MORE: step - 1}[toward]
    return show(Length((length + add) // step * step), system, unit_mark=unit_mark)


def drill(diameter: float, system: System, *, toward: Toward) -> str:
    """Write the diameter of a drill in mm: to 0.1 mm, or as the inch bit toward, in 64ths."""
    if system is System.MM:
        return number(f"{diameter:.1f} mm")
    return on_tape(from_mm(diameter), system, toward=toward, marks=64)
