"""From when a unit may be hung, stacked, loaded and wiped; its clocks; the air of shop and site."""

from dataclasses import replace
from datetime import time, timedelta

import pytest

from kiosk.rules.air import Air, Reading
from kiosk.rules.cautions import HAZARDS, say_cautions
from kiosk.rules.ends import ends_of, reached
from kiosk.rules.entries import Kind
from kiosk.rules.floor import Rack, due_list, lay_out
from kiosk.rules.rags import rags_out
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from tests.builders import (
    PRODUCTS_TEXT,
    SETUP,
    ZONE,
    a_unit,
    a_wall,
    an_entry,
    at,
    folded,
    history,
    scan_at,
    setup,
    standing_at,
)

COATED = ("cut A", "cut B", "gather A", "gather B", "glue-up 10:10", "fill 11:20", "sand 12:00",
          "coat-1 13:00", "scuff-2 17:30", "coat-2 18:00")  # fmt: skip
WALL = (
    "patch Mon 08:00",
    "sand-1 09:00",
    "skim 10:00",
    "sand-2 11:00",
    "coat-1 12:00",
    "coat-2 17:00",
)


def steady(temperature, humidity, *, first="07:00", days=20):
    return Air(
        Reading(at(first) + timedelta(hours=hour), temperature, humidity)
        for hour in range(24 * days)
    )


def shop_in(air, site=None, **more):
    return replace(SETUP, airs={"": air} | ({"GLAZE": site} if site else {}), **more)


def test_a_finish_has_three_ends_and_may_be_wiped_when_it_may_be_loaded():
    # clear on Mon 18:00: hang 48 h, stack 72 h, load 14 d
    ends = ends_of(folded(history(*COATED)), SETUP, now=at("Tue 08:00"))
    assert ends.at == {
        "hang": at("Wed 18:00"),
        "stack": at("Thu 18:00"),
        "load": at("w3 Mon 18:00"),
        "wipe": at("w3 Mon 18:00"),
    }
    seeds = ("PVA glue, interior (white)", "Polyurethane, water-based, clear")
    seeds = ("PVA glue, interior (white)", "Polyurethane, water-based, clear")
    assert (ends.why, ends.estimated, ends.seeds) == ({}, True, seeds)


def test_a_label_that_says_when_it_may_be_wiped_is_followed():
    shop = setup(
        products=PRODUCTS_TEXT.replace("load = 20160 }", "load = 20160, wipe = 10080 }", 1)
    )
    ends = ends_of(folded(history(*COATED)), shop, now=at("Tue 08:00"))
    assert (ends.at["wipe"], ends.at["load"]) == (at("w2 Mon 18:00"), at("w3 Mon 18:00"))


def test_the_stripe_counts_beside_the_finish():
    striped = a_unit(accent=True)
    lines = (*COATED, "mask Tue 18:10", "stripe-1 Tue 18:30")
    ends = ends_of(folded(history(*lines, unit=striped)), SETUP, now=at("Wed 08:00"))
    assert set(ends.why.values()) == {"stripe 2 is not on yet"}
    assert ends.at == {}
    lines = (*lines, "stripe-2 Tue 23:00")
    ends = ends_of(folded(history(*lines, unit=striped)), SETUP, now=at("Wed 08:00"))
    # enamel: load 21 d
    assert ends.at["load"] == at("w4 Tue 23:00")


@pytest.mark.parametrize(
    ("unit", "lines", "why"),
    [
        (a_unit(), COATED[:-1], "coat 2 is not on yet"),
        (a_unit(finish="", parts="A"), ("cut A",), "no finish"),
        (a_unit(), (*COATED, "hold runs"), "on hold"),
        (a_unit(finish=""), COATED[:4], "glue up is not done yet"),
        (a_unit(finish="milk paint"), COATED, "no figure on the label"),
    ],
)
def test_where_no_end_can_be_told_it_says_why(unit, lines, why):
    ends = ends_of(folded(history(*lines, unit=unit)), SETUP, now=at("Tue 08:00"))
    assert set(ends.why.values()) == {why}


