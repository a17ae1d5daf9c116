"""A part list taken in at the kiosk: the file, what was understood, the columns, the job."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from test_jobs import open_shop, row

from kiosk.actions import Shop, Wanted
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.folders import Spot
from kiosk.screens import filedesk
from kiosk.settingstext import load
from kiosk.store import Store

SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\n')
AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
GOOD = "Unit;Kind;Part;Length (mm);Width (mm);Count\nS1;shelf;Side;300;200;2\n"
BARE = "Unit;Kind;Part;Length;Width;Count\nS1;shelf;Side;30;20;2\n"
ODD = "Unit;Kind;Piece of it;Long side;Short side;Count\nS1;shelf;Side;300;200;2\n"
WRONG = GOOD + "S2;shelf;Side;bananas;200;1\nS3;shelf;Side;;200;none\n"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A stick with lists on it, and nothing else to look in."""
    stick = tmp_path / "STICK"
    stick.mkdir()
    spot = Spot("STICK", stick, AT, is_folder=True, is_stick=True)
    monkeypatch.setattr(filedesk, "sticks", lambda: (spot,))
    monkeypatch.setattr(filedesk, "own_folders", lambda: ())
    return stick


@pytest.fixture
def kiosk(folder, drive, tmp_path):
    return drive(late_shop(tmp_path / "shop.db", SETTINGS, FixedClock(AT)), station="cut")


def choose(kiosk, folder, text, name="list.csv"):
    (folder / name).write_text(text, "utf-8")
    kiosk.tap(row(kiosk, "STICK"))
    kiosk.tap(row(kiosk, name))


def start(kiosk, folder, text):
    open_shop(kiosk, "Take in a list")
    choose(kiosk, folder, text)


def type_code(kiosk, code):
    for letter in code:
        kiosk.tap(kiosk.desk.show.keys[letter])
    kiosk.tap(kiosk.button("Use it"))


def states(folder):
    store = Store.open(folder.parent / "shop.db", "K")
    found = {key[1]: state for key, state in store.states().items()}
    store.close()
    return found


def test_a_list_is_looked_at_then_taken_in_under_a_code(kiosk, folder):
    start(kiosk, folder, GOOD)
    assert kiosk.shows("list.csv: 2 pieces in 1 unit")
    assert kiosk.shows("longest piece 300 mm × 200 mm")
    assert states(folder) == {}
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL2")
    assert kiosk.shows("Taken in: 2 pieces in 1 unit")
    assert list(states(folder)) == ["S1"]
    kiosk.tap(kiosk.button("Open WALL2"))
    assert kiosk.shows("0 of 2 parts cut")


def test_every_problem_is_shown_with_where_and_the_way_out(kiosk, folder):
    start(kiosk, folder, WRONG)
    kiosk.tap(kiosk.button("3 problems"))
    assert kiosk.shows("“bananas” is not a length")
    assert kiosk.shows("Row 3, column Length (mm), “bananas”. Write it like")
    assert kiosk.shows("The length is missing")
    assert not any(text == "Take in" for text in kiosk.texts())
    (folder / "list.csv").write_text(GOOD, "utf-8")
    kiosk.tap(kiosk.button("Read it again"))
    assert kiosk.button("Take in")


def test_where_no_unit_is_named_it_is_asked_for(kiosk, folder):
    start(kiosk, folder, BARE)
    assert kiosk.shows("In which unit are plain numbers?")
    assert kiosk.shows("Read as millimetres: longest piece 30 mm")
    kiosk.tap(kiosk.button("inches"))
    assert kiosk.shows("longest piece 762 mm")
    kiosk.tap(kiosk.button("Plain numbers: inches"))
    kiosk.tap(kiosk.button("centimetres"))
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    (state, *_others) = states(folder).values()
    assert state.pieces[0].piece.length == 300 * 1600


def test_columns_are_given_their_meaning_by_taps(kiosk, folder):
    start(kiosk, folder, ODD)
    kiosk.tap(kiosk.button("Columns"))
    for heading, meaning in (
        ("Piece of it", "part"),
        ("Long side", "length"),
        ("Short side", "width"),
    ):
        kiosk.tap(row(kiosk, heading))
        assert kiosk.shows(f"What is in the column {heading}?"), kiosk.texts()
        kiosk.tap(kiosk.button(meaning))
    assert kiosk.shows("Long side: length")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("list.csv: 2 pieces in 1 unit")
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    assert list(states(folder)) == ["S1"]


def test_a_meaning_given_to_another_column_leaves_the_first(kiosk, folder):
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Columns"))
    kiosk.tap(row(kiosk, "Width (mm)"))
    kiosk.tap(kiosk.button("length"))
    assert kiosk.shows("Width (mm): length"), kiosk.texts()
    assert kiosk.shows("Length (mm): left out")
    kiosk.tap(row(kiosk, "Length (mm)"))
    kiosk.tap(kiosk.button("width"))
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("longest piece 200 mm × 300 mm")


