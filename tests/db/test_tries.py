"""Wrong tries of a PIN are kept in the file: brought to old ones, all or nothing, one at a time."""

import sqlite3
import threading
from contextlib import closing

import pytest

from db import migrate
from db.log import Log
from db.tries import Tried


def test_a_file_from_before_there_were_pins_gets_the_table(tmp_path):
    path = tmp_path / "shop.db"
    with closing(sqlite3.connect(path)) as old:
        old.executescript(migrate._FIRST)
        old.execute("PRAGMA user_version = 1")
        old.commit()
    log = Log.open(path)
    assert log.tries() == {}
    assert log.change_tries("K1", lambda _one: Tried(3, 1_000, told=True)) == Tried()
    log.close()
    log = Log.open(path)
    assert log.tries() == {"K1": Tried(3, 1_000, told=True)}
    log.close()


def test_tries_that_are_none_leave_no_row(tmp_path):
    log = Log.open(tmp_path / "shop.db")
    log.change_tries("K1", lambda _one: Tried(1, 5))
    assert log.change_tries("K1", lambda _one: Tried()) == Tried(1, 5)
    assert log.tries() == {}
    log.close()


def test_a_change_that_fails_changes_nothing(tmp_path):
    log = Log.open(tmp_path / "shop.db")
    log.change_tries("K1", lambda _one: Tried(1, 5))

    def fails(_one):
        raise RuntimeError("the power went")

    with pytest.raises(RuntimeError):
        log.change_tries("K1", fails)
    assert log.tries() == {"K1": Tried(1, 5)}
    log.close()


def test_a_rebuilt_projection_forgets_no_try(tmp_path):
    from db.log import Changes

    log = Log.open(tmp_path / "shop.db")
    log.change_tries("K1", lambda _one: Tried(4, 5))
    log.renew_projection(Changes())
    assert log.tries() == {"K1": Tried(4, 5)}
    log.close()


def test_two_programs_that_try_at_once_are_both_counted(tmp_path):
    path = tmp_path / "shop.db"
    logs = [Log.open(path), Log.open(path)]

    def guess(log):
        for _number in range(10):
            log.change_tries("K1", lambda one: Tried(one.wrong + 1, 5))

    threads = [threading.Thread(target=guess, args=(log,)) for log in logs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert logs[0].tries() == {"K1": Tried(20, 5)}
    for log in logs:
        log.close()
