"""A hang day for a part list, as a person or a script asks for it."""

import json
from datetime import UTC, date, datetime

import pytest
from typer.testing import CliRunner

from kiosk.actions import Promised, SureDay
from kiosk.actions import Shop as Shop_
from kiosk.actions.dayoutlook import RUNS as DAY_RUNS
from kiosk.actions.intake import TakenIn
from kiosk.actions.promising import RUNS
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.demo import RUNS as DEMO_RUNS
from kiosk.promisereport import promise_json, promise_text
from kiosk.rules.dayplan.promise import CERTAINTIES, Effect, Promise, runs_needed
from kiosk.settingstext import load
from kiosk.store import Store

LIST = """Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Finish;Hangs on
P1;Jar panel;panel;Face;1;1200;600;18;;
S1;Jar shelf;shelf;Side;2;300;200;18;clear;P1
S1;Jar shelf;shelf;Board;1;764;200;18;clear;P1
"""
MANY = LIST + "".join(
    f"S{n};Jar shelf;shelf;Side;2;300;200;18;clear;P1\n"
    f"S{n};Jar shelf;shelf;Board;1;764;200;18;clear;P1\n"
    for n in range(2, 14)
)
AT = "2026-03-09T08:00"  # a Monday
MONDAY = datetime(2026, 3, 9, 8, tzinfo=UTC)


class Shop:
    def __init__(self, folder) -> None:
        self.folder = folder
        (folder / "settings.toml").write_text('zone = "UTC"\n', "utf-8")

    def run(self, *words: str, status: int = 0) -> str:
        file = str(self.folder / "shop.db")
        result = CliRunner().invoke(app, [*words, "--shop", file, "--at", AT])
        assert result.exit_code == status, result.output
        return result.output

    def list(self, text: str, name: str = "list.csv") -> str:
        (self.folder / name).write_text(text, "utf-8")
        return str(self.folder / name)

    def promise(self, text: str = LIST):
        return json.loads(self.run("promise", self.list(text), "--json"))


@pytest.fixture
def shop(tmp_path):
    return Shop(tmp_path)


def hang_days(found) -> list[date]:
    return [date.fromisoformat(one["hang_day"]) for one in found["days"]]


def test_an_empty_shop_promises_a_day_it_is_open(shop):
    found = shop.promise()
    sure, surer = hang_days(found)
    assert [one["certainty"] for one in found["days"]] == [0.8, 0.95]
    assert date(2026, 3, 10) <= sure <= surer <= date(2026, 3, 20)
    assert sure.weekday() < 5
    assert found["runs"] == 99
    assert found["units"] == 2
    assert found["jobs"] == []
    assert found["problems"] == []
    assert found["days"][0]["least"] < 0.8 < found["days"][0]["most"]
    assert 80 <= found["days"][0]["held"] <= 99
    assert 95 <= found["days"][1]["held"] <= 99
    assert [one["needs_runs"] for one in found["days"]] == [0, 0]
    assert found["typical"] <= found["days"][0]["hung_by"]


def test_asked_twice_the_answer_is_the_same(shop):
    assert shop.promise() == shop.promise()


def test_nothing_is_taken_in(shop):
    shop.promise()
    assert json.loads(shop.run("board", "--json"))["units"] == []


def test_a_shop_with_work_promises_a_later_day_and_its_jobs_keep_theirs(shop):
    before = hang_days(shop.promise())
    shop.run("take-in", shop.list(MANY, "many.csv"), "--job", "JARS", "--hang-day", "2026-04-10")
    found = shop.promise()
    assert hang_days(found)[0] > before[0]
    (job,) = found["jobs"]
    assert job["job"] == "JARS"
    assert job["before"] > 0.9
    assert job["after"] >= job["before"] - 0.05
    assert "no less sure" in shop.run("promise", shop.list(LIST))


def test_the_words_name_the_days(shop):
    text = shop.run("promise", shop.list(LIST))
    sure, surer = hang_days(shop.promise())
    assert sure == surer
    assert f"80% and 95% sure: {sure.isoformat()}, a {sure:%A}" in text
    assert text.count(sure.isoformat()) == 1 + text.count(f"had it hung by {sure.isoformat()}")
    held = shop.promise()["days"][1]["held"]
    assert f"a {sure:%A}: held in {held} of 99 trial runs." in text
    assert "in truth" not in text
    assert "2 units in 4 pieces; nothing is taken in." in text
    assert "Half of the 99 trial runs had it hung by" in text


