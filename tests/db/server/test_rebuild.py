"""A server lost for good comes back from the kiosks' shop files, and nothing is dropped unsaid."""

import sqlite3
from contextlib import closing
from dataclasses import replace

import psycopg
import pytest

from db import migrate
from db.chain import FIRST, link
from db.connect import DbError
from db.log import Changes, Draft, Log
from db.records import fields_of
from db.server.kiosks import add_kiosk
from db.server.rebuild import rebuild

NOON = 1_772_000_000_000


class Kiosk:
    """A kiosk's shop file that writes and takes in what others wrote."""

    def __init__(self, folder, letter):
        self.file, self.letter = folder / f"{letter}.db", letter
        self.log = Log.open(self.file)

    def write(self, *names, at=NOON):
        drafts = [Draft("job_opened", name[:3], "", "Ida", {"name": name}) for name in names]
        return self.log.append(drafts, kiosk=self.letter, wall_ms=at, changes=Changes())

    def take_in(self, rows):
        self.log.merge(rows, Changes)

    def send(self, received_ms):
        """Note that a server has all that was written here."""
        ids = [row.id for row in self.log.outbox(100)]
        self.log.take_receipts([(one, received_ms) for one in ids], Changes)

    def rows(self):
        return self.log.rows_after(0)


@pytest.fixture
def kiosks(tmp_path):
    made = [Kiosk(tmp_path, letter) for letter in "KA"]
    yield made
    for one in made:
        one.log.close()


def kept(url):
    columns = "id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain, received_ms"
    query = f"SELECT {columns} FROM cleatclock.entry ORDER BY kiosk, seq"
    with psycopg.connect(url) as admin:
        return admin.execute(query).fetchall()


def change(file, query, *values):
    with closing(sqlite3.connect(file)) as database, database:
        database.execute(query, values)


def test_all_entries_come_back_as_they_were_with_the_times_they_were_received(prepared, kiosks):
    k, a = kiosks
    k.write("one", "two")
    k.send(NOON + 5)
    a.take_in(k.rows())
    a.write("three")
    a.send(NOON + 9)
    k.take_in(a.rows())
    k.write("not sent: ß\u2028 \0")

    done = rebuild(prepared.admin_url, [k.file, a.file])

    rows = kept(prepared.admin_url)
    held = {row.id: row for row in k.rows()}
    assert {row[0]: row[:12] for row in rows} == {
        row.id: (*fields_of(row), row.chain) for row in held.values()
    }
    assert [row[12] for row in rows[:3]] == [NOON + 9, NOON + 5, NOON + 5]
    assert rows[3][12] > NOON + 9  # of an entry no server had, the server's own clock
    assert (done.added, done.known, done.problems, done.no_login) == (4, 0, [], ["A", "K"])


def test_a_second_time_nothing_is_added_and_nothing_changed(prepared, kiosks):
    k, a = kiosks
    k.write("one", "two")
    rebuild(prepared.admin_url, [k.file])
    before = kept(prepared.admin_url)
    add_kiosk(prepared.admin_url, name="bench", letters="K", letter="K")
    k.write("three")

    done = rebuild(prepared.admin_url, [k.file, a.file])

    assert (done.added, done.known, done.problems, done.no_login) == (1, 2, [], [])
    assert kept(prepared.admin_url)[:2] == before


def test_two_entries_in_one_place_are_reported_and_the_first_stays(prepared, kiosks, tmp_path):
    k, _a = kiosks
    (first,) = k.write("one")
    (tmp_path / "old").mkdir()
    again = Kiosk(tmp_path / "old", "K")  # brought back from a copy that lacked it
    (second,) = again.write("other", at=NOON + 1)

    done = rebuild(prepared.admin_url, [k.file, again.file])
    later = rebuild(prepared.admin_url, [again.file])

    assert [row[0] for row in kept(prepared.admin_url)] == [first.id]
    assert done.problems == [
        f"entry K 1 ({second.id}) of {again.file} is left out: {first.id} stands in its place"
    ]
    assert later.problems == done.problems
    again.log.close()


def test_of_two_entries_in_one_place_the_one_whose_link_holds_goes_in(prepared, kiosks, tmp_path):
    k, _a = kiosks
    (first,) = k.write("one")
    change(k.file, "UPDATE entry SET chain = 'x'")
    (tmp_path / "old").mkdir()
    again = Kiosk(tmp_path / "old", "K")
    (second,) = again.write("other", at=NOON + 1)

    done = rebuild(prepared.admin_url, [k.file, again.file])

    assert [row[0] for row in kept(prepared.admin_url)] == [second.id]
    assert done.problems == [
        f"entry K 1 ({first.id}) of {k.file} is left out: {second.id} stands in its place"
    ]
    again.log.close()


