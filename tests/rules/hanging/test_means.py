"""The shop's list of screws as people type it."""

import pytest

from kiosk.rules.hanging.kinds import Head, Steel
from kiosk.rules.hanging.means import MOST_SCREWS, STOCK, read_stock
from kiosk.rules.lengths import from_mm


def test_numbers_and_lengths_are_read():
    screws, wrong = read_stock(' 10 x 89, No. 12×3 1/2" ,8 X 64 mm,, 10 x 89 ')
    assert wrong == ""
    assert [(one.gauge, one.length) for one in screws] == [
        (10, from_mm(89)), (12, from_mm(88.9)), (8, from_mm(64)),
    ]  # fmt: skip
    # the weaker head is assumed until somebody says otherwise
    assert {(one.steel, one.head) for one in screws} == {(Steel.WOOD, Head.COUNTERSUNK)}
    assert read_stock("") == ((), "")
    assert len(read_stock(STOCK)[0]) == 4


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("5 x 64", "“5 x 64” begins with none of the numbers 6, 7, 8, 9, 10, 12, 14"),
        ("screw", "“screw” begins with none of the numbers 6, 7, 8, 9, 10, 12, 14"),
        ("10 x", "The length is missing."),
        (", ".join(f"10 x {n}" for n in range(50, 63)), f"more than {MOST_SCREWS} kinds of screws"),
    ],
)
def test_what_is_wrong_is_told(text, told):
    assert read_stock(text) == ((), told)
