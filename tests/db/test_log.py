import multiprocessing
import subprocess
import sys
import textwrap
from contextlib import closing

import apsw
import pytest

from db.backup import verify
from db.connect import DatabaseRefused, DbError, DiskFull, beside, connect
from db.log import Changes, Draft, Log, new_id

NOTHING = Changes()


def draft(kind="step_done", unit="U1", **body):
    return Draft(kind, "J", unit, "Mara", body)


@pytest.fixture
def log(tmp_path):
    opened = Log.open(tmp_path / "shop.db")
    yield opened
    opened.close()


def test_an_entry_comes_back_as_it_was_written(log):
    (row,) = log.append([draft(step="coat-2")], kiosk="K", wall_ms=5_000, changes=NOTHING)

    assert log.row(row.id) == row
    assert (row.kiosk, row.seq, row.l, row.c, row.wall_ms) == ("K", 1, 5_000, 0, 5_000)
    assert row.body == {"step": "coat-2"}


def test_sequence_is_gapless_and_time_never_runs_backwards_when_the_clock_does(log):
    times = [10_000, 10_000, 4_000, 4_000, 20_000]

    rows = [log.append([draft(), draft()], kiosk="K", wall_ms=at, changes=NOTHING) for at in times]

    flat = [row for pair in rows for row in pair]
    assert [row.seq for row in flat] == list(range(1, 11))
    assert [(row.l, row.c) for row in flat] == sorted({(row.l, row.c) for row in flat})


def test_a_failing_write_leaves_nothing_behind_and_the_next_one_works(log):
    broken = Changes(pieces=[("K222222", "J", None)])

    with pytest.raises(DbError):
        log.append([draft()], kiosk="K", wall_ms=1, changes=broken)

    assert log.last_pos() == 0
    log.append([draft()], kiosk="K", wall_ms=1, changes=NOTHING)
    assert log.last_pos() == 1


def test_a_repeated_sequence_of_a_kiosk_is_refused_by_the_file(log, tmp_path):
    (row,) = log.append([draft()], kiosk="K", wall_ms=1, changes=NOTHING)

    other = apsw.Connection(str(tmp_path / "shop.db"))
    with closing(other), pytest.raises(apsw.ConstraintError):
        other.execute(
            "INSERT INTO entry (id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body)"
            " VALUES ('x', 'K', ?, 0, 0, 0, '', '', '', '', '{}')",
            (row.seq,),
        )


def test_projection_follows_changes_and_can_be_thrown_away(log):
    changes = Changes(
        jobs=[("J", True, {"name": "Glaze store"})],
        units=[("J", "U1", True), ("J", "U2", True)],
        pieces=[("K222222", "J", "U1")],
    )

    log.append([draft()], kiosk="K", wall_ms=1, changes=changes)

    assert log.open_units() == [("J", "U1"), ("J", "U2")]
    assert log.find_piece("K222222") == ("J", "U1")
    assert log.jobs() == [("J", True, {"name": "Glaze store"})]
    gone = Changes(units=[("J", "U2", False)])
    log.append([draft()], kiosk="K", wall_ms=2, changes=gone)
    assert log.units_of("J") == ["U1"]
    log.renew_projection(NOTHING)
    assert log.open_units() == []
    assert log.last_pos() == 2


def test_units_of_a_closed_job_are_not_open(log):
    opened = Changes(jobs=[("J", True, {})], units=[("J", "U1", True)])
    log.append([draft()], kiosk="K", wall_ms=1, changes=opened)

    closed = Changes(jobs=[("J", False, {})])
    log.append([draft()], kiosk="K", wall_ms=2, changes=closed)

    assert log.open_units() == []


def test_many_units_are_read_unit_by_unit(log):
    keys = [("J", f"U{number}") for number in range(700)]
    log.append([draft(unit=unit) for _, unit in keys], kiosk="K", wall_ms=1, changes=NOTHING)
    log.append([draft(unit="U3")], kiosk="K", wall_ms=2, changes=NOTHING)

    rows = list(log.units_rows(keys))

    assert len(rows) == 701
    assert [row.seq for row in rows if row.unit == "U3"] == [4, 701]


def test_numbers_are_never_handed_out_twice(tmp_path):
    path = tmp_path / "shop.db"
    first = Log.open(path)
    taken = list(first.take_numbers("K", 3))
    first.close()

    again = Log.open(path)
    taken += again.take_numbers("K", 2)
    other = list(again.take_numbers("M", 1))
    again.close()

    assert taken == [1, 2, 3, 4, 5]
    assert other == [1]


def test_another_process_is_noticed_by_the_data_version(log, tmp_path):
    before = log.data_version()

    other = Log.open(tmp_path / "shop.db")
    other.append([draft()], kiosk="M", wall_ms=1, changes=NOTHING)
    other.close()

    assert log.data_version() != before


def test_ids_are_version_7_and_sort_by_time():
    # RFC 9562, appendix A.6: the example's time is 2022-02-22T19:22:22 UTC, 0x017F22E279B0
    example = new_id(0x017F22E279B0)

    assert example[:12] == "017f22e279b0"
    assert example[12] == "7"
    assert example[16] in "89ab"
    assert new_id(1_000) < new_id(2_000)


def _append_many(path, kiosk, count):
    log = Log.open(path)
    for number in range(count):
        log.append([draft(number=number)], kiosk=kiosk, wall_ms=number, changes=NOTHING)
    log.close()


