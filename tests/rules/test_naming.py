import pytest

from kiosk.rules.naming import name_some, natural


@pytest.mark.parametrize(
    ("names", "order"),
    [
        (["G10", "G2", "G1"], ["G1", "G2", "G10"]),
        (["G16", "G04", "G05", "K01"], ["G04", "G05", "G16", "K01"]),
        (["G1-10", "G1-9", "G1"], ["G1", "G1-9", "G1-10"]),
        (["S", "12", "7"], ["7", "12", "S"]),
        (["G1", "G01", "G²"], ["G01", "G1", "G²"]),
    ],
)
def test_names_are_put_in_the_order_people_count_in(names, order):
    assert sorted(names, key=natural) == order


def test_a_figure_of_any_length_can_be_counted():
    long = "G" + "9" * 6000
    assert sorted([long, "G10"], key=natural) == ["G10", long]


def test_more_names_than_are_shown_are_counted():
    assert name_some(["a", "b", "c"], most=2) == "a, b and 1 more"
    assert name_some(["a", "b"], most=2) == "a, b"
