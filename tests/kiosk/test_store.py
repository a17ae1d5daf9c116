"""The shop's file seen from two programs at once, over closed jobs, and with odd entries in it."""

from datetime import UTC, datetime, timedelta

import pytest

from db.log import Changes, Draft, Log
from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
LIST = "Unit;Kind;Part;Qty;Length (mm);Width (mm);Finish;Wall;Hangs on\n"
NOTHING = Changes()


class Bench:
    """One program that works on the shop's file."""

    def __init__(self, folder):
        self.folder = folder
        self.clock = FixedClock(START)
        settings, _ = load('zone = "UTC"\nrepeat_seconds = 0\n')
        self.store = Store.open(folder / "shop.db", "K")
        self.shop = Shop(self.store, settings, self.clock)

    def take_in(self, job, *rows, revise=False):
        file = self.folder / "list.csv"
        file.write_text(LIST + "".join(f"{row}\n" for row in rows), "utf-8")
        taken = self.shop.take_in(file, Job(job), revise=revise)
        assert taken.problems == ()
        return [piece.code for unit in taken.units for piece in unit.pieces]

    def scan(self, text, station="cut", **words):
        self.clock.set(self.clock.now() + timedelta(minutes=5))
        return self.shop.scan(text, station=station, **words)

    def states(self):
        return {(one.job, one.unit): one.state for one in self.shop.standings()}

    def agrees_with_the_log(self):
        states = dict(self.store.states())
        return states == {key: fold_unit(self.store.history(*key)) for key in states}


@pytest.fixture
def bench(tmp_path):
    opened = Bench(tmp_path)
    yield opened
    opened.store.close()


@pytest.fixture
def other(bench):
    opened = Bench(bench.folder)
    yield opened
    opened.store.close()


def test_an_entry_written_just_before_ours_by_another_program_is_not_missed(bench, other):
    first, second = bench.take_in("JARS", "S1;shelf;Side;2;300;200;;;")
    bench.shop.standings()
    other.shop.standings()
    other.scan(first)

    bench.scan(second)

    assert bench.states()["JARS", "S1"] == State.TO_ASSEMBLE
    assert bench.scan(first).outcome == Outcome.ALREADY
    assert bench.agrees_with_the_log()


def test_what_another_program_wrote_is_taken_in_with_ours_without_a_look_before(bench, other):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    bench.shop.standings()
    other.scan(code)

    bench.store.write([Note(Kind.RAGS_CLEARED)], bench.clock.now())

    assert bench.agrees_with_the_log()


def test_a_scan_is_judged_on_what_another_program_wrote_a_moment_ago(bench, other):
    (code,) = bench.take_in("JARS", "S1;shelf;Side;1;300;200;;;")
    other.shop.standings()
    bench.scan(code)

    answer = other.scan(code)

    assert answer.outcome == Outcome.ALREADY


def test_news_is_told_once(bench, other):
    (code,) = bench.take_in("JARS", "S1;shelf;Side;1;300;200;;;")
    other.shop.standings()
    other.shop.news()
    bench.scan(code)

    assert other.shop.news()
    assert not other.shop.news()
    assert other.states()["JARS", "S1"] == State.READY_TO_HANG


@pytest.fixture
def closed(bench):
    """A job that is hung and closed, with a unit named as one of an open job."""
    codes = bench.take_in("OLD", "W1;shelf;Board;1;300;200;;;")
    bench.scan(codes[0])
    bench.scan(codes[0], "install")
    bench.take_in("NEW", "W1;shelf;Board;1;300;200;;;")
    assert bench.shop.set_job(Job("OLD", open=False)) == ()
    return codes[0]


def test_a_label_of_a_closed_job_brings_nothing_back_to_the_board(bench, closed):
    answer = bench.scan(closed)

    assert answer.outcome == Outcome.ELSEWHERE
    assert "closed" in answer.message
    assert set(bench.states()) == {("NEW", "W1")}
    assert bench.scan("W1", "cut").unit == "W1"


def test_nothing_is_held_or_struck_in_a_closed_job(bench, closed):
    held = bench.shop.hold("OLD/W1", "late thought")
    (hung,) = [
        entry for entry in bench.store.history("OLD", "W1") if entry.body.get("step") == "hang"
    ]

    struck = bench.shop.strike(hung.id)

    assert held.outcome == struck.outcome == Outcome.ELSEWHERE
    kinds = [entry.kind for entry in bench.store.history("OLD", "W1")]
    assert Kind.HOLD_PUT not in kinds
    assert Kind.STRUCK not in kinds


