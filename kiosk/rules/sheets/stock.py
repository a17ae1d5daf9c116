"""Fold what the log tells of sheets and offcuts into the stock.

The same set of entries in any order, with doubles, gives the same stock. Lengths are whole units of
1/1600 mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, TypeAlias

from kiosk.rules.entries import Entry, Kind, standing_entries
from kiosk.rules.lengths import LONGEST, Length
from kiosk.rules.sheets.model import KeptOffcut, Material, SheetSize

MOST: Final = 10**6  # no shop counts so many sheets of a size (choice)
SizeKey: TypeAlias = tuple[str, Length | None, Length, Length]


@dataclass(frozen=True, slots=True)
class Counted:
    """Sheets of one size as they were counted last, and how many were begun since."""

    size: SheetSize
    used: int = 0

    @property
    def left(self) -> int | None:
        """Return how many there are, 0 at least; None for as many as it takes."""
        return None if self.size.count is None else max(self.size.count - self.used, 0)


@dataclass(frozen=True, slots=True)
class Stock:
    """What there is, and what the log tells of sheets that were begun and cut.

    offcuts are those there are, by code; gone the codes of those used up or thrown away, known all
    that ever were. used are the keys of sheets that were begun, made the numbers of the cuts
    recorded for each. left_of says which offcut a sheet's piece became, by key and piece.
    """

    sizes: Mapping[SizeKey, Counted] = field(default_factory=dict)
    known: Mapping[str, KeptOffcut] = field(default_factory=dict)
    gone: frozenset[str] = frozenset()
    used: frozenset[str] = frozenset()
    made: Mapping[str, frozenset[int]] = field(default_factory=dict)
    left_of: Mapping[tuple[str, str], str] = field(default_factory=dict)

    @property
    def offcuts(self) -> tuple[KeptOffcut, ...]:
        """Return the offcuts there are, the smallest first."""
        there = [one for code, one in self.known.items() if code not in self.gone]
        return tuple(sorted(there, key=lambda one: (one.length * one.width, one.code)))

    def of(self, material: Material) -> tuple[Counted, ...]:
        """Return the counted sizes of a material, the largest first."""
        found = [one for one in self.sizes.values() if is_same(one.size.material, material)]
        return tuple(
            sorted(found, key=lambda one: (-one.size.length * one.size.width, one.size.length))
        )


def is_same(one: Material, other: Material) -> bool:
    """Tell whether two materials are one, however their names are written."""
    return material_key(one) == material_key(other)


def material_key(material: Material) -> tuple[str, Length | None]:
    """Return what is equal for one material: its name without spaces too many, in small letters."""
    return " ".join(material.name.split()).casefold(), material.thickness


def size_key(size: SheetSize) -> SizeKey:
    """Return what is equal for sheets of one size."""
    return (*material_key(size.material), size.length, size.width)


def fold_stock(entries: Iterable[Entry]) -> Stock:
    """Return the stock that entries tell of; what is not understood of them is passed over."""
    tally = _Tally()
    for entry in standing_entries(entries):
        tally.take(entry)
    return Stock(
        tally.sizes,
        tally.known,
        frozenset(tally.gone),
        frozenset(tally.used),
        {key: frozenset(numbers) for key, numbers in tally.made.items()},
        tally.left_of,
    )


class _Tally:
    """Gathers what entries in order say; nothing of it leaves this module."""

    def __init__(self) -> None:
        self.sizes: dict[SizeKey, Counted] = {}
        self.known: dict[str, KeptOffcut] = {}
        self.gone: set[str] = set()
        self.used: set[str] = set()
        self.made: dict[str, set[int]] = {}
        self.left_of: dict[tuple[str, str], str] = {}

    def take(self, entry: Entry) -> None:
        body = entry.body
        match entry.kind:
            case Kind.STOCK_COUNTED:
                size = size_of(body)
                if size is not None:
                    self.sizes[size_key(size)] = Counted(size)
            case Kind.SHEET_USED:
                self.begin(body)
            case Kind.CUT_MADE:
                number = _whole(body.get("number"))
                if number is not None:
                    self.made.setdefault(_text(body, "sheet"), set()).add(number)
            case Kind.OFFCUT_KEPT:
                self.keep(entry)
            case Kind.OFFCUT_GONE:
                self.gone.add(_text(body, "code"))

    def begin(self, body: Mapping[str, Any]) -> None:
        key = _text(body, "sheet")
        if not key or key in self.used:  # two kiosks may cut one sheet before they hear
            return
        self.used.add(key)
        if code := _text(body, "offcut"):
            self.gone.add(code)
            return
        size = size_of(body)
        known = self.sizes.get(size_key(size)) if size else None
        if size and known:
            self.sizes[size_key(size)] = Counted(known.size, known.used + 1)

    def keep(self, entry: Entry) -> None:
        body, code = entry.body, _text(entry.body, "code")
        sheet, piece = _text(body, "sheet"), _text(body, "piece")
        length, width = _side(body.get("length")), _side(body.get("width"))
        if not code or length is None or width is None:
            return
        if sheet and piece:
            first = self.left_of.setdefault((sheet, piece), code)
            if first != code:  # the same piece, recorded at two kiosks: one offcut, two labels
                self.gone.add(code)
        self.known[code] = KeptOffcut(
            code=code,
            material=material_of(body),
            length=length,
            width=width,
            job=entry.job,
            sheet=sheet,
            piece=piece,
        )


def material_of(body: Mapping[str, Any]) -> Material:
    """Return the material an entry names."""
    return Material(_text(body, "material"), _side(body.get("thickness")))


def size_of(body: Mapping[str, Any]) -> SheetSize | None:
    """Return the size of a sheet an entry names, None where it names none."""
    length, width = _side(body.get("length")), _side(body.get("width"))
    count = body.get("count")
    if length is None or width is None or (count is not None and _whole(count) is None):
        return None
    trim = _whole(body.get("trim")) or 0
    return SheetSize(
        material=material_of(body), length=length, width=width, count=count, trim=Length(trim)
    )


def size_body(size: SheetSize) -> dict[str, Any]:
    """Return the size of a sheet as an entry names it, without count and trim."""
    return {
        "material": size.material.name,
        "thickness": size.material.thickness,
        "length": size.length,
        "width": size.width,
    }


def _text(body: Mapping[str, Any], key: str) -> str:
    found = body.get(key)
    return found if isinstance(found, str) else ""


def _whole(value: object) -> int | None:
    is_whole = isinstance(value, int) and not isinstance(value, bool)
    return value if is_whole and isinstance(value, int) and 0 <= value <= MOST else None


def _side(value: object) -> Length | None:
    if not isinstance(value, int) or isinstance(value, bool) or not 0 < value <= LONGEST:
        return None
    return Length(value)