def test_a_glued_unit_without_a_finish_may_be_used_when_its_joint_has_full_strength():
    ends = ends_of(folded(history(*COATED[:5], unit=a_unit(finish=""))), SETUP, now=at("11:00"))
    assert set(ends.at.values()) == {at("Tue 10:10")}


def test_where_the_air_may_have_kept_a_film_from_forming_no_date_is_given():
    ends = ends_of(folded(history(*COATED)), shop_in(steady(5, 50)), now=at("Tue 08:00"))
    assert (ends.at, set(ends.why.values())) == (
        {},
        {"glue up and fill and coat 1 and coat 2 to be tested first"},
    )


def test_an_end_out_of_sight_is_said_to_be():
    rows = [(0, 23), (600, 23), (900, 23), (960, 5)]
    cooling = Air(Reading(at("08:00") + timedelta(minutes=m), t, 50) for m, t in rows)
    ends = ends_of(folded(history(*COATED)), shop_in(cooling), now=at("23:00"))
    assert set(ends.why.values()) == {"not in sight in this air"}


def test_ends_that_lie_behind_the_last_reading_are_no_estimates():
    shop = shop_in(steady(23, 50))
    state = folded(history(*COATED))
    assert not ends_of(state, shop, now=at("w3 Wed 08:00")).estimated


def test_figures_read_off_the_label_are_no_seeds():
    read = PRODUCTS_TEXT.replace("[clear]\n", "[clear]\nseed = false\n")
    read = read.replace("[pva-interior]\n", "[pva-interior]\nseed = false\n")
    assert ends_of(folded(history(*COATED)), setup(products=read), now=at("Tue 08:00")).seeds == ()


def test_every_stage_that_matters_of_what_lies_open_has_its_clock():
    found = reached(folded(history(*COATED)), SETUP, now=at("Mon 18:30"))
    steps = [one.step.name for one in found]
    assert list(dict.fromkeys(steps)) == ["glue-up", "fill", "coat-2"]
    glue = {one.stage: one for one in found if one.step.name == "glue-up"}
    # out of clamps and full strength are kept apart
    assert (glue["clamp"].clock.expected, glue["full"].clock.expected) == (
        at("11:10"),
        at("Tue 10:10"),
    )
    assert (glue["clamp"].look.state, glue["full"].look.state) == ("ready", "running")
    assert all(one.seed for one in found)
    # no tape comes on this unit, and nothing waits to be coated any more
    coat = {one.stage for one in found if one.step.name == "coat-2"}
    assert coat == {"touch", "hang", "stack", "load"}


def test_what_a_step_used_that_nobody_knows_has_no_clock():
    found = reached(
        folded(history(*COATED, unit=a_unit(finish="milk paint"))), SETUP, now=at("20:00")
    )
    assert {one.step.name for one in found} == {"glue-up", "fill"}


# -- the air in the standing -----------------------------------------------------------------


def test_a_cold_damp_shop_takes_longer_and_the_board_says_why():
    entries = history(*COATED[:-2])
    one = standing_at("14:00", entries, shop=shop_in(steady(18, 65)))
    # sand 240 min at 0.514: 467 min
    assert one.hands_at.replace(second=0, microsecond=0) == at("20:46")
    assert one.why.startswith("coat 1 dries until 20:46, then scuff before coat 2; 18 °C and 65 %")
    assert one.progress(at("14:00")) == pytest.approx(60 * 0.514321 / 240, abs=1e-3)
    assert (one.estimated, one.uncertain, one.held, one.risk) == (False, False, False, "")


def test_a_clock_that_stands_still_says_so_and_nobody_is_called():
    one = standing_at("14:00", history(*COATED[:-2]), shop=shop_in(steady(8, 50)))
    assert (one.state, one.hands_at, one.held) == (State.COAT_DRYING, None, True)
    assert "coat 1 does not dry, then scuff before coat 2; held: air 8 °C" in one.why
    assert one.why.startswith("glue up, fill, coat 1: too cold too soon, test or redo them; ")
    assert one.progress(at("14:00")) == 0


