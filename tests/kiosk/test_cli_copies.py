"""The commands that copy, prove and bring back, as a person or a timer runs them."""

import json
from contextlib import closing
from datetime import UTC, datetime

import apsw
import pytest
from typer.testing import CliRunner

from kiosk.actions.copynotes import read_night_note
from kiosk.appliance import hold_alone
from kiosk.cli import app
from kiosk.rules.entries import Kind
from kiosk.store import Note, Store
from kiosk.store.proving import prove


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shop" / "shop.db"
    path.parent.mkdir()
    write(path)
    return path


def write(path):
    store = Store.open(path, "K")
    store.write([Note(Kind.RAGS_CLEARED)], datetime(2026, 3, 11, 15, 40, tzinfo=UTC))
    store.close()


def run(file, *words):
    return CliRunner().invoke(app, [*map(str, words), "--shop", str(file)])


def answer(file, *words):
    return json.loads(run(file, *words, "--json").stdout)


def change(file, statement):
    with closing(apsw.Connection(str(file))) as base:
        base.execute(statement)


def test_a_timer_makes_one_copy_a_night_and_a_second_folder_away_is_no_fault(file, tmp_path):
    settings = f'zone = "UTC"\nsecond_folder = "{tmp_path / "stick"}"\n'
    file.with_name("settings.toml").write_text(settings, "utf-8")

    for _turn in range(2):
        made = run(file, "backup", "--nightly")
        assert made.exit_code == 0, made.output
        assert "proved: 1 entry, 0 jobs, 0 units, 0 codes." in made.output
        assert "is away; it has no copy yet" in made.output
    (tmp_path / "stick").mkdir()
    told = answer(file, "backup", "--nightly")

    (copy,) = (file.parent / "copies").iterdir()
    assert told["file"] == str(copy)
    assert told["second"]["state"] == "done"
    assert [one.name for one in (tmp_path / "stick").iterdir()] == [copy.name]


def test_a_night_without_a_copy_ends_with_status_3(file):
    change(file, "UPDATE entry SET body = '{'")

    made = run(file, "backup", "--nightly")

    assert made.exit_code == 3
    assert "No nightly copy was made yet. The try of" in made.output
    assert not list((file.parent / "copies").iterdir())
    assert read_night_note(file).tried is not None


def test_backup_wants_a_file_or_nightly_and_not_both(file, tmp_path):
    assert run(file, "backup").exit_code == 2
    assert run(file, "backup", tmp_path / "c.db", "--nightly").exit_code == 2
    assert run(tmp_path / "none.db", "backup", "--nightly").exit_code == 3


def test_a_copy_and_its_way_back_are_told_as_json(file, tmp_path):
    copy = tmp_path / "copy.db"
    proof = {"entries": 1, "jobs": 0, "units": 0, "pieces": 0, "lists": []}
    assert answer(file, "backup", copy) == {"file": str(copy), "proof": proof}
    write(file)

    told = answer(file, "restore", copy)

    assert told == {
        "file": str(file),
        "kept": f"{file}.before-restore-1",
        "proof": proof,
        "later": 1,
    }
    write(file)
    assert "It has 1 entry that the copy has not." in run(file, "restore", copy).output


def test_the_drill_takes_the_latest_copy_and_changes_nothing(file, tmp_path):
    assert run(file, "restore", "--drill").exit_code == 2
    run(file, "backup", "--nightly")
    write(file)
    before = file.read_bytes()

    told = answer(file, "restore", "--drill")
    said = run(file, "restore", "--drill").output

    assert told["sound"]
    assert told["proof"]["entries"] == 1
    assert told["shop"] == {"first_other": None, "later": 1, "why": None}
    assert "recorded one more since" in said
    assert file.read_bytes() == before
    assert run(file, "restore").exit_code == 2


def test_a_damaged_copy_fails_the_drill_and_is_not_brought_back(file, tmp_path):
    copy = tmp_path / "copy.db"
    run(file, "backup", copy)
    change(copy, "UPDATE entry SET body = '{'")
    before = file.read_bytes()

    drilled = run(file, "restore", copy, "--drill")
    restored = run(file, "restore", copy)

    assert drilled.exit_code == restored.exit_code == 3
    assert "cannot be brought back" in drilled.output
    assert "not whole" in restored.output
    assert file.read_bytes() == before
    assert sorted(one.suffix for one in tmp_path.iterdir()) == ["", ".db"]


def test_lists_that_do_not_follow_from_the_log_are_found_told_and_made_anew(file, tmp_path):
    change(file, "INSERT INTO piece VALUES ('K7F3Q97', 'JARS', 'S1')")

    made = run(file, "backup", "--nightly")
    checked = answer(file, "check")
    mended = run(file, "check", "--rebuild")

    assert made.exit_code == 3
    assert "code K7F3Q97" in made.output
    (copies,) = (one for one in checked["checks"] if one["name"] == "copies")
    assert not copies["ok"]
    assert "check --rebuild" in copies["detail"]
    assert "Made anew: code K7F3Q97." in mended.stderr
    assert prove(file).lists == ()
    assert run(file, "backup", "--nightly").exit_code == 0
    assert "The lists follow from the log." in run(file, "check", "--rebuild").stderr


def test_lists_are_not_made_anew_below_a_kiosk_that_works_by_them(file):
    with hold_alone(file, "bench"):
        tried = run(file, "check", "--rebuild")

    assert tried.exit_code == 1
    assert "end it first" in tried.stderr


def test_what_cannot_be_made_anew_is_said(file):
    change(file, "UPDATE entry SET body = '{'")

    tried = run(file, "check", "--rebuild")

    assert tried.exit_code == 3
    assert "The lists were not made anew" in tried.stderr
