"""When a job could hang, asked at the kiosk of a real shop file."""

from datetime import UTC, date, datetime

import pytest
from test_take import choose, folder, type_code  # noqa: F401 - folder is a fixture

from kiosk.actions import Promised, Shop, TakenIn
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.dayplan.promise import Effect, Promise
from kiosk.screens.busyscreen import BusyScreen
from kiosk.screens.promisedesk import say_promised
from kiosk.settingstext import load
from kiosk.store import Job, Store

AT = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
SETTINGS = load('kiosk_letter = "K"\nzone = "UTC"\n')[0]
LIST = "Unit;Kind;Part;Length (mm);Width (mm);Count\nS1;shelf;Side;300;200;2\n"


@pytest.fixture
def kiosk(folder, drive, tmp_path):  # noqa: F811
    store = Store.open(tmp_path / "shop.db", "K")
    shop = Shop(store, SETTINGS, FixedClock(AT))
    shop.add_person("Mara")
    (tmp_path / "old.csv").write_text(LIST, "utf-8")
    assert not shop.take_in(tmp_path / "old.csv", Job("POTS")).problems
    store.close()
    return drive(late_shop(tmp_path / "shop.db", SETTINGS, FixedClock(AT)), station="cut")


def days_of(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    shop = Shop(store, SETTINGS, FixedClock(AT))
    found = {code: job.hang_day for code, job in shop.jobs().items()}
    store.close()
    return found


def wait_for_days(kiosk):
    for _turn in range(20):  # from the shop to the process and back
        kiosk.step(2)
        kiosk.settle()
        if not isinstance(kiosk.desk.show, BusyScreen):
            return


def test_a_list_gets_a_day_before_it_is_taken_in_and_keeps_it(kiosk, folder, tmp_path):  # noqa: F811
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Take in a list"))
    choose(kiosk, folder, LIST)
    kiosk.tap(kiosk.button("When could it hang?"))
    wait_for_days(kiosk)
    assert kiosk.shows("Up by")
    assert kiosk.shows("of 99 trial runs")
    assert kiosk.shows("not a guarantee")
    store = Store.open(tmp_path / "shop.db", "K")
    promised = Shop(store, SETTINGS, FixedClock(AT)).promise_day(folder / "list.csv")
    store.close()
    kiosk.tap(next(b for b in kiosk.desk.show.buttons if b.label.text.startswith("Take ")))
    type_code(kiosk, "JARS")
    # the same day as the command line says for the same shop
    assert days_of(tmp_path)["JARS"] == promised.days[0].day.isoformat()


def test_a_job_without_a_day_gets_one(kiosk, tmp_path):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Jobs"))
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("When could it hang?"))
    wait_for_days(kiosk)
    assert kiosk.shows("POTS could hang on")
    kiosk.tap(next(b for b in kiosk.desk.show.buttons if b.label.text.startswith("Take ")))
    assert date.fromisoformat(days_of(tmp_path)["POTS"]) >= AT.date()
    assert not kiosk.shows("When could it hang?")


def test_who_goes_elsewhere_is_not_called_back(kiosk):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Jobs"))
    kiosk.tap(kiosk.desk.show.rows[0])
    desk = kiosk.desk.shopdesk.jobs._promises
    asked = []
    desk.open(lambda: asked.append(1), "POTS", take=asked.append, back=kiosk.desk.open_bench)
    assert kiosk.button("Cancel")
    kiosk.desk.open_bench()
    kiosk.settle()
    kiosk.step(3)
    assert kiosk.desk.show is kiosk.desk.bench
    assert asked == [1]


@pytest.mark.parametrize(
    ("falls", "said"),
    [
        ((), ""),
        ((0.01,), "The days of the jobs present are no less sure for it. "),
        ((0.3,), "J0 would hold its day in 60 of 100 trial runs, without it in 90. "),
        ((0.3,) * 4, "in 90; and 1 other job less sure. "),
    ],
)
def test_what_a_promise_does_to_the_jobs_present_is_said_of_the_first_three(falls, said):
    effects = tuple(Effect(f"J{n}", 0.9, 0.9 - fall) for n, fall in enumerate(falls))
    taken = TakenIn("", (), (), (), taken=False)
    words = say_promised(Promised(taken, (), promise=Promise(100, (), (), effects)))
    honest = "An estimate from this shop's own times, not a guarantee"
    assert words.endswith(f"{said}{honest}")
    assert words.count("would hold") == min(3, sum(fall > 0.05 for fall in falls))
