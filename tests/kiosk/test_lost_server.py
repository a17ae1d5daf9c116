"""A server lost for good: rebuilt from the kiosks' files by the commands, and gone on with."""

import json
from datetime import UTC, datetime, timedelta

import psycopg
import pytest
from typer.testing import CliRunner

from kiosk.cli.every import app
from kiosk.rules.entries import Kind
from kiosk.store import Note, Store, verify

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)


def run(*words, ok=True):
    done = CliRunner().invoke(app, [str(word) for word in words])
    assert (done.exit_code == 0) == ok, done.output
    return json.loads(done.stdout) if done.stdout.startswith("{") else done.stdout


class Kiosk:
    """A kiosk's file, worked with by the commands."""

    def __init__(self, folder, letter):
        folder.mkdir()
        self.file, self.letter, self.count = folder / "shop.db", letter, 0

    def join(self, admin):
        words = ("--name", self.letter, "--letter", self.letter, "--json")
        url = run("server", "add-kiosk", admin, *words)["url"]
        return run("exchange", "--join", url, "--shop", self.file, "--json")

    def write(self, count):
        store = Store.open(self.file, self.letter)
        for _one in range(count):
            self.count += 1
            name = f"{self.letter}{self.count}"
            note = Note(Kind.JOB_OPENED, name, "", {"name": name}, "Mara")
            store.write([note], START + timedelta(minutes=self.count))
        store.close()

    def exchange(self):
        return run("exchange", "--shop", self.file, "--json")

    def entries(self):
        store = Store.open(self.file, self.letter)
        rows = store._log.rows_after(0)
        jobs = sorted(store.jobs())
        store.close()
        return sorted(
            (row.id, row.kiosk, row.seq, row.chain, row.received_ms) for row in rows
        ), jobs


@pytest.fixture
def kiosks(tmp_path, prepared):
    made = [Kiosk(tmp_path / letter, letter) for letter in "KM"]
    for one in made:
        one.write(3)
        one.join(prepared.admin_url)
    for one in made:
        one.exchange()
    return made


def new_server(prepared):
    admin = prepared.server.admin_url(prepared.server.new_database())
    run("server", "prepare", admin)
    return admin


def ends_equal(kiosks, count):
    for _pass in range(2):
        for one in kiosks:
            one.exchange()
    (first, jobs), *others = (one.entries() for one in kiosks)
    assert all(other == (first, jobs) for other in others)
    assert len(first) == len(jobs) == count
    assert all(verify(one.file) == [] for one in kiosks)


def test_kiosks_go_on_after_a_server_was_rebuilt_from_their_files(kiosks, prepared):
    here, there = kiosks
    here.write(2)  # not sent before the server was gone
    admin = new_server(prepared)

    done = run("server", "rebuild", admin, "--from", here.file, "--from", there.file, "--json")
    assert (done["added"], done["problems"]) == (8, [])
    assert done["no_login"] == ["K", "M"]
    for one in kiosks:
        one.join(admin)
    here.write(1)
    there.write(2)

    ends_equal(kiosks, 11)
    with psycopg.connect(admin) as line:
        rows = line.execute("SELECT kiosk, seq FROM cleatclock.entry ORDER BY 1, 2").fetchall()
    assert rows == [("K", n) for n in range(1, 7)] + [("M", n) for n in range(1, 6)]


def test_an_empty_server_is_filled_by_the_kiosks_themselves(kiosks, prepared):
    here, there = kiosks
    admin = new_server(prepared)
    assert here.join(admin)["sent"] == 3
    there.join(admin)
    there.write(1)
    ends_equal(kiosks, 7)


def test_a_new_kiosk_gets_what_one_that_is_gone_for_good_had_written(kiosks, prepared, tmp_path):
    here, _gone = kiosks  # which nobody lets in again
    admin = new_server(prepared)
    run("server", "rebuild", admin, "--from", here.file, "--json")
    here.join(admin)

    new = Kiosk(tmp_path / "new", "P")

    assert new.join(admin)["taken"] == 6
    ends_equal([here, new], 6)


def test_what_a_lost_kiosk_had_sent_comes_back_from_another_ones_file(kiosks, prepared, tmp_path):
    here, _lost = kiosks
    admin = new_server(prepared)
    done = run("server", "rebuild", admin, "--from", here.file, "--json")
    assert (done["added"], done["no_login"]) == (6, ["K", "M"])
    here.join(admin)
    again = Kiosk(tmp_path / "again", "M")  # a new machine in place of the lost one
    assert again.join(admin)["taken"] == 6
    again.count = 3
    again.write(1)
    ends_equal([here, again], 7)
