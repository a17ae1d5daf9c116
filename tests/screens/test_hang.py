"""Walls and hanging at the kiosk: measured by hand, read from a table, tapped, allowed, printed."""

from dataclasses import replace

import pytest
from fake_bench import IVO
from fake_shop import too_early

from kiosk.folders import Spot
from kiosk.rules.cards import CARDS
from kiosk.rules.hanging.kinds import Backing, StopOn
from kiosk.rules.hanging.model import Lock
from kiosk.rules.hanging.wall import FloorLevel, Layer, Service, Stud
from kiosk.rules.lengths import from_mm, mm
from kiosk.rules.reasons import HANG_REASONS
from kiosk.rules.scanning import Offer
from kiosk.screens.besidescreen import BesideScreen
from kiosk.screens.hangsamples import sample_answer, sample_view, sample_wall
from kiosk.screens.hangunit import HangUnitScreen
from kiosk.screens.jobsamples import JOBS, TODAY
from kiosk.screens.rows import ListScreen
from kiosk.tables.writing import keep_table

CARD = {card.key: card.code for card in CARDS}
S3 = "8.  S3  Deep shelf for buckets"


@pytest.fixture
def hangs(shop):
    shop.has_walls = True
    return shop


@pytest.fixture
def kiosk(drive, hangs):
    """A kiosk at install with the wall of the one open job on the screen."""
    found = drive(hangs, station="install")
    found.desk.shopdesk.open()
    found.tap(found.button("Hang"))
    assert isinstance(found.desk.show, BesideScreen)
    return found


@pytest.fixture
def walls(drive, hangs):
    """A kiosk with the walls of the job on the screen."""
    found = drive(hangs, station="install")
    found.desk.shopdesk.hanging.walls.open("GLAZE", found.desk.open_bench)
    found.settle()
    return found


def typed(kiosk, text):
    """Type on the pad that is open, and use it."""
    for sign in text:
        kiosk.tap(kiosk.desk.show.keys[{"-": "−", " ": "Space"}.get(sign, sign)])
    kiosk.tap(kiosk.desk.show.use)


def row(kiosk, words):
    """Tap the row of these words, else the first that begins with them."""
    rows = [one for one in kiosk.desk.show.rows if hasattr(one, "label")]
    same = [one for one in rows if one.label.text == words]
    found = same or [one for one in rows if one.label.text.startswith(words)]
    assert found, f"no row {words}: {kiosk.texts()}"
    kiosk.tap(found[0])


def unit(kiosk, name):
    kiosk.desk.shopdesk.hanging.wall.open_unit(name)
    kiosk.settle()
    assert isinstance(kiosk.desk.show, HangUnitScreen)


# -- where it is reached --------------------------------------------------------------------------


def test_at_install_hanging_comes_first_in_shop_and_elsewhere_after_the_sheets(drive, hangs):
    kiosk = drive(hangs, station="install")
    kiosk.desk.shopdesk.open()
    assert kiosk.desk.show.buttons[0].label.text == "Hang"
    kiosk.desk.set_station("finish")
    kiosk.desk.shopdesk.open()
    assert kiosk.desk.show.buttons[3].label.text == "Hang"


def test_a_job_leads_to_its_walls_and_to_hanging(drive, hangs):
    kiosk = drive(hangs)
    jobs = kiosk.desk.shopdesk.jobs
    jobs.show_job(JOBS.sums[0], TODAY)
    kiosk.tap(kiosk.button("Walls"))
    assert kiosk.shows("Walls of GLAZE")
    jobs.show_job(JOBS.sums[0], TODAY)
    kiosk.tap(kiosk.button("Hang"))
    assert kiosk.shows("Hang GLAZE: wall W1")


# -- the wall with what hangs on it ---------------------------------------------------------------


def test_the_order_of_hanging_stands_beside_the_wall_with_its_reasons(kiosk):
    words = [one.label.text for one in kiosk.desk.show.rows]
    assert words[0] == "1.  P1  Panel, left"
    assert kiosk.shows("Panels come first: other units hang on them")
    kiosk.tap(kiosk.button("More, 1 of 2"))
    assert kiosk.desk.show.rows[-1].label.text == S3
    kiosk.tap(kiosk.button("More, 2 of 2"))
    assert kiosk.desk.show.rows[0].label.text == words[0]