def test_a_new_name_for_a_closed_job_leaves_it_closed(bench, closed):
    bench.shop.set_job(Job("OLD", "New name", open=bench.shop.jobs()["OLD"].open))

    assert bench.shop.jobs()["OLD"].name == "New name"
    assert not bench.shop.jobs()["OLD"].open


def test_a_job_opened_again_is_back_on_the_board(bench, closed):
    bench.states()

    bench.shop.set_job(Job("OLD", open=True))

    assert bench.states()["OLD", "W1"] == State.HUNG
    assert bench.agrees_with_the_log()


def test_a_unit_that_left_the_list_comes_back_with_its_history(bench):
    door = "D1;door;Door;1;300;200;clear;;"
    bench.take_in("JARS", door, "S1;shelf;Board;1;300;200;;;")
    bench.scan("D1", "finish")
    bench.scan("D1", "finish")
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;", revise=True)
    again = Bench(bench.folder)
    again.shop.standings()

    again.take_in("JARS", door, "S1;shelf;Board;1;300;200;;;", revise=True)

    assert list(again.store.states()["JARS", "D1"].done) == ["clean", "mask"]
    assert again.agrees_with_the_log()
    again.store.close()


def test_units_come_in_the_order_people_count_whenever_they_were_taken_in(bench):
    rows = [f"S{at};shelf;Board;1;300;200;;;" for at in (10, 2, 9, 1, 11)]
    bench.take_in("JARS", *rows)
    assert [one.unit for one in bench.shop.standings()] == ["S1", "S2", "S9", "S10", "S11"]

    bench.take_in("ATTIC", "S3;shelf;Board;1;300;200;;;")
    bench.take_in("JARS", *rows, "S3;shelf;Board;1;300;200;;;", revise=True)

    said = [(one.job, one.unit) for one in bench.shop.standings()]
    wanted = ["S1", "S2", "S3", "S9", "S10", "S11"]
    assert said == [("ATTIC", "S3"), *(("JARS", unit) for unit in wanted)]


def test_what_hung_on_a_unit_that_left_the_list_waits_for_it_no_more(bench):
    codes = bench.take_in("JARS", "P1;panel;Face;1;900;600;;;", "S1;shelf;Board;1;300;200;;;P1")
    bench.scan(codes[1])
    assert "P1" in next(one.why for one in bench.shop.standings() if one.unit == "S1")

    bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;", revise=True)

    (shelf,) = bench.shop.standings()
    assert shelf.missing == ()


def test_a_wall_in_another_spelling_is_still_waited_for(bench):
    codes = bench.take_in("JARS", "N;wall;Wall;1;3000;2500;;;", "R1;rail;Rail;1;900;90;;n;")
    bench.scan(codes[1])

    rail = next(one for one in bench.shop.standings() if one.unit == "R1")

    assert rail.missing == ("N",)


def test_a_revised_list_in_another_spelling_is_the_same_unit(bench):
    codes = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")

    assert bench.take_in("JARS", "s1;shelf;Board;1;300;200;;;", revise=True) == codes
    assert set(bench.states()) == {("JARS", "S1")}


def test_the_label_of_a_unit_that_left_the_list_is_told_apart_from_a_foreign_one(bench):
    codes = bench.take_in("JARS", "P1;panel;Face;1;900;600;;;", "S1;shelf;Board;1;300;200;;;")
    bench.take_in("JARS", "P1;panel;Face;1;900;600;;;", revise=True)

    assert bench.scan(codes[1]).message == "No longer on the list"
    assert bench.scan("K7F3Q97").outcome == Outcome.UNKNOWN


def test_strike_last_finds_the_scan_behind_a_long_list(bench):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    bench.scan(code)
    bench.take_in("MORE", *(f"U{number};shelf;Board;1;300;200;;;" for number in range(80)))

    struck = bench.shop.strike_last()

    assert (struck.outcome, struck.unit) == (Outcome.RECORDED, "S1")


ODD = [
    ("step_done", "S1", {"step": 5, "at_ms": 10**17}),
    ("step_done", "S1", {"step": "coat-1", "at_ms": -5}),
    ("step_done", "S1", ["not", "a", "body"]),
    ("labels_printed", "S1", {"codes": None}),
    ("labels_printed", "S1", {"codes": [["x"]]}),
    ("part_spoiled", "S1", {"part": None, "recut": 7}),
    ("hold_put", "S1", {"reason": None}),
    ("hold_lifted", "S1", {}),
    ("struck", "S1", {"target": {"a": 1}}),
    ("from_the_future", "S1", {"what": 1}),
    ("unit_taken", "S2", {"pieces": None}),
    ("unit_taken", "S3", {"pieces": [{"code": 4, "bevel": 10**400}], "kind": "boat"}),
    ("routes_set", "", {"text": "not = [toml"}),
    ("products_set", "", {}),
    ("job_opened", "", {"units": None}),
]


