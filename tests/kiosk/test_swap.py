"""Two shop files and a real PostgreSQL: what one kiosk writes comes to the other."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.rules.entries import Kind
from kiosk.store import Note, Store
from kiosk.store.link import Forked, Link, swap

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
UNIT = {"kind": "panel", "name": "Panel", "pieces": []}


def clock():
    return 1_000


class Kiosk:
    """A kiosk's file and its line to the server."""

    def __init__(self, folder, letter, url):
        folder.mkdir(exist_ok=True)
        self.store = Store.open(folder / "shop.db", letter)
        self.link = Link.open(url)

    def write(self, minute, kind, unit="", **body):
        note = Note(kind, "GLAZE", unit, body, "Mara")
        return self.store.write([note], START + timedelta(minutes=minute))[0]

    def swap(self, **more):
        return swap(self.store, self.link, clock=clock, **more)

    def close(self):
        self.link.close()
        self.store.close()


@pytest.fixture
def kiosks(tmp_path, prepared):
    made = [Kiosk(tmp_path / one, one, prepared.add_kiosk(one)) for one in "KM"]
    yield made
    for one in made:
        one.close()


def test_entries_go_round_once(kiosks):
    here, there = kiosks
    here.write(0, Kind.JOB_OPENED, name="Glaze store")
    here.store.write([Note(Kind.UNIT_TAKEN, "GLAZE", "G1", UNIT)], START)
    there.write(1, Kind.AIR_READ)

    first = here.swap(batch=1)
    second = there.swap()
    third = here.swap()

    assert (first.sent, first.taken) == (2, 0)
    assert (second.sent, second.taken) == (1, 2)
    assert (third.sent, third.taken) == (0, 1)
    assert here.store.states() == there.store.states() != {}
    assert here.store.heads() == there.store.heads()
    assert (here.swap().sent, there.swap().taken) == (0, 0)


def test_two_files_under_one_letter_are_told_apart(kiosks, tmp_path, prepared):
    here, _there = kiosks
    here.write(0, Kind.JOB_OPENED, name="Glaze store")
    here.swap()
    copy = Store.open(tmp_path / "copy.db", "K")
    copy.write([Note(Kind.JOB_OPENED, "OTHER", "", {})], START)
    with pytest.raises(Forked):
        swap(copy, here.link, clock=clock)
    copy.close()