def test_what_is_up_is_ticked_and_counted_as_scans_arrive(kiosk, hangs):
    assert kiosk.shows("0 of 8 are up")
    before = kiosk.desk.show
    kiosk.desk.shopdesk.refresh()
    kiosk.settle()
    assert kiosk.desk.show is before, "nothing changed: a new screen would swallow a tap"
    hangs.up = {"P1"}
    kiosk.desk.shopdesk.refresh()
    kiosk.settle()
    assert kiosk.shows("1 of 8 are up")
    assert kiosk.desk.show.rows[0].mark.shape == "tick"


def test_a_touch_on_a_unit_in_the_drawing_opens_it(kiosk):
    desk = kiosk.desk.shopdesk.hanging.wall
    box, figure = desk._drawn.picture.box_of("B1"), desk._drawn.picture.figure
    across, down = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    kiosk.desk.show.picture._act(across / figure.width, down / figure.height)
    kiosk.settle()
    assert kiosk.shows("B1  Glaze box")
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, BesideScreen)


def test_a_touch_beside_all_units_opens_nothing(kiosk):
    before = kiosk.desk.show
    kiosk.desk.show.picture._act(0.0, 0.0)
    kiosk.settle()
    assert kiosk.desk.show is before


def test_a_job_without_a_measured_wall_says_that_nothing_was_checked(drive, hangs):
    hangs.measured = ()
    kiosk = drive(hangs, station="install")
    kiosk.desk.shopdesk.hanging.wall.open_job("GLAZE", kiosk.desk.open_bench)
    kiosk.settle()
    assert kiosk.shows("No wall of GLAZE  Glaze store is measured")
    kiosk.tap(kiosk.button("Measure a wall"))
    assert kiosk.shows("nobody measured it yet")


def test_shims_and_seams_are_to_be_known(kiosk):
    kiosk.tap(kiosk.button("To know"))
    view = sample_view().walls[0]
    assert kiosk.shows("Spacer under the highest point of the floor")
    assert kiosk.shows(f"at 2400 mm: {mm(view.shims[-1][1]):g} mm")
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, BesideScreen)


# -- one unit -------------------------------------------------------------------------------------


def test_a_rated_unit_shows_its_number_what_decides_it_and_how_it_hooks(kiosk):
    one = sample_view().unit("B1")
    unit(kiosk, "B1")
    assert kiosk.shows(f"{one.net_kg} kg, evenly spread")
    assert kiosk.shows("What decides: the screws. It hooks by itself")
    assert kiosk.shows(f"It may carry {one.net_kg} kg; 12.0 kg are expected.")
    assert "Allow all the same" not in kiosk.texts()


def test_a_unit_that_is_to_carry_too_much_is_not_shown_as_good(kiosk):
    unit(kiosk, "S1")
    assert kiosk.shows("too much")
    assert kiosk.desk.show.verdict.children[-1].shape == "late"


def test_a_refused_unit_says_why_the_way_out_and_what_would_help(kiosk):
    unit(kiosk, "S3")
    assert kiosk.shows("Not rated")
    assert kiosk.shows("The unit turns off its cleat: its stop bears 150 mm below the bevel")
    assert kiosk.shows("Make the back longer, or fit a pull-lock into a stud.")
    assert kiosk.shows(sample_view().unit("S3").better[0].words)
    kiosk.tap(kiosk.button("2 ways to help"))
    assert kiosk.shows(sample_view().unit("S3").better[1].words)


