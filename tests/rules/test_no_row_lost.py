from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.partlist import accounted, read

UNITS = ["Unit", "Part", "Length", "Width", "Qty", "Kind", "Finish", "Wall", "Hangs on", "Name"]
CELLS = ["", " ", "-", "B1", "b1", "Side", "600", "23 3/4", '3/4"', "1,250", "2.440", "0", "2 off"]
CELLS += [
    "#",
    "Total",
    "Length",
    "Qty",
    "Part",
    "Unit",
    "mm",
    "in",
    "box",
    "clear + stripe",
    "x\ny",
]


@given(
    st.lists(st.lists(st.sampled_from([*CELLS, *UNITS]), max_size=11), max_size=8),
    st.permutations(UNITS),
    st.lists(st.lists(st.sampled_from(CELLS), max_size=12), max_size=12),
    st.sampled_from([None, "mm", "inch", "ell"]),
)
def test_whatever_the_cells_hold_no_row_is_lost(above, head, below, units):
    rows = [*above, head, *below]
    assert accounted(read(rows, units=units), len(rows))


def test_a_lost_or_doubled_row_is_not_accounted_for():
    rows = [["Part", "Length", "Width", "Qty"], ["Side", "600", "300", "1"]]
    result = read(rows, units="mm")
    assert accounted(result, 2)
    assert not accounted(result, 3)
    assert not accounted(replace(result, lines=result.lines * 2), 2)
