"""The air of a shop: readings kept, struck, corrected; what if; findings; rags; labels."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.actions import GO_AHEAD_REASONS, Shop
from kiosk.clock import FixedClock
from kiosk.rules.air import Ahead, Reading
from kiosk.rules.entries import Kind
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
LIST = (
    "Unit;Kind;Part;Qty;Length (mm);Width (mm);Finish\n"
    "S1;shelf;Board;1;600;300;clear\nS2;shelf;Board;1;600;300;oil\nW1;wall;Wall;1;3000;2400;\n"
)


class Bench:
    """A shop in a file, and a clock that goes where it is told."""

    def __init__(self, file, settings='zone = "UTC"\nrepeat_seconds = 0\n'):
        self.clock = FixedClock(START)
        found, wrong = load(settings)
        assert wrong == ()
        self.store = Store.open(file, "K")
        self.shop = Shop(self.store, found, self.clock)

    def at(self, hours=0.0):
        self.clock.set(START + timedelta(hours=hours))
        return self.shop

    def take_in(self, folder, job="GLAZE"):
        file = folder / "list.csv"
        file.write_text(LIST, "utf-8")
        assert self.shop.take_in(file, Job(job), person="Ida").problems == ()

    def scan(self, unit, step, station="finish", **words):
        return self.shop.scan(unit, station=station, step=step, person="Ida", **words)

    def coat(self, unit="S1"):
        """Put the first coat on at this moment, whatever came before."""
        answer = self.scan(unit, "coat-1", reason="done earlier, not scanned")
        assert answer.outcome == Outcome.RECORDED, answer
        return answer

    def read(self, hours, warm=18.0, damp=65.0, **more):
        place = {key: more.pop(key) for key in ("job", "person") if key in more}
        reading = Reading(START + timedelta(hours=hours), warm, damp, **more)
        return self.shop.take_reading(reading, **place)

    def hands_at(self, unit="S1"):
        return self.shop.standing("GLAZE", unit).hands_at


@pytest.fixture
def bench(tmp_path):
    opened = Bench(tmp_path / "shop.db")
    opened.take_in(tmp_path)
    yield opened
    opened.store.close()


def test_without_a_reading_the_label_counts_and_with_one_the_shops_air(bench):
    bench.at(0)
    bench.coat()
    assert bench.hands_at() == START + timedelta(hours=4)
    assert bench.read(0) == ()
    # sand 240 min at 0.514321
    assert bench.hands_at() == pytest.approx(
        START + timedelta(minutes=466.6), abs=timedelta(minutes=1)
    )
    assert [one.hands_at for one in bench.shop.standings() if one.unit == "S1"] == [
        bench.hands_at()
    ]


def test_a_late_reading_and_a_corrected_one_change_every_clock_they_should(bench):
    bench.at(0)
    bench.coat()
    bench.read(0, 23, 50)
    bench.at(6)
    assert bench.read(6, 23, 50) == ()
    before = bench.hands_at()
    assert bench.read(1, 10, 75) == ()  # late: it was cold meanwhile
    late = bench.hands_at()
    assert late > before
    assert bench.read(1, 23, 50) == ()  # corrected
    assert bench.hands_at() == before


def test_a_reading_that_cannot_be_is_refused_and_nothing_is_kept(bench):
    bench.at(0)
    problems = bench.read(1, 80, 0)
    assert {problem.column for problem in problems} == {"temperature", "humidity", "time"}
    assert bench.shop.air().readings == ()
    assert [p.column for p in bench.read(0, job="NOWHERE")] == ["job"]


def test_a_struck_reading_counts_no_more(bench):
    bench.at(0)
    bench.coat()
    bench.read(0, 10, 75)
    cold = bench.hands_at()
    answer = bench.shop.strike_reading(START, person="Ida")
    assert (answer.outcome, answer.detail.startswith("air 10 °C and 75 %")) == (
        Outcome.RECORDED,
        True,
    )
    assert bench.hands_at() < cold
    assert bench.shop.air().ahead == Ahead.LABEL
    assert bench.shop.strike_reading(START).outcome == Outcome.UNKNOWN


def test_strike_last_leaves_the_air_alone_which_sensors_write_unasked(bench):
    bench.at(0)
    bench.coat()
    bench.read(0, source="sensor")
    assert bench.shop.strike_last().message == "Struck"
    assert bench.shop.air().readings != ()
    assert bench.shop.standing("GLAZE", "S1").coats_done == 0


def test_another_program_reads_the_same_air(bench, tmp_path):
    other = Bench(tmp_path / "shop.db")
    bench.at(0)
    other.at(0)
    bench.coat()
    bench.read(0)
    assert other.shop.news()
    assert other.hands_at() == bench.hands_at()
    other.read(0, 23, 50)
    bench.shop.news()
    assert bench.hands_at() == START + timedelta(hours=4)
    other.store.close()


def test_the_air_is_there_again_after_a_restart(bench, tmp_path):
    bench.at(0)
    bench.coat()
    bench.read(0)
    bench.read(0, job="GLAZE")
    again = Bench(tmp_path / "shop.db")
    again.at(0)
    assert again.hands_at() == bench.hands_at()
    assert again.shop.air("GLAZE").readings == bench.shop.air("GLAZE").readings != ()
    again.store.close()


def test_a_past_view_knows_only_the_air_read_by_then(bench):
    bench.at(0)
    bench.coat()
    bench.read(0, 23, 50)
    bench.at(3)
    bench.read(2, 10, 75)
    moment = START + timedelta(hours=1)
    settings = bench.shop.settings
    past = Shop(bench.store.as_of(moment), settings, FixedClock(moment))
    assert past.standing("GLAZE", "S1").hands_at == START + timedelta(hours=4)
    assert bench.hands_at() > START + timedelta(hours=4)


def test_air_of_long_ago_is_read_again_for_a_view_of_then(bench):
    bench.at(0)
    bench.coat()
    bench.read(0)
    cold = bench.hands_at()
    bench.at(24 * 201)
    bench.read(24 * 201)
    bench.store.close()
    again = Bench(bench.store.folder / "shop.db")
    again.at(24 * 201)
    assert len(again.shop.air().readings) == 1  # what no open rest can reach is left in the log
    moment = START + timedelta(hours=1)
    past = Shop(again.store.as_of(moment), again.shop.settings, FixedClock(moment))
    assert past.standing("GLAZE", "S1").hands_at == cold
    bench.store = again.store


def test_a_site_has_its_own_air(bench):
    bench.at(0)
    bench.scan("W1", "patch", "install")
    bench.coat()
    before = bench.hands_at("W1"), bench.hands_at("S1")
    assert bench.read(0, 12, 70, job="GLAZE") == ()
    assert (bench.hands_at("W1") > before[0], bench.hands_at("S1")) == (True, before[1])


def test_what_if_answers_for_another_air_and_leaves_everything_as_it_was(bench):
    bench.at(0)
    bench.coat()
    bench.read(0, 12, 70)
    shop = bench.at(1)
    before, count = bench.hands_at(), len(bench.store.history("GLAZE", "S1"))
    other, words = shop.supposing(23, 40)
    assert words == "if it is 23 °C and 40 %"
    assert other.standing("GLAZE", "S1").hands_at < before
    (one,) = [one for one in other.standings() if one.unit == "S1"]
    assert one.hands_at < before
    assert one.air.startswith("if it is 23 °C and 40 %")
    assert other.air().ahead == Ahead.SUPPOSED
    assert bench.hands_at() == before
    assert len(bench.store.history("GLAZE", "S1")) == count
    assert shop.air().ahead == Ahead.LAST


def test_the_air_now_says_what_it_means(bench):
    shop = bench.at(0)
    assert shop.air_now() is None
    bench.read(0, 20, 50)
    now = shop.air_now()
    # dew point and wood moisture of 20 °C and 50 %: docs/drying.md
    assert (round(now.dew_point_c, 3), round(now.wood_moisture, 3)) == (9.255, 9.271)
    assert now.deficit_pa == pytest.approx(1166.30, abs=0.01)
    assert (now.estimated, bench.at(1).air_now().estimated) == (False, True)


# -- files -----------------------------------------------------------------------------------


def logger_file(folder, rows):
    file = folder / "logger.csv"
    file.write_text("Time,Temperature (°C),Humidity (%)\n" + rows, "utf-8")
    return file


def test_a_loggers_file_comes_in_once_and_its_corrections_later(bench, tmp_path):
    shop = bench.at(6)
    file = logger_file(tmp_path, "2026-03-09 08:00,18.5,60\n2026-03-09 09:00,19,58\n")
    dry = shop.take_air_file(file, dry_run=True)
    assert (dry.taken, shop.air().readings) == (2, ())
    assert shop.take_air_file(file, person="Ida").taken == 2
    assert shop.take_air_file(file).taken == 0
    corrected = logger_file(tmp_path, "2026-03-09 08:00,17,60\n2026-03-09 09:00,19,58\n")
    assert shop.take_air_file(corrected).taken == 1
    assert [one.temperature_c for one in shop.air().readings] == [17, 19]
    assert {one.source for one in shop.air().readings} == {"imported"}


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("2026-03-09 08:00,185,60\n2026-03-09 09:00,19,58\n", "185 °C"),
        ("", "holds no reading"),
    ],
)
def test_with_any_problem_nothing_of_a_file_is_taken_in(bench, tmp_path, rows, words):
    shop = bench.at(6)
    taken = shop.take_air_file(logger_file(tmp_path, rows))
    assert (taken.taken, shop.air().readings) == (0, ())
    assert words in taken.problems[0].message


def test_a_file_that_is_not_there_is_a_problem_and_no_crash(bench, tmp_path):
    taken = bench.at(6).take_air_file(tmp_path / "none.csv", job="NOWHERE")
    assert ["cannot be read" in p.message for p in taken.problems] == [True, False]
    assert taken.problems[1].column == "job"


# -- clocks of a unit ------------------------------------------------------------------------


def test_every_clock_of_a_unit_and_the_one_its_next_step_waits_for(bench):
    bench.at(0)
    bench.coat()
    shop = bench.at(1)
    stages = [one.stage for one in shop.clocks("S1")]
    assert stages == ["touch", "recoat", "window", "sand"]
    drawn = shop.drawn_clock("GLAZE/S1")
    assert (drawn.clock.stage, [one.action for one in drawn.windows]) == ("sand", ["none", "scuff"])
    assert shop.clocks("nothing").outcome == Outcome.UNKNOWN
    assert shop.drawn_clock("nothing") is None
    assert shop.drawn_clock("S2") is None
    assert shop.clocks("S2") == ()


def test_a_finished_unit_shows_its_last_clock(bench):
    bench.at(0)
    for step in ("coat-1", "coat-2"):
        bench.scan("S1", step, reason="done earlier, not scanned")
    drawn = bench.at(24 * 40).drawn_clock("S1")
    assert (drawn.reached.step.name, drawn.windows) == ("coat-2", ())


def test_the_ends_of_a_jobs_units(bench):
    bench.at(0)
    bench.coat()
    ends = {one.unit: one for one in bench.shop.ends("GLAZE")}
    assert ends["S1"].why["load"] == "coat 2 is not on yet"


# -- findings --------------------------------------------------------------------------------


def test_what_is_found_at_the_bench_is_kept_with_the_air_of_that_time(bench):
    bench.at(0)
    bench.coat()
    bench.read(0, 18, 65)
    shop = bench.at(4)
    answer = shop.find("S1", dry=False, person="Ida")
    assert (answer.outcome, answer.message) == (Outcome.RECORDED, "coat 1: still tacky")
    bench.at(5)
    shop.find("S1", dry=True)
    (only,) = shop.findings()  # the first look counts
    assert (only.dry, only.stage, only.temperature_c, only.unit) == (False, "sand", 18, "S1")
    assert only.share == pytest.approx(4 * 60 * 0.514321 / 240, abs=1e-3)
    (proposal,) = shop.proposals()
    assert (proposal.count, proposal.factor) == (1, None)
    assert shop.strike(answer.entry).detail.startswith("S1: found still tacky")


def test_going_ahead_on_a_touch_test_and_a_coat_too_tacky_are_findings_too(bench):
    bench.at(0)
    bench.coat()
    shop = bench.at(3)
    assert bench.scan("S1", "scuff-2", reason=GO_AHEAD_REASONS[0]).outcome == Outcome.RECORDED
    bench.at(0)
    bench.coat("S2")
    bench.at(10)
    assert shop.problem("S2", "too_tacky", person="Ida").outcome == Outcome.RECORDED
    found = {(one.unit, one.dry) for one in shop.findings()}
    assert found == {("S1", True), ("S2", False)}
    assert shop.standing("GLAZE", "S2").state == State.ON_HOLD
    # another reason says nothing of the film
    assert len(bench.store.state("GLAZE", "S1").findings) == 1


def test_nothing_can_be_found_of_a_unit_that_has_nothing_on(bench):
    shop = bench.at(0)
    answer = shop.find("S1", dry=True)
    assert (answer.outcome, answer.message) == (Outcome.ELSEWHERE, "Nothing on it dries")
    assert shop.find("nothing", dry=True).outcome == Outcome.UNKNOWN


def test_a_finding_counts_against_the_label_also_after_a_factor_was_accepted(bench):
    bench.at(0)
    bench.coat()
    shop = bench.at(4)
    shop.find("S1", dry=True)
    before = shop.findings()[0].share
    assert shop.accept_factor("clear", "sand", 1.5) == ()
    assert shop.setup.products["clear"].factors == {"sand": 1.5}
    assert bench.hands_at() == START + timedelta(hours=6)
    assert shop.findings()[0].share == before


def test_findings_of_what_nobody_knows_any_more_are_left_out(bench):
    bench.at(0)
    bench.coat()
    shop = bench.at(4)
    shop.find("S1", dry=True)
    text = shop.text_of(Kind.PRODUCTS_SET).replace("sand = 240,", "", 1)
    bench.store.write([_note(Kind.PRODUCTS_SET, text)], bench.clock.now())
    shop.set_text(Kind.ROUTES_SET, shop.text_of(Kind.ROUTES_SET))
    assert shop.findings() == []


def _note(kind, text):
    from kiosk.store import Note

    return Note(kind, body={"text": text})


# -- oily rags -------------------------------------------------------------------------------


def test_oily_rags_are_asked_for_from_the_first_oily_coat_until_the_tick(bench):
    shop = bench.at(0)
    assert shop.rags() is None
    assert shop.clear_rags().outcome == Outcome.ALREADY
    bench.coat("S1")
    assert shop.rags() is None
    bench.coat("S2")
    assert (shop.rags().product, shop.rags().pressing) == ("Hardwax oil", False)
    assert bench.at(9).rags().pressing
    answer = shop.clear_rags(person="Ida")
    assert (answer.outcome, shop.rags()) == (Outcome.RECORDED, None)
    # ticked off by mistake
    assert shop.strike_last().detail == "oily rags are out, 17:00 by Ida"
    assert shop.rags() is not None


# -- figures from the label ------------------------------------------------------------------


def test_a_figure_read_off_the_label_is_set_with_who_and_when(bench):
    shop = bench.at(0)
    bench.coat()
    assert shop.set_figure("clear", "sand", 90, person="Ida") == ()
    clear = shop.setup.products["clear"]
    assert (clear.minutes["sand"], clear.entered["sand"].by, clear.entered["sand"].on) == (
        90,
        "Ida",
        "2026-03-09",
    )
    assert bench.hands_at() == START + timedelta(hours=1.5)
    assert shop.set_reference("clear", 21, 70) == ()
    assert (shop.setup.products["clear"].temperature_c, shop.setup.products["clear"].humidity) == (
        21,
        70,
    )
    assert [p.column for p in shop.set_figure("clear", "shine", 5)] == ["stage"]
    assert "There is no product milk" in shop.set_figure("milk", "sand", 5)[0].message
    assert [p.column for p in shop.set_figure("clear", "sand", 0)] == ["sand"]
    assert [p.column for p in shop.accept_factor("clear", "sand", 9)] == ["factors"]
    assert shop.unconfirmed() == ["clear", "enamel", "filler-water", "oil", "pva-interior"]
    assert shop.confirm_product("clear", person="Ida") == ()
    assert "clear" not in shop.unconfirmed()


def test_temperatures_are_said_in_fahrenheit_where_the_shop_wants_it(tmp_path):
    inch = Bench(tmp_path / "f.db", 'zone = "UTC"\ntemperature = "F"\n')
    inch.take_in(tmp_path)
    inch.at(0)
    inch.coat()
    inch.read(0, 18, 65)
    assert "64 °F and 65 %" in inch.shop.standing("GLAZE", "S1").why
    inch.store.close()


def test_what_is_held_with_no_end_in_sight_is_not_recorded_and_says_what_it_needs(bench):
    bench.at(0)
    bench.read(0, 5, 50)
    bench.coat()
    answer = bench.at(1).scan("S1", station="finish")
    assert (answer.outcome, answer.ready_at) == (Outcome.TOO_EARLY, None)
    assert "it needs 10 °C" in answer.detail
    bench.shop.hold("S1", "runs")
    assert bench.shop.lift("S1").next == "Next: scuff before coat 2 at finish, once it dries"


def test_readings_from_a_kiosk_whose_clock_was_ahead_do_not_count_yet(bench):
    shop = bench.at(0)
    bench.read(0, 23, 50)
    bench.at(24 * 365)
    bench.read(24 * 365, 5, 50)
    shop = bench.at(1)
    shop.set_text(Kind.ROUTES_SET, shop.text_of(Kind.ROUTES_SET))
    again = Bench(bench.store.folder / "shop.db")
    again.at(1)
    assert [one.temperature_c for one in again.shop.air().readings] == [23]
    again.store.close()


def test_what_a_finger_finds_is_about_the_coat_and_not_about_the_glue_below(bench, tmp_path):
    file = tmp_path / "two.csv"
    head = LIST.splitlines()[0]
    file.write_text(f"{head}\nB1;box;Side;2;600;300;clear\n", "utf-8")
    shop = bench.at(0)
    assert shop.take_in(file, Job("BOX")).problems == ()
    for step, station in (("glue-up", "assemble"), ("coat-1", "finish"), ("coat-2", "finish")):
        bench.scan("B1", step, station, reason="done earlier, not scanned")
    shop.find("B1", dry=False)
    (only,) = shop.findings()
    assert (only.product, only.stage) == ("clear", "recoat")


def test_a_reason_given_where_nothing_was_early_is_no_finding(bench):
    shop = bench.at(0)
    bench.coat()
    bench.at(30)
    shop.strike_last()
    answer = bench.scan("S1", "scuff-2", reason=GO_AHEAD_REASONS[0])
    assert answer.outcome == Outcome.RECORDED
    assert shop.findings() == []


def test_a_coat_that_was_put_on_again_has_nothing_found_of_it_yet(bench):
    bench.at(0)
    first = bench.coat()
    shop = bench.at(3)
    shop.find("S1", dry=False)
    shop.strike(first.entry)
    bench.at(4)
    bench.coat()
    assert shop.findings() == []
    bench.at(6)
    shop.find("S1", dry=True)
    assert [one.dry for one in shop.findings()] == [True]


def test_whoever_goes_on_over_a_film_at_risk_is_told_so(bench):
    bench.at(0)
    bench.read(0, 6, 50)
    bench.coat()
    bench.at(1)
    bench.read(1, 6, 50)
    answer = bench.scan("S1", "scuff-2", reason="other reason")
    assert "too cold before it was dry to touch" in answer.detail


def test_a_job_is_not_closed_over_oily_rags(bench):
    shop = bench.at(0)
    bench.coat("S2")
    (problem,) = shop.set_job(Job("GLAZE", open=False), reason="enough")
    assert "Oily rags" in problem.message
    shop.clear_rags()
    assert shop.set_job(Job("GLAZE", open=False), reason="enough") == ()
    assert shop.findings() == []


def test_findings_of_a_closed_job_still_teach(bench):
    bench.at(0)
    bench.coat()
    shop = bench.at(3)
    shop.find("S1", dry=False)
    shop.set_job(Job("GLAZE", open=False), reason="enough")
    assert len(shop.findings()) == 1


def test_still_too_tacky_is_kept_in_one_step_with_its_hold(bench):
    bench.at(0)
    bench.coat()
    shop = bench.at(3)
    shop.problem("S1", "too_tacky")
    kinds = [one.kind for one in bench.store.history("GLAZE", "S1")][-2:]
    assert kinds == [Kind.DRYNESS_FOUND, Kind.HOLD_PUT]


def test_a_unit_whose_film_was_tested_goes_on(bench):
    bench.at(0)
    shop = bench.shop
    assert shop.test_passed("S1").outcome == Outcome.ALREADY
    bench.read(0, 6, 50)
    bench.coat()
    bench.at(1)
    bench.read(1, 6, 50)
    assert shop.standing("GLAZE", "S1").risk == "at_risk"
    assert shop.test_passed("S1", person="Ida").message == "Tested: it goes on"
    assert shop.standing("GLAZE", "S1").risk == ""
    assert shop.test_passed("nothing").outcome == Outcome.UNKNOWN


def test_one_message_heard_by_two_kiosks_is_kept_once(bench, tmp_path):
    other = Bench(tmp_path / "shop.db")
    other.at(1), bench.at(1)
    assert bench.read(1, source="sensor") == ()
    assert other.read(1 + 1 / 3600, source="sensor") == ()
    assert len(other.shop.air().readings) == 1
    other.store.close()


@pytest.mark.parametrize(
    ("later", "more"),
    [(2 / 60, {"source": "sensor"}), (0.001, {"source": "sensor", "warm": 18.5}), (0.001, {})],
)
def test_another_reading_is_kept_beside_the_first(bench, later, more):
    bench.at(1 + later)
    bench.read(1, source="sensor")
    bench.read(1 + later, **{"source": "typed", **more})
    assert len(bench.shop.air().readings) == 2