def test_cold_that_is_coming_is_said_before_it_comes():
    # 16 to 4 °C in a day: 10 °C at 19:00
    night = Air([Reading(at("07:00"), 16, 50), Reading(at("Tue 07:00"), 4, 50)])
    shop = replace(setup(glue="pva-water-resistant"), airs={"": night})
    assert "too cold from 19:00" in standing_at("18:05", history(*COATED), shop=shop).why
    held = standing_at("19:30", history(*COATED), shop=shop)
    assert (held.held, "too cold from" in held.why) == (True, False)


def test_a_film_that_was_too_cold_is_marked_for_good():
    rows = [("07:00", 20), ("12:50", 20), ("13:10", 8), ("17:00", 23)]
    warm = [Reading(at("17:00") + timedelta(hours=hour), 23, 50) for hour in range(1, 200)]
    cold = Air([*(Reading(at(when), degrees, 50) for when, degrees in rows), *warm])
    shop = replace(setup(glue="epoxy-slow"), airs={"": cold})
    plain = replace(shop.products["epoxy-slow"], least_c=None)
    shop = replace(shop, products={**shop.products, "epoxy-slow": plain})
    due = standing_at("Tue 08:00", history(*COATED[:-2]), shop=shop)
    assert due.risk == "at_risk"
    assert "coat 1: too cold before it was dry to touch" in due.why
    hung = standing_at("w2 Mon 09:00", history(*COATED, "hang w2 Mon 08:00"), shop=shop)
    assert (hung.state, hung.risk) == (State.HUNG, "at_risk")
    assert "coat 1: too cold" in due.warning


def test_the_worst_that_the_air_did_is_told_first():
    rows = [(0, 23, 90), (30, 23, 90), (60, 23, 50), (360, 23, 50), (370, 5, 50), (500, 23, 50)]
    air = Air(Reading(at("13:00") + timedelta(minutes=m), t, h) for m, t, h in rows)
    lines = (*COATED[:-2], "scuff-2 17:30", "coat-2 19:05")
    one = standing_at("22:00", history(*lines), shop=shop_in(air))
    assert one.risk == "at_risk"
    assert "coat 2" in one.why


def test_a_wall_dries_in_the_air_of_its_site():
    entries = history(*WALL, unit=a_wall())
    warm, cold = steady(23, 50), steady(12, 70)
    in_shop = standing_at("Tue 08:00", entries, shop=shop_in(warm))
    assert "no reading" not in in_shop.why  # no air was ever read there: the label's own
    on_site = standing_at("Tue 08:00", entries, shop=shop_in(warm, cold))
    assert on_site.hands_at > in_shop.hands_at
    shelf = history(*COATED)
    at_bench = [
        standing_at("Mon 19:00", shelf, shop=one).hands_at
        for one in (shop_in(warm), shop_in(warm, cold))
    ]
    assert at_bench[0] == at_bench[1]


def test_an_answer_about_the_air_lasts_ten_minutes():
    one = standing_at("14:00", history(*COATED[:-2]), shop=shop_in(steady(18, 65)))
    assert one.changes_at == at("14:10")


def test_too_late_for_a_coat_and_too_soft_to_scuff_it_waits():
    windows = (
        'windows = [{ opens = 60, closes = 120, action = "none" },'
        ' { opens = 120, closes = 4320, action = "wait" }, { opens = 4320, action = "scuff" }]\n'
    )
    products = PRODUCTS_TEXT.replace("[clear]\n", f"[clear]\n{windows}").replace(
        "recoat = 120, window = 720, sand = 240", "recoat = 60, window = 120, sand = 60", 1
    )
    shop = setup(products=products)
    entries = history(*COATED[:-2])
    assert standing_at("14:30", entries, shop=shop).state == State.COAT_DUE
    waits = standing_at("15:30", entries, shop=shop)
    assert (waits.state, waits.hands_at) == (State.COAT_DRYING, at("Thu 13:00"))
    assert "too soft to scuff until Thu 13:00" in waits.why
    assert waits.progress(at("15:00")) == 0
    assert 0 < waits.progress(at("Tue 15:00")) < 1
    late = standing_at("Thu 13:00", entries, shop=shop)
    assert (late.state, late.step.name) == (State.SCUFF_FIRST, "scuff-2")


