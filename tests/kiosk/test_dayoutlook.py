"""What takes time about a plan: the change that helps, chances, a proof, and that it can end."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from kiosk.actions import Shop
from kiosk.actions.dayoutlook import Doubt, Outlook, look_ahead, proved, starts_of
from kiosk.clock import FixedClock
from kiosk.helper import Helper, HelperGone
from kiosk.rules.dayplan.portfolio import first_plan
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
LIST = "Unit;Part;Qty;Length (mm);Width (mm);Finish\n" + "".join(
    f"S{n};Side;2;600;300;clear\nS{n};Board;1;764;200;clear\n" for n in range(1, 5)
)


@pytest.fixture
def shop(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    opened = Shop(store, load('zone = "UTC"\n')[0], FixedClock(START))
    opened.add_person("Mara")
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    assert not opened.take_in(tmp_path / "list.csv", Job("JARS", hang_day="2026-03-10")).problems
    yield opened
    opened.end_planning()
    store.close()


def test_a_late_job_gets_its_change_and_chance_beside_the_work(shop):
    day = shop.day()
    assert (day.late_jobs[0].chance, day.change) == (None, "")
    shop.improve_day(evaluations=5, processes=0)
    shop._search.wait()
    day = shop.day()
    assert day.late_jobs[0].chance is not None
    assert "JARS" in day.change
    # the same as the command line works out for that plan, where the same runs are made
    assert day.late_jobs == shop.with_chances(day).late_jobs


def test_a_job_at_risk_is_named_though_it_is_planned_in_time(shop):
    assert not shop.set_job(replace(shop.jobs()["JARS"], hang_day="2026-03-30"))
    kept = shop.kept_plan(START)
    shop._outlook = Outlook(chance={"JARS": 70 / 99}, best_starts=starts_of(kept.built, kept.plan))
    day = shop.day()
    assert ([(one.job, one.held, one.runs) for one in day.at_risk]) == [("JARS", 70, 99)]
    assert day.late_jobs == ()
    # it is told where people look first, and not once more among the notes
    assert not any("JARS" in note for note in day.notes)


def test_what_was_worked_out_goes_with_the_plan_it_was_about(shop, tmp_path):
    shop.improve_day(evaluations=5, processes=0)
    shop._search.wait()
    assert shop.day().change
    (tmp_path / "more.csv").write_text(LIST.replace("S", "T"), "utf-8")
    shop.take_in(tmp_path / "more.csv", Job("POTS", hang_day="2026-03-12"))
    day = shop.day()
    assert (day.change, {one.chance for one in day.late_jobs}) == ("", {None})


def test_a_plan_is_looked_at_once_unless_asked_again(shop):
    shop.improve_day(evaluations=1, processes=0)
    shop._search.wait()
    first = shop._search._thread
    shop.day()
    shop.improve_day(evaluations=1, processes=0, again=False)
    assert shop._search._thread is first
    shop.improve_day(evaluations=1, processes=0)
    assert shop._search._thread is not first
    shop._search.wait()


def test_a_small_day_is_proved_best_with_the_extra(shop):
    pytest.importorskip("ortools")
    built = shop.build_day(START)
    plan = first_plan(built.problem)
    best, is_best = proved(built.problem, plan)
    assert is_best
    assert best.cost <= plan.cost


def test_only_a_plan_with_the_proved_starts_is_called_best(shop):
    shop.day()
    kept = shop._kept
    shop._outlook = Outlook(best_starts=starts_of(kept.built, kept.plan))
    assert shop.day().is_best
    shop.clock.set(START + timedelta(minutes=20))  # nobody began, so the plan moved
    assert not shop.day().is_best


def test_the_change_of_the_command_line_is_the_same_each_time(shop):
    day = shop.plan_day(evaluations=5)
    first = shop.with_change(day, evaluations=2).change
    assert "JARS" in first
    assert shop.with_change(day, evaluations=2).change == first


def test_nobody_waits_for_what_nobody_wants(shop):
    built = shop.build_day(START)
    told = []
    look_ahead(
        built,
        first_plan(built.problem),
        Doubt(),
        go_on=lambda: False,
        better=told.append,
        heard=told.append,
    )
    assert told == []


def test_a_helper_answers_and_says_what_failed():
    with Helper(lambda: True) as helper:
        assert helper.call(divmod, 7, 2) == (3, 1)
        with pytest.raises(HelperGone, match="ZeroDivisionError"):
            helper.call(divmod, 1, 0)
        assert helper.call(abs, -3) == 3


def test_a_helper_is_gone_when_its_process_dies():
    with Helper(lambda: True) as helper:
        helper.call(abs, 1)
        helper._process.terminate()
        helper._process.join()
        with pytest.raises(HelperGone):
            helper.call(abs, 1)
