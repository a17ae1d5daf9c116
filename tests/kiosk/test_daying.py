"""The day of a real shop file: planned, followed through scans, improved beside the work."""

import json
import pickle
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from threading import Event

import pytest
from typer.testing import CliRunner

from kiosk.actions import Shop, dayfollowing
from kiosk.actions.dayfollowing import best_sound, is_sound
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.dayreport import day_text
from kiosk.rules.dayplan.day import DayPlan, DayStep
from kiosk.rules.dayplan.decode import decode
from kiosk.rules.dayplan.model import HoursError, Plan
from kiosk.rules.scanning import Outcome
from kiosk.rules.steps import next_step
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
LIST = "Unit;Part;Qty;Length (mm);Width (mm);Finish\n" + "".join(
    f"S{n};Side;2;600;300;clear\nS{n};Board;1;764;200;clear\n" for n in range(1, 5)
)


@pytest.fixture
def shop(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    settings = load('zone = "UTC"\ndrive_minutes = 20\n')[0]
    opened = Shop(store, settings, FixedClock(START))
    opened.add_person("Mara")
    opened.add_person("Ivo")
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    taken = opened.take_in(tmp_path / "list.csv", Job("JARS", hang_day="2026-03-20"))
    assert taken.problems == ()
    yield opened
    opened.stop_improving()
    store.close()


def wait(shop, minutes):
    shop.clock.set(shop.now() + timedelta(minutes=minutes))


def cut(shop, unit, person):
    state = shop.store.state("JARS", unit)
    for piece in state.pieces:
        answer = shop.scan(piece.piece.code, station="cut", person=person)
        assert answer.outcome == Outcome.RECORDED


def shop_done(shop, unit):
    """Do all of a unit's steps in the shop, each with hours to rest before it."""
    for _step in range(20):
        state = shop.store.state("JARS", unit)
        step = next_step(state, shop.setup.steps(state.spec))
        if step is None or step.station == "install":
            return
        for piece in state.pieces if step.each else state.pieces[:1]:
            shop.scan(piece.piece.code, station=step.station, person="Mara")
        wait(shop, 6 * 60)


def ahead(day):
    return [one for one in day.steps if one.state != "done"]


def test_a_day_is_planned_within_the_hours_and_accepted_by_both_checkers(shop):
    day = shop.day()
    assert day.people == ("Mara", "Ivo")
    assert {one.unit for one in day.steps} == {"S1", "S2", "S3", "S4"}
    assert all(START <= one.starts < one.ends for one in day.steps)
    assert all(
        one.ends.hour < 17 or (one.ends.hour, one.ends.minute) == (17, 0) for one in day.steps
    )
    assert is_sound(shop._kept.built.problem, shop._kept.plan)
    assert day.notes == ()


def test_the_same_question_gets_the_same_plan(shop):
    first = shop.plan_day(evaluations=30)
    assert first == shop.plan_day(evaluations=30)
    assert shop.plan_day(evaluations=0).steps


def test_what_has_begun_stays_and_what_is_scanned_is_ticked_off(shop):
    first = ahead(shop.day())[0]
    wait(shop, 1)
    later = [one for one in shop.day().steps if (one.unit, one.step) == (first.unit, first.step)]
    assert [(one.starts, one.people) for one in later] == [(first.starts, first.people)]
    wait(shop, (first.ends - shop.now()) // timedelta(minutes=1))
    cut(shop, first.unit, first.people[0])
    done = [one for one in shop.day().steps if one.state == "done"]
    assert [(one.unit, one.step, one.people) for one in done] == [(first.unit, "cut", first.people)]
    assert done[0].ends == shop.now()


def test_a_quiet_minute_moves_nothing_that_is_near(shop):
    before = {(one.unit, one.step): one.starts for one in ahead(shop.day())[:4]}
    wait(shop, 1)
    after = {(one.unit, one.step): one.starts for one in shop.day().steps}
    assert {key: after[key] for key in before} == before


def test_a_step_left_undone_is_planned_again_from_now(shop):
    first = ahead(shop.day())[0]
    wait(shop, 120)
    again = next(
        one for one in shop.day().steps if (one.unit, one.step) == (first.unit, first.step)
    )
    assert again.starts >= shop.now()


def test_a_step_nobody_scans_is_planned_anew_however_often_one_looks(shop):
    first = ahead(shop.day())[0]
    for _minute in range(60):
        wait(shop, 1)
        day = shop.day()
    again = next(one for one in day.steps if (one.unit, one.step) == (first.unit, first.step))
    assert again.starts > first.starts
    assert again.ends - again.starts < 2 * (first.ends - first.starts)


def test_without_news_nothing_is_planned_anew(shop, monkeypatch):
    shop.day()
    planned, first_plan = [], dayfollowing.first_plan
    monkeypatch.setattr(
        dayfollowing, "first_plan", lambda *it: planned.append(1) or first_plan(*it)
    )
    for _minute in range(6):
        wait(shop, 1)
        shop.day()
    assert planned == []
    shop.set_hours("Ivo", {"closes": "16:00"})
    shop.day()
    assert planned


def test_a_trifling_gain_moves_nothing(shop, monkeypatch):
    first = [(one.unit, one.step, one.starts) for one in shop.day().steps]
    problem = shop._kept.built.problem
    turned = decode(problem, [[-float(n)] * len(c.works) for n, c in enumerate(problem.chains)])
    saved = [shop._kept.plan.cost - 15 * 100 + 1]  # less than fifteen minutes of lateness
    monkeypatch.setattr(dayfollowing, "must_replan", lambda *_given, **_more: True)
    monkeypatch.setattr(dayfollowing, "is_sound", lambda *_given: True)
    monkeypatch.setattr(dayfollowing, "first_plan", lambda *_given: replace(turned, cost=saved[0]))
    assert [(one.unit, one.step, one.starts) for one in shop.day().steps] == first
    saved[0] -= 1
    assert [(one.unit, one.step, one.starts) for one in shop.day().steps] != first


def test_load_and_drive_end_by_the_plan_and_are_not_planned_again(shop, monkeypatch):
    for unit in ("S1", "S2", "S3", "S4"):
        shop_done(shop, unit)
    shop.clock.set(datetime(2026, 3, 20, 7, 30, tzinfo=UTC))
    found = []
    for _look in range(7):
        found.append(next(one.step for one in ahead(shop.day())))
        wait(shop, 10)
    # half an hour to load, twenty minutes to drive
    assert found == ["load", "load", "load", "drive", "drive", "hang", "hang"]


def test_a_long_step_goes_on_with_its_second_piece(shop):
    kind = shop.store.state("JARS", "S1").spec.kind
    shop.set_touch_time(kind, "glue-up", 400)
    cut(shop, "S1", "Mara")
    for piece in shop.store.state("JARS", "S1").pieces:
        shop.scan(piece.piece.code, station="assemble", person="Mara")
    wait(shop, 1)
    left = next(one for one in shop.day().steps if one.unit == "S1" and one.state != "done")
    assert left.step == "glue-up"
    shop.clock.set(left.ends)
    again = next(one for one in shop.day().steps if one.unit == "S1" and one.state != "done")
    assert (again.step, str(again.title)) != (left.step, str(left.title))
    assert again.step == "glue-up"
    assert shop.is_whole(("JARS", "S1", "glue-up"))
    assert not shop.is_whole(("JARS", "S1", "cut"))
    assert not shop.is_whole(("JARS", "S9", "glue-up"))


def test_a_new_job_and_a_unit_on_hold_are_taken_into_the_day(shop, tmp_path):
    shop.day()
    (tmp_path / "more.csv").write_text(LIST.replace("S", "T"), "utf-8")
    shop.take_in(tmp_path / "more.csv", Job("POTS", hang_day="2026-03-12"))
    wait(shop, 2)
    shop.hold("S1", "waits for the client")
    day = shop.day()
    assert {one.job for one in day.steps} == {"JARS", "POTS"}
    assert any(note.startswith("S1 is left out") for note in day.notes)


def test_a_job_that_cannot_hold_its_day_is_late(shop):
    late = shop.day(datetime(2026, 3, 20, 7, 30, tzinfo=UTC)).late_jobs
    assert [(one.job, one.hang_day) for one in late] == [("JARS", date(2026, 3, 20))]
    assert shop.day(START).late_jobs == ()


def test_a_better_plan_is_looked_for_beside_the_work_and_taken(shop, tmp_path):
    (tmp_path / "more.csv").write_text(LIST.replace("S", "T"), "utf-8")
    shop.take_in(tmp_path / "more.csv", Job("POTS", hang_day="2026-03-12"))
    shop.day()
    problem = shop._kept.built.problem
    wrong_way = decode(problem, [[float(n)] * len(c.works) for n, c in enumerate(problem.chains)])
    shop._kept = replace(shop._kept, plan=wrong_way)
    heard = []
    shop.improve_day(lambda: heard.append(1), evaluations=20, processes=0)
    shop._search.wait()
    assert heard
    assert not shop.day().is_improving
    assert shop._kept.plan.cost < wrong_way.cost
    assert is_sound(shop._kept.built.problem, shop._kept.plan)


def test_the_problem_goes_to_processes_of_its_own(shop):
    built = shop.build_day(START)
    assert pickle.loads(pickle.dumps(built.problem)) == built.problem


def test_a_search_that_is_stopped_leaves_the_plan_as_it_is(shop):
    before = shop.day()
    going = Event()
    shop.improve_day(going.set, seconds=3600, processes=0)
    assert shop.day().is_improving
    shop.stop_improving()
    shop._search.wait()
    after = shop.day()
    assert not after.is_improving
    assert {one.unit for one in after.steps} == {one.unit for one in before.steps}


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_the_end_of_a_search_is_heard_of_even_if_it_broke(shop, monkeypatch):
    def broken(*_given, **_more):
        raise OSError("no more processes")

    monkeypatch.setattr("kiosk.actions.daysearch.look_for", broken)
    shop.day()
    heard = []
    shop.improve_day(lambda: heard.append(1), evaluations=5, processes=0)
    shop._search.wait()
    assert heard == [1]
    assert not shop.day().is_improving


def test_a_shop_with_nothing_to_do_looks_for_nothing(tmp_path):
    store = Store.open(tmp_path / "empty.db", "K")
    shop = Shop(store, load('zone = "UTC"\n')[0], FixedClock(START))
    shop.improve_day(processes=0)
    assert (shop.day().steps, shop.day().is_improving) == ((), False)
    assert shop.plan_day().steps == ()
    store.close()


def test_a_plan_that_is_not_sound_is_never_shown(shop):
    problem = shop.build_day(START).problem
    wrong = Plan((), 0.0)
    assert not is_sound(problem, wrong)
    assert is_sound(problem, best_sound(problem, [wrong]))


def test_hours_and_days_away_of_a_person_count(shop):
    shop.set_hours("Ivo", {"days": "Tue", "stations": "cut, assemble"})
    assert {name for one in shop.day().steps for name in one.people} == {"Mara"}
    _known, problems = shop.set_hours("Ivo", {"opens": "late", "days": "never"})
    assert len(problems) == 2
    assert shop.set_hours("Nora", {"opens": "08:00"})[1]


def test_work_that_takes_weeks_of_half_hours_is_planned_to_its_end(shop):
    # Ivo alone finishes, half an hour a week
    shop.set_hours("Mara", {"stations": "cut, assemble, install"})
    shop.set_hours("Ivo", {"days": "Mon", "opens": "07:30", "closes": "08:00"})
    for kind in shop.setup.routes:
        shop.set_touch_time(kind, "sand", 29) if kind not in ("door", "wall") else None
    assert shop.day().late_jobs
    long = max(one.ends for one in shop._kept.plan.placed)
    assert long > shop._kept.built.problem.now + 7 * 24 * 60


def test_where_no_hours_suffice_it_is_said_and_nothing_is_planned(shop, monkeypatch):
    asked = []

    def never(problem, *_given):
        asked.append(max(worker.spans[-1].ends for worker in problem.people))
        raise HoursError("the hours of the people end before all is done")

    monkeypatch.setattr("kiosk.actions.dayfollowing.first_plan", never)
    day = shop.day()
    assert day.steps == ()
    assert "more work than hours" in day.notes[-1]
    assert asked == sorted(set(asked))
    assert len(asked) > 2
    assert shop.kept_plan(START).plan.placed == ()


def test_a_job_years_away_is_left_out_and_the_rest_is_planned(shop, tmp_path):
    (tmp_path / "more.csv").write_text(LIST.replace("S", "T"), "utf-8")
    shop.take_in(tmp_path / "more.csv", Job("POTS", hang_day="2036-03-12"))
    day = shop.day()
    assert {one.job for one in day.steps} == {"JARS"}
    assert [note for note in day.notes if note.startswith("POTS is left out")]


def test_how_far_ahead_hours_must_be_known_is_found_once_an_hour(shop, tmp_path, monkeypatch):
    (tmp_path / "more.csv").write_text(LIST.replace("S", "T"), "utf-8")
    shop.take_in(tmp_path / "more.csv", Job("POTS", hang_day="2026-09-12"))
    asked, means = [], shop.means
    monkeypatch.setattr(shop, "means", lambda now, days: asked.append(days) or means(now, days))
    shop.build_day(START)
    shop.build_day(START + timedelta(minutes=5))
    assert asked == [120, 240, 480, 480][-len(asked) :]
    assert asked.count(120) == 1
    asked.clear()
    shop.build_day(START + timedelta(hours=1))
    assert asked[0] == 120


def test_a_problem_that_is_wrong_is_not_taken_for_a_lack_of_hours(shop, monkeypatch):
    def wrong(*_given):
        raise ValueError("some steps wait for each other in a ring")

    monkeypatch.setattr("kiosk.actions.dayfollowing.first_plan", wrong)
    with pytest.raises(ValueError, match="ring"):
        shop.day()


def test_without_a_list_of_people_whoever_scans_works(tmp_path):
    store = Store.open(tmp_path / "other.db", "K")
    shop = Shop(store, load('zone = "UTC"\n')[0], FixedClock(START))
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    shop.take_in(tmp_path / "list.csv", Job("JARS"))
    assert shop.day().people == ("somebody",)
    cut(shop, "S1", "Nora")
    assert shop.day().people == ("Nora",)
    store.close()


def test_a_touch_time_is_set_taken_back_and_planned_with(shop):
    def used():
        return next(one for one in shop.touch_times() if (one.kind, one.step) == ("panel", "sand"))

    kind = shop.store.state("JARS", "S1").spec.kind
    assert shop.set_touch_time(kind, "cut", 40) == ()
    assert max(one.ends - one.starts for one in shop.day().steps) >= timedelta(minutes=120)
    assert shop.set_touch_time("panel", "sand", 7) == ()
    assert (used().used, used().set) == (7, 7)
    assert shop.set_touch_time("panel", "sand", None) == ()
    assert (used().used, used().set) == (10, None)
    assert len(shop.set_touch_time("panel", "polish", -1)) == 2
    assert len(shop.set_touch_time("lamp", "sand", 5)) == 1


def test_what_was_waited_for_is_no_touch_time(shop):
    def scan(unit, station, piece=0):
        code = shop.store.state("JARS", unit).pieces[piece].piece.code
        answer = shop.scan(code, station=station, person="Mara")
        assert answer.outcome == Outcome.RECORDED, (unit, station, answer)

    for unit in ("S1", "S2"):
        cut(shop, unit, "Ivo")
        for piece in range(len(shop.store.state("JARS", unit).pieces)):
            scan(unit, "assemble", piece)
        wait(shop, 120)  # far more than a step takes tells nothing
        scan(unit, "assemble")  # glued up
    wait(shop, 20 * 60)
    scan("S1", "finish")  # filled, as S2 is
    wait(shop, 120)
    scan("S2", "finish")
    wait(shop, 34)  # the filler of S2 rests for 30 minutes, as its label says
    scan("S2", "finish")
    (mine,) = (one for one in shop.touch_times() if (one.count, one.step) == (1, "sand"))
    assert mine.learned == 4


def test_settings_count_at_once(shop):
    shop.day()
    shop.adopt(load('zone = "UTC"\ndays_open = "Tue-Fri"\n')[0])
    wait(shop, 60)  # what had begun is over by now
    assert shop.day().steps == ()


# -- the command line ----------------------------------------------------------------------------


def run(tmp_path, *words, status=0):
    result = CliRunner().invoke(app, [*words, "--shop", str(tmp_path / "shop.db")])
    assert result.exit_code == status, result.output
    return result.output


def test_the_day_at_the_command_line_has_the_keys_of_the_formats(shop, tmp_path):
    words = ("day", "--at", "2026-03-09T07:30+00:00", "--evaluations", "10")
    said = json.loads(run(tmp_path, *words, "--json"))
    assert {"at", "steps", "before_closing", "late_jobs"} <= said.keys()
    assert {"unit", "job", "step", "station", "person", "starts_at", "ends_at", "why"} <= said[
        "steps"
    ][0].keys()
    text = run(tmp_path, *words)
    assert "Mara" in text
    assert "NOW" in text
    assert run(tmp_path, *words, "--json") == run(tmp_path, *words, "--json")


def test_a_step_for_two_stands_with_both_of_them():
    step = DayStep("J", "P1", "hang", "hang", "install", ("Mara", "Ivo"), START, START)
    alone = DayStep("J", "P2", "cut", "cut", "cut", ("Ivo",), START, START)
    text = day_text(DayPlan(START, steps=(step, alone)), UTC)
    ivo, mara = text.split("\n\n")[1:]
    assert ivo.splitlines()[0] == "Ivo"
    assert "P1 hang at install with Mara" in ivo
    assert "P2 cut at cut" in ivo
    assert mara.splitlines()[0] == "Mara"
    assert "P1 hang at install with Ivo" in mara


def test_the_hours_of_the_day_are_whole_in_the_afternoon(shop):
    shop.clock.set(START + timedelta(hours=6, minutes=30))
    shop.set_hours("Ivo", {"opens": "06:30"})
    clocks = [(f"{first:%H:%M}", f"{last:%H:%M}") for first, last in shop.day().hours]
    assert clocks == [("06:30", "12:00"), ("12:45", "17:00")]


def test_a_closed_day_says_so_and_when_work_goes_on(shop, tmp_path):
    words = ("day", "--at", "2026-03-14T08:00+00:00", "--evaluations", "0")  # a Saturday
    said = json.loads(run(tmp_path, *words, "--json"))
    assert said["closed"] == "The shop is closed today. Work goes on Mon 07:30."
    assert said["notes"][0] == said["closed"]
    text = run(tmp_path, *words)
    assert said["closed"] in text
    assert "Nothing is to be done" not in text


def test_a_day_everybody_is_away_says_so(shop):
    for name in ("Mara", "Ivo"):
        shop.set_hours(name, {"away": "2026-03-09"})
    assert shop.day().closed == "Nobody is there today. Work goes on Tue 07:30."
    assert shop.day(START + timedelta(days=1)).closed == ""


def test_touch_times_are_listed_and_set_at_the_command_line(shop, tmp_path):
    said = json.loads(run(tmp_path, "times", "--set", "shelf", "sand", "14", "--json"))
    row = next(one for one in said["times"] if (one["kind"], one["step"]) == ("shelf", "sand"))
    assert (row["used"], row["set"]) == (14, 14)
    assert "shelf" in run(tmp_path, "times", "--clear", "shelf", "sand")
    assert "polish" in run(tmp_path, "times", "--clear", "shelf", "polish", status=2)


@pytest.mark.parametrize("text", ["abc", "-5", "nan", ""])
def test_what_is_no_touch_time_is_named_with_an_example(shop, tmp_path, text):
    said = run(tmp_path, "times", "--set", "shelf", "sand", text, status=2)
    assert f"“{text}” is no number of minutes for shelf, step sand." in said
    assert "Write minutes, such as: cleatclock times --set shelf sand 12." in said


def test_touch_times_may_have_a_comma_or_a_unit(shop, tmp_path):
    for text, minutes in (("12,5", 12.5), ("2 h", 120)):
        said = json.loads(run(tmp_path, "times", "--set", "shelf", "sand", text, "--json"))
        assert minutes in [one["set"] for one in said["times"]]


def test_hours_are_set_at_the_command_line(shop, tmp_path):
    said = json.loads(run(tmp_path, "people", "--hours", "Mara", "--days", "Mon-Thu", "--json"))
    assert next(one for one in said["people"] if one["name"] == "Mara")["hours"] == {
        "days": "Mon-Thu"
    }
    assert "--hours" in run(tmp_path, "people", "--opens", "08:00", status=2)
    said = run(tmp_path, "people", "--hours", "Ada Lind", "--days", "Mon-Thu", status=2)
    assert 'Put them on it: cleatclock people --add "Ada Lind".' in said
    assert "end it later" in run(
        tmp_path, "people", "--hours", "Mara", "--opens", "18:00", status=2
    )
