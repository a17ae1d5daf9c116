"""Describe the lines of a part list, the pieces made from them and the units they become."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from kiosk.rules.lengths import Length

KINDS: Final = ("panel", "shelf", "box", "divider", "rail", "door", "wall")
"""What a unit can be; 'wall' is the wall's own preparation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One understood row of a part list.

    quantity is 1..9999 pieces, all alike. grain is the side that runs with the grain: 'length',
    'width' or '' where it does not matter. bevel is in degrees, 0 for a square cut. finish is a
    product's key text, '' for none; accent says that a stripe goes on top. row counts from 1.
    """

    part: str
    unit: str
    unit_name: str
    kind: str
    length: Length
    width: Length
    thickness: Length | None
    quantity: int
    material: str
    grain: str
    edge: str
    bevel: float
    finish: str
    accent: bool
    wall: str
    position: str
    hangs_on: str
    note: str
    row: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One cut piece with a code of its own; fields as in `PartLine`."""

    code: str
    part: str
    length: Length
    width: Length
    thickness: Length | None = None
    material: str = ""
    grain: str = ""
    edge: str = ""
    bevel: float = 0.0
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSpec:
    """What is assembled and hung as one, with its pieces in list order.

    hangs_on is the id of the unit of the same job that must hang first, '' for the wall itself.
    """

    job: str
    unit: str
    name: str
    kind: str
    finish: str = ""
    accent: bool = False
    wall: str = ""
    position: str = ""
    hangs_on: str = ""
    pieces: tuple[Piece, ...] = ()


def as_body(unit: UnitSpec) -> dict[str, object]:
    """Turn a unit into a JSON body; empty values are left out, lengths are whole 1/1600 mm."""
    fields = {key: getattr(unit, key) for key in _UNIT_TEXTS}
    body: dict[str, object] = {key: value for key, value in fields.items() if value}
    if unit.accent:
        body["accent"] = True
    body["pieces"] = [_piece_body(piece) for piece in unit.pieces]
    return body


def unit_from_body(job: str, unit: str, body: Mapping[str, object]) -> UnitSpec:
    """Turn a JSON body back into a unit; what is missing or of a wrong type becomes its default.

    The name falls back to the unit's id, the kind to 'panel'. Keys we do not know are passed over,
    so that a body written by a newer program can be read.
    """
    texts = {key: _text(body, key) for key in _UNIT_TEXTS}
    texts["name"] = texts["name"] or unit
    texts["kind"] = texts["kind"] if texts["kind"] in KINDS else "panel"
    listed = body.get("pieces")
    pieces = listed if isinstance(listed, list | tuple) else ()
    return UnitSpec(
        job=job,
        unit=unit,
        accent=body.get("accent") is True,
        pieces=tuple(_piece(piece) for piece in pieces if isinstance(piece, Mapping)),
        **texts,
    )


_UNIT_TEXTS: Final = ("name", "kind", "finish", "wall", "position", "hangs_on")
_PIECE_TEXTS: Final = ("code", "part", "material", "grain", "edge", "note")


def _piece_body(piece: Piece) -> dict[str, object]:
    fields = ("code", "part", "length", "width", "thickness", "material", "grain", "edge", "bevel")
    values = ((key, getattr(piece, key)) for key in (*fields, "note"))
    return {key: value for key, value in values if value}


def _piece(body: Mapping[str, object]) -> Piece:
    thickness = _whole(body, "thickness")
    bevel = body.get("bevel")
    return Piece(
        length=Length(_whole(body, "length")),
        width=Length(_whole(body, "width")),
        thickness=Length(thickness) if thickness else None,
        bevel=float(bevel) if isinstance(bevel, int | float) and abs(bevel) <= 90 else 0.0,
        **{key: _text(body, key) for key in _PIECE_TEXTS},
    )


def _text(body: Mapping[str, object], key: str) -> str:
    value = body.get(key)
    return value if isinstance(value, str) else ""


def _whole(body: Mapping[str, object], key: str) -> int:
    value = body.get(key)
    return value if isinstance(value, int) else 0
