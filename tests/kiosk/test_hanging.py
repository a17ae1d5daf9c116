"""Walls measured, units fitted and hung in a whole shop: kept, told on, converging."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.hanging.fitting import Expected, Fitting
from kiosk.rules.hanging.hangviews import Checked
from kiosk.rules.hanging.means import STOCK
from kiosk.rules.hanging.wall import Stud
from kiosk.rules.lengths import from_mm
from kiosk.rules.permission import Act
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store
from kiosk.tables import read_table
from tests.wallbuild import WALL, braced

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
LIST = """Unit;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Bevel;Wall;Hangs on
W;wall;Wall face;1;3000;2500;;;;W;
P;panel;Face;1;2000;1200;18;Birch plywood;;W;
S;shelf;Board;1;900;300;18;Birch plywood;;W;P
S;shelf;Strip;1;880;100;18;Birch plywood;45;W;P
T;shelf;Board;1;900;300;18;Birch plywood;;W;P
T;shelf;Strip;1;880;100;18;Birch plywood;45;W;P
"""
SETTINGS = 'zone = "UTC"\nhang_factor = 1.0\n'


class Desk:
    """One shop file, and kiosks on it that share a clock."""

    def __init__(self, folder):
        self.folder, self.clock, self.shops = folder, FixedClock(START), []

    def open(self, letter="K", name="shop.db"):
        settings, wrong = load(f'{SETTINGS}kiosk_letter = "{letter}"\n')
        assert not wrong
        shop = Shop(Store.open(self.folder / name, letter), settings, self.clock)
        self.shops.append(shop)
        return shop

    def take_in(self, shop):
        (self.folder / "list.csv").write_text(LIST, "utf-8")
        assert shop.take_in(self.folder / "list.csv", Job("JARS")).problems == ()


@pytest.fixture
def desk(tmp_path):
    made = Desk(tmp_path)
    yield made
    for shop in made.shops:
        shop.store.close()


@pytest.fixture
def shop(desk):
    opened = desk.open()
    desk.take_in(opened)
    return opened


def to_the_wall(desk, shop, *units):
    """Record all steps of the units up to hanging, and wait until all is dry."""
    for unit in units:
        for step in ("cut", "gather", "glue-up"):
            for piece in shop.store.state("JARS", unit).pieces:
                station = "cut" if step == "cut" else "assemble"
                shop.scan(piece.piece.code, station=station, step=step, reason="other reason")
    desk.clock.set(desk.clock.now() + timedelta(days=20))
    for unit in ("W", "P"):
        for step in shop.setup.steps(shop.store.state("JARS", unit).spec):
            if not step.each:
                shop.store.write(
                    [Note(Kind.STEP_DONE, "JARS", unit, {"step": step.name})], desk.clock.now()
                )
    desk.clock.set(desk.clock.now() + timedelta(days=20))


def standing(shop, unit):
    """Return where a unit stands, asked for alone and together with all."""
    one = shop.standing("JARS", unit)
    assert one in shop.standings()
    return one


def test_without_a_measured_wall_nothing_is_checked(desk, shop):
    to_the_wall(desk, shop, "S")
    view = shop.hanging("JARS")
    assert (view.walls, view.units, view.order) == ((), (), ())
    assert view.unmeasured == ("P", "S", "T")
    one = standing(shop, "S")
    assert (one.state, one.hang) == (State.READY_TO_HANG, None)
    assert shop.scan("JARS/S", station="install").outcome == Outcome.RECORDED
    assert shop.hang_orders() == {}


def test_a_wall_is_kept_and_the_last_word_counts(desk, shop):
    assert shop.walls("JARS") == ()
    assert shop.measure_wall("JARS", WALL, person="Mara") == ()
    assert shop.walls("JARS") == (WALL,)
    moved = replace(WALL, height=from_mm(2400))
    assert shop.measure_wall("JARS", moved) == ()
    assert shop.walls("JARS") == (moved,)
    again = desk.open("M")
    assert again.walls("JARS") == (moved,)
    assert again.walls("POTS") == ()


def test_a_wall_with_a_problem_is_not_kept(shop):
    bad = replace(WALL, studs=(Stud(x=from_mm(9000), width=from_mm(38)),))
    assert [one.column for one in shop.measure_wall("JARS", bad)] == ["x"]
    (wrong,) = shop.measure_wall("JARS", replace(WALL, wall="S"))
    assert wrong.message == "S is no wall of JARS."
    assert wrong.remedy == "Its walls are W."
    (wrong,) = shop.measure_wall("POTS", WALL)
    assert wrong.message == "There is no job POTS."
    assert shop.walls("JARS") == ()


def test_a_list_without_walls_may_have_one_measured(desk, shop):
    text = "Unit;Kind;Part;Qty;Length (mm);Width (mm)\nX;shelf;Board;1;900;300\n"
    (desk.folder / "bare.csv").write_text(text, "utf-8")
    assert shop.take_in(desk.folder / "bare.csv", Job("BARE")).problems == ()
    (wrong,) = shop.measure_wall("BARE", replace(WALL, wall="X"))
    assert wrong.remedy == "Give the wall a name of its own."
    assert shop.measure_wall("BARE", replace(WALL, wall="north")) == ()
    assert shop.hanging("BARE").unmeasured == ("X",)
    assert shop.fit_unit("BARE", "X", Fitting(wall="north")) == ()
    assert shop.hanging("BARE").unit("X").wall == "north"
    assert shop.measure_wall("BARE", replace(WALL, wall="south")) == ()
    assert [one.wall for one in shop.walls("BARE")] == ["north", "south"]


def test_a_wall_comes_from_a_table_and_goes_back_into_one(desk, shop):
    template = "\n".join(",".join(row) for row in shop.wall_template("JARS", "W"))
    filled = template.replace("wall,,,,,,,", "wall,,,,3000,2500,,")
    filled = filled.replace("stud,,,,,,,", "stud,SPF,200,,38,,,\nstud,,606.4,,38,,,")
    (desk.folder / "wall.csv").write_text(filled, "utf-8")
    rows, wrong = read_table(desk.folder / "wall.csv")
    assert wrong == ()
    wall, wrong = shop.import_wall("JARS", "W", rows)
    assert wrong == ()
    assert shop.walls("JARS") == ()  # nothing is kept before somebody says so
    assert shop.measure_wall("JARS", wall) == ()
    assert len(shop.walls("JARS")[0].studs) == 2
    assert shop.import_wall("JARS", "W", shop.wall_template("JARS", "W")) == (wall, ())


def test_how_a_unit_hangs_is_kept_and_filled_in(shop):
    shop.measure_wall("JARS", WALL)
    assert shop.fittings("JARS") == {}
    assert shop.fitting("JARS", "S").depth == from_mm(300)
    assert shop.fitting("JARS", "S").drop is None
    assert shop.fit_unit("JARS", "S", braced(), person="Mara") == ()
    assert shop.fittings("JARS") == {"S": braced()}
    one = shop.hanging("JARS").unit("S")
    assert (one.checked, one.net_kg) == (Checked.RATED, 39)
    assert shop.fitting("JARS", "nobody") == Fitting()


@pytest.mark.parametrize(
    ("job", "unit", "fitting", "column"),
    [
        ("POTS", "S", Fitting(), None),
        ("JARS", "Z", Fitting(), None),
        ("JARS", "W", Fitting(), None),
        ("JARS", "S", Fitting(on="Z"), "on"),
        ("JARS", "S", Fitting(on="S"), "on"),
        ("JARS", "S", Fitting(wall="P"), "wall"),
        ("JARS", "S", Fitting(self_kg=0.0), "self_kg"),
        ("JARS", "S", Fitting(expected=(Expected(kg=-1.0),)), "expected"),
        ("JARS", "S", Fitting(expected=(Expected(kg=float("nan")),)), "expected"),
        ("JARS", "S", Fitting(self_kg=float("nan")), "self_kg"),
    ],
)
def test_a_fitting_with_a_problem_is_not_kept(shop, job, unit, fitting, column):
    (wrong,) = shop.fit_unit(job, unit, fitting)
    assert (wrong.column, bool(wrong.remedy)) == (column, True)
    assert shop.fittings("JARS") == {}


def test_a_rated_unit_is_ready_and_says_what_it_holds(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced())
    one = standing(shop, "S")
    assert one.state == State.READY_TO_HANG
    assert one.why.endswith("; holds 39 kg")
    done = shop.scan("JARS/S", station="install")
    assert done.outcome == Outcome.RECORDED
    assert done.detail.startswith("Holds 39 kg. ")
    assert standing(shop, "S").state != State.ON_HOLD


def test_who_hangs_a_unit_reads_that_too_much_is_expected(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced(expected=(Expected(kg=60.0),)))
    done = shop.scan("JARS/S", station="install")
    assert done.detail.startswith("Holds 39 kg; 60.0 kg are expected: too much. ")


def test_a_refused_unit_is_not_ready_and_going_ahead_needs_a_reason(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.standings()
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced(drop=from_mm(60)))
    one = standing(shop, "S")
    assert one.state == State.ON_HOLD
    assert one.why.startswith("not rated: The unit turns off its cleat")
    told = shop.scan("JARS/S", station="install")
    assert told.outcome == Outcome.TOO_EARLY
    assert told.message == "Not rated: it may come down"
    assert "pull-lock" in told.detail
    assert [one.kind for one in told.offers] == ["go_ahead"]
    before = shop.store.tally()
    assert before.get("hanging_allowed") is None
    done = shop.scan("JARS/S", station="install", reason="other reason", person="Mara")
    assert done.outcome == Outcome.RECORDED
    assert done.detail.startswith("Went ahead: other reason.")
    after = shop.hanging("JARS").unit("S")
    assert after.checked is Checked.ALLOWED
    assert (after.allowed.reason, after.allowed.person) == ("other reason", "Mara")
    assert after.allowed.whys == ("unhooks",)
    assert after.net_kg is None
    # striking the step takes it off the wall, and the word for hanging it with it
    assert shop.strike_last().outcome == Outcome.RECORDED
    assert standing(shop, "S").state == State.ON_HOLD
    assert shop.scan("JARS/S", station="install").outcome == Outcome.TOO_EARLY
    assert shop.strike(after.allowed.entry).outcome == Outcome.ALREADY


def test_a_unit_may_be_allowed_beforehand_and_that_is_struck_again(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.measure_wall("JARS", WALL)
    assert shop.allow_hanging("JARS", "Z", "why").outcome == Outcome.UNKNOWN
    assert shop.allow_hanging("JARS", "S", "").outcome == Outcome.TOO_EARLY
    allowed = shop.allow_hanging("JARS", "S", "other reason", person="Mara")
    assert (allowed.outcome, allowed.unit) == (Outcome.RECORDED, "S")
    assert standing(shop, "S").state == State.READY_TO_HANG
    assert "goes up all the same: other reason" in standing(shop, "S").why
    again = shop.allow_hanging("JARS", "S", "other reason")
    assert (again.outcome, again.entry) == (Outcome.ALREADY, allowed.entry)
    said = shop.say_entry(shop.store.find_entry(allowed.entry))
    assert said.startswith("S: may be hung without a number: other reason")
    assert shop.strike(allowed.entry).outcome == Outcome.RECORDED
    assert standing(shop, "S").state == State.ON_HOLD


def test_a_word_given_for_one_refusal_covers_no_other(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced(drop=from_mm(60)))
    shop.allow_hanging("JARS", "S", "other reason")
    assert standing(shop, "S").state == State.READY_TO_HANG
    shop.fit_unit("JARS", "S", braced(cleat_length=from_mm(300)))
    assert standing(shop, "S").state == State.ON_HOLD


def test_where_there_is_a_supervisor_going_ahead_needs_one(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.measure_wall("JARS", WALL)
    shop.add_person("Mara")
    shop.set_pin("Mara", "482915")
    told = shop.allow_hanging("JARS", "S", "other reason")
    assert (told.outcome, told.message) == (
        Outcome.TOO_EARLY, "Going ahead against a refusal needs a supervisor."
    )  # fmt: skip
    assert shop.scan("JARS/S", station="install", reason="other reason").entry == ""
    permit, wrong = shop.allow(Act.GO_AHEAD, "Mara", "482915", now=START)
    assert wrong == ()
    allowed = shop.allow_hanging("JARS", "S", "other reason", permit=permit)
    assert allowed.detail == "Went ahead: other reason. Mara allowed it."
    assert shop.hanging("JARS").unit("S").allowed.allowed_by == "Mara"


def test_what_changes_one_unit_changes_those_that_share_its_cleat(desk, shop):
    to_the_wall(desk, shop, "S", "T")
    shop.measure_wall("JARS", WALL)
    shared = {"cleat_name": "low"}
    shop.fit_unit("JARS", "S", braced(**shared))
    assert standing(shop, "S").why.endswith("holds 39 kg")
    shop.fit_unit("JARS", "T", braced(**shared))
    both = {unit: standing(shop, unit).hang.words for unit in ("S", "T")}
    assert both["S"] == both["T"] != "holds 39 kg"
    shop.fit_unit("JARS", "T", braced(drop=None, **shared))
    assert standing(shop, "S").state == State.ON_HOLD


def test_units_on_a_wall_nobody_measured_say_so(desk, shop):
    text = LIST + "V;wall;Face;1;2000;2500;;;;V;\nX;shelf;Board;1;900;300;18;;;V;\n"
    (desk.folder / "more.csv").write_text(text, "utf-8")
    assert shop.take_in(desk.folder / "more.csv", Job("JARS"), revise=True).problems == ()
    shop.measure_wall("JARS", WALL)
    assert shop.hanging("JARS").unmeasured == ("X",)
    assert standing(shop, "X").hang.words == "hanging not checked"
    assert standing(shop, "V").hang is None


def test_the_install_station_shows_the_order_and_what_units_hold(desk, shop):
    to_the_wall(desk, shop, "S", "T")
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced(y=1000))
    shop.fit_unit("JARS", "T", braced(y=1310))
    # from 800 to 1100, and from 1110: the lower one is lifted 23 mm onto its cleat
    assert [one.unit for one in shop.hanging("JARS").order] == ["P", "S", "T"]
    view = shop.station_view("install")
    lines = [(str(one.words), str(one.more)) for one in view.lines]
    assert lines[0][0].startswith("1.  S")
    assert "holds 39 kg, before T: it is lifted 23 mm" in lines[0][1]
    assert lines[1][0].startswith("2.  T")


def test_settings_count(desk, shop):
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced(screw=None))
    first = shop.hanging("JARS").unit("S")
    assert any("shop" in one.basis for one in first.assumptions if one.what == "which screws")
    shop.use_settings(replace(shop.settings, hang_factor=0.5))
    second = shop.hanging("JARS").unit("S")
    gross = [one.rating.gross_kg for one in (first, second)]
    assert gross[1] == pytest.approx(gross[0] / 2)
    shop.use_settings(replace(shop.settings, screws=""))
    assert shop.hanging("JARS").unit("S").net_kg is None


def test_lengths_are_said_in_the_jobs_unit(desk, shop):
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced(drop=from_mm(60)))
    assert "60 mm" in shop.hanging("JARS").unit("S").words
    shop.use_settings(replace(shop.settings, units="inch"))
    shop.set_job(replace(shop.jobs()["JARS"], units="inch"))
    assert '2.362"' in shop.hanging("JARS").unit("S").words
    assert shop.wall_template("JARS", "W")[1][4] == '118.11"'


@pytest.mark.parametrize("screws", ['"5 x 64"', "5", '"10 x"', f'"{"10 x 64, " * 30}"'])
def test_screws_nobody_can_mean_leave_the_usual_ones(screws):
    settings, wrong = load(f"screws = {screws}\n")
    assert len(wrong) == 1
    assert settings.screws == STOCK


def test_two_kiosks_come_to_the_same_whatever_arrives_first(desk, shop):
    other = desk.open("M", "other.db")
    rows = [*shop.store.outbox(999)]
    other.store.take_in(rows)
    shop.measure_wall("JARS", WALL)
    desk.clock.set(START + timedelta(minutes=1))
    other.measure_wall("JARS", replace(WALL, height=from_mm(2400)))
    shop.fit_unit("JARS", "S", braced(drop=None))
    desk.clock.set(START + timedelta(minutes=2))
    other.fit_unit("JARS", "S", braced(drop=from_mm(60)))
    desk.clock.set(START + timedelta(minutes=3))
    allowed = other.allow_hanging("JARS", "S", "other reason")
    other.strike(allowed.entry)
    mine = [one for one in shop.store.outbox(999) if one not in rows]
    its = other.store.outbox(999)
    shop.store.take_in([*its, *its])
    other.store.take_in(mine)
    assert shop.walls("JARS") == other.walls("JARS")
    assert shop.walls("JARS")[0].height == from_mm(2400)
    assert shop.hanging("JARS") == other.hanging("JARS")
    assert shop.hanging("JARS").unit("S").refusals[0].why == "unhooks"
    assert [one.why for one in shop.standings()] == [one.why for one in other.standings()]


def test_a_damaged_entry_is_refused_not_dropped(desk, shop):
    to_the_wall(desk, shop, "S")
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced())
    torn = {**json.loads(json.dumps({"wall": "W"})), "studs": "many"}
    shop.store.write([Note(Kind.WALL_MEASURED, "JARS", "", torn)], desk.clock.now())
    assert shop.hanging("JARS").unit("S").checked is Checked.REFUSED
    shop.measure_wall("JARS", WALL)
    assert shop.hanging("JARS").unit("S").net_kg == 39
    shop.store.write([Note(Kind.UNIT_FITTED, "JARS", "S", {"drop": "far"})], desk.clock.now())
    assert shop.hanging("JARS").unit("S").checked is Checked.REFUSED


def test_a_wall_of_no_name_changes_nothing(desk, shop):
    shop.store.write([Note(Kind.WALL_MEASURED, "JARS", "", {"wall": 3})], desk.clock.now())
    assert shop.walls("JARS") == ()
    assert shop.hanging("JARS").units == ()
    assert standing(shop, "S").hang.words == "hanging not checked"


def test_a_closed_job_keeps_its_walls(desk, shop):
    shop.measure_wall("JARS", WALL)
    shop.fit_unit("JARS", "S", braced())
    shop.store.write([Note(Kind.JOB_CLOSED, "JARS")], desk.clock.now())
    assert shop.hanging("JARS").unit("S").net_kg == 39


def test_a_look_back_sees_the_wall_as_it_was(desk, shop):
    shop.measure_wall("JARS", WALL)
    desk.clock.set(START + timedelta(hours=2))
    shop.measure_wall("JARS", replace(WALL, height=from_mm(2400)))
    past = shop.store.as_of(START + timedelta(hours=1))
    assert len(past.wall_entries("JARS")) == 1
    assert past.has_walls("JARS")
    assert len(shop.store.wall_entries("JARS")) == 2
