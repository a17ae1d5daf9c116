"""Keep how a unit hangs as the body of an entry, and read it back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from kiosk.rules.hanging.bodies import (
    NotUnderstood,
    choice,
    read_figure,
    read_flag,
    read_length,
    read_text,
    read_whole,
    record,
    several,
    written,
)
from kiosk.rules.hanging.fitting import Expected, Fitting, How, WallCleat
from kiosk.rules.hanging.kinds import Backing, Board, Goods, Grain, Head, Steel, StopOn, StripFixing
from kiosk.rules.hanging.model import Declared, Lock, Screw, Shelf

_DECLARED: Final = record(
    Declared,
    dict.fromkeys(
        (
            "fax_mpa",
            "rho_fax",
            "fhead_mpa",
            "rho_fhead",
            "tension_n",
            "yield_nmm",
            "outer_mm",
            "inner_mm",
            "head_mm",
        ),
        read_figure,
    ),
)
_SCREW: Final = record(
    Screw,
    {
        "gauge": read_whole,
        "length": read_length,
        "steel": choice(Steel),
        "head": choice(Head),
        "head_across": read_length,
        "thread": read_length,
        "declared": _DECLARED,
    },
)
_CLEAT: Final = record(
    WallCleat,
    {
        "name": read_text,
        **dict.fromkeys(("x", "y", "length", "height", "thickness"), read_length),
        "board": choice(Board),
        "plies": read_whole,
        "is_glued": read_flag,
        "rows": several(read_length),
        "bevel": read_figure,
    },
)
_SHELF: Final = record(
    Shelf,
    {
        **dict.fromkeys(("span", "depth", "thickness", "overhang"), read_length),
        "grain": choice(Grain),
        "mass_kg": read_figure,
        "spans": read_whole,
    },
)
_EXPECTED: Final = record(
    Expected,
    {"use": read_text, "length": read_length, "depth": read_length, "kg": read_figure},
)
_LENGTHS: Final = (
    "x",
    "y",
    "width",
    "height",
    "depth",
    "panel",
    "void",
    "load_out",
    "self_out",
    "drop",
    "strip",
)
_FITTING: Final = record(
    Fitting,
    {
        "wall": read_text,
        "how": choice(How),
        "on": read_text,
        **dict.fromkeys(_LENGTHS, read_length),
        "cleat": _CLEAT,
        "screw": _SCREW,
        "backing": choice(Backing),
        "stop_on": choice(StopOn),
        "strip_fixing": choice(StripFixing),
        "lock": record(Lock, {"screw": _SCREW, "count": read_whole, "backing": choice(Backing)}),
        "self_kg": read_figure,
        "shelves": several(_SHELF),
        "goods": choice(Goods),
        "expected": several(_EXPECTED),
    },
)


def fitting_body(fitting: Fitting) -> dict[str, object]:
    """Return how a unit hangs as a JSON body; what nobody said is left out."""
    body: dict[str, object] = written(fitting)
    return body


def fitting_from_body(body: Mapping[str, object]) -> Fitting:
    """Return what a body says; one that is not understood says nothing, and the unit is refused."""
    try:
        found: Fitting = _FITTING(body)
    except NotUnderstood:
        return Fitting()
    return found
