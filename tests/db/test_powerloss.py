"""The power goes at any moment: nothing that was acknowledged is lost, no transaction halved.

The simulator shows its teeth at settings that are known to lose (sqlite.org, "PRAGMA synchronous"):
NORMAL loses what was acknowledged last, OFF damages the file.
"""

import pytest

from db.connect import PRAGMAS
from tests.powerloss import cut_often, record

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
