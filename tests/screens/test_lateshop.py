"""The real shop behind the screens: opened, used and closed by one thread of its own."""

import subprocess
import sys
import threading
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import apsw
import pytest
from fake_shop import FakeShop
from PIL import Image

from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.pictures import main, parse_size, parse_time
from kiosk.rules.scanning import Outcome
from kiosk.screens.lateshop import LateShop
from kiosk.settingstext import load
from kiosk.store import Job, Store, StoreError

NOW = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\n')
LIST = Path(__file__).parents[2] / "kiosk" / "data" / "glaze-store.csv"


@pytest.fixture
def file(tmp_path):
    """A shop file with a job in it, closed again."""
    path = tmp_path / "shop.db"
    store = Store.open(path, "K")
    taken = Shop(store, SETTINGS, FixedClock(NOW)).take_in(LIST, Job("GLAZE", "Glaze store"))
    store.close()
    assert taken.taken
    return path


def codes_of(path):
    store = Store.open(path, "K")
    cut = [state for state in store.states().values() if state.spec.kind != "wall"]
    pieces = [piece.piece for state in cut for piece in state.pieces]
    store.close()
    return [piece.code for piece in pieces]


def done_in(path, code):
    store = Store.open(path, "K")
    state = store.state(*store.find_piece(code))
    done = set(state.piece(code).done)
    store.close()
    return done


def test_a_scan_at_the_kiosk_is_in_the_file_when_it_is_acknowledged(file, drive):
    code = codes_of(file)[0]
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(NOW)), station="cut")
    kiosk.scan(code)
    assert kiosk.desk.answer.outcome == Outcome.RECORDED
    assert done_in(file, code) == {"cut"}


def test_what_another_process_wrote_reaches_the_screen_at_the_next_tick(file, drive):
    code = codes_of(file)[0]
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(NOW)), station="cut")
    before = kiosk.texts()
    store = Store.open(file, "M")
    other = Shop(store, SETTINGS, FixedClock(NOW))
    assert other.scan(code, station="cut").outcome == Outcome.RECORDED
    store.close()
    kiosk.tick()
    assert kiosk.texts() != before


def test_the_shop_is_opened_used_and_closed_by_one_thread(drive):
    names = []

    class Told(FakeShop):
        def scan(self, text, **rest):
            names.append(threading.current_thread().name)
            return super().scan(text, **rest)

    @contextmanager
    def opening():
        names.append(threading.current_thread().name)
        yield Told()
        names.append(threading.current_thread().name)

    kiosk = drive(LateShop(opening, SETTINGS))
    kiosk.scan("K7F3Q97")
    kiosk.app.on_stop()
    kiosk.app.on_start()  # as the driver stops it once more
    assert names[:3] == ["shop"] * 3


def test_a_shop_that_cannot_be_opened_is_tried_again(drive):
    broken = [StoreError("the disk is full"), StoreError("the disk is full")]

    @contextmanager
    def opening():
        if broken:
            raise broken.pop()
        yield FakeShop()

    shop = LateShop(opening, SETTINGS)
    for _ in range(2):
        with pytest.raises(StoreError, match="the disk is full"):
            shop.news()
    assert shop.now() is not None


def test_a_scan_that_could_not_be_kept_says_so_and_the_next_one_counts(drive):
    healthy, broken = FakeShop(), []

    class Failing(FakeShop):
        def scan(self, text, **rest):
            if broken:
                raise broken.pop()
            return healthy.scan(text, **rest)

    @contextmanager
    def opening():
        yield Failing()

    kiosk = drive(LateShop(opening, SETTINGS))
    broken.append(StoreError("the disk is full: make room, then go on"))
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("K7F3Q97 was not recorded. Scan it again.")
    assert kiosk.shows("the disk is full")
    kiosk.scan("K7F3Q97")
    assert healthy.scans == ["K7F3Q97"]


