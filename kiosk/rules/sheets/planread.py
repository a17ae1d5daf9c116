"""Read back the plan a job's sheets are cut by from the body of an entry.

A body that is not understood is passed over: the job has no plan then, and no cut is lost, as what
is cut stands in entries of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any, Final

from kiosk.rules.breakdown.model import Cut, Direction, Offcut, Placed, Sheet, Stock
from kiosk.rules.entries import Entry
from kiosk.rules.lengths import LONGEST, Length
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetPlan, Strip
from kiosk.rules.sheets.planbody import VERSION

_CUT: Final[tuple[Any, ...]] = ("", "", 0, "", "", 0, 0, "", "", 0)


def parse_plan(entry: Entry) -> SheetPlan | None:
    """Return the plan an entry holds; None where it is not understood."""
    body = entry.body
    try:
        if body["version"] != VERSION:
            return None
        materials = [_material(row) for row in _rows(body["materials"])]
        return SheetPlan(
            id=entry.id,
            job=entry.job,
            made=entry.at,
            sheets=tuple(_sheet(one, materials) for one in _rows(body["sheets"])),
            bounds=tuple((materials[_whole(of)], _whole(n)) for of, n in _rows(body["bounds"])),
            left_out=tuple(_text(one) for one in _rows(body["left_out"])),
        )
    except (LookupError, OverflowError, TypeError, ValueError):
        return None


def _sheet(one: Any, materials: Sequence[Material]) -> PlannedSheet:  # Any: JSON
    code, length, width, trim = _rows(one["stock"])
    offcut = _text(one["offcut"])
    stock = Stock(
        code=_text(code),
        length=_length(length),
        width=_length(width),
        count=1,
        trim=_length(trim),
        is_offcut=bool(offcut),
    )
    levels = one["levels"]
    return PlannedSheet(
        origin=_text(one["origin"]),
        material=materials[_whole(one["material"])],
        kerf=_length(one["kerf"]),
        sheet=Sheet(
            name=_text(one["name"]),
            stock=stock,
            parts=tuple(_part(row) for row in _rows(one["parts"])),
            cuts=tuple(_cut(number, row) for number, row in enumerate(_rows(one["cuts"]), 1)),
            offcuts=tuple(_offcut(row) for row in _rows(one["offcuts"])),
            whole=_text(one["whole"]),
        ),
        strips=tuple(_strip(row) for row in _rows(one["strips"])),
        offcut=offcut,
        levels=None if levels is None else _whole(levels),
        least_offcut=_length(one["least"]),
    )


def _material(row: Any) -> Material:
    name, thickness = _rows(row)
    return Material(_text(name), None if thickness is None else _length(thickness))


def _part(row: Any) -> Placed:
    code, x, y, length, width, is_turned = _rows(row)
    return Placed(
        code=_text(code),
        x=_length(x),
        y=_length(y),
        length=_length(length),
        width=_length(width),
        is_turned=_whole(is_turned) == 1,
    )


def _cut(number: int, row: Any) -> Cut:
    given = _rows(row)
    piece_in, way, measure, out, rest, rest_length, rest_width, part, rest_part, trim = (
        *given,
        *_CUT[len(given) :],
    )
    return Cut(
        number=number,
        piece_in=_text(piece_in),
        direction=Direction(way),
        measure=_length(measure),
        piece_out=_text(out),
        rest=_text(rest),
        rest_length=_length(rest_length),
        rest_width=_length(rest_width),
        part=_text(part),
        rest_part=_text(rest_part),
        is_trim=_whole(trim) == 1,
    )


def _offcut(row: Any) -> Offcut:
    piece, x, y, length, width = _rows(row)
    return Offcut(
        piece=_text(piece),
        x=_length(x),
        y=_length(y),
        length=_length(length),
        width=_length(width),
    )


def _strip(row: Any) -> Strip:
    code, length, width, thickness, tilt, first, second, setting, *lanes = _rows(row)
    if isinstance(tilt, bool) or not isinstance(tilt, int | float) or not isfinite(tilt):
        raise ValueError("no angle")
    return Strip(
        code=_text(code),
        length=_length(length),
        width=_length(width),
        thickness=_length(thickness),
        tilt=float(tilt),
        long_faces=(_length(first), _length(second)),
        setting=_length(setting),
        lanes=tuple(_lane(lane) for lane in lanes),
    )


def _lane(row: Any) -> tuple[tuple[str, Length], ...]:
    given = _rows(row)
    pairs = zip(given[::2], given[1::2], strict=True)
    return tuple((_text(code), _length(length)) for code, length in pairs)


def _rows(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise TypeError("no rows")
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("no text")
    return value


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise TypeError("no whole number")
    return value


def _length(value: Any) -> Length:
    if _whole(value) > LONGEST:
        raise ValueError("longer than any sheet")
    return Length(value)
