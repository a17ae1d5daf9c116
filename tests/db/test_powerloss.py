"""The power goes at any moment: nothing that was acknowledged is lost, no transaction halved.

The simulator shows its teeth at settings that are known to lose (sqlite.org, "PRAGMA synchronous"):
NORMAL loses what was acknowledged last, OFF damages the file.
"""

import apsw
import pytest

from db import migrate
from db.backup import verify
from db.connect import PRAGMAS, connect
from db.log import Log
from tests.powerloss import cut_often, leave, record, watched

TRANSACTIONS = 80
SEED = 20_260_309


def test_the_shops_file_is_opened_so_that_each_transaction_is_synced():
    assert (PRAGMAS["journal_mode"], PRAGMAS["synchronous"]) == ("wal", 2)  # 2 is FULL


def test_a_power_cut_loses_nothing_that_was_acknowledged(tmp_path):
    history = record(tmp_path / "shop.db", TRANSACTIONS)

    found = cut_often(history, tmp_path / "after", cuts=300, seed=SEED)

    assert found.cuts == 300
    assert (found.damaged, found.lost, found.half) == (0, 0, 0), found


@pytest.mark.parametrize(("synchronous", "shows"), [("NORMAL", "lost"), ("OFF", "damaged")])
def test_the_simulator_sees_what_weaker_settings_lose(tmp_path, synchronous, shows):
    history = record(tmp_path / "shop.db", TRANSACTIONS, synchronous=synchronous)

    found = cut_often(history, tmp_path / "after", cuts=100, seed=SEED)

    assert getattr(found, shows) > 0, found
    if synchronous == "NORMAL":
        assert found.damaged == 0, found


def test_a_power_cut_while_a_file_is_brought_up_to_date_leaves_it_old_or_new_and_whole(tmp_path):
    folder = tmp_path / "shop"
    folder.mkdir()
    record_old(folder / "shop.db")
    with watched(folder) as history:
        Log.open(folder / "shop.db").close()

    seen = set()
    for _moment in leave(history, tmp_path / "after", cuts=120, seed=SEED):
        left = apsw.Connection(str(tmp_path / "after/shop.db"))
        seen.add(left.execute("PRAGMA user_version").fetchall()[0][0])
        left.close()
        log = Log.open(tmp_path / "after/shop.db")
        assert [row.seq for row in log.rows_after(0)] == list(range(1, 41))
        log.close()
        assert verify(tmp_path / "after/shop.db") == []

    assert len(seen) > 1, "cut before and after a step"


def record_old(path):
    """Make a file of the first schema with 40 entries."""
    connect(path).close()
    old = apsw.Connection(str(path))
    old.execute(migrate._FIRST)
    old.execute("PRAGMA user_version = 1")
    insert = "INSERT INTO entry VALUES (?, ?, 'K', ?, ?, 0, ?, NULL, '', 'k', 'J', 'U', '{}')"
    for seq in range(1, 41):
        old.execute(insert, (seq, f"{seq:032x}", seq, seq, seq))
    old.close()
