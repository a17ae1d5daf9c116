"""Whatever people enter is answered: a number that holds, or reasons; nothing is raised."""

import math
from dataclasses import fields, replace

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging import kinds
from kiosk.rules.hanging.improving import improvements
from kiosk.rules.hanging.model import (
    Cleat,
    Declared,
    Hanging,
    Lock,
    Screw,
    Shelf,
    Unit,
    Use,
    Wall,
)
from kiosk.rules.hanging.rating import rate
from kiosk.rules.hanging.sharedcleat import rate_together
from kiosk.rules.hanging.species import GRAVITIES
from kiosk.rules.lengths import Length, from_mm
from tests.hanging import braced

CALM = settings(max_examples=150, deadline=None, derandomize=True)
ODD = st.one_of(st.floats(), st.floats(0, 60), st.just(0.0))
LENGTH = st.one_of(
    st.integers(-1600, 32_000_000).map(Length),
    st.floats(1, 500).map(from_mm),
    st.sampled_from([from_mm(one) for one in (12, 16, 18, 88.9, 100, 150, 400)]),
)
MAYBE = st.none() | LENGTH


def mostly(kind, good):
    """A good choice as often as not, so that some get as far as a number."""
    return st.one_of(st.just(good), st.just(good), st.sampled_from(kind))


SCREWS = st.builds(
    Screw,
    gauge=st.sampled_from([-1, 0, 5, 6, 8, 10, 10, 12, 14, 15]),
    length=LENGTH,
    steel=mostly(kinds.Steel, kinds.Steel.WOOD),
    head=st.sampled_from(kinds.Head),
    head_across=MAYBE,
    thread=MAYBE,
    declared=st.none()
    | st.builds(Declared, fax_mpa=ODD, fhead_mpa=ODD, tension_n=ODD, yield_nmm=ODD,
                rho_fax=ODD, outer_mm=ODD, inner_mm=ODD, head_mm=ODD),
)  # fmt: skip
CLEATS = st.builds(
    Cleat,
    board=mostly(kinds.Board, kinds.Board.PLYWOOD),
    thickness=LENGTH,
    height=LENGTH,
    rows=st.lists(LENGTH, max_size=3).map(tuple),
    plies=st.integers(0, 15),
    is_glued=st.booleans(),
    bevel=st.sampled_from([45.0, 45.0, 45.0, 30.0, math.nan]),
)
WALLS = st.builds(
    Wall,
    backing=mostly(kinds.Backing, kinds.Backing.STUD),
    soundness=mostly(kinds.Soundness, kinds.Soundness.SOUND),
    studs=st.lists(LENGTH, max_size=4).map(tuple),
    panel=LENGTH,
    gypsum=LENGTH,
    void=LENGTH,
    species=st.sampled_from(["", *GRAVITIES]),
    gravity=st.none() | ODD,
)
SHELVES = st.builds(
    Shelf,
    span=LENGTH,
    depth=LENGTH,
    thickness=LENGTH,
    grain=st.sampled_from(kinds.Grain),
    mass_kg=ODD,
    spans=st.integers(0, 3),
    overhang=LENGTH,
)
UNITS = st.builds(
    Unit,
    load_out=LENGTH,
    self_out=LENGTH,
    self_mass_kg=ODD,
    drop=MAYBE,
    stop_on=mostly(kinds.StopOn, kinds.StopOn.FACE),
    strip=LENGTH,
    strip_fixing=mostly(kinds.StripFixing, kinds.StripFixing.GLUED_AND_SCREWED),
    middle=LENGTH,
    shelves=st.lists(SHELVES, max_size=2).map(tuple),
    lock=st.none()
    | st.builds(
        Lock,
        screw=SCREWS,
        count=st.integers(-1, 4),
        backing=mostly(kinds.Backing, kinds.Backing.STUD),
    ),
)
USES = st.builds(
    Use,
    goods=mostly(kinds.Goods, kinds.Goods.STORED),
    spot=mostly(kinds.Spot, kinds.Spot.DRY_INDOORS),
    premises=mostly(kinds.Premises, kinds.Premises.PRIVATE),
    celsius=ODD,
    is_damp=st.booleans(),
)
HANGINGS = st.builds(Hanging, unit=UNITS, cleat=CLEATS, wall=WALLS, screw=SCREWS, use=USES)


@CALM
@given(HANGINGS)
def test_it_is_rated_or_refused(hanging):
    found = rate(hanging)
    assert found.is_rated is not bool(found.refusals)
    if found.is_rated:
        assert 1 <= found.net_kg <= 90 * max(len(hanging.unit.shelves), 1)
    together = rate_together({"A": hanging, "B": hanging})
    assert {one.is_rated for one in together.values()} <= {found.is_rated, False}
    for one in improvements(hanging, stock=[from_mm(100)]):
        assert one.after > (found.net_kg or 0)


# near the units worked by hand, so that most of what is odd is odd by itself
@CALM
@given(st.data())
def test_one_odd_figure_in_a_good_unit(data):
    good = braced()
    part = data.draw(st.sampled_from(["unit", "cleat", "wall", "screw", "use"]))
    drawn = {"unit": UNITS, "cleat": CLEATS, "wall": WALLS, "screw": SCREWS, "use": USES}[part]
    odd = data.draw(drawn)
    name = data.draw(st.sampled_from([one.name for one in fields(odd)]))
    changed = replace(getattr(good, part), **{name: getattr(odd, name)})
    found = rate(replace(good, **{part: changed}))
    assert found.is_rated is not bool(found.refusals)
    if found.is_rated:
        assert math.isfinite(found.gross_kg)
        assert 1 <= found.net_kg <= 180