def test_two_processes_writing_at_once_keep_one_gapless_sequence(tmp_path):
    path = tmp_path / "shop.db"
    Log.open(path).close()
    spawn = multiprocessing.get_context("spawn")
    writers = [spawn.Process(target=_append_many, args=(path, "K", 40)) for _ in range(2)]

    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()

    log = Log.open(path)
    rows = log.rows_after(0)
    log.close()
    assert [writer.exitcode for writer in writers] == [0, 0]
    assert sorted(row.seq for row in rows) == list(range(1, 81))
    assert len({(row.l, row.c) for row in rows}) == 80
    assert verify(path) == []  # each is tied to the one before it, whoever wrote that


def test_a_killed_writer_loses_nothing_it_had_acknowledged(tmp_path):
    path = tmp_path / "shop.db"
    script = textwrap.dedent(f"""
        from pathlib import Path
        from db.log import Changes, Draft, Log
        log = Log.open(Path({str(path)!r}))
        number = 0
        while True:
            log.append([Draft("step_done", "J", "U", "", {{"n": number}})],
                       kiosk="K", wall_ms=number, changes=Changes())
            print(number, flush=True)
            number += 1
    """)
    writer = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    acknowledged = [int(writer.stdout.readline()) for _ in range(50)]

    writer.kill()
    writer.wait()
    acknowledged += [int(line) for line in writer.stdout if line.strip().isdigit()]
    writer.stdout.close()

    log = Log.open(path)
    kept = [row.body["n"] for row in log.rows_after(0)]
    log.close()
    assert kept[: len(acknowledged)] == acknowledged


def test_a_full_disk_is_told_in_words_and_what_was_there_stays(log):
    log.append([draft()], kiosk="K", wall_ms=1, changes=NOTHING)
    pages = log._db.execute_sql("PRAGMA page_count").fetchone()[0]
    log._db.execute_sql(f"PRAGMA max_page_count = {pages}")
    big = [draft(text="x" * 20_000)]

    with pytest.raises(DiskFull, match="make room"):
        log.append(big, kiosk="K", wall_ms=2, changes=NOTHING)

    assert log.last_pos() == 1
    log._db.execute_sql(f"PRAGMA max_page_count = {pages + 100}")
    assert log.append(big, kiosk="K", wall_ms=2, changes=NOTHING)[0].seq == 2


def test_the_settings_that_make_a_commit_durable_hold(tmp_path):
    database = connect(tmp_path / "shop.db")

    found = {
        name: database.execute_sql(f"PRAGMA {name}").fetchone()[0]
        for name in ("journal_mode", "synchronous", "foreign_keys")
    }
    database.close()

    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}


def test_a_file_in_memory_is_refused_because_it_keeps_no_log(tmp_path, monkeypatch):
    # SQLite silently refuses write-ahead logging where it cannot have it
    monkeypatch.setitem(__import__("db.connect").connect.PRAGMAS, "journal_mode", "delete")

    with pytest.raises(DatabaseRefused, match="journal_mode"):
        connect(tmp_path / "shop.db")


@pytest.mark.parametrize("content", [b"this is no database at all, only text " * 40, b"\0" * 5000])
def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path, content):
    path = tmp_path / "shop.db"
    path.write_bytes(content)

    with pytest.raises(DatabaseRefused):
        Log.open(path)

    assert path.read_bytes() == content


def test_a_missing_folder_is_refused_in_words(tmp_path):
    with pytest.raises(DatabaseRefused, match="folder"):
        Log.open(tmp_path / "no" / "shop.db")


def test_a_file_of_a_newer_program_is_refused(tmp_path):
    path = tmp_path / "shop.db"
    Log.open(path).close()
    with closing(apsw.Connection(str(path))) as other:
        other.execute("PRAGMA user_version = 99")

    with pytest.raises(DatabaseRefused, match="newer program"):
        Log.open(path)


def _units_by_hand(path, tmp_path):
    """Copy the one file, as a person would, and count the entries in it."""
    copy = tmp_path / "by-hand.db"
    copy.write_bytes(path.read_bytes())
    with closing(apsw.Connection(str(copy))) as found:
        tables = found.execute("SELECT count(*) FROM sqlite_master WHERE name = 'entry'")
        if not tables.fetchone()[0]:
            return 0
        return found.execute("SELECT count(*) FROM entry").fetchone()[0]


def test_a_copy_by_hand_holds_the_work_once_it_was_brought_home(log, tmp_path):
    log.append([draft()] * 300, kiosk="K", wall_ms=1, changes=NOTHING)
    assert _units_by_hand(tmp_path / "shop.db", tmp_path) < 300

    assert log.bring_home()

    assert _units_by_hand(tmp_path / "shop.db", tmp_path) == 300
    assert beside(tmp_path / "shop.db").stat().st_size == 0


def test_bringing_home_waits_for_no_reader_and_loses_nothing(log, tmp_path):
    log.append([draft()], kiosk="K", wall_ms=1, changes=NOTHING)
    with closing(apsw.Connection(str(tmp_path / "shop.db"))) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM entry").fetchall()
        log.append([draft()], kiosk="K", wall_ms=2, changes=NOTHING)

        assert not log.bring_home()

        reader.execute("COMMIT")
    assert log.last_pos() == 2
    assert log.bring_home()


def test_a_file_closed_beside_another_kiosk_leaves_nothing_waiting(tmp_path):
    bench, board = Log.open(tmp_path / "shop.db"), Log.open(tmp_path / "shop.db")
    bench.append([draft()], kiosk="K", wall_ms=1, changes=NOTHING)

    bench.close()

    assert _units_by_hand(tmp_path / "shop.db", tmp_path) == 1
    board.close()


def test_a_name_with_the_sign_nul_is_refused_as_no_server_could_keep_it(log):
    with pytest.raises(DbError, match="NUL"):
        log.append([draft(unit="G\0")], kiosk="K", wall_ms=1, changes=NOTHING)
    assert log.last_pos() == 0