def test_a_middle_that_never_ends_in_this_air_has_no_hour():
    windows = (
        'windows = [{ opens = 60, closes = 120, action = "none" },'
        ' { opens = 4320, action = "scuff" }]\n'
    )
    products = PRODUCTS_TEXT.replace("[clear]\n", f"[clear]\n{windows}")
    cooling = Air(
        [Reading(at("07:00"), 23, 50), Reading(at("18:00"), 23, 50), Reading(at("19:00"), 4, 50)]
    )
    shop = replace(setup(products=products), airs={"": cooling})
    one = standing_at("18:30", history(*COATED[:-2]), shop=shop)
    assert (one.state, one.hands_at, one.progress(at("18:30"))) == (State.COAT_DRYING, None, 0)
    assert "no end is in sight" in one.why


# -- cautions and rags -----------------------------------------------------------------------


def test_cautions_are_said_once_each_with_the_labels_own_words_last():
    said = say_cautions(["dust", "skin", "dust"], "Stir well.")
    assert said == f"{HAZARDS['dust']} {HAZARDS['skin']} Stir well."
    assert say_cautions([]) == ""


OILED = a_unit(finish="oil")


@pytest.mark.parametrize(
    ("now", "cleared", "since", "pressing"),
    [
        ("12:00", None, None, None),
        ("13:00", None, "13:00", False),
        ("16:59", None, "13:00", False),
        ("17:00", None, "13:00", True),
        ("Tue 07:00", None, "13:00", True),
        ("17:30", "17:20", None, None),
        ("17:30", "12:00", "13:00", True),
    ],
)
def test_oily_rags_are_asked_for_until_they_are_ticked_off(now, cleared, since, pressing):
    states = [folded(history(*COATED[:-2], unit=OILED)), folded(history(*COATED))]
    found = rags_out(
        states,
        SETUP,
        now=at(now),
        cleared=at(cleared) if cleared else None,
        closes_at=time(17),
    )
    if since is None:
        assert found is None
    else:
        assert (found.since, found.pressing, found.product) == (at(since), pressing, "Hardwax oil")


def test_the_oldest_rag_counts():
    states = [
        folded(history("coat-1 Mon 15:00", unit=OILED)),
        folded(history("coat-1 Mon 13:00", "coat-2 Tue 14:00", unit=OILED)),
    ]
    found = rags_out(states, SETUP, now=at("Tue 15:00"), cleared=None, closes_at=time(17))
    assert (found.since, found.pressing) == (at("Mon 13:00"), True)


def test_a_shop_without_oily_products_has_no_rags():
    shop = replace(SETUP, products={"clear": SETUP.products["clear"]})
    states = [folded(history(*COATED))]
    assert rags_out(states, shop, now=at("Tue 15:00"), cleared=None, closes_at=time(17)) is None


def test_what_is_held_with_no_end_in_sight_is_refused_and_shown_as_held():
    shop = shop_in(steady(8, 50))
    entries = history(*COATED[:-2])
    verdict = scan_at("14:00", entries, "finish", "A", shop=shop)
    assert (verdict.outcome, verdict.message) == (Outcome.TOO_EARLY, "Too early: no end in sight")
    one = standing_at("14:00", entries, shop=shop)
    floor, _ = lay_out([one], now=at("14:00"), zone=ZONE, racks=[Rack("Rack", 2, "coat")])
    assert floor.next_hands == "all that rests is held"
    assert [tile.word for tile in floor.places[0].slots if tile] == ["at risk, held"]
    (due,) = due_list([one], "finish", now=at("14:00"), zone=ZONE)
    assert due.words == "scuff before coat 2, once it dries"


