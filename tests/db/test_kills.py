"""A process that is killed loses nothing it acknowledged, and leaves no half of a transaction."""

from tests.kills import kill_often


def test_kills_lose_nothing(tmp_path):
    found = kill_often(tmp_path / "shop.db", kills=8, seed=5)

    assert found.kills == 8
    assert found.acknowledged >= 8
    assert (found.lost, found.halved, found.damaged) == (0, 0, 0), found
