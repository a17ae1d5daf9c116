import shutil
import subprocess
from contextlib import closing

import apsw
import pytest

from db.backup import SPARE_BYTES, backup, check_room, restore, verify
from db.connect import DatabaseRefused, DbError, DiskFull
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


def test_a_copy_that_does_not_pass_a_further_look_gets_no_name(tmp_path):
    a_log(tmp_path / "shop.db", 5).close()
    looked = []

    def look(part):
        looked.append(verify(part))
        return ["it is not ours"]

    with pytest.raises(DbError, match="it is not ours"):
        backup(tmp_path / "shop.db", tmp_path / "copy.db", look)

    assert looked == [[]]
    assert not list(tmp_path.glob("copy.db*"))


def test_a_further_look_that_fails_leaves_no_rest_and_replaces_nothing(tmp_path):
    a_log(tmp_path / "shop.db", 5).close()
    backup(tmp_path / "shop.db", tmp_path / "copy.db")
    before = (tmp_path / "shop.db").read_bytes()

    def look(part):
        raise RuntimeError

    with pytest.raises(RuntimeError):
        restore(tmp_path / "copy.db", tmp_path / "shop.db", look)

    assert (tmp_path / "shop.db").read_bytes() == before
    assert not list(tmp_path.glob("*.part"))


def test_rows_that_belong_to_nothing_are_found(tmp_path):
    path = tmp_path / "shop.db"
    a_log(path, 1).close()
    with closing(apsw.Connection(str(path))) as file:
        file.execute("CREATE TABLE coat (name TEXT PRIMARY KEY)")
        file.execute("CREATE TABLE tin (coat TEXT REFERENCES coat (name))")
        file.execute("INSERT INTO tin VALUES ('lost')")

    assert verify(path) == ["a row of tin belongs to one of coat that is not there"]


def test_a_disk_without_room_is_refused_in_words_before_anything_is_written(tmp_path, monkeypatch):
    a_log(tmp_path / "shop.db", 5).close()
    usage = shutil.disk_usage(tmp_path)
    monkeypatch.setattr("shutil.disk_usage", lambda folder: usage._replace(free=SPARE_BYTES))

    with pytest.raises(DiskFull, match="no room for a copy: 32 MiB are needed, 32 MiB are free"):
        backup(tmp_path / "shop.db", tmp_path / "copy.db")

    assert not list(tmp_path.glob("copy.db*"))


def test_what_waits_beside_the_file_counts_for_the_room(tmp_path, monkeypatch):
    log = a_log(tmp_path / "shop.db", 50)
    size = (tmp_path / "shop.db").stat().st_size
    usage = shutil.disk_usage(tmp_path)
    free = size + SPARE_BYTES
    monkeypatch.setattr("shutil.disk_usage", lambda folder: usage._replace(free=free))

    with pytest.raises(DiskFull):
        check_room(tmp_path / "shop.db", tmp_path)

    log.close()


def test_half_a_copy_on_a_disk_that_fills_up_is_removed(small_disk, tmp_path, monkeypatch):
    """The room is there when it is looked for, and gone when the copy is written."""
    log = Log.open(tmp_path / "shop.db")
    drafts = [Draft("step_done", "J", "U", "", {"n": "x" * 4_000})] * 700
    log.append(drafts, kiosk="K", wall_ms=1, changes=Changes())
    log.close()
    monkeypatch.setattr("db.backup.check_room", lambda path, folder: None)

    with pytest.raises(DiskFull, match="the disk is full"):
        backup(tmp_path / "shop.db", small_disk / "copy.db")

    assert not list(small_disk.iterdir())
    assert verify(tmp_path / "shop.db") == []


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 1 MiB of its own, where this user may mount one."""
    folder = tmp_path / "small"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)]
    if not shutil.which("mount") or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("no disk can be mounted here")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)
