"""A kiosk that starts again shows what it showed, and writes down what is on it now."""

import pytest

from kiosk.appliance import Memory, Whereabouts
from kiosk.rules.route import STATIONS
from kiosk.screens.recall import Recall


class Kept:
    """Remembers all that was written down."""

    def __init__(self) -> None:
        self.seen: list[Whereabouts] = []

    def keep(self, now: Whereabouts) -> None:
        self.seen.append(now)


START = Whereabouts("bench", "finish", "Mara", "bench")


def test_another_station_and_the_board_are_written_down_once(drive, shop):
    kiosk, kept = drive(shop), Kept()
    kiosk.app.recall = Recall(kept, START)
    kiosk.tick()
    assert kept.seen == []
    kiosk.tap(kiosk.desk.bench.header.station)
    kiosk.tap(kiosk.button("Cut"))
    kiosk.tick()
    kiosk.tick()
    kiosk.tap(kiosk.button("Board"))
    kiosk.tick()
    assert kept.seen == [
        Whereabouts("bench", "cut", "Mara", "bench"),
        Whereabouts("bench", "cut", "Mara", "board"),
    ]


def test_a_bench_that_showed_the_board_shows_it_again(drive, shop):
    shown = Whereabouts("bench", "finish", "Mara", "board")
    kiosk = drive(shop, recall=Recall(Kept(), shown))
    assert kiosk.desk.show is kiosk.desk.board
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_bench_that_did_not_shows_the_bench(drive, shop):
    kiosk = drive(shop, recall=Recall(Kept(), START))
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_board_stays_when_the_window_gets_another_size(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Board"))
    kiosk.app._resized()
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.board


def test_a_disk_that_cannot_be_written_is_logged_and_the_kiosk_goes_on(
    drive, shop, caplog, tmp_path
):
    file = tmp_path / "gone" / "shop.db"  # a folder that is no longer there
    memory = Memory(file, station="cut", person="", stations=STATIONS)
    kiosk = drive(shop)
    kiosk.app.recall = Recall(memory, START)
    kiosk.desk.set_station("cut")
    kiosk.tick()
    assert "was not written down" in caplog.text
    kiosk.scan("K7F3Q97")
    assert shop.scans == ["K7F3Q97"]


@pytest.mark.parametrize("shown", ["bench", "board"])
def test_what_is_written_down_is_what_the_next_start_recalls(drive, shop, tmp_path, shown):
    memory = Memory(tmp_path / "shop.db", station="cut", person="", stations=STATIONS)
    kiosk = drive(shop)
    kiosk.app.recall = Recall(memory, Whereabouts())
    if shown == "board":
        kiosk.desk.open_board()
    kiosk.tick()
    assert memory.recall() == Whereabouts("bench", "finish", "Mara", shown)
