"""Any wall and any way a unit may hang, sound or not, to try reading and checking with."""

from __future__ import annotations

from dataclasses import fields

from hypothesis import strategies as st

from kiosk.rules.hanging.fitting import Expected, Fitting, How, WallCleat
from kiosk.rules.hanging.kinds import (
    Backing,
    Board,
    Goods,
    Grain,
    Head,
    Premises,
    Soundness,
    Spot,
    Steel,
    StopOn,
    StripFixing,
)
from kiosk.rules.hanging.model import Declared, Lock, Screw, Shelf
from kiosk.rules.hanging.wall import FloorLevel, Layer, MeasuredWall, Service, Stud
from kiosk.rules.lengths import LONGEST

NEEDED = ("rho_fax", "rho_fhead", "outer_mm", "inner_mm", "head_mm")
LENGTHS = ("x", "y", "width", "height", "depth", "panel", "void", "load_out", "self_out", "drop")
length = st.integers(0, LONGEST)
maybe = st.none() | length
figure = st.floats(-9e5, 9e5, allow_nan=False)
text = st.text(max_size=8)
screws = st.builds(
    Screw,
    gauge=st.integers(0, 20),
    length=length,
    steel=st.sampled_from(Steel),
    head=st.sampled_from(Head),
    head_across=maybe,
    thread=maybe,
    declared=st.none()
    | st.builds(
        Declared,
        **{
            one.name: figure
            if one.name.endswith("_mm") or "rho" in one.name
            else st.none() | figure
            for one in fields(Declared)
        },
    ),
)
fittings = st.builds(
    Fitting,
    wall=text,
    how=st.none() | st.sampled_from(How),
    on=text,
    **dict.fromkeys(
        [
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
        ],
        maybe,
    ),
    cleat=st.builds(
        WallCleat,
        name=text,
        **dict.fromkeys(["x", "y", "length", "height", "thickness"], maybe),
        board=st.sampled_from(Board),
        plies=st.integers(0, 30),
        is_glued=st.booleans(),
        rows=st.lists(length, max_size=3).map(tuple),
        bevel=figure,
    ),
    screw=st.none() | screws,
    backing=st.none() | st.sampled_from(Backing),
    stop_on=st.sampled_from(StopOn),
    strip_fixing=st.sampled_from(StripFixing),
    lock=st.none()
    | st.builds(Lock, screw=screws, count=st.integers(0, 9), backing=st.sampled_from(Backing)),
    self_kg=st.none() | figure,
    shelves=st.lists(
        st.builds(
            Shelf,
            span=length,
            depth=length,
            thickness=length,
            grain=st.sampled_from(Grain),
            mass_kg=figure,
            spans=st.integers(0, 9),
            overhang=length,
        ),
        max_size=2,
    ).map(tuple),
    goods=st.sampled_from(Goods),
    expected=st.lists(
        st.builds(Expected, use=text, length=maybe, depth=maybe, kg=st.none() | figure),
        max_size=2,
    ).map(tuple),
)
walls = st.builds(
    MeasuredWall,
    wall=text,
    width=length,
    height=length,
    studs=st.lists(st.builds(Stud, x=length, width=length, species=text), max_size=3).map(tuple),
    floor=st.lists(
        st.builds(FloorLevel, x=length, level=st.integers(-LONGEST, LONGEST)), max_size=3
    ).map(tuple),
    layers=st.lists(st.builds(Layer, name=text, thickness=length), max_size=3).map(tuple),
    services=st.lists(
        st.builds(Service, kind=text, x=length, y=length, width=length, height=length), max_size=2
    ).map(tuple),
    datum=text,
    backing=st.sampled_from(Backing),
    soundness=st.sampled_from(Soundness),
    spot=st.none() | st.sampled_from(Spot),
    premises=st.none() | st.sampled_from(Premises),
    celsius=figure,
    is_damp=st.booleans(),
    finder=length,
)
scraps = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(text, inner, max_size=3),
    max_leaves=6,
)
