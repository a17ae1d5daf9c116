"""What people put on shelves, against the published figures, and whether a rating is enough."""

import pytest

from kiosk.rules.hanging.loads import BY_KEY, GOODS, expected_kg, judge
from kiosk.rules.hanging.rating import rate
from tests.hanging import floating


# Architectural Woodwork Standards 2009 and ANSI/KCMA A161.1, in kg/m²
@pytest.mark.parametrize(
    ("key", "kg"),
    [("general", 195), ("books", 244), ("household", 73), ("tools", 195), ("domestic", 100),
     ("kitchen", 150)],
)  # fmt: skip
def test_loads_by_area(key, kg):
    assert expected_kg(BY_KEY[key], length=1000, depth=1000) == pytest.approx(kg, abs=0.5)
    assert expected_kg(BY_KEY[key], length=500, depth=400) == pytest.approx(kg / 5, abs=0.1)


def test_loads_by_length():
    # 25 lb a foot is 37 kg a metre; a clothes rail 40 (EN 14749 family, from memory)
    assert expected_kg(BY_KEY["book_row"], length=1000, depth=300) == pytest.approx(37.2, abs=0.1)
    assert expected_kg(BY_KEY["clothes"], length=900, depth=300) == pytest.approx(36)


def test_loads_in_all():
    # ANSI/KCMA A161.1: 500 lb
    assert expected_kg(BY_KEY["cabinet"], length=900, depth=300) == pytest.approx(227, abs=0.3)


def test_every_figure_names_its_source():
    assert len(BY_KEY) == len(GOODS)
    for one in GOODS:
        assert one.basis
        assert one.per_m2 or one.per_m or one.whole


def test_a_rating_is_enough_or_not():
    rating = rate(floating(150), shop=1)
    assert rating.net_kg == 15
    good = judge(15, rating)
    assert good.is_enough
    assert good.words == "It may carry 15 kg; 15.0 kg are expected."
    bad = judge(15.1, rating)
    assert not bad.is_enough
    assert bad.words == "It may carry 15 kg only; 15.1 kg are expected: too much."
    assert not judge(float("nan"), rating).is_enough


def test_what_is_not_rated_is_never_enough():
    found = judge(0, rate(floating(50)))
    assert not found.is_enough
    assert found.words == "There is no number for it: load nothing."
