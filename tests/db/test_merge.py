"""Entries from elsewhere, retries, and time across kiosks."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from db.log import Changes, Draft, Log

NOTHING = Changes()


def nothing():
    return NOTHING


TEN_YEARS_MS = 10 * 365 * 86_400_000


def draft(unit="U1", entry_id=None, **body):
    return Draft("step_done", "J", unit, "Mara", body, entry_id)


def append(log, *drafts, at=1_000, kiosk="K", changes=NOTHING):
    return log.append(drafts or (draft(),), kiosk=kiosk, wall_ms=at, changes=changes)


def opened(tmp_path, name):
    return Log.open(tmp_path / f"{name}.db")


@pytest.fixture
def log(tmp_path):
    log = opened(tmp_path, "shop")
    yield log
    log.close()


@pytest.fixture
def other(tmp_path):
    log = opened(tmp_path, "other")
    yield log
    log.close()


def test_an_entry_from_elsewhere_keeps_all_but_its_arrival(log, other):
    append(log, draft(unit="first here"), kiosk="M")
    (made,) = append(other, draft(step="coat-2"), at=7_000)

    (kept,) = log.merge([made], lambda: Changes(pieces=[("K222222", "J", "U1")]))

    assert replace(kept, pos=made.pos) == made
    assert kept.pos == 2
    assert log.find_piece("K222222") == ("J", "U1")


@settings(
    deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_order_with_doubles_leaves_the_same_entries(tmp_path_factory, data):
    folder = tmp_path_factory.mktemp("merge")
    source, target = opened(folder, "source"), opened(folder, "target")
    rows = [append(source, at=number)[0] for number in range(6)]
    arriving = data.draw(st.permutations(rows + rows[:3]))

    for row in arriving:
        target.merge([row], nothing)

    kept = [replace(row, pos=0) for row in target.last_rows("K", 9, ["step_done"])]
    source.close()
    target.close()
    assert kept == [replace(row, pos=0) for row in reversed(rows)]


def test_time_follows_what_came_from_another_kiosk(log, other):
    (theirs,) = append(other, at=40_000, kiosk="M")
    log.merge([theirs], nothing)

    (mine,) = append(log, at=10_000)

    assert (mine.l, mine.c) > (theirs.l, theirs.c)


def test_time_follows_the_highest_entry_and_not_the_last_to_arrive(log, other):
    late, early = append(other, at=40_000, kiosk="M")[0], append(other, at=5_000, kiosk="N")[0]
    log.merge([late], nothing)
    log.merge([replace(early, l=5_000, c=0)], nothing)

    (mine,) = append(log, at=10_000)

    assert (mine.l, mine.c) > (late.l, late.c)


def test_one_wrong_clock_does_not_drag_the_others_along(log, other):
    (poisoned,) = append(other, at=TEN_YEARS_MS, kiosk="M")
    log.merge([poisoned], nothing)

    (mine,) = append(log, at=10_000)

    assert (mine.l, mine.c) == (10_000, 0)


def test_a_kiosks_own_time_stays_in_order_after_its_clock_was_wrong(log):
    (poisoned,) = append(log, at=TEN_YEARS_MS)

    (mine,) = append(log, at=10_000)

    assert (mine.l, mine.c) == (poisoned.l, poisoned.c + 1)


def test_what_is_written_again_with_its_id_is_kept_once(log):
    changes = Changes(jobs=[("J", True, {})])
    (first,) = append(log, draft(entry_id="a" * 32), changes=changes)
    log.renew_projection(Changes(jobs=[("J", False, {})]))

    (again,) = append(log, draft(entry_id="a" * 32), at=9_000, changes=changes)

    assert again == first
    assert log.last_pos() == 1
    assert log.jobs() == [("J", False, {})]  # an old write does not open a closed job again


def test_what_is_new_beside_a_retry_is_written_in_its_place(log):
    (first,) = append(log, draft(entry_id="a" * 32))

    rows = append(log, draft(unit="U2"), draft(entry_id="a" * 32), draft(unit="U3"))

    assert [row.unit for row in rows] == ["U2", "U1", "U3"]
    assert rows[1] == first
    assert [row.seq for row in log.rows_after(0)] == [1, 2, 3]
    assert [log.row(row.id) for row in rows] == list(rows)


def test_changes_without_an_entry_are_applied(log):
    log.append([], kiosk="K", wall_ms=1, changes=Changes(jobs=[("J", True, {})]))

    assert log.jobs() == [("J", True, {})]


def test_entries_are_found_by_job_by_unit_by_kind_and_by_kiosk(log):
    drafts = [
        Draft("job_opened", "J", "", "", {}),
        Draft("step_done", "J", "U1", "", {}),
        Draft("air_read", "", "", "", {}),
    ]

    rows = log.append(drafts, kiosk="K", wall_ms=1, changes=NOTHING)

    assert log.job_rows("J") == [rows[0]]
    assert log.unit_rows("J", "U1") == [rows[1]]
    assert log.kind_rows("air_read", "job_opened") == [rows[0], rows[2]]
    assert log.last_rows("K", 2, ["step_done", "air_read"]) == [rows[2], rows[1]]
    assert log.rows_after(rows[1].pos) == [rows[2]]
    assert log.row("nowhere") is None


def test_numbers_go_on_without_a_gap_after_a_stop_in_good_order(log):
    log.mark_unclean("K")
    taken = log.take_numbers("K", 3)
    log.mark_clean("K")

    was_unclean = log.mark_unclean("K")

    assert not was_unclean
    assert log.take_numbers("K", 1).start == taken.stop


def test_numbers_leave_a_thousand_out_after_any_other_stop(log):
    log.mark_unclean("K")
    taken = log.take_numbers("K", 3)

    was_unclean = log.mark_unclean("K")

    assert was_unclean
    assert log.take_numbers("K", 1).start == taken.stop + 1_000
    assert log.take_numbers("M", 1).start == 1
