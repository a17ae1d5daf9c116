"""Files of older, newer and other programs."""

import fcntl
import multiprocessing
from contextlib import closing

import apsw
import pytest

from db import migrate
from db.connect import DatabaseRefused
from db.log import Changes, Draft, Log


def an_old_file(path):
    """Make a file as the first schema had it, with entries, a projection and a counter."""
    with closing(apsw.Connection(str(path))) as old:
        old.execute(migrate._FIRST)
        for seq in range(1, 6):
            old.execute(
                "INSERT INTO entry VALUES (?, ?, 'K', ?, ?, 0, ?, NULL, '', 'k', 'J', 'U', '{}')",
                (seq, f"{seq:032x}", seq, seq, seq),
            )
        old.execute("INSERT INTO piece VALUES ('K222222', 'J', 'U')")
        old.execute("INSERT INTO counter VALUES ('K', 42)")
        old.execute("PRAGMA user_version = 1")
    return path


def version_of(path):
    with closing(apsw.Connection(str(path))) as file:
        return file.execute("PRAGMA user_version").fetchone()[0]


def test_an_old_file_is_brought_up_to_date_and_keeps_every_row(tmp_path):
    path = an_old_file(tmp_path / "shop.db")

    log = Log.open(path)

    assert [row.seq for row in log.rows_after(0)] == [1, 2, 3, 4, 5]
    assert log.find_piece("K222222") == ("J", "U")
    assert list(log.take_numbers("K", 1)) == [42]
    assert not log.mark_unclean("K")
    log.close()
    assert version_of(path) == len(migrate.STEPS)


def test_a_copy_of_the_old_file_is_kept_before_it_is_changed(tmp_path):
    path = an_old_file(tmp_path / "shop.db")

    Log.open(path).close()

    copy = tmp_path / "shop.db.schema-1"
    assert version_of(copy) == 1
    with closing(apsw.Connection(str(copy))) as kept:
        assert kept.execute("SELECT count(*) FROM entry").fetchone() == (5,)


def test_a_new_file_is_not_copied(tmp_path):
    Log.open(tmp_path / "shop.db").close()

    assert not list(tmp_path.glob("*schema*"))


def test_a_step_that_fails_leaves_the_old_schema_whole(tmp_path, monkeypatch):
    path = an_old_file(tmp_path / "shop.db")

    def fails(database):
        database.execute_sql("ALTER TABLE counter ADD COLUMN odd INTEGER")
        raise RuntimeError("the power went")

    monkeypatch.setattr(migrate, "STEPS", (*migrate.STEPS, fails))
    with pytest.raises(RuntimeError):
        Log.open(path)

    with closing(apsw.Connection(str(path))) as file:
        columns = [row[1] for row in file.execute("PRAGMA table_info(counter)")]
        count = file.execute("SELECT count(*) FROM entry").fetchone()
    assert "odd" not in columns
    assert count == (5,)
    assert version_of(path) == len(migrate.STEPS) - 1


def _open_and_write(path, kiosk):
    log = Log.open(path)
    log.append([Draft("k", "J", "U", "", {})], kiosk=kiosk, wall_ms=1, changes=Changes())
    log.close()


def test_two_kiosks_bringing_one_file_up_to_date_at_once_both_succeed(tmp_path):
    path = an_old_file(tmp_path / "shop.db")
    spawn = multiprocessing.get_context("spawn")
    kiosks = [spawn.Process(target=_open_and_write, args=(path, kiosk)) for kiosk in "MN"]

    for kiosk in kiosks:
        kiosk.start()
    for kiosk in kiosks:
        kiosk.join()

    log = Log.open(path)
    assert [kiosk.exitcode for kiosk in kiosks] == [0, 0]
    assert log.last_pos() == 7
    log.close()


def test_a_kiosk_that_waited_for_another_finds_its_work_done(tmp_path, monkeypatch):
    path, take_lock, waits = an_old_file(tmp_path / "shop.db"), fcntl.flock, []

    def wait(lock, how):
        monkeypatch.setattr(fcntl, "flock", take_lock)
        Log.open(path).close()  # the other one was first
        waits.append(how)
        take_lock(lock, how)

    monkeypatch.setattr(fcntl, "flock", wait)
    log = Log.open(path)

    assert waits == [fcntl.LOCK_EX]
    assert log.last_pos() == 5
    log.close()


@pytest.mark.parametrize("version", [0, 1, 2])
def test_another_programs_file_is_refused_and_left_alone(tmp_path, version):
    path = tmp_path / "addresses.db"
    with closing(apsw.Connection(str(path))) as theirs:
        theirs.execute("CREATE TABLE address (name)")
        theirs.execute(f"PRAGMA user_version = {version}")

    with pytest.raises(DatabaseRefused, match="another program's"):
        Log.open(path)

    with closing(apsw.Connection(str(path))) as theirs:
        tables = theirs.execute("SELECT name FROM sqlite_master").fetchall()
    assert tables == [("address",)]


def test_a_newer_file_is_refused_and_stays_as_it_is(tmp_path):
    path = tmp_path / "shop.db"
    Log.open(path).close()
    with closing(apsw.Connection(str(path))) as newer:
        newer.execute("PRAGMA user_version = 99")

    with pytest.raises(DatabaseRefused, match="schema 99"):
        Log.open(path)

    assert version_of(path) == 99
    assert not list(tmp_path.glob("*schema*"))
