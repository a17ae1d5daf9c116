"""The plan people work by is kept in the log: after a restart, in a second kiosk, at the desk."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from typer.testing import CliRunner

from kiosk.actions import Shop, dayfollowing
from kiosk.actions.dayfollowing import is_sound
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.rules.dayplan.carry import NEAR_MINUTES
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store, StoreError

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
LIST = "Unit;Part;Qty;Length (mm);Width (mm);Finish\n" + "".join(
    f"S{n};Side;2;600;300;clear\nS{n};Board;1;764;200;clear\n" for n in range(1, 5)
)
SETTINGS = 'zone = "UTC"\ndrive_minutes = 20\n'


class Floor:
    """One shop file, and kiosks on it that share a clock."""

    def __init__(self, folder):
        self.folder, self.clock, self.shops = folder, FixedClock(START), []

    def open(self, letter="K", more=""):
        store = Store.open(self.folder / "shop.db", letter)
        text = f'{SETTINGS}kiosk_letter = "{letter}"\n{more}'
        settings, wrong = load(text)
        assert not wrong
        shop = Shop(store, settings, self.clock)
        self.shops.append(shop)
        return shop

    def close(self, shop):
        self.shops.remove(shop)
        shop.end_planning()
        shop.store.close()

    def wait(self, minutes):
        self.clock.set(self.clock.now() + timedelta(minutes=minutes))

    def take_in(self, shop, job, letter, hang_day):
        (self.folder / "list.csv").write_text(LIST.replace("S", letter), "utf-8")
        taken = shop.take_in(self.folder / "list.csv", Job(job, hang_day=hang_day))
        assert taken.problems == ()

    def cli(self, *words, status=0):
        result = CliRunner().invoke(app, [*words, "--shop", str(self.folder / "shop.db")])
        assert result.exit_code == status, result.output
        return result.output


@pytest.fixture
def floor(tmp_path):
    (tmp_path / "settings.toml").write_text(SETTINGS, "utf-8")
    made = Floor(tmp_path)
    shop = made.open()
    shop.add_person("Mara")
    shop.add_person("Ivo")
    made.take_in(shop, "JARS", "S", "2026-03-20")
    made.take_in(shop, "POTS", "T", "2026-03-24")
    yield made
    for one in list(made.shops):
        made.close(one)


def turned(shop):
    """Let people work by a plan no rule would make: the later unit first."""
    shop.day()
    problem = shop._kept.built.problem
    keys = [[-float(n)] * len(one.works) for n, one in enumerate(problem.chains)]
    shop._kept = replace(shop._kept, plan=decode(problem, keys))
    shop.adopt_day()


def hurry(shop):
    """Let the job come soon that a turned plan does last."""
    assert shop.set_job(replace(shop.jobs()["JARS"], hang_day="2026-03-12")) == ()


def lines(day):
    return [
        (one.unit, one.step, one.starts, one.ends, one.people)
        for one in day.steps
        if one.state != "done"
    ]


def plans(shop):
    return shop.store.tally().get("day_planned", 0)


def cut(shop, unit, person, job="JARS"):
    for piece in shop.store.state(job, unit).pieces:
        answer = shop.scan(piece.piece.code, station="cut", person=person)
        assert answer.outcome == Outcome.RECORDED


def restarted(floor, shop):
    floor.close(shop)
    return floor.open()


# -- after a restart -----------------------------------------------------------------------------


def test_a_restart_keeps_the_order_of_the_day(floor):
    shop = floor.shops[0]
    by_rules = lines(shop.day())
    turned(shop)
    floor.wait(10)
    before = lines(shop.day())
    assert [one[:2] for one in before] != [one[:2] for one in by_rules]
    again = restarted(floor, shop)
    assert lines(again.day()) == before
    assert is_sound(again._kept.built.problem, again._kept.plan)


def test_a_restart_keeps_what_starts_in_the_next_half_hour(floor):
    shop = floor.shops[0]
    turned(shop)
    floor.wait(5)
    soon = [one for one in lines(shop.day()) if one[2] <= shop.now() + _minutes(NEAR_MINUTES)]
    again = restarted(floor, shop)
    floor.take_in(again, "MUGS", "U", "2026-03-27")  # news, and no hurry
    after = lines(again.day())
    assert soon
    assert set(soon) <= set(after)
    assert {one[0] for one in after} >= {"U1", "U2"}


def test_after_scans_a_restart_goes_on_as_if_there_was_none(floor):
    shop = floor.shops[0]
    turned(shop)
    first = next(one for one in shop.day().steps if one.step == "cut")
    floor.wait(12)  # a little longer than planned: no news, so that nothing is written
    cut(shop, first.unit_id, first.people[0], first.job)
    shop.day()
    floor.wait(2)
    before = lines(shop.day())
    assert plans(shop) == 2
    again = restarted(floor, shop)
    assert lines(again.day()) == before


def test_a_step_of_yesterday_is_not_under_way_because_somebody_scans(floor):
    shop = floor.shops[0]
    turned(shop)
    first = ahead_of(shop.day(), "Mara")
    floor.clock.set(START + timedelta(days=1, minutes=30))
    cut(shop, "S1", "Mara")
    again = restarted(floor, shop)
    floor.wait(1)
    again.day()
    chains = [again._kept.built.names[pin.chain].key for pin in again._kept.built.problem.pins]
    assert (first.job, first.unit_id) not in chains


def ahead_of(day, person):
    return next(one for one in day.steps if one.state != "done" and one.people == (person,))


def test_a_way_that_is_over_stays_over_after_a_restart(floor, monkeypatch):
    shop = floor.shops[0]
    built = shop.build_day(START)
    monkeypatch.setattr(Shop, "build_day", lambda _self, _now, **_more: built)
    shop.day()
    from kiosk.rules.dayplan.built import Passed

    passed = {("JARS", "", "load"): Passed(30, built.problem.now - 5)}
    shop._kept = replace(shop._kept, built=replace(shop._kept.built, over=passed))
    shop.adopt_day()
    again = restarted(floor, shop)
    again.day()
    assert again._kept.built.over == passed


def test_changed_hours_are_news_after_a_restart(floor, monkeypatch):
    shop = floor.shops[0]
    shop.day()
    planned, first_plan = [], dayfollowing.first_plan
    counted = lambda *given: planned.append(1) or first_plan(*given)  # noqa: E731
    monkeypatch.setattr(dayfollowing, "first_plan", counted)
    floor.wait(2)
    same = restarted(floor, shop)
    same.day()
    assert planned == []
    same.set_hours("Ivo", {"closes": "16:00"})
    again = restarted(floor, same)
    again.day()
    assert planned


# -- what is written -----------------------------------------------------------------------------


def test_a_plan_is_written_once_and_again_at_news_alone(floor):
    shop = floor.shops[0]
    for _minute in range(6):
        day = shop.day()
        floor.wait(1)
    assert plans(shop) == 1
    assert day.adopted == START
    floor.take_in(shop, "MUGS", "U", "2026-03-12")
    shop.day()
    shop.day()
    assert plans(shop) == 2


def test_a_running_search_writes_nothing_and_its_end_once(floor, monkeypatch):
    shop = floor.shops[0]
    hurry(shop)
    turned(shop)
    found = []

    def look_for(problem, starts, *, heard, **_more):
        best = dayfollowing.first_plan(problem)
        heard(best)
        found.append((lines(shop.day()), plans(shop)))  # asked while it goes on
        return best

    monkeypatch.setattr("kiosk.actions.daysearch.look_for", look_for)
    monkeypatch.setattr("kiosk.actions.daysearch.look_ahead", lambda *_given, **_more: None)
    before = lines(shop.day())
    shop.improve_day(processes=0)
    shop._search.wait()
    ((during, count),) = found
    assert during != before
    assert count == 2  # the first of all and the turned one
    assert [one[:3] for one in lines(shop.day())] == [one[:3] for one in during]
    assert plans(shop) == 3
    shop.day()
    assert plans(shop) == 3


def test_a_moment_that_is_named_and_a_view_of_the_past_write_nothing(floor):
    shop = floor.shops[0]
    shop.day(START)
    past = Shop(shop.store.as_of(START), shop.settings, floor.clock)
    past.day()
    assert past.adopt_day() is None
    assert plans(shop) == 0


def test_a_shop_with_nothing_to_do_writes_no_plan(tmp_path):
    store = Store.open(tmp_path / "empty.db", "K")
    shop = Shop(store, load(SETTINGS)[0], FixedClock(START))
    shop.day()
    assert shop.adopt_day() is None
    assert plans(shop) == 0
    store.close()


def test_a_disk_that_refuses_leaves_the_day_on_the_screen(floor, monkeypatch):
    shop, write = floor.shops[0], Store.write

    def full(*_given):
        raise StoreError("the disk is full")

    monkeypatch.setattr(Store, "write", full)
    day = shop.day()
    assert day.steps
    assert day.adopted is None
    monkeypatch.setattr(Store, "write", write)
    assert shop.day().adopted == START
    assert plans(shop) == 1


def test_a_plan_touches_no_unit_and_no_setup(floor):
    shop, other = floor.shops[0], floor.open("B")
    for one in (shop, other):
        one.standings(START)
        one.store.take_touched()
        one.store.take_shop_changed()
    shop.day()
    assert other.news()
    for one in (shop, other):
        assert one.store.take_touched() == set()
        assert not one.store.take_shop_changed()


def test_the_projection_is_made_anew_without_reading_plans(floor, monkeypatch):
    shop = floor.shops[0]
    shop.day()
    before = {key: shop.store.state(*key) for key in shop.store.states()}
    read, rows_of = [], shop.store._log._rows

    def noted(*given, **more):
        rows = rows_of(*given, **more)
        read.extend(row.kind for row in rows)
        return rows

    monkeypatch.setattr(shop.store._log, "_rows", noted)
    shop.store.rebuild()
    assert "unit_taken" in read
    assert "day_planned" not in read
    assert {key: shop.store.state(*key) for key in shop.store.states()} == before


# -- two kiosks on one file ----------------------------------------------------------------------


def test_a_second_kiosk_shows_the_same_plan(floor):
    shop = floor.shops[0]
    turned(shop)
    other = floor.open("B")
    assert lines(other.day()) == lines(shop.day())
    assert plans(shop) == 2


def test_what_another_kiosk_adopts_is_taken_over_and_not_fought(floor):
    shop, other = floor.shops[0], floor.open("B")
    shop.day()
    other.day()
    floor.wait(1)
    turned(shop)
    count = plans(shop)
    for _look in range(4):
        floor.wait(1)
        other.news()
        shop.news()
        assert lines(other.day()) == lines(shop.day())
    assert plans(shop) == count


def test_kiosks_whose_settings_differ_do_not_take_turns(floor):
    shop, other = floor.shops[0], floor.open("B", "finish_benches = 3\nsaws = 2\n")
    for _look in range(6):
        shop.day()
        other.day()
        floor.wait(1)
    assert plans(shop) <= 3


def test_who_took_a_plan_over_does_not_look_for_a_better_one_by_itself(floor, monkeypatch):
    looked = []
    monkeypatch.setattr(
        "kiosk.actions.daysearch.look_for",
        lambda _problem, starts, **_more: looked.append(1) or starts[0],
    )
    monkeypatch.setattr("kiosk.actions.daysearch.look_ahead", lambda *_given, **_more: None)
    shop, other = floor.shops[0], floor.open("B")
    turned(shop)

    def look(one, *, again=False):
        one.day()
        one.improve_day(processes=0, again=again)
        one._search.wait()
        found, looked[:] = len(looked), []
        return found

    assert look(other) == 0
    assert look(shop) == 1
    assert look(other, again=True) == 1  # asked for by hand
    floor.take_in(other, "MUGS", "U", "2026-03-12")  # news of its own
    assert look(other) == 1
    assert look(shop) == 0


def test_a_search_that_goes_on_ends_where_another_plan_is_taken_over(floor):
    shop, other = floor.shops[0], floor.open("B")
    shop.day()
    shop.improve_day(seconds=3600, processes=0)
    floor.wait(1)
    turned(other)
    shop.day()
    assert not shop._search.is_on
    shop._search.wait()
    assert lines(shop.day()) == lines(other.day())


def test_of_late_arrivals_the_later_in_the_order_of_the_log_counts(floor):
    shop = floor.shops[0]
    turned(shop)
    mine = shop.store.latest(Kind.DAY_PLANNED, START)
    row = shop.store._log.row(mine.id)
    older = replace(
        row, id="0" * 32, kiosk="Z", seq=1, l=row.l - 60_000, wall_ms=row.wall_ms - 60_000
    )
    shop.store._log._insert([older], keep_pos=False)
    assert shop.store.latest(Kind.DAY_PLANNED, START).id == mine.id
    assert shop.store._log.last_pos() > row.pos


# -- what is not understood ----------------------------------------------------------------------


@pytest.mark.parametrize("body", [{}, {"version": 99}, {"version": 1, "minute": "noon"}])
def test_a_body_that_is_not_understood_is_passed_over_and_planned_anew(floor, body):
    shop = floor.shops[0]
    fresh = lines(shop.day(START))
    shop.store.write([Note(Kind.DAY_PLANNED, body=body)], START)
    again = restarted(floor, shop)
    assert lines(again.day()) == fresh
    assert plans(again) == 2


def test_a_body_of_a_kiosk_that_runs_leaves_the_plan_there_is(floor):
    shop = floor.shops[0]
    turned(shop)
    before = lines(shop.day())
    shop.store.write([Note(Kind.DAY_PLANNED, body={"version": 2})], START)
    assert lines(shop.day()) == before
    assert plans(shop) == 3


def test_a_plan_of_units_that_are_not_there_is_no_plan_to_stumble_over(floor):
    shop = floor.shops[0]
    turned(shop)
    body = dict(shop.store.latest(Kind.DAY_PLANNED, START).body)
    body["chains"] = [[job, "GONE", *units] for job, _code, *units in body["chains"]]
    floor.wait(1)
    shop.store.write([Note(Kind.DAY_PLANNED, body=body)], floor.clock.now())
    again = restarted(floor, shop)
    assert {one.unit for one in again.day().steps} >= {"S1", "T1"}


# -- at the command line -------------------------------------------------------------------------


def test_the_command_line_says_the_day_as_the_kiosk_does(floor):
    shop = floor.shops[0]
    turned(shop)
    first = next(one for one in shop.day().steps if one.step == "cut")
    floor.wait(20)
    cut(shop, first.unit_id, first.people[0], first.job)
    shop.day()
    floor.wait(7)
    shop.day()
    floor.wait(1)  # what begins this very minute is under way from the next look on
    day = shop.day()
    words = ("day", "--at", floor.clock.now().isoformat(), "--json")
    said = json.loads(floor.cli(*words))
    assert [
        (one["unit"], one["step"], one["starts_at"], one["ends_at"], one["people"], one["why"])
        for one in said["steps"]
    ] == [
        (
            one.unit,
            one.step,
            one.starts.isoformat(timespec="minutes"),
            one.ends.isoformat(timespec="minutes"),
            list(one.people),
            one.why,
        )
        for one in day.steps
    ]
    assert said["adopted_at"] == day.adopted.isoformat(timespec="minutes")
    count = plans(shop)
    assert json.loads(floor.cli(*words)) == said
    text = floor.cli(*words[:3])
    assert f"The plan people work by, adopted {day.adopted:%H:%M}." in text
    assert "Made for this answer" not in text
    assert plans(shop) == count


def test_a_plan_of_later_does_not_count_for_a_moment_before(floor):
    shop = floor.shops[0]
    words = ("day", "--at", START.isoformat(), "--evaluations", "0", "--json")
    floor.wait(30)
    before = json.loads(floor.cli(*words))
    turned(shop)
    assert json.loads(floor.cli(*words)) == before
    assert before["adopted_at"] is None


def test_without_a_plan_in_the_log_one_is_looked_for_and_not_written(floor):
    shop = floor.shops[0]
    said = json.loads(floor.cli("day", "--at", START.isoformat(), "--json"))
    assert said["steps"]
    assert said["adopted_at"] is None
    assert plans(shop) == 0
    assert "Made for this answer; with --adopt" in floor.cli("day", "--at", START.isoformat())


def test_a_plan_is_adopted_at_the_command_line_and_the_kiosk_takes_it_over(floor):
    shop = floor.shops[0]
    hurry(shop)
    turned(shop)
    before = lines(shop.day())
    floor.wait(1)
    at = floor.clock.now().isoformat()
    words = ("day", "--at", at, "--evaluations", "30", "--json")
    looked = json.loads(floor.cli(*words))
    assert plans(shop) == 2
    said = json.loads(floor.cli(*words, "--adopt"))
    assert plans(shop) == 3
    assert said["adopted_at"] == at.replace(":00+", "+")
    assert said["steps"] == looked["steps"]
    after = lines(shop.day())
    assert after != before
    assert [(one[0], one[1]) for one in after] == [
        (one["unit"], one["step"]) for one in said["steps"]
    ]


def test_a_plan_of_another_day_is_planned_anew_where_there_is_news(floor, monkeypatch):
    shop = floor.shops[0]
    turned(shop)
    planned, first_plan = [], dayfollowing.first_plan
    counted = lambda *given: planned.append(1) or first_plan(*given)  # noqa: E731
    monkeypatch.setattr(dayfollowing, "first_plan", counted)
    assert shop.worked_day(START + timedelta(minutes=10))
    assert planned == []
    other = floor.open("B")
    assert other.worked_day(START + timedelta(days=1))
    assert planned


def _minutes(count):
    return timedelta(minutes=count)
