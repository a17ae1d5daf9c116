from contextlib import closing

import apsw
import pytest

from db.backup import backup, restore, verify
from db.connect import DatabaseRefused, DbError
from db.log import Changes, Draft, Log


def a_log(path, count):
    log = Log.open(path)
    for number in range(count):
        log.append(
            [Draft("step_done", "J", "U", "", {"n": number})],
            kiosk="K",
            wall_ms=number,
            changes=Changes(),
        )
    return log


def test_a_copy_of_a_file_in_use_holds_everything_committed(tmp_path):
    log = a_log(tmp_path / "shop.db", 20)

    backup(tmp_path / "shop.db", tmp_path / "copy.db")

    log.close()
    assert verify(tmp_path / "copy.db") == []
    copy = Log.open(tmp_path / "copy.db")
    assert copy.last_pos() == 20
    copy.close()


def test_restore_brings_a_copy_back_and_keeps_what_was_there(tmp_path):
    a_log(tmp_path / "shop.db", 5).close()
    backup(tmp_path / "shop.db", tmp_path / "copy.db")
    a_log(tmp_path / "shop.db", 3).close()

    kept = restore(tmp_path / "copy.db", tmp_path / "shop.db")

    assert Log.open(tmp_path / "shop.db").last_pos() == 5
    with closing(apsw.Connection(str(kept))) as old:
        assert old.execute("SELECT count(*) FROM entry").fetchone() == (8,)


def test_restore_refuses_while_a_kiosk_has_unfinished_business(tmp_path):
    a_log(tmp_path / "shop.db", 2).close()
    backup(tmp_path / "shop.db", tmp_path / "copy.db")
    with closing(apsw.Connection(str(tmp_path / "shop.db"))) as busy:
        busy.execute("BEGIN IMMEDIATE")

        with pytest.raises(DbError):
            restore(tmp_path / "copy.db", tmp_path / "shop.db")

    assert Log.open(tmp_path / "shop.db").last_pos() == 2


def test_a_damaged_copy_is_refused_and_the_file_stays(tmp_path):
    a_log(tmp_path / "shop.db", 50).close()
    backup(tmp_path / "shop.db", tmp_path / "copy.db")
    data = bytearray((tmp_path / "copy.db").read_bytes())
    data[4096:] = bytes(len(data) - 4096)
    (tmp_path / "copy.db").write_bytes(data)

    with pytest.raises(DatabaseRefused):
        restore(tmp_path / "copy.db", tmp_path / "shop.db")

    assert verify(tmp_path / "shop.db") == []


def test_a_file_without_a_log_is_not_whole(tmp_path):
    with closing(apsw.Connection(str(tmp_path / "other.db"))) as other:
        other.execute("CREATE TABLE something (a)")

    assert verify(tmp_path / "other.db") == ["it holds no log"]


def test_there_is_nothing_to_copy_where_no_file_is(tmp_path):
    with pytest.raises(DbError, match="nothing to copy"):
        backup(tmp_path / "shop.db", tmp_path / "copy.db")