def test_a_code_that_is_there_leads_to_comparing(kiosk, folder):
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    kiosk.desk.open_bench()
    start(kiosk, folder, GOOD.replace("300", "310"))
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    assert kiosk.shows("There is a job WALL already")
    kiosk.tap(kiosk.button("Compare with WALL"))
    kiosk.tap(kiosk.button("Differences"))
    assert kiosk.shows("changed: 2 × Side of S1")
    assert kiosk.shows("300 mm × 200 mm becomes 310 mm × 200 mm")


def test_a_code_that_will_not_do_is_refused_in_words(kiosk, folder):
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "-X")
    assert kiosk.shows("is no sound code for a job")
    assert kiosk.desk.show.typed == "-X"
    assert states(folder) == {}


def test_a_revised_list_counts_only_once_it_is_accepted(kiosk, folder):
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    code = next(iter(states(folder).values())).pieces[0].piece.code
    kiosk.desk.open_bench()
    kiosk.scan(code)
    open_shop(kiosk, "Jobs")
    kiosk.tap(row(kiosk, "WALL"))
    kiosk.tap(kiosk.button("Revise the list"))
    choose(kiosk, folder, GOOD.replace("300;200;2", "310;200;3"), "v2.csv")
    kiosk.tap(kiosk.button("Differences"))
    assert kiosk.shows("cut already, stays: 1 × Side of S1")
    assert kiosk.shows("added: 1 × Side of S1")
    assert len(states(folder)["S1"].pieces) == 2
    kiosk.tap(kiosk.button("Accept"))
    assert kiosk.shows("Revised: 3 pieces in 1 unit")
    lengths = sorted(one.piece.length // 1600 for one in states(folder)["S1"].pieces)
    assert lengths == [300, 310, 310]


@pytest.mark.parametrize(
    ("side", "said"),
    [
        ("310;200;2", "2 parts have new codes: take their old labels off and print the new ones."),
        ("300;200;3", ""),
    ],
)
def test_labels_that_a_revision_makes_void_are_counted(kiosk, folder, side, said):
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    store = Store.open(folder.parent / "shop.db", "K")
    labels = Shop(store, SETTINGS, FixedClock(AT)).labels(Wanted("WALL"), folder / "wall.pdf")
    store.close()
    assert len(labels.codes) == 2
    kiosk.tap(kiosk.button("Open WALL"))
    kiosk.tap(kiosk.button("Revise the list"))
    choose(kiosk, folder, GOOD.replace("300;200;2", side), "v2.csv")
    kiosk.tap(kiosk.button("Differences"))
    kiosk.tap(kiosk.button("Accept"))
    assert kiosk.shows("Revised")
    assert kiosk.shows(said or "longest piece")
    assert kiosk.shows("new code") is bool(said)


def test_a_list_that_changes_nothing_says_so(kiosk, folder):
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Take in"))
    type_code(kiosk, "WALL")
    kiosk.tap(kiosk.button("Open WALL"))
    kiosk.tap(kiosk.button("Revise the list"))
    choose(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("Differences"))
    assert kiosk.shows("there is nothing to accept")
    assert not any(text == "Accept" for text in kiosk.texts())


def test_a_list_left_alone_can_be_gone_on_with(kiosk, folder):
    start(kiosk, folder, GOOD)
    kiosk.tick(after=70)
    assert kiosk.desk.show is kiosk.desk.bench
    open_shop(kiosk, "Take in a list")
    kiosk.tap(kiosk.button("Go on with list.csv"))
    assert kiosk.button("Take in")


def test_what_goes_on_is_said_until_it_is_done(kiosk, folder):
    from kiosk.screens.busyscreen import BusyScreen

    file = folder / "list.csv"
    file.write_text(GOOD, "utf-8")
    kiosk.desk.shopdesk.takes.pick(Spot("list.csv", file, AT))
    busy = kiosk.desk.show
    assert isinstance(busy, BusyScreen)
    assert kiosk.shows("Reading list.csv")
    kiosk.settle()
    assert kiosk.desk.show is not busy


def test_a_stick_pulled_out_meanwhile_is_said(kiosk, folder):
    open_shop(kiosk, "Take in a list")
    folder.rmdir()
    kiosk.tap(row(kiosk, "STICK"))
    assert kiosk.shows("STICK cannot be opened")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Where is the part list?")


def test_a_file_that_is_no_table_is_said(kiosk, folder):
    start(kiosk, folder, "%PDF-1.7 nothing")
    kiosk.tap(kiosk.button("1 problem"))
    assert kiosk.shows("is a PDF, not a table")


def test_nothing_is_taken_in_by_looking(kiosk, folder, monkeypatch):
    wrote = []
    monkeypatch.setattr(Shop, "_write", lambda *args, **kwargs: wrote.append(args))
    start(kiosk, folder, GOOD)
    kiosk.tap(kiosk.button("2 pieces"))
    assert kiosk.shows("2 × Side")
    assert wrote == []
    assert not Path(folder.parent / "labels").exists()