def test_every_assumption_is_shown_with_its_source(kiosk):
    one = sample_view().unit("B1")
    unit(kiosk, "B1")
    kiosk.tap(kiosk.button(f"{len(one.assumptions)} assumptions"))
    seen = set()
    for _page in range(-(-len(one.assumptions) // 4)):
        seen |= set(kiosk.texts())
        kiosk.tap(kiosk.button("More"))
    assert {str(each.basis) for each in one.assumptions} <= seen
    assert {str(each.value) for each in one.assumptions} <= seen


def test_cautions_are_there_for_every_unit(kiosk):
    unit(kiosk, "B2")
    kiosk.tap(kiosk.button("6 cautions"))
    assert kiosk.shows("This is no engineering approval.")


# -- all the same ---------------------------------------------------------------------------------


def test_hanging_it_all_the_same_asks_a_reason_and_is_recorded(kiosk, hangs):
    unit(kiosk, "S3")
    kiosk.tap(kiosk.button("Allow all the same"))
    assert hangs.hang_calls == []
    kiosk.tap(kiosk.button("Nothing is put on it until it is mended"))
    assert hangs.hang_calls == [("allow", "S3", HANG_REASONS[1], "Mara", None)]
    assert kiosk.shows("Not rated, goes up all the same")
    assert kiosk.shows("May be hung without a number")
    kiosk.tap(kiosk.button("Take it back"))
    assert hangs.calls[-1] == ("strike", "K-44", "Mara")
    assert kiosk.button("Allow all the same")


def test_a_reason_is_picked_by_card(kiosk, hangs):
    unit(kiosk, "S3")
    kiosk.tap(kiosk.button("Allow all the same"))
    kiosk.scan(CARD["1"])
    assert hangs.hang_calls == [("allow", "S3", HANG_REASONS[0], "Mara", None)]


def test_where_there_is_a_supervisor_only_the_pin_lets_it_go_up(kiosk, hangs):
    hangs.pins = {IVO.code: "204713"}
    unit(kiosk, "S3")
    kiosk.tap(kiosk.button("Allow all the same"))
    kiosk.tap(kiosk.button("Nothing is put on it until it is mended"))
    assert hangs.hang_calls == []
    assert kiosk.shows("PIN")
    for digit in "204713":
        kiosk.tap(kiosk.desk.show.keys[digit])
    kiosk.desk.show.enter()
    kiosk.settle()
    ((_what, name, _reason, _person, permit),) = hangs.hang_calls
    assert (name, permit.name) == ("S3", "Ivo")
    assert kiosk.shows("Not rated, goes up all the same")


def test_a_card_or_a_digit_taps_what_shows_its_number(kiosk, hangs):
    kiosk.scan(CARD["3"])
    assert kiosk.shows("B1  Glaze box")
    kiosk.scan(CARD["back"])
    kiosk.type("5")
    kiosk.settle()
    assert kiosk.desk.show.rows[-1].label.text == S3
    kiosk.scan(CARD["4"])
    assert kiosk.shows("S3  Deep shelf for buckets")
    kiosk.scan(CARD["2"])
    assert hangs.hang_calls[0][0] == "cards"


# -- paper ----------------------------------------------------------------------------------------


def test_a_load_card_is_printed_from_its_unit(kiosk, hangs):
    unit(kiosk, "B1")
    kiosk.tap(kiosk.button("Load card"))
    (call,) = hangs.hang_calls
    assert call == ("cards", "GLAZE", "GLAZE-B1-load-card.pdf", False, ("B1",), "Mara")
    assert kiosk.shows("Written as PDF")
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, HangUnitScreen)


@pytest.mark.parametrize(
    ("words", "call"),
    [
        ("Drawing for hanging", ("drawing", "GLAZE", "W1")),
        ("All load cards", ("cards", "GLAZE", None, False, (), "Mara")),
        ("Four cards to a page", ("cards", "GLAZE", None, True, (), "Mara")),
    ],
)
def test_the_wall_and_all_cards_are_printed_from_the_wall(kiosk, hangs, words, call):
    kiosk.tap(kiosk.button("Print"))
    kiosk.tap(kiosk.button(words))
    assert hangs.hang_calls == [call]
    assert kiosk.shows("Written as PDF")


def test_what_cannot_be_printed_says_why(kiosk, hangs):
    hangs.hang_refused = "There is no job GLAZE."
    unit(kiosk, "B1")
    kiosk.tap(kiosk.button("Load card"))
    assert kiosk.shows("Nothing was printed")
    assert kiosk.shows("There is no job GLAZE.")


# -- a wall typed ---------------------------------------------------------------------------------


def opened(walls, name):
    row(walls, name)
    assert isinstance(walls.desk.show, BesideScreen)
    return walls


def draft(kiosk):
    return kiosk.desk.shopdesk.hanging.walls.one.draft


def test_a_wall_is_typed_from_its_size_to_its_studs_and_kept(walls, hangs):
    opened(walls, "W2")
    assert walls.shows("Enter width and height first")
    row(walls, "Size")
    typed(walls, "2400")
    typed(walls, "2500")
    row(walls, "Studs")
    walls.tap(walls.button("Several at a pitch"))
    typed(walls, "20")
    walls.desk.show.put_back("")
    typed(walls, "38.1")
    walls.tap(walls.button("SPF"))
    typed(walls, "406.4")
    assert walls.shows("Studs: 6")
    walls.tap(walls.button("Back"))
    walls.tap(walls.button("Keep it"))
    ((_what, job, wall, person),) = hangs.hang_calls
    assert (job, wall.wall, person) == ("GLAZE", "W2", "Mara")
    assert (mm(wall.width), mm(wall.height)) == (2400, 2500)
    assert [mm(one.x) for one in wall.studs] == [20, 426.4, 832.8, 1239.2, 1645.6, 2052]
    assert {one.species for one in wall.studs} == {"SPF"}
    assert walls.shows("Wall W2 is kept.")


def test_nothing_is_kept_before_somebody_says_so_and_every_problem_is_shown(walls, hangs):
    opened(walls, "W2")
    assert "Keep it" not in walls.texts()
    walls.tap(walls.button("2 problems"))
    assert walls.shows("The wall's width was not measured.")
    assert walls.shows("The wall's height was not measured.")
    assert hangs.hang_calls == []


def test_one_stud_by_its_place_with_wood_nobody_knows(walls):
    opened(walls, "W1")
    row(walls, "Studs")
    walls.tap(walls.button("Add"))
    typed(walls, "0")
    walls.desk.show.put_back("")
    typed(walls, "45")
    walls.tap(walls.button("Wood not known"))
    added = Stud(x=from_mm(0), width=from_mm(45), species="")
    assert draft(walls).wall.studs[0] == added, "at once: a scan may come before Back"
    walls.tap(walls.button("Back"))
    assert draft(walls).wall.studs[0] == added


def test_a_stud_is_taken_out_or_gets_another_wood(walls):
    opened(walls, "W1")
    row(walls, "Studs")
    walls.tap(walls.desk.show.rows[0])
    walls.tap(walls.button("Another wood"))
    walls.tap(walls.button("Hem-Fir"))
    walls.tap(walls.desk.show.rows[1])
    walls.tap(walls.button("Take it out"))
    walls.tap(walls.button("Back"))
    studs = draft(walls).wall.studs
    assert len(studs) == len(sample_wall().studs) - 1
    assert studs[0] == replace(sample_wall().studs[0], species="Hem-Fir")
    assert studs[1] == sample_wall().studs[2]


def test_studs_too_near_are_refused_where_the_pitch_is_typed(walls):
    opened(walls, "W1")
    row(walls, "Studs")
    walls.tap(walls.button("Several at a pitch"))
    typed(walls, "0")
    walls.tap(walls.desk.show.use)
    walls.tap(walls.button("SPF"))
    typed(walls, "16")
    assert walls.shows("Studs do not stand so near to each other.")
    assert walls.desk.show.typed == "16"


def test_the_floor_may_lie_below_the_line(walls):
    opened(walls, "W1")
    row(walls, "Floor")
    walls.tap(walls.button("Add"))
    typed(walls, "1200")
    typed(walls, "2.5-")
    walls.tap(walls.button("Back"))
    assert FloorLevel(x=from_mm(1200), level=from_mm(-2.5)) in draft(walls).wall.floor


def test_layers_and_services_are_picked_and_measured(walls):
    opened(walls, "W1")
    row(walls, "Layers")
    walls.tap(walls.button("Add"))
    walls.tap(walls.button("Hollow"))
    typed(walls, "20")
    walls.tap(walls.button("Back"))
    row(walls, "Services")
    walls.tap(walls.button("Add"))
    walls.tap(walls.button("Switch"))
    for text in ("300", "1050", "80", "80"):
        typed(walls, text)
    walls.tap(walls.button("Back"))
    wall = draft(walls).wall
    assert wall.layers[-1] == Layer(name="void", thickness=from_mm(20))
    switch = Service(
        kind="switch", x=from_mm(300), y=from_mm(1050), width=from_mm(80), height=from_mm(80)
    )
    assert wall.services[0] == switch


def test_what_the_wall_is_stays_open_until_somebody_says_it(walls):
    opened(walls, "W2")
    row(walls, "What it is")
    assert sum(one.mark is not None for one in walls.desk.show.rows if hasattr(one, "mark")) == 4
    row(walls, "Screws end in")
    walls.tap(walls.button("Wood studs"))
    walls.tap(walls.button("Back"))
    assert draft(walls).wall.backing is Backing.STUD


def test_lengths_of_a_job_in_inches_are_typed_with_fractions(drive, hangs):
    hangs.settings = replace(hangs.settings, units="inch")
    kiosk = drive(hangs, station="install")
    kiosk.desk.shopdesk.hanging.walls.open("GLAZE", kiosk.desk.open_bench)
    kiosk.settle()
    opened(kiosk, "W1")
    row(kiosk, "Floor")
    kiosk.tap(kiosk.button("Add"))
    typed(kiosk, "23 3/4")
    typed(kiosk, "1/8-")
    kiosk.tap(kiosk.button("Back"))
    assert FloorLevel(x=from_mm(603.25), level=from_mm(-3.175)) in draft(kiosk).wall.floor


def test_a_keyboard_types_what_a_finger_does(walls):
    opened(walls, "W2")
    row(walls, "Size")
    for letter in "1200,5":
        walls.win.dispatch("on_textinput", letter)
    walls.key(13)
    walls.settle()
    typed(walls, "2000")
    assert mm(draft(walls).wall.width) == 1200.5


def test_what_was_begun_is_not_lost_by_going_back(walls, hangs):
    opened(walls, "W2")
    row(walls, "Size")
    typed(walls, "2400")
    typed(walls, "2500")
    walls.tap(walls.button("Back"))
    assert walls.shows("What was entered of wall W2 is not kept")
    walls.tap(walls.button("Go on with it"))
    assert mm(draft(walls).wall.width) == 2400
    walls.tap(walls.button("Back"))
    walls.tap(walls.button("Leave it unkept"))
    assert not walls.shows("begun anew, not kept")
    opened(walls, "W2")
    assert not draft(walls).wall.width
    walls.tap(walls.button("Back"))
    assert isinstance(walls.desk.show, ListScreen), "nothing was entered: nothing is asked"
    assert hangs.hang_calls == []


def test_a_scan_while_a_wall_is_entered_loses_nothing_of_it(walls, hangs):
    opened(walls, "W2")
    row(walls, "Floor")
    walls.tap(walls.button("Add"))
    typed(walls, "600")
    typed(walls, "3")
    walls.scan("K7F3Q97")
    assert walls.desk.show is walls.desk.bench
    walls.desk.shopdesk.hanging.walls.open("GLAZE", walls.desk.open_bench)
    walls.settle()
    assert walls.shows("begun anew, not kept")
    opened(walls, "W2")
    assert draft(walls).wall.floor == (FloorLevel(x=from_mm(600), level=from_mm(3)),)


def test_a_wall_the_shop_refuses_is_not_lost(walls, hangs):
    hangs.hang_refused = "W2 is no wall of GLAZE."
    opened(walls, "W2")
    row(walls, "Size")
    typed(walls, "2400")
    typed(walls, "2500")
    walls.tap(walls.button("Keep it"))
    assert walls.shows("W2 is no wall of GLAZE.")
    walls.tap(walls.button("Back"))
    assert mm(draft(walls).wall.width) == 2400


# -- a wall from a table --------------------------------------------------------------------------


def spot(path):
    from datetime import UTC, datetime

    return Spot(path.name, path, datetime(2026, 3, 11, tzinfo=UTC))


def picked(walls, file):
    desk = walls.desk.shopdesk.hanging.walls
    walls.tap(walls.button("From a file"))
    desk.pick(spot(file))
    walls.settle()


def test_the_template_that_is_written_reads_back_as_the_wall(walls, hangs, tmp_path):
    opened(walls, "W1")
    desk = walls.desk.shopdesk.hanging.walls
    desk._write_to(draft(walls), tmp_path)
    walls.settle()
    file = tmp_path / "GLAZE-W1-wall.csv"
    assert walls.shows("Written: GLAZE-W1-wall.csv")
    walls.tap(walls.button("Back"))
    picked(walls, file)
    assert walls.shows("Read from GLAZE-W1-wall.csv. Nothing is kept yet.")
    assert draft(walls).wall == sample_wall()
    assert hangs.hang_calls == []
    walls.tap(walls.button("Keep it"))
    assert hangs.hang_calls == [("measure", "GLAZE", sample_wall(), "Mara")]


def test_a_table_with_faults_shows_all_of_them_and_takes_nothing_in(walls, hangs, tmp_path):
    rows = [
        ("what", "name", "x", "y", "width", "height", "thickness", "level"),
        ("wall", "", "", "", "2400", "2500", "", ""),
        ("stud", "SPF", "40o", "", "38", "", "", ""),
        ("stud", "Fir", "800", "", "38", "", "", ""),
    ]
    keep_table(rows, tmp_path / "bad.csv")
    opened(walls, "W1")
    picked(walls, tmp_path / "bad.csv")
    assert walls.shows("bad.csv: 2 problems")
    assert walls.shows("row 3, x")
    assert walls.shows("“Fir” is no species that is known here.")
    walls.tap(walls.button("Back"))
    assert draft(walls).wall == sample_wall()
    assert hangs.hang_calls == []


def test_a_table_that_cannot_be_written_says_why(walls, tmp_path):
    opened(walls, "W1")
    walls.desk.shopdesk.hanging.walls._write_to(draft(walls), tmp_path / "gone")
    walls.settle()
    assert walls.shows("GLAZE-W1-wall.csv was not written")
    assert walls.button("Another place")


# -- how a unit hangs -----------------------------------------------------------------------------


@pytest.fixture
def form(kiosk):
    """The form of the tool box whose stop nobody measured."""
    unit(kiosk, "B2")
    kiosk.tap(kiosk.button("How it hangs"))
    return kiosk


def kept(hangs):
    ((_what, name, fitting, _person),) = hangs.hang_calls
    return name, fitting


def test_what_is_missing_stands_out_and_what_the_list_knows_is_said_so(form):
    assert form.shows("missing: Stop's drop")
    row(form, "Stop, strip, weight")
    assert form.shows("not measured yet")
    assert form.shows("from the part list")
    assert form.shows("as entered")


def test_the_drop_is_typed_and_kept_with_what_was_said_before_and_nothing_filled_in(form, hangs):
    row(form, "Stop, strip, weight")
    row(form, "Stop's drop")
    typed(form, "240")
    assert hangs.hang_calls == []
    form.tap(form.button("Back"))
    form.tap(form.button("Keep it"))
    name, fitting = kept(hangs)
    assert (name, fitting.drop) == ("B2", from_mm(240))
    said = hangs.fittings("GLAZE")["B2"]
    assert fitting == replace(said, drop=from_mm(240))
    assert fitting.strip is None, "what the part list knows is no measurement"
    assert isinstance(form.desk.show, HangUnitScreen)


def test_a_measure_can_be_taken_back_to_not_measured(form, hangs):
    row(form, "Stop, strip, weight")
    row(form, "Stop's drop")
    typed(form, "240")
    row(form, "Stop's drop")
    assert form.desk.show.typed == "240"
    form.tap(form.button("Not measured yet"))
    form.tap(form.button("Back"))
    form.tap(form.button("Keep it"))
    assert kept(hangs)[1].drop is None


def test_choices_weights_and_locks_are_entered(form, hangs):
    row(form, "Stop, strip, weight")
    row(form, "Stop bears on")
    form.tap(form.button("A hollow"))
    row(form, "Own weight")
    typed(form, "4.5")
    row(form, "Pull-lock")
    form.tap(form.button("No. 10 × 89 mm"))
    typed(form, "2")
    form.tap(form.button("Wood studs"))
    assert form.shows("2 × No. 10 × 89 mm")
    form.tap(form.button("Back"))
    form.tap(form.button("Keep it"))
    fitting = kept(hangs)[1]
    assert (fitting.stop_on, fitting.self_kg) == (StopOn.VOID, 4.5)
    lock = fitting.lock
    assert isinstance(lock, Lock)
    assert (lock.count, lock.screw.gauge, lock.backing) == (2, 10, Backing.STUD)


def test_rows_and_loads_are_lists(form, hangs):
    row(form, "Screws and what they pass")
    row(form, "Screw rows")
    row(form, "Row above")
    form.tap(form.button("Add"))
    typed(form, "70")
    form.tap(form.button("Back"))
    form.tap(form.button("Back"))
    row(form, "What it is for")
    row(form, "Expected load")
    form.tap(form.button("Add"))
    form.tap(form.button("Weighed"))
    typed(form, "30")
    form.tap(form.button("Back"))
    form.tap(form.button("Back"))
    form.tap(form.button("Keep it"))
    fitting = kept(hangs)[1]
    assert [mm(one) for one in fitting.cleat.rows] == [67, 70]
    assert [one.kg for one in fitting.expected] == [30]


def test_a_fitting_the_shop_refuses_is_not_lost(form, hangs):
    hangs.hang_refused = "B2 cannot hang on B2."
    row(form, "Where it hangs")
    row(form, "On")
    form.tap(form.button("P1  Panel, left"))
    form.tap(form.button("Back"))
    form.tap(form.button("Keep it"))
    assert form.shows("B2 cannot hang on B2.")
    form.tap(form.button("Back"))
    row(form, "Where it hangs")
    assert form.shows("P1")


def test_what_was_entered_is_asked_about_before_it_is_left(form, hangs):
    row(form, "Where it hangs")
    row(form, "Left end")
    typed(form, "5")
    form.tap(form.button("Back"))
    form.tap(form.button("Back"))
    assert form.shows("What was entered of B2 is not kept")
    form.tap(form.button("Leave it unkept"))
    assert isinstance(form.desk.show, HangUnitScreen)
    assert hangs.hang_calls == []


def test_a_scan_between_two_fields_loses_nothing_that_was_entered(form, hangs):
    row(form, "Stop, strip, weight")
    row(form, "Stop's drop")
    typed(form, "240")
    form.scan("K7F3Q97")
    assert form.desk.show is form.desk.bench
    unit(form, "B2")
    form.tap(form.button("How it hangs"))
    assert form.shows("Nothing is kept yet.")
    form.tap(form.button("Keep it"))
    assert kept(hangs)[1].drop == from_mm(240)
    form.tap(form.button("How it hangs"))
    assert "Keep it" not in form.texts()


# -- the bench ------------------------------------------------------------------------------------


def test_a_refused_scan_offers_the_reasons_of_hanging_not_those_of_drying(drive, hangs):
    hangs.plan["K7F3Q97"] = sample_answer()
    kiosk = drive(hangs, station="install")
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("Not rated: it may come down")
    assert kiosk.shows("A pull-lock of two screws into studs: no number before")
    assert "Touch test is dry" not in kiosk.texts()
    kiosk.tap(kiosk.button("Nothing is put on it until it is mended"))
    assert hangs.calls[-1][-2:] == ("hang", HANG_REASONS[1])


def test_an_offer_without_reasons_of_its_own_shows_those_of_the_kiosk(drive, hangs):
    hangs.plan["K7F3Q97"] = too_early("K7F3Q97")
    assert hangs.plan["K7F3Q97"].offers == (Offer("go_ahead", "coat-2", "coat 2 all the same"),)
    kiosk = drive(hangs)
    kiosk.scan("K7F3Q97")
    assert kiosk.button("Touch test is dry")