def test_of_copies_that_differ_the_one_whose_link_holds_is_taken(prepared, kiosks):
    k, a = kiosks
    k.write("one", "two")
    a.take_in(k.rows())
    change(k.file, "UPDATE entry SET person = 'Eve' WHERE seq = 2")

    done = rebuild(prepared.admin_url, [k.file, a.file])

    assert [row[6] for row in kept(prepared.admin_url)] == ["Ida", "Ida"]
    assert len(done.problems) == 1
    assert f"the one of {a.file} is taken, as its link holds" in done.problems[0]


def test_the_servers_own_copy_stays_and_a_damaged_one_is_told(prepared, kiosks):
    k, _a = kiosks
    k.write("one", "two")
    rebuild(prepared.admin_url, [k.file])
    change(k.file, "UPDATE entry SET person = 'Eve' WHERE seq = 1")

    done = rebuild(prepared.admin_url, [k.file])

    assert [row[6] for row in kept(prepared.admin_url)] == ["Ida", "Ida"]
    assert len(done.problems) == 1
    assert "differs from the server's, which stays" in done.problems[0]


def test_the_only_copy_goes_in_though_its_link_does_not_hold(prepared, kiosks):
    k, _a = kiosks
    k.write("one", "two")
    change(k.file, "UPDATE entry SET person = 'Eve' WHERE seq = 2")

    done = rebuild(prepared.admin_url, [k.file])

    assert done.added == 2
    assert len(done.problems) == 1
    assert "is added, but its link does not hold" in done.problems[0]


def test_a_body_that_cannot_be_read_is_told_and_taken_from_another_file(prepared, kiosks):
    k, a = kiosks
    k.write("one", "two", "three")
    a.take_in(k.rows()[:2])
    change(k.file, "UPDATE entry SET body = '{\"na' WHERE seq > 1")

    done = rebuild(prepared.admin_url, [k.file, a.file])

    assert [row[10] for row in kept(prepared.admin_url)] == ['{"name":"one"}', '{"name":"two"}']
    assert len(done.problems) == 2
    assert f"the one of {a.file} is taken" in done.problems[0]
    assert "K 3" in done.problems[1]
    assert "its body cannot be read" in done.problems[1]


def test_a_file_from_before_entries_had_links_is_read_too(prepared, tmp_path):
    file = tmp_path / "old.db"
    body = '{"name":"Jars"}'
    fields = ("a1", "K", 1, 5, 0, 5, "Ida", "job_opened", "JARS", "", body)
    with closing(sqlite3.connect(file)) as old, old:
        old.executescript(migrate._FIRST)
        columns = "id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body"
        marks = ", ".join("?" * 11)
        old.execute(f"INSERT INTO entry ({columns}) VALUES ({marks})", fields)
        old.execute("PRAGMA user_version = 1")

    done = rebuild(prepared.admin_url, [file])

    (row,) = kept(prepared.admin_url)
    assert row[:12] == (*fields, link(FIRST, fields))
    assert (done.added, done.problems) == (1, [])
    with closing(sqlite3.connect(file)) as old:  # the file itself is as it was
        assert old.execute("PRAGMA user_version").fetchone() == (1,)


def test_gaps_and_signs_no_server_keeps_are_told(prepared, kiosks):
    k, _a = kiosks
    k.write("one", "two", "three", "four", "five")
    # a kiosk refuses such a name; one of before it did may have written it
    change(k.file, "UPDATE entry SET unit = 'th' || char(0) || 'ree' WHERE seq = 3")
    change(k.file, "DELETE FROM entry WHERE seq IN (1, 4)")

    done = rebuild(prepared.admin_url, [k.file])

    assert [row[2] for row in kept(prepared.admin_url)] == [2, 5]
    assert [words for words in done.problems if "in no file" in words] == [
        "kiosk K: entries 1 to 1 are in no file",
        "kiosk K: entries 3 to 4 are in no file",
    ]
    assert any("NUL" in words for words in done.problems)


def test_of_two_times_an_entry_was_received_the_first_counts(prepared, kiosks):
    k, a = kiosks
    k.write("one")
    k.send(NOON + 5)
    a.take_in([replace(row, received_ms=NOON + 3) for row in k.rows()])

    rebuild(prepared.admin_url, [k.file, a.file])

    assert [row[12] for row in kept(prepared.admin_url)] == [NOON + 3]


def test_a_file_that_cannot_be_read_stops_it_before_anything_is_added(prepared, kiosks, tmp_path):
    k, _a = kiosks
    k.write("one")
    (tmp_path / "bad.db").write_bytes(b"no database" * 100)
    change(tmp_path / "other.db", "CREATE TABLE entry (a)")

    for bad in (tmp_path / "bad.db", tmp_path / "nowhere.db", tmp_path / "other.db"):
        with pytest.raises(DbError, match=str(bad)):
            rebuild(prepared.admin_url, [k.file, bad])

    assert kept(prepared.admin_url) == []
