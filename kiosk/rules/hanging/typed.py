"""Read what people type of a wall: places from 0 on, floor levels below 0, studs a pitch apart."""

from __future__ import annotations

import re
from typing import Final

from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.refusing import NEAREST_STUDS
from kiosk.rules.hanging.wall import Stud
from kiosk.rules.lengths import Length, System, mm, parse
from kiosk.rules.words import _

_ZERO: Final = re.compile(r"0+(?:[.,]0*)?")
STUD_WIDTH: Final = Length(60_960)  # 1 1/2 in, of common framing lumber: a first proposal


def read_place(text: str, *, system: System = System.MM) -> tuple[Length | None, str]:
    """Read how far something lies from the left end or the datum, 0 to 20 m, as typed.

    The second value says what is wrong, '' if nothing.
    """
    if _ZERO.fullmatch(text.strip()):
        return NOTHING, ""
    return parse(text, "inch" if system is System.INCH else "mm")


def read_level(text: str, *, system: System = System.MM) -> tuple[Length | None, str]:
    """Read a level of the floor as typed; a minus in front says that it lies below the line."""
    bare = text.strip()
    found, why = read_place(bare.removeprefix("-"), system=system)
    if found is None:
        return None, why
    return (Length(-found) if bare.startswith("-") else found), ""


def studs_apart(first: Stud, pitch: Length, *, wall: Length) -> tuple[tuple[Stud, ...], str]:
    """Return studs at one pitch from a first one to the right end of a wall, all like the first.

    They are a proposal: each must still be found and measured. The second value says what is wrong,
    '' if nothing.
    """
    if mm(pitch) < NEAREST_STUDS:
        return (), _("Studs do not stand so near to each other. Measure from middle to middle.")
    places = range(first.x, wall + 1, pitch)
    if not places:
        return (), _("The first stud lies beside the wall. Measure from its left end.")
    return tuple(Stud(x=Length(x), width=first.width, species=first.species) for x in places), ""
