"""The day at the kiosk with a real shop file: planned, followed, improved, planned anew."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.actions import Shop, daysearch
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.planner import Limit, look_for
from kiosk.screens.dayplanscreen import DayPlanScreen
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
SETTINGS = load('zone = "UTC"\n')[0]
LIST = "Unit;Part;Qty;Length (mm);Width (mm);Finish\n" + "".join(
    f"S{n};Side;2;600;300;clear\nS{n};Board;1;764;200;clear\n" for n in range(1, 5)
)


@pytest.fixture
def file(tmp_path, monkeypatch):
    def look_here(problem, starts, *, limit, **rest):
        rest["processes"] = 0  # one thread, by count: the same on any machine
        return look_for(problem, starts, limit=Limit(evaluations=5, seed=limit.seed), **rest)

    monkeypatch.setattr(daysearch, "look_for", look_here)
    path = tmp_path / "shop.db"
    store = Store.open(path, "K")
    shop = Shop(store, SETTINGS, FixedClock(START))
    shop.add_person("Mara")
    shop.add_person("Ivo")
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    assert not shop.take_in(tmp_path / "list.csv", Job("JARS", hang_day="2026-03-10")).problems
    store.close()
    return path


@pytest.fixture
def clock():
    return FixedClock(START)


@pytest.fixture
def kiosk(file, drive, clock):
    found = drive(late_shop(file, SETTINGS, clock), person="Mara", station="cut")
    found.tap(found.desk.bench.day)
    assert isinstance(found.desk.show, DayPlanScreen)
    return found


def pieces(file, unit):
    store = Store.open(file, "K")
    found = [one.piece.code for one in store.state("JARS", unit).pieces]
    store.close()
    return found


def plan_of(kiosk):
    """The plan the shop keeps, asked on the shop's own thread."""
    found = []
    kiosk.desk.ask(kiosk.desk._shop.day, found.append, lost="")
    kiosk.settle()
    return found[0]


def wait_for_search(kiosk):
    held = kiosk.desk._shop._shop._search
    held.wait()
    kiosk.step(3)
    kiosk.settle()


def test_the_day_opens_with_a_plan_and_is_looked_at_for_more(kiosk):
    assert kiosk.shows("JARS") or kiosk.desk.show.rows
    assert any("S1" in one.label.text for one in kiosk.desk.show.rows)
    wait_for_search(kiosk)
    kiosk.tap(kiosk.button("Late: 1"))
    kiosk.tap(kiosk.desk.show.rows[0])
    assert kiosk.shows("JARS will be late")
    assert kiosk.shows("of 99 trial runs")
    assert kiosk.shows("Held up by S")
    assert kiosk.shows("What would help most")
    kiosk.tap(kiosk.button("Move the hang day"))
    assert kiosk.shows("When does JARS go up?")


def test_a_scan_while_the_day_is_improved_is_recorded_and_ticks_off(kiosk, file, clock):
    codes = pieces(file, "S1")
    for code in codes:
        clock.set(clock.now() + timedelta(minutes=3))
        kiosk.scan(code)
        kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.bench
    day = plan_of(kiosk)
    done = [one for one in day.steps if one.state == "done"]
    assert [(one.unit, one.step) for one in done] == [("S1", "cut")]
    kiosk.tap(kiosk.desk.bench.day)
    assert not any("S1: cut" in one.label.text for one in kiosk.desk.show.rows)


def test_a_new_job_is_planned_in_and_what_begins_soon_stays(kiosk, file, tmp_path):
    wait_for_search(kiosk)
    before = begins_next(plan_of(kiosk))
    assert len(before) > 1
    store = Store.open(file, "K2")
    (tmp_path / "more.csv").write_text(LIST.replace("S", "T"), "utf-8")
    other = Shop(store, SETTINGS, FixedClock(START))
    other.take_in(tmp_path / "more.csv", Job("POTS", hang_day="2026-03-27"))
    # with time enough nothing is gained that would be worth moving what begins soon
    other.set_job(Job("JARS", hang_day="2026-03-20"))
    store.close()
    kiosk.tick(11)
    day = plan_of(kiosk)
    assert {one.job for one in day.steps} >= {"JARS"}
    assert "POTS" in {job.job for job in kiosk.desk._shop._shop._kept.built.problem.jobs}
    assert before.items() <= begins_next(day).items()


def begins_next(day):
    """What each unit begins with within the next half hour: when, and who does it."""
    first = {}
    for one in day.steps:
        first.setdefault((one.job, one.unit), one)
    soon = START + timedelta(minutes=30)
    return {
        name: (one.step, one.starts, one.people) for name, one in first.items() if one.starts < soon
    }


def test_stop_ends_the_search(kiosk, monkeypatch):
    wait_for_search(kiosk)
    monkeypatch.setattr(
        daysearch,
        "look_for",
        lambda problem, starts, **rest: look_for(
            problem, starts, **(rest | {"limit": Limit(seconds=3600), "processes": 0})
        ),
    )
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("Look for a better plan"))
    assert kiosk.shows("A better plan is being looked for")
    kiosk.tap(kiosk.button("Stop"))
    assert not kiosk.shows("A better plan is being looked for")
    held = kiosk.desk._shop._shop._search
    held.close()
    held.wait()
