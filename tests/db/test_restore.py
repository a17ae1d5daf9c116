"""Copies that must be possible when things are bad, and refusals that must change nothing."""

from contextlib import closing

import apsw
import pytest

from db.backup import backup, restore, verify
from db.connect import DbError
from db.log import Changes, Draft, Log


def entries(path, count):
    log = Log.open(path)
    for number in range(count):
        log.append([Draft("k", "J", "U", "", {})], kiosk="K", wall_ms=number, changes=Changes())
    return log


def files(folder):
    return sorted(path.name for path in folder.iterdir())


def test_restore_refuses_while_a_kiosk_that_does_nothing_has_the_file_open(tmp_path):
    path, copy = tmp_path / "shop.db", tmp_path / "copy.db"
    log = entries(path, 2)
    backup(path, copy)

    with pytest.raises(DbError, match="held by another program"):
        restore(copy, path)

    log.append([Draft("k", "J", "U", "", {})], kiosk="K", wall_ms=9, changes=Changes())
    log.close()
    assert not [name for name in files(tmp_path) if "before-restore" in name or "part" in name]
    again = Log.open(path)
    assert again.last_pos() == 3
    again.close()


@pytest.mark.parametrize("start", [0, 4096])
def test_restore_replaces_a_damaged_file_and_keeps_it(tmp_path, start):
    path, copy = tmp_path / "shop.db", tmp_path / "copy.db"
    entries(path, 30).close()
    backup(path, copy)
    data = bytearray(path.read_bytes())
    data[start:] = b"\x55" * (len(data) - start)
    path.write_bytes(data)

    kept = restore(copy, path)

    assert kept.read_bytes()[8192:] == data[8192:]
    assert verify(path) == []
    log = Log.open(path)
    assert log.last_pos() == 30
    log.close()


def test_restore_works_where_the_file_is_gone(tmp_path):
    entries(tmp_path / "shop.db", 3).close()
    backup(tmp_path / "shop.db", tmp_path / "copy.db")

    kept = restore(tmp_path / "copy.db", tmp_path / "new.db")

    assert kept is None
    assert verify(tmp_path / "new.db") == []


def test_numbers_handed_out_after_the_copy_are_not_handed_out_again(tmp_path):
    path, copy = tmp_path / "shop.db", tmp_path / "copy.db"
    log = entries(path, 1)
    log.take_numbers("K", 5)
    backup(path, copy)
    taken = log.take_numbers("K", 5_000)
    newcomer = log.take_numbers("M", 3)
    log.close()

    restore(copy, path)

    log = Log.open(path)
    assert log.take_numbers("K", 1).start >= taken.stop
    assert log.take_numbers("M", 1).start >= newcomer.stop
    log.close()


def test_a_stretch_of_numbers_is_left_out_where_nobody_knows_which_were_taken(tmp_path):
    log = entries(tmp_path / "shop.db", 1)
    taken = log.take_numbers("K", 5)
    backup(tmp_path / "shop.db", tmp_path / "copy.db")
    log.close()

    restore(tmp_path / "copy.db", tmp_path / "new.db")

    log = Log.open(tmp_path / "new.db")
    assert log.take_numbers("K", 1).start == taken.stop + 1_000
    log.close()


def test_names_with_signs_that_mean_something_in_addresses_are_names(tmp_path):
    path, copy = tmp_path / "kiln #1 50%25 ?.db", tmp_path / "copy #2?.db"
    entries(path, 4).close()

    backup(path, copy)

    assert verify(copy) == []
    restore(copy, path)
    assert verify(path) == []
    assert set(files(tmp_path)) >= {path.name, copy.name}


def test_a_file_is_never_copied_onto_itself(tmp_path):
    path = tmp_path / "shop.db"
    entries(path, 2).close()

    with pytest.raises(DbError, match="itself"):
        backup(path, tmp_path / "." / "shop.db")
    with pytest.raises(DbError, match="itself"):
        restore(path, path)

    assert verify(path) == []


def test_a_copy_that_fails_leaves_the_older_one_and_no_rest(tmp_path):
    path, copy = tmp_path / "shop.db", tmp_path / "copy.db"
    entries(path, 40).close()
    backup(path, copy)
    older = copy.read_bytes()
    data = bytearray(path.read_bytes())
    data[4096:] = b"\x55" * (len(data) - 4096)
    path.write_bytes(data)

    with pytest.raises(DbError):
        backup(path, copy)

    assert copy.read_bytes() == older
    assert "copy.db.part" not in files(tmp_path)


def test_a_missing_folder_for_the_copy_is_told_in_words(tmp_path):
    entries(tmp_path / "shop.db", 1).close()

    with pytest.raises(DbError, match="folder"):
        backup(tmp_path / "shop.db", tmp_path / "no" / "copy.db")


def test_every_copy_made_while_writing_holds_a_whole_number_of_writes(tmp_path):
    path = tmp_path / "shop.db"
    log = Log.open(path)
    pair = [Draft("k", "J", "U", "", {}), Draft("k", "J", "U", "", {})]
    counts = []

    for number in range(8):
        log.append(pair, kiosk="K", wall_ms=number, changes=Changes())
        backup(path, tmp_path / f"{number}.db")

    log.close()
    for number in range(8):
        with closing(apsw.Connection(str(tmp_path / f"{number}.db"))) as copy:
            counts.append(copy.execute("SELECT count(*) FROM entry").fetchone()[0])
    assert counts == [2, 4, 6, 8, 10, 12, 14, 16]
