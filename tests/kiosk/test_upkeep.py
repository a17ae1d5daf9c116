"""Copies of the shop's file, and the sample shop's clock and file."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from kiosk.actions import Shop
from kiosk.actions.copies import make_copy, note_copy, see_copies
from kiosk.clock import FixedClock
from kiosk.demo import NOW
from kiosk.sampleshop import ClockFrom, main, make_sample
from kiosk.settingstext import load
from kiosk.store import Store, StoreError, verify

AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
SETTINGS, _ = load('zone = "UTC"')


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shop.db"
    Store.open(path, "K").close()
    return path


def test_a_copy_is_named_by_its_time_is_whole_and_is_noted(file, tmp_path):
    stick = tmp_path / "stick"

    copy = make_copy(file, stick, AT)

    assert copy.file == stick / "shop-2026-03-11-1540.db"
    assert verify(copy.file) == []
    assert copy.bytes == copy.file.stat().st_size
    seen = see_copies(file, [stick])
    assert (seen.last, seen.last_file) == (AT, copy.file)
    assert seen.found == (copy,)
    assert seen.folders == (tmp_path / "copies", stick)


def test_two_copies_in_one_minute_both_stay(file, tmp_path):
    first, second = (make_copy(file, tmp_path / "copies", AT) for _ in range(2))

    assert first.file != second.file
    assert {one.file for one in see_copies(file, []).found} == {first.file, second.file}


def test_of_many_copies_in_one_minute_the_last_comes_first_wherever_it_lies(file, tmp_path):
    stick = tmp_path / "stick"
    made = [make_copy(file, stick, AT).file for _ in range(11)]
    made.append(make_copy(file, tmp_path / "copies", AT + timedelta(minutes=1)).file)

    found = [one.file for one in see_copies(file, [stick]).found]

    assert found == made[::-1]


def test_the_newest_copy_comes_first_and_other_files_are_none(file, tmp_path):
    folder = tmp_path / "copies"
    make_copy(file, folder, AT)
    make_copy(file, folder, AT + timedelta(days=1))
    (folder / "other.db").write_text("", "utf-8")
    (folder / "othershop-2026-03-11-1540.db").write_text("", "utf-8")

    names = [one.file.name for one in see_copies(file, []).found]

    assert names == ["shop-2026-03-12-1540.db", "shop-2026-03-11-1540.db"]


def test_the_last_copy_is_known_although_its_stick_is_gone(file):
    note_copy(file, Path("/media/none/shop-2026-03-10-1705.db"), AT)

    seen = see_copies(file, [Path("/media/none")])

    assert seen.last == AT
    assert seen.found == ()


@pytest.mark.parametrize("text", ["", "never\n", "2026-03-11T15:40\tno zone\n", "\x00\n"])
def test_a_damaged_note_of_copies_is_passed_over(file, text):
    (file.parent / "copies.log").write_text(text, "utf-8")

    assert see_copies(file, []).last is None


def test_a_shop_says_in_words_why_no_copy_was_made(file, tmp_path):
    store = Store.open(file, "K")
    shop = Shop(store, SETTINGS, FixedClock(AT))
    (tmp_path / "taken").write_text("", "utf-8")

    copy, problems = shop.copying().make(tmp_path / "taken")

    assert copy is None
    assert "No copy was made" in problems[0].message
    assert shop.copying().see().last is None
    store.close()


def test_a_missing_file_gives_no_copy_and_no_note(tmp_path):
    with pytest.raises(StoreError):
        make_copy(tmp_path / "none.db", tmp_path / "copies", AT)

    assert see_copies(tmp_path / "none.db", []).last is None


def test_a_shop_is_fresh_until_something_is_set(file):
    store = Store.open(file, "K")
    shop = Shop(store, SETTINGS, FixedClock(AT))
    assert shop.is_fresh()

    shop.keep_setting("units", "mm")

    assert not shop.is_fresh()
    store.close()


def test_the_samples_clock_begins_at_its_wednesday_and_runs_on():
    real = FixedClock(AT)
    clock = ClockFrom(NOW, real)
    assert clock.now() == NOW

    real.set(AT + timedelta(minutes=7))

    assert clock.now() == NOW + timedelta(minutes=7)


def test_the_sample_shop_is_made_without_a_word_and_has_jobs(tmp_path, capsys):
    file = make_sample(tmp_path)

    store = Store.open(file, "K")
    assert set(store.jobs()) == {"GLAZE", "KILN"}
    store.close()
    assert capsys.readouterr().out == ""


def test_the_sample_shop_asks_for_a_folder(capsys):
    assert main([]) == 2
    assert main(["a", "b"]) == 2
    assert "FOLDER" in capsys.readouterr().err