@pytest.mark.parametrize(("kind", "unit", "body"), ODD)
def test_an_odd_entry_from_elsewhere_stops_neither_board_nor_scan(bench, kind, unit, body):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    bench.shop.standings()
    job = "JARS" if unit or kind.startswith("job") else ""
    changes = Changes(jobs=[("JARS", True, body)]) if kind == "job_opened" else NOTHING
    elsewhere = Log.open(bench.folder / "shop.db")
    draft = Draft(kind, job, unit, "", body)
    elsewhere.append([draft], kiosk="M", wall_ms=1_773_043_200_000, changes=changes)
    elsewhere.close()

    bench.shop.news()
    answer = bench.scan(code)

    assert answer.outcome in (Outcome.RECORDED, Outcome.ON_HOLD)
    assert ("JARS", "S1") in bench.states()
    assert bench.agrees_with_the_log()
    bench.store.rebuild()
    assert ("JARS", "S1") in bench.states()


def test_the_projection_is_the_same_when_made_again(bench, closed):
    bench.shop.spoil(next(iter(bench.store.states()["NEW", "W1"].pieces)).piece.code)
    before = (bench.states(), dict(bench.shop.jobs()), bench.store.units_of("OLD"))

    bench.store.rebuild()

    assert (bench.states(), dict(bench.shop.jobs()), bench.store.units_of("OLD")) == before


def test_a_note_is_written_whole_or_not_at_all(bench):
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    before = len(bench.store.history("JARS", "S1"))
    unsound = Note(Kind.STEP_DONE, "JARS", "S1", {"step": object()})

    with pytest.raises(TypeError):
        bench.store.write([Note(Kind.HOLD_PUT, "JARS", "S1", {}), unsound], START)

    assert len(bench.store.history("JARS", "S1")) == before


def test_a_part_spoiled_after_glue_up_holds_the_unit_but_not_its_recut(bench):
    codes = bench.take_in("JARS", "S1;shelf;Side;2;300;200;;;")
    for station in ("cut", "assemble"):
        for code in codes:
            bench.scan(code, station)
    bench.scan(codes[0], "assemble")

    bench.clock.set(bench.clock.now() + timedelta(minutes=5))
    recut = bench.shop.spoil(codes[1], "torn").code

    assert bench.states()["JARS", "S1"] == State.ON_HOLD
    assert bench.scan(codes[0], "install").outcome == Outcome.ON_HOLD
    assert bench.scan(recut, "cut").outcome == Outcome.RECORDED
    assert bench.scan(recut, "assemble").outcome == Outcome.RECORDED
    assert bench.states()["JARS", "S1"] == State.ON_HOLD


def test_strike_last_leaves_older_work_alone(bench):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    bench.scan(code)
    bench.clock.set(bench.clock.now() + timedelta(minutes=16))

    answer = bench.shop.strike_last()

    assert answer.outcome == Outcome.ELSEWHERE
    assert bench.states()["JARS", "S1"] == State.READY_TO_HANG


def test_a_products_file_that_takes_away_what_is_in_use_is_refused(bench):
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;clear;;")
    text = bench.shop.text_of(Kind.PRODUCTS_SET)
    only = '[clear]\nrole = "coat"\nminutes = { touch = 40, recoat = 90 }\n'

    problems = bench.shop.set_text(Kind.PRODUCTS_SET, only)

    said = " ".join(problem.message for problem in problems)
    assert "pva-interior is in use" in said
    assert "clear is in use, but has no figure for hang" in said
    assert bench.shop.text_of(Kind.PRODUCTS_SET) == text


def test_a_setting_that_names_no_product_is_said(tmp_path):
    settings, _ = load('glue = "nope"')
    store = Store.open(tmp_path / "shop.db", "K")

    said = Shop(store, settings, FixedClock(START)).unknown_uses()

    store.close()
    assert [line.split(" = ")[0] for line in said] == ["glue"]


def test_figures_nobody_confirmed_are_named_until_they_are(bench):
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;clear;;")
    assert "clear" in bench.shop.unconfirmed()

    bench.shop.confirm_product("clear")

    assert "clear" not in bench.shop.unconfirmed()


def test_the_past_shows_what_had_happened_by_then(bench):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    bench.scan(code)
    bench.take_in("MORE", "U1;shelf;Board;1;300;200;;;")

    past = Shop(bench.store.as_of(START), bench.shop.settings, FixedClock(START))

    assert [(one.unit, one.state) for one in past.standings()] == [("S1", State.TO_CUT)]
    assert bench.states()["JARS", "S1"] == State.READY_TO_HANG


