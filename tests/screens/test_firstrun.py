"""The first run: five questions, each kept or skipped; then the bench listens."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from test_setup import kept, type_letters

from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.config import load
from kiosk.store import Job, Store

AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
SETTINGS, _ = load('zone = "UTC"')
LIST = Path(__file__).parents[2] / "kiosk" / "data" / "glaze-store.csv"


@pytest.fixture
def file(tmp_path):
    return tmp_path / "shop.db"


@pytest.fixture
def begin(file, drive):
    """Start a kiosk on the file as `cleatclock open` does."""

    def start(**post):
        post = {"station": "cut", "person": "", "greets": True, **post}
        return drive(late_shop(file, SETTINGS, FixedClock(AT)), **post)

    return start


def take_in(file):
    store = Store.open(file, "M")
    taken = Shop(store, SETTINGS, FixedClock(AT)).take_in(LIST, Job("GLAZE", "Glaze store"))
    states = store.states().values()
    cut = [state for state in states if state.pieces and state.spec.kind != "wall"]
    code = cut[0].pieces[0].piece.code
    store.close()
    assert taken.taken
    return code


def test_five_questions_are_kept_and_the_bench_listens(begin, file):
    kiosk = begin()
    assert kiosk.shows("Welcome to Cleatclock")
    kiosk.tap(kiosk.button("Set up this shop"))
    type_letters(kiosk, "Glaze studio")
    kiosk.tap(kiosk.button("Inches"))
    kiosk.tap(kiosk.desk.show.more[1])
    kiosk.tap(kiosk.button("Use these"))
    type_letters(kiosk, "Mara")
    kiosk.tap(kiosk.desk.show.less[0])
    kiosk.tap(kiosk.desk.show.less[1])
    kiosk.tap(kiosk.button("Use these"))
    assert kiosk.shows("The shop is set up")
    assert kiosk.shows("cleatclock take-in FILE --job CODE")
    kiosk.tap(kiosk.button("To the bench"))

    found = kept(file)
    assert (found.shop, found.units, found.person) == ("Glaze studio", "inch", "Mara")
    assert [place.slots for place in found.places] == [4, 7, 4]
    assert (found.screen_diagonal_in, found.viewing_distance_m) == (42.0, 3.5)
    assert kiosk.desk.post.person == "Mara"
    code = take_in(file)
    kiosk.tick()
    kiosk.scan(code)
    assert kiosk.desk.show is kiosk.desk.bench
    assert kiosk.desk.answer.outcome == "recorded"


def test_every_question_can_be_skipped_and_the_usual_stays(begin, file):
    kiosk = begin()
    kiosk.tap(kiosk.button("Set up this shop"))
    asked = 0
    while not kiosk.shows("The shop is set up"):
        kiosk.tap(kiosk.button("Skip"))
        asked += 1

    assert asked == 5
    assert kept(file) == load("")[0]


def test_skipping_all_is_remembered_at_the_next_start(begin, file):
    kiosk = begin()
    kiosk.tap(kiosk.button("Skip: all as usual"))
    assert kiosk.shows("The shop is set up")

    assert file.with_name("settings.toml").is_file()
    kiosk.desk.open_bench()
    kiosk.desk.shopdesk.upkeep.greet()
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_shop_with_a_job_or_with_settings_is_not_asked(begin, file):
    take_in(file)
    kiosk = begin()

    assert kiosk.desk.show is kiosk.desk.bench


def test_without_being_told_to_greet_a_kiosk_begins_at_the_bench(begin):
    kiosk = begin(greets=False)

    assert kiosk.desk.show is kiosk.desk.bench


def test_a_scan_before_any_question_counts(begin, file):
    kiosk = begin()
    code = take_in(file)
    kiosk.tick()
    kiosk.scan(code)

    assert kiosk.desk.answer.outcome == "recorded"


def test_a_part_list_at_the_screen_is_led_to_where_there_is_one(begin):
    kiosk = begin()
    asked = []
    kiosk.desk.shopdesk.upkeep.first.part_list = lambda: asked.append("list")
    kiosk.desk.shopdesk.upkeep.first.end()
    kiosk.settle()
    kiosk.tap(kiosk.button("Take in a part list"))

    assert asked == ["list"]


class Window:
    """A window of the sample shop, written by hand."""

    def __init__(self) -> None:
        self.status: int | None = None
        self.folders: list[Path] = []

    def start(self, folder: str) -> "Window":
        self.folders.append(Path(folder))
        assert self.folders[-1].is_dir()
        return self

    def poll(self) -> int | None:
        return self.status

    def terminate(self) -> None:
        self.status = -15


@pytest.fixture
def with_sample(begin):
    from kiosk.screens.firstrunsample import SampleWindow

    kiosk, window = begin(), Window()
    first = kiosk.desk.shopdesk.upkeep.first
    first.sample = SampleWindow(kiosk.desk, back=first.open, start=window.start)
    first.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Look around in the sample shop"))
    return kiosk, window


def test_the_sample_shop_lies_elsewhere_and_leads_back_when_it_ends(with_sample, file):
    kiosk, window = with_sample
    assert kiosk.shows("Nothing of it comes into your shop.")
    assert window.folders[0] not in (file.parent, *file.parents)
    window.status = 0
    kiosk.desk.shopdesk.upkeep.first.sample.look()
    kiosk.settle()

    assert kiosk.shows("Welcome to Cleatclock")
    assert not window.folders[0].exists()


def test_the_sample_shop_can_be_closed_from_here(with_sample):
    kiosk, window = with_sample
    kiosk.tap(kiosk.button("Close the sample shop"))

    assert window.status == -15
    assert kiosk.shows("Welcome to Cleatclock")


def test_a_sample_shop_that_does_not_open_is_said(with_sample):
    kiosk, window = with_sample
    window.status = 3
    kiosk.desk.shopdesk.upkeep.first.sample.look()
    kiosk.settle()

    assert kiosk.shows("The sample shop did not open")


def test_the_sample_shop_is_marked_and_has_a_way_back(drive, shop):
    kiosk = drive(shop, mark="sample shop", is_sample=True)
    assert kiosk.shows("sample shop")
    kiosk.tap(kiosk.desk.bench.shop)

    stopped = []
    kiosk.app.stop = lambda: stopped.append("stopped")
    kiosk.tap(kiosk.button("Leave the sample shop"))
    assert stopped == ["stopped"]
