"""Two kiosks with a file each: what one wrote is taken in by the other, in any order."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.rules.entries import Kind, to_ms
from kiosk.store import Note, Store

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
UNIT = {"kind": "panel", "name": "Panel", "pieces": []}


def opened(folder, letter):
    folder.mkdir()
    return Store.open(folder / "shop.db", letter)


@pytest.fixture
def here(tmp_path):
    store = opened(tmp_path / "here", "K")
    yield store
    store.close()


@pytest.fixture
def there(tmp_path):
    store = opened(tmp_path / "there", "M")
    yield store
    store.close()


def write(store, minute, entry, unit="", **body):
    note = Note(entry, "GLAZE", unit, body, "Mara")
    return store.write([note], START + timedelta(minutes=minute))[0]


def test_what_one_kiosk_wrote_counts_at_the_other(here, there):
    write(here, 0, Kind.JOB_OPENED, name="Glaze store")
    write(here, 0, Kind.UNIT_TAKEN, "G1", **UNIT)
    write(here, 1, Kind.STEP_DONE, "G1", step="glue")

    new = there.take_in(here.outbox(10))

    assert [entry.kind for entry in new] == ["job_opened", "unit_taken", "step_done"]
    assert there.states() == here.states()
    assert there.jobs() == here.jobs()
    assert there.heads() == here.heads()
    assert there.take_in(here.outbox(10)) == ()
    assert there.outbox(10) == []  # what others made is theirs to send


def test_an_entry_that_comes_late_does_not_undo_what_was_made_after_it(here, there):
    write(here, 0, Kind.JOB_OPENED, name="as it was first called")
    write(here, 0, Kind.UNIT_TAKEN, "G1", **UNIT)
    write(there, 5, Kind.JOB_OPENED, name="as it is called now")
    write(there, 5, Kind.UNIT_GONE, "G1")

    there.take_in(here.outbox(10))

    assert there.jobs()["GLAZE"].name == "as it is called now"
    assert there.units_of("GLAZE") == []
    here.take_in(there.outbox(10))
    assert here.jobs() == there.jobs()
    assert here.units_of("GLAZE") == []


def test_a_receipt_ends_the_sending_and_puts_a_wrong_clock_in_its_place(here, there):
    write(here, 0, Kind.JOB_OPENED, name="by the right clock")
    years = 60 * 24 * 365 * 10
    write(there, years, Kind.JOB_OPENED, name="ten years ahead")
    received = [(row.id, to_ms(START) - 600_000) for row in there.outbox(10)]

    there.take_receipts(received)
    there.take_in(here.outbox(10))

    assert there.outbox(10) == []
    assert there.jobs()["GLAZE"].name == "by the right clock"
    there.send_all_again()
    assert len(there.outbox(10)) == 1
