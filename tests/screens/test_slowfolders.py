"""Folders that do not answer: the kiosk says so, lets go of them, and records scans meanwhile."""

import threading
from pathlib import Path

import pytest
from fake_setup import STICK
from test_jobs import open_shop, row

from kiosk.folders import Spot
from kiosk.screens import filedesk
from kiosk.screens.busyscreen import SLOW_S

CODE = "K7F3Q97"


@pytest.fixture
def silence(monkeypatch):
    """An event that what hangs waits for; it is let go after the test."""
    waited = threading.Event()
    monkeypatch.setattr("kiosk.screens.worker.Worker.patience_s", 0.2)
    yield waited
    waited.set()


@pytest.fixture
def kiosk(drive, shop, silence, monkeypatch):
    """A kiosk with a stick that answers and a folder of the office that never does."""
    spots = tuple(
        Spot(name, Path(f"/media/{name}"), shop.at, is_folder=True) for name in ("STICK", "office")
    )

    def look_into(folder, endings):
        if folder.name == "office":
            silence.wait()
        return (), None

    monkeypatch.setattr(filedesk, "sticks", lambda: spots)
    monkeypatch.setattr(filedesk, "own_folders", lambda: ())
    monkeypatch.setattr(filedesk, "look_into", look_into)
    started = drive(shop)
    open_shop(started, "Take in a list")
    return started


def test_a_folder_that_never_answers_holds_up_no_scan(kiosk, shop):
    kiosk.tap(row(kiosk, "office"))
    assert kiosk.shows("Looking into office")
    assert not kiosk.shows("Still looking")
    kiosk.desk.show.count(SLOW_S)
    assert kiosk.shows("Still looking: a network folder may be slow")

    kiosk.scan(CODE)

    assert shop.scans == [CODE]
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_folder_that_never_answers_is_let_go_and_another_is_looked_into(kiosk):
    kiosk.tap(row(kiosk, "office"))
    kiosk.tap(kiosk.button("Cancel"))
    assert kiosk.shows("Where is the part list?")

    kiosk.tap(row(kiosk, "STICK"))

    assert kiosk.shows("Lists in STICK, newest first")


def test_an_answer_that_comes_after_somebody_went_elsewhere_takes_no_screen(kiosk, silence):
    kiosk.tap(row(kiosk, "office"))
    kiosk.tap(kiosk.button("To the bench"))
    (hanging,) = [one for one in threading.enumerate() if one.name == "aside"]

    silence.set()
    hanging.join(30)
    kiosk.settle()

    assert kiosk.desk.show is kiosk.desk.bench


def test_a_list_that_cannot_be_read_through_holds_up_no_scan(kiosk, shop, silence, monkeypatch):
    monkeypatch.setattr(filedesk, "read_through", lambda _file: silence.wait())
    kiosk.desk.shopdesk.takes.pick(Spot("list.csv", Path("/media/office/list.csv"), shop.at))
    kiosk.settle()
    assert kiosk.shows("Reading list.csv")

    kiosk.scan(CODE)

    assert shop.scans == [CODE]


def test_a_copy_to_a_folder_that_never_answers_holds_up_no_scan(kiosk, shop, silence):
    made = []

    def hang(folder):
        made.append(folder)
        silence.wait()
        return None, ()

    shop.make = hang
    copies = kiosk.desk.shopdesk.upkeep.copies
    copies.make(STICK)
    kiosk.settle()
    assert kiosk.shows("Copying to /media/glaze/stick")
    copies.make(STICK)  # somebody looks again; it is not made twice
    kiosk.settle()

    kiosk.scan(CODE)

    assert shop.scans == [CODE]
    assert made == [STICK]


def test_where_copies_lie_is_looked_for_without_holding_up_a_scan(kiosk, shop, silence):
    shop.see = silence.wait
    kiosk.desk.shopdesk.upkeep.copies.open()
    kiosk.settle()
    assert kiosk.shows("Looking for copies and sticks")

    kiosk.scan(CODE)

    assert shop.scans == [CODE]
