"""Two kiosks with a file each: what one wrote is taken in by the other, in any order."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.rules.entries import Kind, to_ms
from kiosk.store import Note, Store, StoreError, beside
from kiosk.store.proving import prove

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


def test_lists_follow_from_the_log_also_where_work_goes_on_after_the_last_word(here, there):
    write(here, 0, Kind.JOB_OPENED, name="Glaze store")
    for unit in ("G1", "G2"):
        write(here, 0, Kind.UNIT_TAKEN, unit, **UNIT)
    there.take_in(here.outbox(10))
    write(here, 1, Kind.UNIT_GONE, "G1")
    write(here, 2, Kind.JOB_CLOSED, name="Glaze store")
    write(there, 3, Kind.STEP_DONE, "G1", step="glue")

    here.take_in(there.outbox(10))

    assert here.jobs()["GLAZE"].open
    assert here.units_of("GLAZE") == ["G1", "G2"]
    proof = prove(here.file)
    assert (proof.problems, proof.lists) == ((), ())


def test_a_kiosk_with_a_slow_clock_sees_what_the_others_will(here, there):
    write(here, 180, Kind.JOB_OPENED, name="Glaze store")
    there.take_in(here.outbox(10))

    write(there, 0, Kind.JOB_CLOSED, name="Glaze store")  # three hours before it was opened

    here.take_in(there.outbox(10))
    assert there.jobs()["GLAZE"].open
    assert there.jobs() == here.jobs()


def test_a_receipt_may_bring_work_before_its_job_was_closed(here, there):
    write(here, 0, Kind.JOB_OPENED, name="Glaze store")
    write(here, 0, Kind.UNIT_TAKEN, "G1", **UNIT)
    write(here, 5, Kind.JOB_CLOSED, name="Glaze store")
    there.take_in(here.outbox(10))
    step = write(there, 180, Kind.STEP_DONE, "G1", step="glue")  # by a clock hours ahead
    assert there.jobs()["GLAZE"].open

    there.take_receipts([(step.id, to_ms(START))])

    assert not there.jobs()["GLAZE"].open
    assert there.states() == {}
    assert prove(there.file).lists == ()


def test_of_a_job_the_air_of_its_site_is_not_read(here, monkeypatch):
    write(here, 0, Kind.JOB_OPENED, name="Glaze store")
    write(here, 0, Kind.AIR_READ, source="sensor", readings=[])
    read, rows_of = [], here._log._rows

    def noted(*given):
        rows = rows_of(*given)
        read.extend(row.kind for row in rows)
        return rows

    monkeypatch.setattr(here._log, "_rows", noted)
    assert list(here.unsure_jobs()) == []
    assert read == ["job_opened"]


def test_what_another_process_writes_while_the_lists_are_made_anew_is_in_them(here, monkeypatch):
    write(here, 0, Kind.JOB_OPENED, name="Glaze store")
    write(here, 0, Kind.UNIT_TAKEN, "G1", **UNIT)
    beside = Store.open(here.file, "K")
    kind_rows = here._log.kind_rows

    def read(*kinds):
        rows = kind_rows(*kinds)
        write(beside, 1, Kind.UNIT_TAKEN, "G2", **UNIT)
        write(beside, 2, Kind.UNIT_GONE, "G1")
        return rows

    monkeypatch.setattr(here._log, "kind_rows", read)
    here.rebuild()

    beside.close()
    assert here.units_of("GLAZE") == ["G2"]
    assert prove(here.file).lists == ()


def test_a_file_is_closed_also_where_its_end_cannot_be_noted(tmp_path, monkeypatch):
    store = opened(tmp_path / "full", "K")
    store.begin()

    def refuse(_kiosk):
        raise StoreError("the disk is full")

    monkeypatch.setattr(store._log, "mark_clean", refuse)
    with pytest.raises(StoreError, match="full"):
        store.close()

    assert not beside(store.file).exists() or not beside(store.file).stat().st_size
    again = Store.open(store.file, "K")
    with pytest.raises(StoreError):
        store.heads()
    again.close()
