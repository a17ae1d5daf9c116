"""Each entry is tied to the one before it of its kiosk, also where a file had no links yet."""

import hashlib
import itertools
import json
import re
from contextlib import closing

import apsw
import pytest

from db.backup import verify
from db.chain import FIRST, link
from db.log import Changes, Draft, Log


def append(log, number, kiosk="K"):
    draft = Draft("step_done", "J", f"U{number}", "Mara", {"step": "cut", "note": "ä ½"})
    return log.append([draft], kiosk=kiosk, wall_ms=1_000 + number, changes=Changes())[0]


def links_by_hand(rows):
    """Say what the links must be by SHA-256 over JSON, written a second time."""
    before: dict[str, str] = {}
    for row in sorted(rows, key=lambda row: (row.kiosk, row.seq)):
        body = json.dumps(row.body, ensure_ascii=False, separators=(",", ":"))
        told = [before.get(row.kiosk, ""), row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms,
                row.person, row.kind, row.job, row.unit, body]  # fmt: skip
        text = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
        before[row.kiosk] = hashlib.sha256(text.encode()).hexdigest()
        yield row.id, before[row.kiosk]


def test_each_entry_is_tied_to_the_one_before_it_of_its_kiosk(tmp_path):
    log = Log.open(tmp_path / "shop.db")
    rows = [append(log, number, "K" if number % 3 else "M") for number in range(7)]

    assert {row.id: row.chain for row in rows} == dict(links_by_hand(rows))
    assert log.heads() == {"K": (4, rows[5].chain), "M": (3, rows[6].chain)}
    log.close()


def test_a_link_tells_of_every_field_and_of_what_was_before():
    fields = ("id", "K", 1, 2, 3, 4, "Mara", "step_done", "J", "U", "{}")
    found = {link(FIRST, fields), link("x", fields)}
    for place, value in enumerate(fields):
        other = value + 1 if isinstance(value, int) else value + "x"
        found.add(link(FIRST, (*fields[:place], other, *fields[place + 1 :])))
    assert len(found) == len(fields) + 2


def test_a_file_from_before_there_were_links_gets_the_same_ones(tmp_path, monkeypatch):
    monkeypatch.setattr("db.migrate._AT_ONCE", 2)
    path = tmp_path / "shop.db"
    log = Log.open(path)
    rows = [append(log, number, "K" if number % 2 else "M") for number in range(5)]
    log.close()
    old = apsw.Connection(str(path))
    old.execute(
        "ALTER TABLE entry DROP COLUMN chain; DROP TABLE own; DROP TABLE pin_try;"
        " PRAGMA user_version = 2;"
    )
    old.close()

    log = Log.open(path)

    assert [row.chain for row in log.rows_after(0)] == [row.chain for row in rows]
    assert [row.id for row in log.outbox(9)] == [row.id for row in log.kiosk_rows("K", 0, 9)] + [
        row.id for row in log.kiosk_rows("M", 0, 9)
    ]
    log.close()


@pytest.fixture
def file(tmp_path):
    log = Log.open(tmp_path / "shop.db")
    for number in range(6):
        append(log, number, "K" if number % 3 else "M")
    log.close()
    return tmp_path / "shop.db"


def spoil(file, statement):
    with closing(apsw.Connection(str(file))) as other:
        other.execute(statement)
    return verify(file)


def test_a_sound_file_has_no_fault(file):
    assert verify(file) == []


@pytest.mark.parametrize("field", ["person", "kind", "job", "unit", "wall_ms", "l", "c", "id"])
def test_a_changed_field_of_an_entry_is_found(file, field):
    found = spoil(file, f"UPDATE entry SET {field} = 77 WHERE kiosk = 'K' AND seq = 2")
    assert found == ["entry 2 of kiosk K is not as it was written"]


def test_a_changed_body_is_found(file):
    found = spoil(file, "UPDATE entry SET body = replace(body, 'cut', 'cat') WHERE seq = 1")
    assert sorted(found) == [f"entry 1 of kiosk {one} is not as it was written" for one in "KM"]


def test_a_lost_entry_is_found(file):
    found = spoil(file, "DELETE FROM entry WHERE kiosk = 'K' AND seq = 2")
    assert found == ["kiosk K lacks entries between 1 and 3"]


def test_an_entry_put_in_by_hand_is_found(file):
    added = "INSERT INTO entry SELECT NULL, 'x', kiosk, 5, l, c, wall_ms, received_ms, person, kind"
    found = spoil(file, f"{added}, job, unit, body, chain FROM entry WHERE kiosk = 'K' AND seq = 4")
    assert found == ["entry 5 of kiosk K is not as it was written"]


def test_when_a_server_received_an_entry_is_no_fault(file):
    assert spoil(file, "UPDATE entry SET received_ms = 5") == []


def test_a_flipped_bit_in_what_an_entry_says_is_found(file):
    # of flips that change an entry, SQLite's own check passes over about a third (measured)
    whole = file.read_bytes()
    places = [at.start() for at in re.finditer(rb'"step":"cut"', whole)]
    assert len(places) >= 6
    for place, bit in itertools.product(places[:2], range(8)):
        flipped = bytearray(whole)
        flipped[place + 8] ^= 1 << bit  # the highest leaves no text at all
        file.write_bytes(flipped)
        assert verify(file), f"bit {bit} of byte {place + 8}"


@pytest.mark.parametrize("value", ["x'00'", "'abc'", "cast(x'ff' AS TEXT)"])
@pytest.mark.parametrize("field", ["seq", "kiosk", "body", "chain", "received_ms"])
def test_a_field_that_is_no_text_or_number_any_more_is_a_fault_in_words(file, field, value):
    found = spoil(file, f"UPDATE entry SET {field} = {value} WHERE kiosk = 'K' AND seq = 2")
    assert all(isinstance(one, str) for one in found)
    assert found or field == "received_ms"  # no link tells of it


def test_entries_that_came_in_any_order_are_tied_all_the_same(file, tmp_path):
    log, other = Log.open(file), Log.open(tmp_path / "other.db")
    rows = log.rows_after(0)

    for row in (rows[4], rows[0], rows[5], rows[2], rows[1], rows[3]):
        other.merge([row], Changes)

    log.close()
    other.close()
    assert verify(tmp_path / "other.db") == []
    assert spoil(tmp_path / "other.db", "DELETE FROM entry WHERE kiosk = 'K' AND seq = 2") == [
        "kiosk K lacks entries between 1 and 3"
    ]