def test_a_unit_that_came_later_is_not_in_the_past_for_being_asked_about(bench):
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    bench.clock.set(START + timedelta(minutes=5))
    bench.take_in("MORE", "U1;shelf;Board;1;300;200;;;")

    past = bench.store.as_of(START)

    assert past.state("MORE", "U1") is None
    assert list(past.states()) == [("JARS", "S1")]
    assert bench.store.state("MORE", "U1") is not None


@pytest.mark.parametrize("code", ["my job", "A/1", "", "x" * 21])
def test_a_job_code_that_no_command_could_take_is_refused(bench, code):
    file = bench.folder / "list.csv"
    file.write_text(LIST + "S1;shelf;Board;1;300;200;;;\n", "utf-8")

    assert bench.shop.take_in(file, Job(code)).problems


def test_two_jobs_do_not_differ_by_capitals_only(bench):
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")

    taken = bench.shop.take_in(bench.folder / "list.csv", Job("jars"))

    assert "JARS" in taken.problems[0].message


def test_a_list_without_a_part_is_no_list(bench):
    file = bench.folder / "empty.csv"
    file.write_text(LIST, "utf-8")

    assert "no part" in bench.shop.take_in(file, Job("JARS")).problems[0].message


def test_a_unit_of_two_jobs_is_asked_about(bench):
    bench.take_in("ONE", "S1;shelf;Board;1;300;200;;;")
    bench.take_in("TWO", "S1;shelf;Board;1;300;200;;;")

    answer = bench.scan("S1")

    assert "ONE and TWO" in answer.detail
    assert bench.scan("TWO/S1").job == "TWO"


def test_an_inch_list_shows_inches(bench):
    file = bench.folder / "inch.csv"
    file.write_text("Unit,Part,Qty,Length (in),Width (in)\nS1,Board,1,23 3/4,11 1/2\n", "utf-8")
    taken = bench.shop.take_in(file, Job("INCH"))

    answer = bench.scan(taken.units[0].pieces[0].code)

    assert answer.size == '23 3/4" × 11 1/2"'


def test_a_job_is_closed_with_a_reason_although_not_all_is_hung(bench):
    bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    closed = Job("JARS", open=False)
    assert bench.shop.set_job(closed)

    assert bench.shop.set_job(closed, reason="taken in by mistake") == ()
    assert bench.states() == {}


def test_a_part_spoiled_at_the_kiosk_gets_its_recuts_label_at_once(bench):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")

    answer = bench.shop.problem(code, "spoiled")

    (label,) = (bench.folder / "labels").iterdir()
    assert str(label) in answer.detail
    assert bench.store.states()["JARS", "S1"].printed == {answer.code: 1}


def test_a_recut_stays_recorded_when_its_label_cannot_be_drawn(bench):
    (code,) = bench.take_in("JARS", "S1;shelf;Board;1;300;200;;;")
    (bench.folder / "labels").write_text("a file where the folder should be", "utf-8")

    answer = bench.shop.problem(code, "spoiled")

    assert answer.outcome == Outcome.RECORDED
    assert "by hand" in answer.detail
    assert bench.store.find_piece(answer.code) == ("JARS", "S1")


def test_a_clock_set_back_is_told_until_the_next_scan_and_loses_none(bench):
    (code,) = bench.take_in("J", "G1;panel;side;1;600;300;;;")
    assert bench.scan(code).outcome is Outcome.RECORDED
    assert bench.shop.clock_problem(bench.shop.now()) is None

    bench.clock.set(START - timedelta(days=2))
    odd = bench.shop.clock_problem(bench.shop.now())
    assert odd is not None
    assert "behind the last scan" in odd.message
    again = bench.shop.strike_last()

    assert again.outcome is Outcome.RECORDED, again
    assert bench.shop.clock_problem(bench.shop.now()) is None
    places = [entry.order for entry in bench.store.history("J", "G1")]
    assert places == sorted(places)


def test_what_another_program_writes_while_the_file_is_opened_shows_at_the_next_look(
    bench, monkeypatch
):
    jobs = Log.jobs

    def jobs_just_before(log):
        found = jobs(log)
        monkeypatch.undo()
        bench.store.write([Note(Kind.JOB_OPENED, "JARS")], START)
        return found

    monkeypatch.setattr(Log, "jobs", jobs_just_before)
    late = Store.open(bench.folder / "shop.db", "L")

    assert late.refresh()
    assert "JARS" in late.jobs()
    late.close()
