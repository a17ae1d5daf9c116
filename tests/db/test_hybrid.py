"""Hybrid logical time by itself."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from db.hybrid import AHEAD_MS, horizon, next_time

times = st.tuples(st.integers(0, 10**6), st.integers(0, 9))


@pytest.mark.parametrize(
    ("own", "seen", "wall_ms", "following"),
    [
        ((0, 0), (0, 0), 1_000, (1_000, 0)),
        ((1_000, 0), (0, 0), 1_000, (1_000, 1)),
        ((5_000, 3), (0, 0), 1_000, (5_000, 4)),  # its clock was set back
        ((1_000, 0), (4_000, 7), 2_000, (4_000, 8)),  # another is ahead
        ((1_000, 0), (2_000 + AHEAD_MS, 7), 2_000, (2_000 + AHEAD_MS, 8)),
        ((1_000, 0), (2_001 + AHEAD_MS, 7), 2_000, (2_000, 0)),  # too far: not followed
        ((9_000_000, 0), (2_001 + AHEAD_MS, 7), 2_000, (9_000_000, 1)),
    ],
)
def test_time_follows_the_clock_the_own_last_entry_and_others_not_far_ahead(
    own, seen, wall_ms, following
):
    assert next_time(own, seen, wall_ms=wall_ms) == following


@given(times, times, st.integers(0, 10**6))
def test_time_never_runs_backwards(own, seen, wall_ms):
    following = next_time(own, seen, wall_ms=wall_ms)

    assert following > own
    assert following > seen or seen[0] > horizon(wall_ms)
    assert following[0] >= wall_ms