def test_pictures_are_drawn_by_a_process_of_its_own(file, tmp_path):
    ran = subprocess.run(
        [sys.executable, "-m", "kiosk.pictures", str(file), str(tmp_path / "drawn"),
         "1280x800", NOW.isoformat(), "de", "dark", "20"],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    made = [Path(line) for line in ran.stdout.splitlines()]
    assert ran.returncode == 0, ran.stderr
    assert len(made) == 20
    for path in made:
        with Image.open(path) as image:
            assert image.size == (1280, 800)
    with Image.open(next(one for one in made if one.name.startswith("bench-idle-cut"))) as image:
        assert sum(image.getpixel((640, 300))) < 3 * 80  # the ground of the dark theme


@pytest.mark.parametrize(
    "words",
    [
        ("large", NOW.isoformat()),
        ("1280x", NOW.isoformat()),
        ("1280x800", "noon"),
        ("1280x800", NOW.isoformat(), "xx"),
        ("1280x800", NOW.isoformat(), "de", "pink"),
        ("1280x800", NOW.isoformat(), "de", "dark", "many"),
    ],
)
def test_what_is_not_understood_is_said_and_nothing_is_drawn(words, tmp_path, capsys):
    assert main(["shop.db", str(tmp_path / "drawn"), *words]) == 2
    assert "is not understood" in capsys.readouterr().err
    assert not (tmp_path / "drawn").exists()


def test_sizes_and_times_are_read_as_written():
    assert parse_size("1920x1080") == (1920, 1080)
    assert parse_time("2026-03-11T15:40+00:00") == NOW
    assert parse_time("2026-03-11T15:40") is None  # whose time? a zone must be named


# -- the shop's own matters, behind the screens ----------------------------------------------


@pytest.fixture
def real(file, drive):
    """A kiosk on the real shop."""
    return drive(late_shop(file, SETTINGS, FixedClock(NOW)), person="Ida")


def asked(kiosk, call):
    """What the shop answers on its own thread."""
    found = []
    kiosk.app.worker.ask(lambda: call(kiosk.app.shop), found.append, fail=found.append)
    kiosk.settle()
    assert not isinstance(found[0], Exception), found[0]
    return found[0]


def test_a_reading_typed_at_the_kiosk_is_in_the_file_with_who_typed_it(real, file):
    real.desk.shopdesk.air.ask_reading()
    for figure in ("20.5", "55"):
        for letter in figure:
            real.tap(real.desk.show.keys[letter])
        real.tap(real.desk.show.use)
    real.tap(real.button("Not measured"))
    assert real.shows("typed by Ida just now")
    store = Store.open(file, "M")
    (kept,) = store.airs(NOW)[""]
    store.close()
    assert (kept.temperature_c, kept.humidity, kept.source) == (20.5, 55, "typed")
    real.tap(real.button("Strike last typed"))
    real.tap(real.button("Strike it"))
    assert asked(real, lambda shop: shop.air_now()) is None


def test_what_if_leaves_the_file_as_it_was(real, file):
    from kiosk.screens.airtyped import Typed

    before = asked(real, lambda shop: shop.floor())
    real.desk.shopdesk.air.suppose(Typed("5", "45", None))
    real.settle()
    assert real.shows("If it is 5 °C and 45 % from now: nothing of this is recorded")
    store = Store.open(file, "M")
    assert store.airs(NOW) == {}
    store.close()
    assert asked(real, lambda shop: shop.floor()) == before


def test_products_in_use_come_first_and_are_confirmed_in_the_file(real, file):
    used = asked(real, lambda shop: shop.products_in_use())
    listed = [one.key for one in asked(real, lambda shop: shop.products())]
    assert set(listed[: len(used)]) == set(used)
    assert {SETTINGS.glue, SETTINGS.filler} <= set(used)
    key = SETTINGS.glue
    real.desk.shopdesk.products.open_product(key)
    real.settle()
    real.tap(real.button("All as on the label"))
    real.tap(real.button("Yes, as on the label"))
    assert real.shows("from the label: Ida, 11 Mar 2026")
    assert key not in asked(real, lambda shop: shop.unconfirmed())


def test_a_figure_typed_at_the_kiosk_is_the_shops_from_then_on(real):
    real.desk.shopdesk.products.open_product("clear")
    real.settle()
    real.tap(real.desk.show.rows["recoat"])
    for letter in "3":
        real.tap(real.desk.show.keys[letter])
    real.tap(real.desk.show.use)
    product = next(one for one in asked(real, lambda shop: shop.products()) if one.key == "clear")
    assert product.minutes["recoat"] == 180
    assert asked(real, lambda shop: shop.accept_factor("clear", "sand", 1.3)) == ()
    assert asked(real, lambda shop: shop.proposals()) == []


def test_a_unit_without_a_coat_has_no_clock_and_nobody_has_rags(real):
    assert asked(real, lambda shop: shop.clocks("GLAZE/G05")) == ()
    assert asked(real, lambda shop: shop.drawn_clock("GLAZE/G05")) is None
    assert asked(real, lambda shop: shop.rags()) is None
    assert asked(real, lambda shop: shop.clear_rags()).outcome == Outcome.ALREADY
    assert asked(real, lambda shop: shop.reader_of(NOW)) == ""


def test_the_log_says_which_sqlite_keeps_the_file(file, caplog):
    shop = late_shop(file, SETTINGS, FixedClock(NOW))
    with caplog.at_level("INFO", logger="cleatclock"):
        shop.jobs()
    shop.close()
    (said,) = [one.message for one in caplog.records if "SQLite" in one.message]
    assert said == f"{file} is open, with SQLite {apsw.sqlite_lib_version()}"
