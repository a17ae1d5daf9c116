"""How far a file's entries are sent, and bringing some under another letter."""

import pytest

from db.backup import verify
from db.connect import DbError
from db.log import Changes, Draft, Log
from db.reading import LATEST

AT = 1_772_000_000_000


@pytest.fixture
def log(tmp_path):
    made = Log.open(tmp_path / "shop.db")
    yield made
    made.close()


def write(log, *names, kiosk="K", at=AT):
    drafts = [Draft("job_opened", name, "", "Ida", {}) for name in names]
    return log.append(drafts, kiosk=kiosk, wall_ms=at, changes=Changes())


def send(log, count=200, at=AT):
    log.take_receipts([(row.id, at) for row in log.outbox(count)], Changes)


def test_what_waits_is_counted_without_being_read(log):
    assert log.waiting() == 0
    write(log, "A", "B", "C")
    write(log, "D", kiosk="M")
    assert log.waiting() == 4
    send(log, 2)
    assert log.waiting() == len(log.outbox(9)) == 2


def test_what_a_server_has_no_more_is_sent_again(log):
    write(log, "A", "B", "C")
    send(log)
    assert not log.match_sent({"K": 3, "M": 9})
    assert not log.match_sent({"K": 7})
    assert log.waiting() == 0
    assert log.match_sent({"K": 1})
    assert [row.job for row in log.outbox(9)] == ["B", "C"]
    assert log.match_sent({})
    assert log.waiting() == 3


def test_the_first_receipt_of_an_entry_stays(log):
    (row,) = write(log, "A")
    for at in (AT + 5, AT + 9, AT + 2):
        log.take_receipts([(row.id, at)], Changes)
    assert [one.received_ms for one in log.rows_after(0)] == [AT + 2]


def test_entries_move_behind_those_of_the_new_letter_in_order_and_keep_their_ids(log, tmp_path):
    write(log, "A", "B", kiosk="K", at=AT)
    write(log, "C", kiosk="P", at=AT + 1)
    write(log, "D", kiosk="K", at=AT + 2)
    write(log, "E", kiosk="M", at=AT - 9)
    before = {row.job: row.id for row in log.rows_after(0)}

    assert log.move({"K": 1, "P": 0}, "M") == 3

    rows = {row.job: (row.kiosk, row.seq) for row in log.rows_after(0)}
    assert rows == {"A": ("K", 1), "E": ("M", 1), "B": ("M", 2), "C": ("M", 3), "D": ("M", 4)}
    assert {row.job: row.id for row in log.rows_after(0)} == before
    assert log.sent() == {"M": 0}
    assert verify(tmp_path / "shop.db") == []
    (next_one,) = write(log, "F", kiosk="M", at=AT + 3)
    assert next_one.seq == 5
    assert verify(tmp_path / "shop.db") == []


def test_a_letter_is_left_even_where_nothing_moves(log):
    write(log, "A")
    send(log)
    assert log.move({"K": 1}, "M") == 0
    assert log.sent() == {"M": 0}
    assert log.outbox(9) == []


def test_a_letter_does_not_move_to_itself(log):
    write(log, "A")
    with pytest.raises(ValueError, match="K"):
        log.move({"K": 0}, "K")


def test_a_move_that_fails_halfway_leaves_all_as_it_was(log, monkeypatch):
    write(log, "A", "B")
    before = log.rows_after(0)
    calls = []

    def failing(_before, _fields):
        calls.append(1)
        if len(calls) == 2:
            raise DbError("the disk is full")
        return "link"

    monkeypatch.setattr("db.outgoing.link", failing)
    with pytest.raises(DbError):
        log.move({"K": 0}, "M")
    assert log.rows_after(0) == before
    assert log.sent() == {"K": 0}


def test_numbers_go_on_beyond_those_a_lost_file_handed_out(log):
    log.skip_numbers("K", 30)
    first = log.take_numbers("K", 1)[0]
    assert first > 30
    log.skip_numbers("K", 30)
    assert log.take_numbers("K", 1)[0] == first + 1


def test_each_kiosks_latest_is_found_without_reading_the_log(log):
    assert log.heads() == {}
    for kiosk in "KMA2":
        write(log, *"ABC", kiosk=kiosk)
    assert {kiosk: seq for kiosk, (seq, _link) in log.heads().items()} == dict.fromkeys("KMA2", 3)
    plan = str(log._read("EXPLAIN QUERY PLAN " + LATEST.format("e.seq")))
    assert "SCAN entry" not in plan
    assert "SCAN e " not in plan


def test_the_latest_of_each_kiosk_is_not_later_than_it_was_received(log):
    write(log, "A", at=AT + 10**12)
    write(log, "B", kiosk="M", at=AT + 7)
    send(log, at=AT + 3)
    assert log.latest() == {"K": AT + 3, "M": AT + 3}
    assert log.link_at("K", 1) == log.heads()["K"][1]
    assert log.link_at("K", 2) is None
