"""Factors of duration, damp and warmth."""

import pytest

from kiosk.rules.hanging.service import Duration, factor


# NDS 2018, table 2.3.2, as transcribed by others
@pytest.mark.parametrize(
    ("duration", "value"),
    [("permanent", 0.9), ("ten_years", 1.0), ("two_months", 1.15), ("seven_days", 1.25),
     ("ten_minutes", 1.6)],
)  # fmt: skip
def test_duration(duration, value):
    assert factor(Duration(duration)) == value


# NDS 2018, tables 11.3.3 and 11.3.4, as transcribed by others; damp and warm from memory
@pytest.mark.parametrize(
    ("celsius", "dry", "damp"),
    [(37.0, 1.0, 0.7), (40, 0.8, 0.49), (51, 0.8, 0.49), (60, 0.7, 0.35)],
)
def test_damp_and_warmth(celsius, dry, damp):
    assert factor(Duration.TEN_YEARS, celsius=celsius) == pytest.approx(dry)
    assert factor(Duration.TEN_YEARS, celsius=celsius, is_damp=True) == pytest.approx(damp)


@pytest.mark.parametrize("celsius", [65.1, float("nan")])
def test_hotter_nothing_is_known(celsius):
    with pytest.raises(ValueError, match="factor"):
        factor(Duration.PERMANENT, celsius=celsius)