def test_two_days_are_told_one_by_one():
    days = (
        SureDay(0.8, date(2026, 3, 12), None, 0.73, 0.86, 84),
        SureDay(0.95, date(2026, 3, 13), None, 0.91, 0.98, 97),
        SureDay(0.99, None, None, 0.0, 1.0),
    )
    taken = TakenIn("", (), (), (), taken=False)
    found = Promised(taken, days, promise=Promise(99, (), ()))
    assert promise_text(found, UTC).splitlines()[1:4] == [
        "80% sure: 2026-03-12, a Thursday: held in 84 of 99 trial runs.",
        "95% sure: 2026-03-13, a Friday: held in 97 of 99 trial runs.",
        "99% sure: no day is in sight.",
    ]


def test_few_runs_do_not_claim_what_they_cannot_tell(shop):
    store = Store.open(shop.folder / "own.db", "K")
    opened = Shop_(store, load('zone = "UTC"\n')[0], FixedClock(MONDAY))
    found = opened.promise_day(shop.folder / shop.list(LIST), runs=19)
    store.close()
    sure, surer = found.days
    assert (sure.needs, surer.needs, surer.day) == (0, 59, None)
    lines = promise_text(found, UTC).splitlines()
    assert f"80% sure: {sure.day}, a {sure.day:%A}: held in {sure.held} of 19 trial runs." in lines
    few = "95 % sure is not promised: 19 trial runs are too few for it, it takes 59."
    assert few in lines
    assert promise_json(found, UTC)["days"][1]["needs_runs"] == 59


def test_the_runs_made_bear_what_is_promised():
    assert all(runs >= runs_needed(CERTAINTIES[-1]) for runs in (RUNS, DAY_RUNS, DEMO_RUNS))


def test_what_a_job_does_to_others_is_told_in_runs():
    effects = (Effect("GLAZE", 90 / 99, 61 / 99), Effect("KILN", 96 / 99, 95 / 99))
    taken = TakenIn("", (), (), (), taken=False)
    found = Promised(taken, (), promise=Promise(99, (), (), effects))
    assert promise_text(found, UTC).splitlines()[1:] == [
        "GLAZE would hold its day in 61 of 99 trial runs instead of 90."
    ]


def test_a_list_with_problems_is_promised_nothing(shop):
    broken = LIST.replace("764", "wide")
    text = shop.run("promise", shop.list(broken), status=2)
    assert "wide" in text
    found = json.loads(shop.run("promise", shop.list(broken), "--json", status=2))
    assert found["days"] == []
    assert len(found["problems"]) == 1


def test_columns_are_read_as_told(shop):
    text = LIST.replace("Length (mm)", "Long side")
    shop.run("promise", shop.list(text), "--column", "Long side=length", "--units", "mm")
    shop.run("promise", shop.list(text), "--units", "furlong", status=2)


def test_a_job_in_time_that_few_runs_hold_is_at_risk(shop):
    shop.run("take-in", shop.list(LIST), "--job", "JARS", "--hang-day", "2026-03-11")
    day = json.loads(shop.run("day", "--json"))
    (one,) = day["at_risk"]
    assert day["late_jobs"] == []
    assert (one["job"], one["hang_day"]) == ("JARS", "2026-03-11")
    assert one["expected"].startswith("2026-03-11")
    assert 0 < one["chance"] < 0.8
    text = shop.run("day")
    assert f"At risk\n  JARS, hang day 2026-03-11: expected Wed {one['expected'][11:16]}" in text
    assert one["chance"] == one["held"] / one["runs"]
    assert f"its day held in {one['held']} of 99 trial runs" in text
    assert (one["unit"], one["unit_why"], one["other_units"]) == ("", "", 0)


def test_a_job_with_days_to_spare_is_not_at_risk(shop):
    shop.run("take-in", shop.list(LIST), "--job", "JARS", "--hang-day", "2026-03-13")
    assert json.loads(shop.run("day", "--json"))["at_risk"] == []


def test_a_late_job_says_that_no_run_held_and_which_unit_holds_it_up(shop):
    shop.run("take-in", shop.list(LIST), "--job", "JARS", "--hang-day", "2026-03-10")
    (late,) = json.loads(shop.run("day", "--json"))["late_jobs"]
    assert (late["held"], late["runs"], late["other_units"]) == (0, 99, 0)
    assert late["unit"] == "S1"
    assert late["unit_why"].startswith("coat 2 rests until")
    said = f"held up by S1: {late['unit_why']}; its day held in none of 99 trial runs"
    assert said in shop.run("day")
