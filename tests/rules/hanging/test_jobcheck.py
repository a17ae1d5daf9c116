"""The check of whole walls; the numbers are those worked for this tool by two routes."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.carrying import wall_of
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.checks import Check
from kiosk.rules.hanging.fitting import Expected, Fitting, How
from kiosk.rules.hanging.hangviews import Checked
from kiosk.rules.hanging.kinds import Backing, Board, Head, StopOn
from kiosk.rules.hanging.means import Means, read_stock
from kiosk.rules.hanging.reaching import screws_of
from kiosk.rules.hanging.unitcheck import hang_word
from kiosk.rules.hanging.wall import FloorLevel, Service, Stud
from kiosk.rules.lengths import Length, from_mm
from kiosk.rules.records import Allowed
from tests.wallbuild import (
    MEANS,
    SCREW,
    WALL,
    a_job,
    a_panel,
    a_piece,
    a_shelf,
    a_spec,
    braced,
    changed,
    checked,
    whys,
)

ONE_STUD = "The cleat reaches fewer than two studs: it can turn about one."
ALLOWED = Allowed(
    "e1", "other reason", datetime(2026, 3, 9, tzinfo=UTC), "Mara", ("one_stud",), (ONE_STUD,)
)


def one_shelf(wall=WALL, means=MEANS, allowed=None, **more):
    job = a_job(a_panel(), a_shelf(), wall=wall, S=braced(**more))
    return checked(job, means=means, allowed=allowed).unit("S")


def test_the_braced_shelf_carries_what_was_worked_by_hand():
    # worked case: 476.85 N or 48.62 kg gross on two studs, 39 kg on the card
    found = one_shelf()
    assert (found.checked, found.net_kg, found.words) == (Checked.RATED, 39, "holds 39 kg")
    assert found.rating.gross_kg == pytest.approx(48.62, abs=0.01)
    assert found.rating.statics.hook.hooks
    assert [(one.gauge, one.stud) for one in found.screws] == [
        (10, from_mm(200)), (10, from_mm(606.4)), (10, from_mm(200)), (10, from_mm(606.4)),
    ]  # fmt: skip
    assert {one.y for one in found.screws} == {from_mm(1015), from_mm(1067)}
    first = found.screws[0]
    assert (first.penetration, first.to_end) == (from_mm(40.2), from_mm(50))
    assert first.to_edge == from_mm(38.1 / 2 - 3)
    assert (round(first.pilot, 2), first.clearance) == (2.70, 5.0)


def test_three_studs_carry_more():
    # worked case: 715.27 N, 72.94 kg gross, 63 kg on the card; the third stud at 1012.8
    found = one_shelf(cleat_length=from_mm(912.8), width=from_mm(912.8))
    assert len(found.screws) == 6
    assert found.rating.gross_kg == pytest.approx(72.94, abs=0.01)
    assert found.net_kg == 63


def test_the_shops_factor_is_held_back():
    found = one_shelf(means=replace(MEANS, shop=0.8))
    assert found.net_kg == int(48.62 * 0.8 - 9)


def test_all_that_nobody_said_is_told_at_once_and_nothing_is_guessed():
    job = a_job(a_panel(), a_shelf())
    found = checked(job).unit("S")
    assert found.checked is Checked.REFUSED
    assert found.net_kg is None
    assert found.screws == ()
    messages = [one.message for one in found.refusals]
    for what in ("The unit's left end", "The cleat's left end", "The cleat's lower edge"):
        assert f"{what}: nobody said." in messages
    assert {"stop_unmeasured", "stop_lands", "strip", "plies", "rows"} <= set(whys(found))
    # what only stands in is not blamed for anything
    assert not {"one_stud", "beside", "unhooks", "short_screw"} & set(whys(found))
    assert found.hanging is None
    assert found.better == ()


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"drop": None}, "stop_unmeasured"),
        ({"drop": from_mm(60)}, "unhooks"),
        ({"backing": Backing.PANEL}, "no_stud"),
        ({"cleat_length": from_mm(300)}, "one_stud"),
        ({"self_kg": None, "cleat_board": Board.MDF}, "board"),
        ({"load_out": from_mm(0)}, "figures"),
        ({"cleat_thickness": from_mm(0)}, "figures"),
    ],
)
def test_refusals_come_through(changes, why):
    found = one_shelf(**changes)
    assert why in whys(found)
    assert found.checked is Checked.REFUSED
    assert found.net_kg is None


def test_a_wall_nobody_looked_at_is_refused():
    found = one_shelf(wall=replace(WALL, spot=None, premises=None))
    assert whys(found) == ["unsaid", "unsaid"]
    assert found.words == "not rated: Where the wall is: nobody said"


def test_what_ends_in_no_stud_says_itself_that_it_is_not_rated():
    assert one_shelf(backing=Backing.PANEL).words.startswith("Not rated: no fastener")


def test_the_lightest_of_several_species_counts_and_an_unknown_one_is_lightest():
    mixed = (replace(WALL.studs[0], species="Southern Pine"), *WALL.studs[1:])
    assert one_shelf(wall=replace(WALL, studs=mixed)).hanging.wall.species == "SPF"
    unknown = (replace(WALL.studs[0], species=""), *WALL.studs[1:])
    assert one_shelf(wall=replace(WALL, studs=unknown)).hanging.wall.species == ""


def test_a_strip_touches_no_more_than_the_cleat_is_long():
    assert one_shelf(strip=from_mm(400)).hanging.unit.strip == from_mm(400)
    assert one_shelf(strip=from_mm(880)).hanging.unit.strip == from_mm(506.4)


def test_the_best_screws_of_the_list_are_taken_and_said():
    stock, wrong = read_stock("6 x 50, 10 x 100, 10 x 89, 12 x 89")
    assert not wrong
    found = one_shelf(screw=None, means=Means(stock=stock, shop=1.0))
    each = [one_shelf(screw=one, means=Means(shop=1.0)).net_kg or 0 for one in stock]
    assert found.net_kg == max(each)
    chosen = next(one for one in found.assumptions if one.what == "which screws")
    # a No. 12 stands too near the edge of this cleat; of equals the shorter is taken
    assert chosen.value == "No. 10 × 89 mm"


def test_without_screws_there_is_no_number():
    found = one_shelf(screw=None, means=Means())
    assert whys(found)[0] == "unsaid"
    assert "list of screws is empty" in found.refusals[0].message


def test_two_units_on_one_cleat_are_rated_together():
    shared = {"cleat_name": "low", "cleat_length": from_mm(912.8)}
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"),
        S=braced(**shared), T=braced(x=556.4, **{**shared, "cleat_x": None}),
    )  # fmt: skip
    view = checked(job)
    alone = one_shelf(**shared).net_kg
    one, other = view.unit("S"), view.unit("T")
    assert one.shares_with == ("T",)
    assert other.shares_with == ("S",)
    # what nobody said of the shared cleat is as another unit has it
    assert other.fitting.cleat.x == one.fitting.cleat.x
    assert 0 < one.net_kg < alone
    assert one.hanging.cleat == other.hanging.cleat


def test_a_cleat_described_in_two_ways_is_refused_for_all():
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"),
        S=braced(cleat_name="low"), T=braced(cleat_name="low", cleat_height=from_mm(90)),
    )  # fmt: skip
    view = checked(job)
    assert whys(view.unit("S")) == whys(view.unit("T")) == ["cleats"]
    screws = replace(SCREW, gauge=12)
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"),
        S=braced(cleat_name="low"),
        T=braced(cleat_name="low", screw=screws, self_kg=None, drop=None),
    )  # fmt: skip
    view = checked(job)
    assert whys(view.unit("S")) == ["cleats"]
    # its weight is reckoned from its pieces; the drop never
    assert whys(view.unit("T"))[0] == "cleats"


def test_one_without_a_number_leaves_the_others_on_its_cleat_without():
    job = a_job(
        a_panel(), a_shelf("S"), a_spec("T", hangs_on="P"),
        S=braced(cleat_name="low"), T=braced(cleat_name="low", width=None),
    )  # fmt: skip
    view = checked(job)
    assert whys(view.unit("S")) == ["together"]
    assert whys(view.unit("T")) == ["unsaid"]
    assert view.unit("S").better == ()


def test_two_cleats_in_one_place_are_refused():
    job = a_job(a_panel(), a_shelf("S"), a_shelf("T"), S=braced(), T=braced(y=1050))
    view = checked(job)
    assert whys(view.unit("S")) == whys(view.unit("T")) == ["cleats"]
    assert view.unit("S").screws == ()
    apart = a_job(a_panel(), a_shelf("S"), a_shelf("T"), S=braced(), T=braced(y=1200))
    assert checked(apart).unit("S").net_kg == 39
    elsewhere = a_job(
        a_panel(), a_panel("Q"), a_shelf("S"), a_shelf("T", hangs_on="Q"), S=braced(), T=braced()
    )
    assert checked(elsewhere).unit("T").net_kg == 39


def test_what_hangs_on_a_unit_counts_to_it():
    door = a_spec("D", "door", a_piece("leaf", 400, 300), hangs_on="S")
    job = a_job(a_panel(), a_shelf(), door, S=braced(), D=Fitting(self_kg=4.0))
    view = checked(job)
    carrier, carried = view.unit("S"), view.unit("D")
    assert carried.checked is Checked.CARRIED
    assert carried.carried_by == "S"
    assert carried.words == "its load counts to S"
    assert carrier.self_kg == 13.0
    # the door hangs in front: 300 + 18; together 9 kg at 186 and 4 kg at 318
    out = (9 * 186 + 4 * 318) / 13
    assert carrier.hanging.unit.self_out / 1600 == pytest.approx(out, abs=0.001)
    assert carrier.net_kg < 39 - 4 + 1
    assert carrier.checked is Checked.RATED


def test_what_an_unrated_unit_carries_is_not_rated_either():
    door = a_spec("D", "door", a_piece("leaf", 400, 300), hangs_on="S")
    view = checked(a_job(a_panel(), a_shelf(), door, S=braced(drop=None)))
    assert whys(view.unit("D")) == ["carrier"]
    assert view.unit("D").checked is Checked.REFUSED
    loose = a_spec("D", "door", a_piece("leaf", 400, 300))
    assert whys(checked(a_job(loose)).unit("D")) == ["carrier"]


def test_what_a_person_lets_go_ahead_carries_on():
    door = a_spec("D", "door", a_piece("leaf", 400, 300), hangs_on="S")
    job = a_job(a_panel(), a_shelf(), door, S=braced(cleat_length=from_mm(300)))
    assert whys(checked(job).unit("S")) == ["one_stud"]
    view = checked(job, allowed={"S": ALLOWED})
    one = view.unit("S")
    assert (one.checked, one.allowed) == (Checked.ALLOWED, ALLOWED)
    assert one.words == "not rated, goes up all the same: other reason"
    assert not hang_word(one).is_refused
    assert view.unit("D").checked is Checked.CARRIED


def test_a_word_covers_no_other_refusal():
    found = one_shelf(allowed={"S": ALLOWED}, cleat_length=from_mm(300), drop=None)
    assert found.checked is Checked.REFUSED
    assert found.allowed is None


def test_a_word_covers_no_worse_refusal_of_the_same_kind():
    near = one_shelf(drop=from_mm(170))
    said = replace(ALLOWED, whys=("unhooks",), check=(str(near.refusals[0].message),))
    assert one_shelf(drop=from_mm(170), allowed={"S": said}).checked is Checked.ALLOWED
    assert one_shelf(drop=from_mm(60), allowed={"S": said}).checked is Checked.REFUSED
    width = replace(ALLOWED, whys=("unsaid",), check=("The unit's own weight: nobody said.",))
    assert one_shelf(wall=replace(WALL, spot=None), allowed={"S": width}).allowed is None


def test_panels_on_screws_of_their_own_are_not_rated_and_nothing_else_may_be():
    view = checked(a_job(a_panel(), a_spec("R", "rail"), R=Fitting(how=How.SCREWED)))
    panel, rail = view.unit("P"), view.unit("R")
    assert (panel.checked, panel.refusals) == (Checked.SCREWED, ())
    assert panel.cautions == ALWAYS
    assert hang_word(panel).words == "on screws of its own: not rated"
    assert (rail.checked, whys(rail)) == (Checked.REFUSED, ["carrier"])


def test_services_take_studs_away():
    outlet = Service(
        kind="outlet", x=from_mm(560), y=from_mm(1000), width=from_mm(70), height=from_mm(70)
    )
    near = replace(WALL, services=(outlet,))
    found = one_shelf(wall=near)
    assert whys(found) == ["service"]
    wide = one_shelf(wall=near, cleat_length=from_mm(912.8), width=from_mm(912.8))
    assert wide.checked is Checked.RATED
    assert {one.stud for one in wide.screws} == {from_mm(200), from_mm(1012.8)}
    assert any("too near: outlet" in one for one in wide.cautions)
    far = replace(WALL, services=(replace(outlet, y=from_mm(1200)),))
    assert one_shelf(wall=far).net_kg == 39


def test_narrow_studs_and_those_at_the_panels_end_do_not_count():
    narrow = (replace(WALL.studs[0], width=from_mm(25)), *WALL.studs[1:])
    found = one_shelf(wall=replace(WALL, studs=narrow))
    assert whys(found) == ["one_stud"]
    assert any("too narrow" in one for one in found.cautions)
    panel = Fitting(x=from_mm(200), width=from_mm(1200), y=from_mm(20), height=from_mm(2000))
    job = a_job(a_panel(), a_shelf(), S=braced(), P=panel)
    assert whys(checked(job).unit("S")) == ["one_stud"]
    inner = replace(panel, x=from_mm(100))
    assert checked(a_job(a_panel(), a_shelf(), S=braced(), P=inner)).unit("S").net_kg == 39


def test_what_is_expected_is_compared():
    # 40 psf is 195 kg per m² (Architectural Woodwork Standards): 0.9 m × 0.3 m are 52.7 kg
    shelf = Expected(use="general", length=from_mm(900), depth=from_mm(300))
    found = one_shelf(expected=(shelf,))
    assert found.load_kg == pytest.approx(52.7, abs=0.1)
    assert found.fits is False
    assert "too much" in found.words
    light = one_shelf(expected=(Expected(kg=20.0),))
    assert (light.load_kg, light.fits, light.words) == (20.0, True, "holds 39 kg")
    unknown = one_shelf(expected=(Expected(use="what", length=from_mm(100)),), depth=from_mm(300))
    assert unknown.load_kg == pytest.approx(195.3 * 0.03, abs=0.05)
    assert one_shelf(expected=(Expected(use="general"),), depth=None).load_kg is not None
    no_size = a_job(a_spec("S"), S=Fitting(expected=(Expected(kg=5.0), Expected(use="books"))))
    assert checked(no_size).unit("S").load_kg is None


def test_the_load_of_what_is_carried_counts_too():
    rack = a_spec("D", "divider", a_piece("leaf", 400, 300), hangs_on="S")
    carried = Fitting(self_kg=2.0, load_out=from_mm(200), expected=(Expected(kg=10.0),))
    job = a_job(a_panel(), a_shelf(), rack, S=braced(expected=(Expected(kg=5.0),)), D=carried)
    one = checked(job).unit("S")
    assert one.load_kg == 15.0
    assert one.hanging.unit.load_out == from_mm(200)


def test_what_would_help_is_told_for_refused_weak_and_overloaded_units():
    assert one_shelf().better == ()
    heavy = one_shelf(expected=(Expected(kg=60.0),))
    assert heavy.better
    assert all(one.after > one.before for one in heavy.better)
    hooks_not = one_shelf(drop=from_mm(60))
    words = [one.words for one in hooks_not.better]
    assert any("pull-lock" in one for one in words)
    assert str(hooks_not.better[0].words) in hang_word(hooks_not).detail
    # worked with a stop 60 mm below the bevel and a lock: 28.07 kg gross, so 19 kg net
    assert next(one.after for one in hooks_not.better if "pull-lock" in one.words) == 19


def test_a_weak_unit_on_a_shared_cleat_is_told_what_helps_it_alone():
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"),
        S=braced(cleat_name="low", drop=from_mm(60)), T=braced(cleat_name="low"),
    )  # fmt: skip
    assert checked(job).unit("S").better
    assert whys(checked(job).unit("T")) == ["together"]


def test_the_word_for_the_board_and_a_scan():
    word = hang_word(one_shelf(drop=None))
    assert word.is_refused
    assert word.whys == ("stop_unmeasured",)
    assert "Measure it." in word.detail
    assert word.body() == [{"why": "stop_unmeasured", "message": word.check[0]}]
    fine = hang_word(one_shelf())
    assert (fine.words, fine.is_refused, fine.detail) == ("holds 39 kg", False, "")


def test_units_on_other_walls_are_not_checked():
    view = checked(a_job(a_panel(), a_shelf(), a_shelf("Z", wall="V", hangs_on="")))
    assert view.unmeasured == ("Z",)
    assert view.unit("Z") is None
    assert [one.unit for one in view.order] == ["P", "S"]


def test_the_wall_is_summed_up():
    wall = replace(
        WALL,
        floor=(
            FloorLevel(x=from_mm(0), level=from_mm(-4)),
            FloorLevel(x=from_mm(2000), level=from_mm(3)),
        ),
    )
    panel = Fitting(x=from_mm(3), width=from_mm(1200), y=from_mm(20), height=from_mm(2000))
    view = checked(a_job(a_panel(), a_shelf(), wall=wall, S=braced(), P=panel))
    (seen,) = view.walls
    # 10 mm under the highest point, 7 mm more where the floor is lower
    assert seen.spacer == from_mm(10)
    assert seen.shims == ((from_mm(0), from_mm(17)), (from_mm(2000), from_mm(10)))
    assert not seen.scribe
    (on_panel,) = seen.panels
    assert on_panel.loads_kg == pytest.approx(48.62, abs=0.01)
    # each of two studs gets half
    assert [one.load_kg for one in seen.studs] == pytest.approx([24.31, 24.31], abs=0.01)
    assert [one.x for one in seen.studs] == [from_mm(200), from_mm(606.4)]
    assert view.unit("S").rating.pull_n == pytest.approx(sum(one.pull_n for one in seen.studs))


def test_a_stud_that_is_left_out_of_the_table_is_not_made_up():
    lonely = replace(WALL, studs=(Stud(x=from_mm(200), width=from_mm(38.1)),))
    assert whys(one_shelf(wall=lonely)) == ["one_stud"]


def test_what_nobody_knows_of_a_cleat_leaves_its_place_open():
    plain = changed(braced(), cleat_y=None)
    assert whys(checked(a_job(a_panel(), a_shelf(), S=plain)).unit("S")) == ["unsaid"]


@pytest.mark.parametrize(
    ("listed", "said", "wall"),
    [
        ({"wall": "V"}, {}, "V"),
        ({"wall": "V"}, {"wall": "W"}, "W"),
        ({"wall": "", "hangs_on": "P"}, {}, "W"),
        ({"wall": ""}, {"on": "P"}, "W"),
        ({"wall": "", "hangs_on": "F"}, {}, "F"),
        ({"wall": ""}, {}, ""),
        ({"wall": "", "hangs_on": "S"}, {}, ""),
    ],
)
def test_the_wall_of_a_unit_is_said_listed_or_that_of_what_it_hangs_on(listed, said, wall):
    front = a_spec("F", "wall", wall="")
    job = a_job(a_panel(), front, a_spec("S", **listed), S=Fitting(**said))
    assert wall_of("S", job) == wall


def test_a_door_before_a_unit_of_unknown_depth_leaves_its_distance_open():
    door = a_spec("D", "door", a_piece("leaf", 400, 300), hangs_on="S")
    job = a_job(a_panel(), a_spec("S", hangs_on="P"), door, S=braced(), D=Fitting())
    assert "unsaid" in whys(checked(job).unit("S"))
    light = Fitting(self_kg=0.0, self_out=from_mm(300))
    none = a_job(a_panel(), a_shelf(), door, S=braced(self_kg=0.0), D=light)
    assert checked(none).unit("S").hanging.unit.self_out == from_mm(186)


def test_units_that_carry_each_other_are_carried_by_none():
    ring = (a_spec("A", "door", hangs_on="B"), a_spec("B", "door", hangs_on="A"))
    view = checked(a_job(*ring))
    assert [whys(one) for one in view.units] == [["carrier"], ["carrier"]]


def test_a_cleat_without_a_place_is_in_nobodys_way():
    job = a_job(a_panel(), a_shelf("S"), a_shelf("T"), S=braced(), T=braced(cleat_y=None))
    assert whys(checked(job).unit("T")) == ["unsaid"]
    assert checked(job).unit("S").net_kg == 39


def test_no_screws_are_placed_where_they_are_not_known():
    odd = replace(SCREW, gauge=3)
    assert (
        screws_of(braced(), WALL, screw=odd, studs=WALL.studs, penetration=40, gravity=0.42) == ()
    )


def test_of_many_reasons_a_scan_says_the_first_and_how_many_there_are():
    one = one_shelf(drop=None, stop_on=StopOn.UNKNOWN, cleat_length=from_mm(300))
    assert len(one.refusals) > 2
    word = hang_word(one)
    assert word.detail.startswith(one.refusals[0].message)
    assert f"And {len(one.refusals) - 1} more: see Shop, Hang." in word.detail
    assert one.refusals[1].message not in word.detail
    assert len(word.check) == len(one.refusals), "the log keeps them all"
    two = one_shelf(drop=None, stop_on=StopOn.UNKNOWN)
    assert len(two.refusals) == 2
    assert "And 1 more reason: see Shop, Hang." in hang_word(two).detail


def test_no_number_is_held_out_where_something_else_stands_in_the_way():
    # two cleats in one place: the shelf by itself would carry 39 kg, and more on washers
    heavy = (Expected(kg=60.0),)
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"), S=braced(expected=heavy), T=braced(y=1050)
    )  # fmt: skip
    found = checked(job).unit("S")
    assert whys(found) == ["cleats"]
    assert found.better == ()
    assert "kg" not in hang_word(found).detail


def test_what_helps_on_a_shared_cleat_is_reckoned_with_all_that_hangs_there():
    shared = {"cleat_name": "low", "cleat_length": from_mm(912.8), "expected": (Expected(kg=60),)}
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"),
        S=braced(**shared), T=braced(x=556.4, **{**shared, "cleat_x": None}),
    )  # fmt: skip
    one = checked(job).unit("S")
    on_washers = replace(SCREW, head=Head.WASHER, head_across=from_mm(16))
    changed_job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"),
        S=braced(**shared, screw=on_washers),
        T=braced(x=556.4, **{**shared, "cleat_x": None}, screw=on_washers),
    )  # fmt: skip
    washers = next(each for each in one.better if "asher" in each.words)
    assert (washers.before, washers.after) == (one.net_kg, checked(changed_job).unit("S").net_kg)


def test_what_is_carried_hangs_in_front_unless_it_is_said_otherwise():
    box = a_spec("B", "box", a_piece("side", 400, 200), hangs_on="S")
    job = a_job(a_panel(), a_shelf(), box, S=braced(), B=Fitting(self_kg=2.0))
    # the shelf is 300 deep before a strip of 18, the box 200 before that
    assert checked(job).unit("S").hanging.unit.load_out == from_mm(318 + 100)
    assert "unhooks" in whys(checked(job).unit("S"))
    said = a_job(
        a_panel(), a_shelf(), box, S=braced(), B=Fitting(self_kg=2.0, load_out=from_mm(150))
    )
    hung = checked(said).unit("S").hanging.unit
    assert (hung.load_out, hung.self_out) == (
        from_mm(186),
        Length(-(-(9 * 186 + 300) * 1600 // 11)),
    )
    # a divider stands in it: where the shelf's own load is, or further out if it is deeper
    for depth, out in ((200, 186), (400, 218)):
        leaf = a_spec("B", "divider", a_piece("leaf", 600, depth), hangs_on="S")
        within = a_job(a_panel(), a_shelf(), leaf, S=braced(), B=Fitting(self_kg=2.0))
        assert checked(within).unit("S").hanging.unit.load_out == from_mm(out)
    flat = a_spec("B", "box", hangs_on="S")
    unknown = a_job(a_panel(), a_shelf(), flat, S=braced(), B=Fitting(self_kg=2.0))
    assert "How far out the load is: nobody said." in [
        one.message for one in checked(unknown).unit("S").refusals
    ]


def test_nothing_weighs_less_than_nothing():
    door = a_spec("D", "door", a_piece("leaf", 400, 300), hangs_on="S")
    job = a_job(a_panel(), a_shelf(), door, S=braced(), D=Fitting(self_kg=-5.0))
    assert whys(checked(job).unit("S")) == ["unsaid"]


def test_a_panel_that_the_list_does_not_hold_is_not_taken_for_none():
    found = checked(a_job(a_shelf(), S=braced(wall="W"))).unit("S")
    messages = [one.message for one in found.refusals]
    assert "The panel's thickness: nobody said." in messages
    assert "The hollow behind the panel: nobody said." in messages
    bare = a_job(a_shelf(), S=braced(wall="W", panel=from_mm(0), void=from_mm(0)))
    assert not checked(bare).unit("S").refusals


def test_only_what_lies_before_the_cleat_touches():
    # 506.4 long from 150; the cleat begins at 175
    aside = one_shelf(cleat_x=from_mm(175), strip=from_mm(506.4))
    assert aside.hanging.unit.strip == from_mm(481.4)
    off = one_shelf(x=2000)
    assert "nothing of its strip touches" in off.refusals[0].message
    assert off.net_kg is None
    assert whys(one_shelf(strip=from_mm(0))) == ["figures"]


@pytest.mark.parametrize("behind", [Backing.MASONRY, Backing.METAL, Backing.GYPSUM])
def test_a_unit_has_no_studs_where_the_wall_has_none(behind):
    wall = replace(WALL, backing=behind)
    assert whys(one_shelf(wall=wall, backing=Backing.STUD)) == ["no_stud"]
    unknown = replace(WALL, backing=Backing.UNKNOWN)
    assert one_shelf(wall=unknown, backing=Backing.STUD).net_kg == 39


def test_too_much_is_told_though_not_all_that_is_expected_is_known():
    unknown = Expected(use="books")
    plain = {"width": None, "height": None}
    spec = a_spec("S", "shelf", hangs_on="P")
    carried = a_spec("D", "divider", hangs_on="S")

    def seen(kg):
        held = Fitting(self_kg=0.0, self_out=from_mm(186), expected=(unknown,), **plain)
        job = a_job(a_panel(), spec, carried, S=braced(expected=(Expected(kg=kg),)), D=held)
        return checked(job).unit("S")

    assert (seen(20.0).load_kg, seen(20.0).fits) == (None, None)
    assert (seen(60.0).load_kg, seen(60.0).fits) == (60.0, False)
    assert "too much" in seen(60.0).words


def test_a_load_below_nothing_takes_nothing_off_another():
    found = one_shelf(expected=(Expected(kg=60.0), Expected(kg=-50.0)))
    assert found.fits is False


def test_a_stud_that_would_bring_more_to_another_gets_no_screw():
    # three studs before the strip, the unit in the middle of the first two: shares by the distance
    # from their middle at 537.6 are 0.571, 0.284 and 0.145; on the first two alone 0.5 each
    studs = tuple(replace(WALL.studs[0], x=from_mm(at)) for at in (200, 606.4, 806.4))
    more = {"x": 0, "width": from_mm(806.4), "cleat_x": from_mm(0), "cleat_length": from_mm(900)}
    found = one_shelf(wall=replace(WALL, studs=studs), **more)
    assert {one.stud for one in found.screws} == {from_mm(200), from_mm(606.4)}
    assert found.rating.statics.share == 0.5
    (left,) = (one for one in found.cautions if "left out" in one)
    assert left.startswith("The stud at 806.4 mm is left out")
    middle = one_shelf(cleat_length=from_mm(912.8), width=from_mm(912.8))
    assert len(middle.screws) == 6


def test_a_long_cleat_brings_a_short_unit_no_studs_far_from_it():
    # 506.4 wide on a cleat over all seven studs: the two before it bear it, as worked: 39 kg
    long = {"cleat_length": from_mm(2600), "strip": from_mm(480)}
    found = one_shelf(**long)
    assert len({one.stud for one in found.screws}) == 7
    assert (found.rating.statics.share, found.net_kg) == (0.5, 39)
    # right before the stud at 606.4 that one takes all; the two beside it bear more, as far as the
    # cleat bends between them
    at_one = one_shelf(**long, x=353.2)
    assert from_mm(606.4) not in {one.stud for one in at_one.screws}
    assert at_one.net_kg == int(at_one.rating.limits[Check.CLEAT]) < found.net_kg
    two = one_shelf(wall=replace(WALL, studs=WALL.studs[:2]), **long, x=353.2)
    assert two.rating.statics.share == 1
    assert two.net_kg < at_one.net_kg


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.integers(0, 1500), st.integers(600, 2400), st.integers(0, 6))
def test_one_stud_fewer_never_raises_the_number(x, length, gone):
    more = {"x": x, "cleat_x": from_mm(150), "cleat_length": from_mm(length), "self_kg": 1.0}
    fewer = replace(WALL, studs=WALL.studs[:gone] + WALL.studs[gone + 1 :])
    whole, less = one_shelf(**more), one_shelf(wall=fewer, **more)
    assert (less.net_kg or 0) <= (whole.net_kg or 0)


def test_units_on_a_shared_cleat_keep_all_its_studs():
    shared = {"cleat_name": "low", "cleat_length": from_mm(912.8)}
    job = a_job(
        a_panel(), a_shelf("S"), a_shelf("T"), S=braced(**shared), T=braced(self_kg=1.0, **shared)
    )
    assert len({one.stud for one in checked(job).unit("S").screws}) == 3


def test_a_very_long_cleat_keeps_all_its_studs():
    many = tuple(Stud(x=from_mm(200 + 300 * n), width=from_mm(38.1)) for n in range(9))
    long = {"cleat_length": from_mm(2700), "self_kg": 1.0}
    assert len({one.stud for one in one_shelf(wall=replace(WALL, studs=many), **long).screws}) == 9


def test_what_is_carried_to_a_side_counts_there():
    box = a_spec("B", "box", a_piece("side", 400, 200), hangs_on="S")
    inside = {"self_kg": 1.0, "self_out": from_mm(186), "load_out": from_mm(186)}
    at = {"x": from_mm(403.2), "width": from_mm(203.2)}

    def seen(spec, **more):
        job = a_job(a_panel(), a_shelf(), spec, S=braced(), B=Fitting(**inside, **more))
        return checked(job).unit("S")

    # its middle is at 504.8 between studs at 200 and 606.4: three quarters on the right one
    assert seen(box, **at).rating.statics.share == pytest.approx(0.75)
    assert seen(box).rating.statics.share == 0.5
    off = seen(box, x=from_mm(700), width=from_mm(200))
    assert whys(off) == ["beside"]
    # a door carries nothing: 9 kg at 403.2 and 1 kg at 504.8 are together at 413.36
    door = seen(replace(box, kind="door"), **at)
    assert door.rating.statics.share == pytest.approx(0.5 + 10.16 / 406.4, abs=1e-4)


def test_a_wall_without_layers_is_told_to_be_looked_at():
    bare = one_shelf(wall=replace(WALL, layers=()))
    assert any("No layer is entered" in one for one in bare.cautions)
    assert not any("No layer is entered" in one for one in one_shelf().cautions)


def test_a_cleat_bends_where_the_unit_is_and_not_far_from_it():
    places = (200, 1200, 1606.4)
    studs = tuple(replace(WALL.studs[0], x=from_mm(at)) for at in places)
    more = {"x": 1150, "cleat_length": from_mm(1500), "strip": from_mm(400)}
    far = one_shelf(wall=replace(WALL, studs=studs), **more)
    near = one_shelf(wall=replace(WALL, studs=studs[1:]), **more)
    assert far.net_kg == near.net_kg == 39
    assert far.rating.limits[Check.CLEAT] == near.rating.limits[Check.CLEAT]


def test_a_stud_past_the_strip_does_not_lengthen_what_bends():
    # the strip from 160 to 560 reaches 60 past the second stud, which counts as 120
    places = (200, 500, 1400)
    studs = tuple(replace(WALL.studs[0], x=from_mm(at)) for at in places)
    more = {"x": 106.8, "cleat_length": from_mm(1500), "strip": from_mm(400)}
    far = one_shelf(wall=replace(WALL, studs=studs), **more)
    near = one_shelf(wall=replace(WALL, studs=studs[:2]), **more)
    assert far.rating.limits[Check.CLEAT] == near.rating.limits[Check.CLEAT]


def test_a_strip_nobody_measured_is_asked_for():
    found = checked(a_job(a_panel(), a_spec("S", hangs_on="P"), S=braced(strip=None))).unit("S")
    assert [one.message for one in found.refusals] == [
        "The touching length of the strip: nobody said."
    ]
