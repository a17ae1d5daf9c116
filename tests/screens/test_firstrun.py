"""The first run: five questions, each kept or skipped; then the bench listens."""

import gettext
from datetime import UTC, datetime
from pathlib import Path

import pytest
from test_setup import kept, type_letters

from kiosk import language
from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.language import LANGUAGES
from kiosk.screens.sizesteps import BENCH, DIAGONALS_IN, NEXT, step_along
from kiosk.settingstext import load
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

    def start(settings=SETTINGS, **post):
        post = {"station": "cut", "person": "", "greets": True, **post}
        return drive(late_shop(file, settings, FixedClock(AT)), **post)

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
    assert kiosk.shows("10.1 in")
    assert kiosk.shows("0.6 m")
    kiosk.tap(kiosk.button("+ 10"))
    kiosk.tap(kiosk.desk.show.more[0])
    kiosk.tap(kiosk.desk.show.less[1])
    assert kiosk.shows("23.8 in")
    kiosk.tap(kiosk.button("Use these"))
    assert kiosk.shows("The shop is set up")
    assert kiosk.shows("Now take in a part list")
    kiosk.tap(kiosk.button("To the bench"))

    found = kept(file)
    assert (found.shop, found.units, found.person) == ("Glaze studio", "inch", "Mara")
    assert [place.slots for place in found.places] == [4, 7, 4]
    assert (found.screen_diagonal_in, found.viewing_distance_m) == (23.8, 0.5)
    assert kiosk.desk.post.person == "Mara"
    code = take_in(file)
    kiosk.tick()
    kiosk.scan(code)
    assert kiosk.desk.show is kiosk.desk.bench
    assert kiosk.desk.answer.outcome == "recorded"


def test_a_screen_with_figures_of_its_own_is_asked_about_from_these(begin, file):
    file.with_name("settings.toml").write_text("screen_diagonal_in = 15.6\n", "utf-8")
    kiosk = begin(settings=load("screen_diagonal_in = 15.6")[0])
    kiosk.desk.shopdesk.upkeep.first.ask_screen()
    kiosk.settle()
    assert kiosk.shows("15.6 in")
    assert kiosk.shows("4 m")


def test_a_board_begins_from_the_size_of_a_wall(begin):
    kiosk = begin(home="board", greets=False)
    kiosk.desk.shopdesk.upkeep.first.ask_screen()
    kiosk.settle()
    assert kiosk.shows("43 in")


@pytest.mark.parametrize("wanted", [7.0, 11.6, 13.3, 15.6, 21.5, 23.8, 27.0, 32.0, 43.0, 55.0])
def test_every_common_screen_is_within_four_taps(wanted):
    reached = {BENCH[0]}
    for _tap in range(4):
        steps = (-10, -NEXT, NEXT, 10)
        reached |= {step_along(DIAGONALS_IN, one, by) for one in reached for by in steps}
    assert wanted in reached


@pytest.mark.parametrize(("value", "by", "then"), [
    (10.4, NEXT, 11.6), (10.4, -NEXT, 10.1), (120.0, 10, 120.0), (5.0, -NEXT, 5.0),
    (110.0, 10, 120.0), (50.0, 0, 50.0), (98.0, 1, 110.0),
])  # fmt: skip
def test_a_step_leads_to_a_common_size_beyond_or_stays_at_the_end(value, by, then):
    assert step_along(DIAGONALS_IN, value, by) == then


def test_eight_taps_at_four_a_second_add_eight_slots(begin, file):
    kiosk = begin()
    kiosk.desk.shopdesk.upkeep.first.ask_places()
    kiosk.settle()
    for _tap in range(8):
        kiosk.seconds += 0.25
        kiosk.touch(kiosk.desk.show.more[0])
    assert kiosk.shows("12 slots")
    kiosk.tap(kiosk.button("Use these"))
    assert kept(file).places[0].slots == 12


@pytest.mark.parametrize("ask", ["open", "ask_name", "ask_units", "ask_places", "ask_person",
                                 "ask_screen"])  # fmt: skip
def test_a_first_question_waits_however_long_it_takes(begin, ask):
    kiosk = begin()
    getattr(kiosk.desk.shopdesk.upkeep.first, ask)()
    kiosk.settle()
    asked = kiosk.desk.show
    kiosk.tick(3600)
    assert kiosk.desk.show is asked


@pytest.fixture
def english():
    yield
    language.use_catalogue(gettext.NullTranslations())


def test_the_welcome_asks_for_the_language_switches_at_once_and_keeps_it(begin, file, english):
    kiosk = begin()
    assert [one.label.text for one in kiosk.desk.show.tongues] == list(LANGUAGES.values())
    assert [one.mark is not None for one in kiosk.desk.show.tongues] == [True, False]
    kiosk.tap(kiosk.button("Deutsch"))

    assert kiosk.shows("Willkommen")
    assert not kiosk.shows("Welcome")
    assert [one.mark is not None for one in kiosk.desk.show.tongues] == [False, True]
    assert kept(file).language == "de"
    kiosk.tap(kiosk.desk.show.buttons[0])
    assert kiosk.shows("1 von 5")


def test_a_number_on_a_keyboard_chooses_the_language(begin, file, english):
    kiosk = begin()
    kiosk.scan("5")
    assert kept(file).language == "de"


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


def test_the_first_questions_end_where_a_part_list_is_taken_in(begin):
    kiosk = begin()
    kiosk.desk.shopdesk.upkeep.first.end()
    kiosk.settle()
    kiosk.tap(kiosk.button("Take in a part list"))

    assert kiosk.shows("Where is the part list?")


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
