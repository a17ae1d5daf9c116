"""The order of hanging: supports first, then from the top down but where a lift path is blocked."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.hanging.fitting import Fitting, How, WallCleat
from kiosk.rules.hanging.order import Hung, hanging_order, lifted_over, overlap
from kiosk.rules.lengths import from_mm


def hung(unit, kind="shelf", after="P", box=None, thickness=18, how=How.CLEAT, wall="W"):
    fitting = Fitting(how=how, wall=wall, on=after)
    if box is not None:
        x, y, width, height = map(from_mm, box)
        fitting = replace(fitting, x=x, y=y, width=width, height=height)
    if thickness is not None:
        fitting = replace(fitting, cleat=WallCleat(thickness=from_mm(thickness)))
    return Hung(unit=unit, kind=kind, fitting=fitting, after=after)


PANEL = hung("P", "panel", after="", box=(0, 0, 1200, 2000), how=How.SCREWED)


def order(*units):
    return [one.unit for one in hanging_order(units)]


def why(unit, *units):
    return next(one.why for one in hanging_order(units) if one.unit == unit)


def test_supports_dividers_rails_then_shelves_from_the_top_down_and_doors_last():
    units = [
        hung("D", "door", after="B", how=How.CARRIED),
        hung("low", box=(0, 300, 900, 100)),
        hung("B", "box", box=(0, 1200, 900, 300)),
        hung("R", "rail", box=(0, 100, 900, 50)),
        hung("V", "divider", box=(950, 300, 18, 900)),
        hung("high", box=(0, 800, 900, 100)),
        PANEL,
    ]
    assert order(*units) == ["P", "V", "R", "B", "high", "low", "D"]
    assert [one.number for one in hanging_order(units)] == [1, 2, 3, 4, 5, 6, 7]
    assert why("P", *units).startswith("panels come first")
    assert why("high", *units).startswith("from the top down")
    assert why("D", *units) == "after B, which holds it"
    assert why("V", *units).startswith("dividers")


def test_a_unit_that_would_be_lifted_into_another_goes_first():
    # a shelf is lifted by its cleat's thickness and 5 mm: 23 mm for 18 mm
    low, high = hung("low", box=(0, 300, 900, 200)), hung("high", box=(100, 520, 900, 200))
    assert order(PANEL, low, high) == ["P", "low", "high"]
    assert why("low", PANEL, low, high) == (
        "before high: it is lifted 23 mm to hook on, and would hit it"
    )
    clear = hung("high", box=(100, 523, 900, 200))
    assert order(PANEL, low, clear) == ["P", "high", "low"]
    thick = replace(low, fitting=hung("low", box=(0, 300, 900, 200), thickness=19).fitting)
    assert order(PANEL, thick, clear) == ["P", "low", "high"]


def test_only_what_hangs_above_on_the_same_wall_is_hit():
    low = hung("low", box=(0, 300, 900, 200)).fitting
    assert lifted_over(low, hung("a", box=(0, 510, 900, 200)).fitting)
    assert not lifted_over(low, hung("a", box=(900, 510, 900, 200)).fitting)
    assert not lifted_over(low, hung("a", box=(0, 90, 900, 200)).fitting)
    assert not lifted_over(low, hung("a", box=(0, 510, 900, 200), wall="V").fitting)
    assert not lifted_over(low, hung("a").fitting)
    assert not lifted_over(hung("a").fitting, low)
    bare = hung("b", box=(0, 300, 900, 200), thickness=None).fitting
    assert not lifted_over(bare, hung("a", box=(0, 510, 900, 200)).fitting)


def test_a_unit_whose_place_is_not_said_tells_so():
    shelf = hung("S")
    assert order(PANEL, shelf) == ["P", "S"]
    assert "was not looked at" in why("S", PANEL, shelf)
    assert order(shelf, hung("T", box=(0, 300, 900, 200)), PANEL) == ["P", "T", "S"]


def test_panels_block_nothing_and_a_ring_is_broken():
    above = hung("Q", "panel", after="", box=(0, 510, 900, 200))
    assert order(above, hung("S", after="Q", box=(0, 300, 900, 200))) == ["Q", "S"]
    one, other = hung("A", after="B"), hung("B", after="A")
    assert order(one, other) == ["A", "B"]
    assert order(hung("A", after="A")) == ["A"]


def test_units_entered_in_one_place_overlap():
    one = hung("A", box=(0, 300, 900, 200)).fitting
    assert overlap(one, hung("B", box=(800, 400, 900, 200)).fitting)
    assert not overlap(one, hung("B", box=(900, 400, 900, 200)).fitting)
    assert not overlap(one, hung("B", box=(0, 500, 900, 200)).fitting)
    assert not overlap(one, hung("B", box=(0, 300, 900, 200), wall="V").fitting)
    assert not overlap(one, hung("B").fitting)


boxes = st.tuples(
    st.integers(0, 1500), st.integers(0, 2000), st.integers(50, 900), st.integers(50, 600)
)
units = st.lists(st.tuples(boxes, st.sampled_from(("shelf", "box", "divider"))), max_size=7)


@given(units, st.randoms(use_true_random=False))
def test_each_unit_comes_once_in_one_order_after_its_support_and_below_what_it_would_hit(
    found, random
):
    listed = [hung(f"U{n}", kind, box=box) for n, (box, kind) in enumerate(found)] + [PANEL]
    mixed = listed.copy()
    random.shuffle(mixed)
    steps = hanging_order(listed)
    assert hanging_order(mixed) == steps
    place = {one.unit: one.number for one in steps}
    assert sorted(place.values()) == list(range(1, len(listed) + 1))
    assert place["P"] == 1
    for one in listed[:-1]:
        above = [
            other
            for other in listed[:-1]
            if other is not one and lifted_over(one.fitting, other.fitting)
        ]
        for other in above:
            # lifted on first, or the lift would be into it
            assert place[one.unit] < place[other.unit]
