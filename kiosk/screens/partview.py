"""What a list of parts shows, read on the shop's thread."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from kiosk.actions.lookup import MOST_HITS
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.scanning import Answer
from kiosk.rules.words import _, say_n
from kiosk.screens.face import ShopFace
from labels.codes import shown


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part: where it belongs, its size and code, and how often its label was printed."""

    job: str
    unit: str
    unit_name: str
    part: str
    size: str
    code: str
    printed: int = 0
    is_done: bool = False

    @property
    def title(self) -> str:
        """Return unit and part."""
        return f"{self.unit}  {self.part}"

    @property
    def below(self) -> str:
        """Return size and code."""
        return f"{self.size.replace(' ', chr(0xA0))}, {shown(self.code)}"

    @property
    def times(self) -> str:
        """Return how often the label was printed, in words; what is cut says so already."""
        return "" if self.is_done else say_times(self.printed)


@dataclass(frozen=True, slots=True)
class PartsView:
    """Parts that were found; is_cut_off tells that there may be more."""

    lines: tuple[PartLine, ...]
    is_cut_off: bool = False


def see_parts(shop: ShopFace, job: str, words: str) -> PartsView:
    """Return the parts of a job that all words fit."""
    hits = shop.find_parts(f"{job} {words}")
    lines = tuple(_line(shop, hit.state, hit.piece) for hit in hits if hit.state.spec.job == job)
    return PartsView(lines, len(hits) >= MOST_HITS)


def see_any(shop: ShopFace, words: str) -> PartsView:
    """Return the parts of all open jobs that all words fit."""
    hits = shop.find_parts(words)
    lines = tuple(_line(shop, hit.state, hit.piece) for hit in hits)
    return PartsView(lines, len(hits) >= MOST_HITS)


def see_uncut(shop: ShopFace, job: str) -> PartsView:
    """Return the parts of a job that are left to cut, those of the most pressing units first."""
    lines: list[PartLine] = []
    for unit in dict.fromkeys(due.unit for due in shop.due("cut")):
        # a name that two jobs use carries its job
        found = shop.find_unit(f"{job}/{unit.removeprefix(f'{job} ')}")
        if isinstance(found, Answer) or found.state.spec.job != job:
            continue
        pieces = found.state.pieces
        left = [one for one in pieces if one.needed and "cut" not in one.done]
        lines += [_line(shop, found.state, one) for one in left]
    return PartsView(tuple(lines))


def see_part(shop: ShopFace, code: str) -> PartLine | None:
    """Return the part of a code, done where it is cut; None where the code means none."""
    found = shop.find_unit(code)
    if isinstance(found, Answer) or found.piece is None:
        return None
    line = _line(shop, found.state, found.piece)
    return done(line) if "cut" in found.piece.done else line


def see_grained(shop: ShopFace, codes: Iterable[str]) -> frozenset[str]:
    """Return which parts of some codes have a grain that matters."""
    found = [shop.find_unit(code) for code in codes]
    known = [one for one in found if not isinstance(one, Answer) and one.piece is not None]
    return frozenset(one.piece.piece.code for one in known if one.piece and one.piece.piece.grain)


def done(line: PartLine) -> PartLine:
    """Return a line marked as done."""
    return replace(line, is_done=True)


def unit_times(shop: ShopFace, job: str, unit: str) -> int:
    """Return how often the label of a unit itself was printed."""
    found = shop.find_unit(f"{job}/{unit}")
    if isinstance(found, Answer):
        return 0
    return max((found.state.printed.get(code, 0) for code in found.state.codes), default=0)


def say_times(printed: int) -> str:
    """Return how often a label was printed, in words."""
    if not printed:
        return _("not printed")
    return say_n("printed once", "printed {n} times", printed)


def _line(shop: ShopFace, state: UnitState, piece: PieceState) -> PartLine:
    spec, part = state.spec, piece.piece
    size, times = shop.size_text(spec.job, part), state.printed.get(part.code, 0)
    return PartLine(spec.job, spec.unit, spec.name, part.part, size, part.code, times)
