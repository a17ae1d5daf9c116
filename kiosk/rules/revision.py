"""Compare a revised part list with the pieces that are there, without touching what is cut."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from kiosk.rules.drafts import PartList, units_of
from kiosk.rules.lengths import Length
from kiosk.rules.parts import Piece, UnitSpec

Size = tuple[Length, Length, Length | None]
"""Length, width and thickness."""

_UNIT_FIELDS: Final = ("name", "kind", "finish", "accent", "wall", "position", "hangs_on")


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Like pieces of one unit that share one fate; codes are those the pieces have, in order.

    What was not there before, or is not wanted after, has quantity 0 and no size.
    """

    unit: str
    part: str
    quantity_before: int
    quantity_after: int
    size_before: Size | None
    size_after: Size | None
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitChange:
    """One value of a unit (name, kind, finish …) that the revised list states differently."""

    unit: str
    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """What a revised list would do, by unit in list order, units that are gone last.

    protected are cut pieces the list would change or drop: they stay as they were, and such a
    piece takes the place of the one the list wants instead. units are all units as they will be,
    with their pieces; a piece whose code is '' wants a new one. A unit the list has dropped is in
    units_gone, or, where it has cut pieces, in units as it was with only these.
    """

    added: tuple[Change, ...]
    gone: tuple[Change, ...]
    changed: tuple[Change, ...]
    protected: tuple[Change, ...]
    kept: tuple[Change, ...]
    unit_changes: tuple[UnitChange, ...]
    units: tuple[UnitSpec, ...]
    units_gone: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Pair:
    """One piece before and after; either may be missing."""

    unit: str
    fate: str
    old: Piece | None
    new: Piece | None


def compare(old: Sequence[UnitSpec], new: PartList, *, cut: Collection[str]) -> Revision:
    """Compare the units of a job with a revised list; cut holds the codes of pieces already cut.

    Pieces are matched within a unit: first those alike in part, length, width, thickness, material
    and grain, cut ones before others; then by part name, which is a change. A piece that is cut is
    never changed or dropped, not even its note.
    """
    before = {spec.unit: spec for spec in old}
    job = old[0].job if old else ""
    known = {unit.casefold(): unit for unit in before}
    after = {
        known.get(draft.unit.casefold(), draft.unit): draft.spec(job) for draft in units_of(new)
    }
    after = {unit: replace(spec, unit=unit) for unit, spec in after.items()}
    cut_codes = frozenset(cut)
    pairs: list[_Pair] = []
    units: list[UnitSpec] = []
    for unit in dict.fromkeys((*after, *before)):
        old_pieces = before[unit].pieces if unit in before else ()
        new_pieces = after[unit].pieces if unit in after else ()
        matched = _match(unit, old_pieces, new_pieces, cut_codes)
        pairs += matched
        left = tuple(_as_it_will_be(pair) for pair in matched if pair.fate != "gone")
        if left:
            units.append(replace(after.get(unit) or before[unit], pieces=left))
    both = [(before[unit], spec) for unit, spec in after.items() if unit in before]
    return _revision(pairs, both, units, tuple(before))


def _revision(
    pairs: list[_Pair],
    both: list[tuple[UnitSpec, UnitSpec]],
    units: list[UnitSpec],
    had: tuple[str, ...],
) -> Revision:
    have = {spec.unit for spec in units}
    return Revision(
        added=_records(pairs, "added"),
        gone=_records(pairs, "gone"),
        changed=_records(pairs, "changed"),
        protected=_records(pairs, "protected"),
        kept=_records(pairs, "kept"),
        unit_changes=tuple(change for old, new in both for change in _unit_changes(old, new)),
        units=tuple(units),
        units_gone=tuple(unit for unit in had if unit not in have),
    )


def _match(
    unit: str, old: Sequence[Piece], new: Sequence[Piece], cut: frozenset[str]
) -> list[_Pair]:
    """Give each piece of either side its fate, in the order of the new list, dropped ones last."""
    found: dict[int, Piece] = {}
    # Cut pieces are offered first, so that a lower quantity drops those not yet cut.
    left = sorted(old, key=lambda piece: piece.code not in cut)
    for key in (_whole, _alike, _name):
        left = _pair_off(left, new, found, key)
    pairs: list[_Pair] = []
    for place, piece in enumerate(new):
        was = found.get(place)
        if was is None:
            pairs.append(_Pair(unit, "added", None, piece))
        elif _whole(was) == _whole(piece):
            pairs.append(_Pair(unit, "kept", was, piece))
        else:
            pairs.append(_Pair(unit, "protected" if was.code in cut else "changed", was, piece))
    dropped = {piece.code for piece in left}
    pairs += [
        _Pair(unit, "protected" if piece.code in cut else "gone", piece, None)
        for piece in old
        if piece.code in dropped
    ]
    return pairs


def _pair_off(
    left: list[Piece],
    new: Sequence[Piece],
    found: dict[int, Piece],
    key: Callable[[Piece], Hashable],
) -> list[Piece]:
    """Pair pieces with equal keys, each side in its order; return the old ones still left."""
    waiting: dict[Hashable, list[int]] = {}
    for place in reversed(range(len(new))):
        if place not in found:
            waiting.setdefault(key(new[place]), []).append(place)
    still: list[Piece] = []
    for piece in left:
        places = waiting.get(key(piece))
        if places:
            found[places.pop()] = piece
        else:
            still.append(piece)
    return still


def _whole(piece: Piece) -> Hashable:
    return replace(piece, code="")


def _alike(piece: Piece) -> Hashable:
    return (piece.part, _size(piece), piece.material, piece.grain)


def _name(piece: Piece) -> Hashable:
    return piece.part


def _size(piece: Piece) -> Size:
    return (piece.length, piece.width, piece.thickness)


def _as_it_will_be(pair: _Pair) -> Piece:
    """Give the piece as it will be: a cut one as it was, any other as the list wants it."""
    if pair.new is None or pair.fate == "protected":
        assert pair.old is not None  # only what was there can be protected
        return pair.old
    return replace(pair.new, code=pair.old.code if pair.old else "")


def _records(pairs: Sequence[_Pair], fate: str) -> tuple[Change, ...]:
    """Gather the pieces of one fate that are alike into one record each."""
    groups: dict[Hashable, list[_Pair]] = {}
    for pair in pairs:
        if pair.fate == fate:
            sides = tuple(_whole(piece) if piece else None for piece in (pair.old, pair.new))
            groups.setdefault((pair.unit, *sides), []).append(pair)
    return tuple(_record(group) for group in groups.values())


def _record(group: list[_Pair]) -> Change:
    first = group[0]
    named = first.old or first.new
    assert named is not None  # a pair has at least one side
    return Change(
        unit=first.unit,
        part=named.part,
        quantity_before=len(group) if first.old else 0,
        quantity_after=len(group) if first.new else 0,
        size_before=_size(first.old) if first.old else None,
        size_after=_size(first.new) if first.new else None,
        codes=tuple(pair.old.code for pair in group if pair.old),
    )


def _unit_changes(old: UnitSpec, new: UnitSpec) -> list[UnitChange]:
    sides = ((what, getattr(old, what), getattr(new, what)) for what in _UNIT_FIELDS)
    return [
        UnitChange(unit=old.unit, what=what, before=_word(before), after=_word(after))
        for what, before, after in sides
        if before != after
    ]


def _word(value: object) -> str:
    return value if isinstance(value, str) else "yes" if value else "no"