def test_what_became_due_by_forecast_alone_says_so():
    last = Air([Reading(at("12:00"), 23, 50), Reading(at("14:00"), 23, 50)])
    one = standing_at("18:00", history(*COATED[:-2]), shop=shop_in(last))
    assert (one.state, one.estimated) == (State.COAT_DUE, True)
    assert one.why.endswith("by estimate, air last read 14:00: touch test first")
    assert one.warning in one.why
    read = standing_at("18:00", history(*COATED[:-2]), shop=shop_in(steady(23, 50)))
    assert (read.estimated, read.warning) == (False, "")


def test_a_tape_that_is_late_or_nearly_is_shown_as_late():
    striped = a_unit(accent=True)
    lines = (*COATED, "mask Tue 18:10", "stripe-1 Tue 18:30", "stripe-2 Tue 22:30")
    words = {}
    for when in ("Tue 23:40", "Wed 06:10", "Wed 08:00"):
        one = standing_at(when, history(*lines, unit=striped))
        (due,) = due_list([one], "finish", now=at(when), zone=ZONE)
        words[when] = due.state
    assert words == {"Tue 23:40": "other", "Wed 06:10": "late", "Wed 08:00": "late"}


def test_old_work_is_not_judged_by_air_read_long_after():
    late = Air([Reading(at("w2 Mon 08:00"), 5, 50), Reading(at("w2 Mon 09:00"), 5, 50)])
    one = standing_at("w2 Mon 09:00", history(*COATED), shop=shop_in(late))
    assert one.risk == ""


def test_a_slow_glue_is_at_risk_as_long_as_it_may_not_be_moved():
    rows = [(0, 16), (26, 16), (26.1, 8), (30, 8), (30.1, 16), (60, 16)]
    air = Air(Reading(at("10:00") + timedelta(hours=h), t, 65) for h, t in rows)
    shop = replace(setup(glue="hide-liquid"), airs={"": air})
    one = standing_at("Wed 20:00", history(*COATED[:5]), shop=shop)
    assert one.risk == "at_risk"


def test_what_was_tested_and_found_sound_is_at_risk_no_more():
    rows = [("07:00", 20), ("12:50", 20), ("13:10", 8), ("17:00", 23)]
    warm = [Reading(at("17:00") + timedelta(hours=hour), 23, 50) for hour in range(1, 400)]
    air = Air([*(Reading(at(when), degrees, 50) for when, degrees in rows), *warm])
    shop = shop_in(air, products={"clear": SETUP.products["clear"]})
    entries = history(*COATED)
    before = standing_at("w2 Mon 09:00", entries, shop=shop)
    assert (before.risk, before.why.startswith("coat 1: too cold")) == ("at_risk", True)
    floor, _ = lay_out([before], now=at("w2 Mon 09:00"), zone=ZONE, racks=[Rack("D", 2, "ready")])
    assert [tile.word for tile in floor.places[0].slots if tile] in (["at risk: test"], [])

    def found(body):
        return [*entries, an_entry(Kind.DRYNESS_FOUND, body, when="w2 Mon 08:00", seq=99)]

    for body in (
        {"step": "", "stage": "tested", "dry": True},
        {"step": "coat-1", "stage": "recoat", "dry": True},
    ):
        assert standing_at("w2 Mon 09:00", found(body), shop=shop).risk == ""
    other = {"step": "coat-2", "stage": "recoat", "dry": True}
    assert standing_at("w2 Mon 09:00", found(other), shop=shop).risk == "at_risk"


def test_a_caution_stands_beside_several_that_are_at_risk():
    rows = [(0, 23, 90), (30, 23, 90), (60, 23, 50), (360, 23, 50), (370, 5, 50), (900, 5, 50)]
    air = Air(Reading(at("13:00") + timedelta(minutes=m), t, h) for m, t, h in rows)
    striped = a_unit(accent=True)
    lines = (*COATED[:-2], "scuff-2 17:30", "coat-2 19:05", "mask 19:10", "stripe-1 19:20")
    one = standing_at("23:00", history(*lines, unit=striped), shop=shop_in(air))
    assert one.why.startswith("coat 2, stripe 1: too cold too soon, test or redo them; ")
    assert "coat 1: too damp while wet: look for haze" in one.why
