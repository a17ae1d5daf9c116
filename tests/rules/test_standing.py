import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kiosk.rules.entries import STRIKABLE, Kind
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.rules.standing import stand
from kiosk.rules.steps import missing_parts, next_step, supports_of
from tests.builders import (
    CUT_ONLY,
    PRODUCTS_TEXT,
    ROUTES_TEXT,
    SETUP,
    ZONE,
    a_standing,
    a_unit,
    an_entry,
    at,
    folded,
    history,
    late,
    scan_at,
    setup,
    standing_at,
    taken,
)
from tests.strategies import logs, moments

GLUED = ("cut A 08:00", "cut B", "gather A", "gather B", "glue-up 10:10")
SHELF = {step.name: step for step in SETUP.routes["shelf"].steps}


def test_a_new_unit_is_to_be_cut_and_counts_its_parts():
    one = standing_at("07:30", history())
    assert (one.state, one.station, one.why) == (State.TO_CUT, "cut", "0 of 2 parts cut")
    assert (one.parts_done, one.parts_wanted, one.coats_wanted, one.hands_at) == (0, 2, 2, None)


def test_parts_cut_are_gathered_and_then_the_unit_is_glued_up():
    gathering = standing_at("09:00", history(*GLUED[:3]))
    assert (gathering.state, gathering.step.name) == (State.TO_ASSEMBLE, "gather")
    assert gathering.why == "1 of 2 parts gathered"
    gluing = standing_at("09:00", history(*GLUED[:4]))
    assert (gluing.step.name, gluing.why) == ("glue-up", "glue up since 08:03")


def test_gathering_a_part_shows_that_it_was_cut():
    one = standing_at("09:00", history("gather A", "gather B"))
    assert one.step.name == "glue-up"
    assert standing_at("09:00", history("gather A")).why == "1 of 2 parts cut"


def test_gluing_shows_that_all_parts_were_cut_and_gathered():
    assert standing_at("10:20", history("glue-up 10:10")).state == State.GLUE_CURING


def test_a_step_left_out_is_stood_for_by_the_one_after_it():
    assert standing_at("12:00", history(*GLUED, "sand 11:00")).step.name == "coat-1"


def test_striking_the_step_after_it_brings_the_step_left_out_back():
    one = standing_at("12:00", history(*GLUED, "sand 11:00", "strike"))
    assert one.step.name == "fill"


def test_a_recut_after_glue_up_goes_back_to_the_saw_and_names_the_part():
    entries = history(*GLUED, "spoil A A2 10:30")
    one = standing_at("12:00", entries)
    assert (one.state, one.step.name) == (State.TO_CUT, "cut")
    assert one.why == "recut part A: the first one is spoiled"
    assert (one.parts_done, one.parts_wanted) == (1, 2)


def test_a_recut_that_is_cut_gathered_and_glued_lets_the_unit_go_on():
    lines = (*GLUED, "spoil A A2 10:30", "cut A2 10:40")
    assert standing_at("12:00", history(*lines)).step.name == "gather"
    assert standing_at("12:00", history(*lines, "gather A2 10:50")).step.name == "fill"


def test_a_unit_step_after_the_recut_was_made_stands_for_its_cut():
    lines = (*GLUED, "spoil A A2 10:30", "fill 12:00")
    assert standing_at("12:40", history(*lines)).step.name == "sand"


def test_a_recut_is_still_to_be_cut_after_a_revised_list_names_it_in_place_of_the_spoiled_part():
    entries = history(*GLUED, "spoil A A2 10:30")
    revised = taken(a_unit(parts=("A2", "B"), name="Top shelf"), when="12:00", seq=20)
    one = standing_at("13:00", [*entries, revised])
    assert (one.step.name, one.why) == ("cut", "recut part A2: the first one is spoiled")
    assert scan_at("13:00", [*entries, revised], "cut", "A2").outcome == Outcome.RECORDED
    glued_since = history(*GLUED[:4], "spoil A A2 10:05", "glue-up 10:10")
    assert standing_at("13:00", [*glued_since, revised]).step.name == "fill"


def test_a_part_added_to_the_list_after_glue_up_is_to_be_cut():
    revised = taken(a_unit(parts="ABC"), when="12:00", seq=20)
    entries = [*history(*GLUED), revised]
    one = standing_at("13:00", entries)
    assert (one.step.name, one.why, one.parts_wanted) == ("cut", "2 of 3 parts cut", 3)
    assert scan_at("13:00", entries, "cut", "C").outcome == Outcome.RECORDED
    before = taken(a_unit(parts="ABC"), when="10:00", seq=20)
    assert standing_at("13:00", [*history(*GLUED), before]).step.name == "fill"


def test_a_list_taken_in_once_more_asks_for_no_part_again():
    again = [taken(a_unit(name="Top shelf"), when="12:00", seq=20)]
    assert standing_at("13:00", [*history("glue-up 10:10"), *again]).step.name == "fill"


def test_a_spoiled_part_is_not_waited_for_nor_one_the_list_dropped():
    state = folded(history("cut A", "spoil B B2"))
    (lacking,) = missing_parts(state, SHELF["cut"], (SHELF["gather"], SHELF["glue-up"]))
    assert lacking.piece.code == "B2"


def test_a_hold_shows_its_reason_and_since_when_whatever_else_is_due():
    entries = history(*GLUED, "hold wet wood 10:20")
    one = standing_at("10:30", entries)
    assert (one.state, one.why) == (State.ON_HOLD, "on hold since 10:20: wet wood")
    assert (one.step.name, one.resting, one.progress(at("10:30"))) == ("fill", False, 0)
    assert standing_at("10:30", [*entries, history(*GLUED, "hold x", "lift 10:25")[-1]]).resting


def test_of_two_holds_the_last_is_told():
    assert standing_at("11:00", history("hold wet wood 10:20", "hold ask 10:30")).why.endswith(
        "ask"
    )


def test_a_hold_put_by_a_clock_that_runs_ahead_says_since_only_when_it_is_past():
    entries = history("hold wet wood 10:20")
    before = standing_at("10:10", entries)
    assert (before.why, before.changes_at) == ("on hold: wet wood", at("10:20"))
    assert standing_at("10:20", entries).why == "on hold since 10:20: wet wood"


def test_without_a_figure_the_unit_is_on_hold_and_says_which_figure_is_lacking():
    clear = "touch = 45, recoat = 120, window = 720, sand = 240,"
    products = PRODUCTS_TEXT.replace(clear, clear.replace("sand = 240,", ""))
    assert products != PRODUCTS_TEXT
    one = standing_at("18:00", history("coat-1 13:00"), shop=setup(products=products))
    assert one.state == State.ON_HOLD
    assert one.why == (
        "no figure for Polyurethane, water-based, clear: may be sanded; add it from the label"
    )


def test_a_finish_nobody_knows_holds_the_unit_after_its_coat():
    entries = history("coat-1 13:00", unit=a_unit(finish="milk paint"))
    assert standing_at("18:00", entries).why.startswith("no figure for what coat 1 uses")
    due = standing_at("12:40", history("sand 12:00", unit=a_unit(finish="milk paint")))
    assert (due.state, due.caution) == (State.COAT_DUE, "")


def test_the_products_caution_goes_with_the_step_that_uses_it():
    assert "Fresh air" in standing_at("12:40", history("sand 12:00")).caution
    # scuffing uses nothing, and its own caution is the dust
    scuff = standing_at("18:00", history("coat-1 13:00")).caution
    assert "dust" in scuff
    assert "Fresh air" not in scuff


def test_a_rest_shows_its_progress_and_a_due_step_none():
    rest = standing_at("10:25", history(*GLUED))
    assert (rest.resting, rest.progress(at("10:25"))) == (True, 0.25)
    assert standing_at("12:00", history(*GLUED)).progress(at("12:00")) == 0
    assert a_standing(state=State.HARDENING).progress(at("12:00")) == 0


def test_a_rest_of_a_late_scan_runs_from_when_it_happened():
    *before, glued = history(*GLUED[:4], "glue-up 12:00")
    assert standing_at("12:00", [*before, late(glued, "10:10")]).state == State.TO_PREPARE


def test_nothing_left_says_since_when_it_is_up():
    one = standing_at("Tue 12:00", history("hang Tue 11:00"))
    assert (one.state, one.step, one.station) == (State.HUNG, None, "")
    assert one.why == "up since 11:00"


def test_a_route_of_parts_alone_is_up_when_the_last_part_is():
    shop, rail = setup(routes=CUT_ONLY), a_unit("R1", kind="rail")
    up = standing_at("09:00", history("cut A 08:00", "cut B", unit=rail), shop=shop)
    assert (up.state, up.why) == (State.HUNG, "up since 08:01")


def test_a_unit_its_route_asks_nothing_of_is_up():
    shop, rail = setup(routes=CUT_ONLY), a_unit("R1", kind="rail", parts="")
    one = standing_at("09:00", history(unit=rail), shop=shop)
    assert (one.state, one.why) == (State.HUNG, "up")


def test_the_earlier_of_two_windows_closes_a_step():
    closes = 'waits = [["coat-1", "sand"]]\ncloses = [["coat-1", "window"]]\n'
    both = closes.replace('"window"]]', '"window"], ["coat-1", "score"], ["fill", "window"]]')
    assert closes in ROUTES_TEXT
    shop = setup(routes=ROUTES_TEXT.replace(closes, both, 1))
    # clear: score 8 h before window 12 h; the filler has no window and so closes nothing
    for lines in (("fill 12:00", "coat-1 13:00"), ("coat-1 13:00",)):
        assert standing_at("18:00", history(*lines), shop=shop).window_closes_at == at("21:00")


@pytest.mark.parametrize(
    ("unit", "known", "supports"),
    [
        (a_unit("S1", hangs_on="P1", wall="W1"), {"P1", "W1"}, ("P1",)),
        (a_unit("S1", hangs_on="P1", wall="W1"), {"W1"}, ("W1",)),
        (a_unit("S1", hangs_on="S1", wall="W1"), {"S1", "W1"}, ("W1",)),
        (a_unit("S1", hangs_on="P1"), set(), ()),
        (a_unit("S1"), {"P1", "W1"}, ()),
    ],
)
def test_a_unit_waits_for_what_it_hangs_on_else_for_its_wall(unit, known, supports):
    assert supports_of(unit, known) == supports


def test_two_missing_supports_are_both_named():
    one = standing_at(
        "Wed 12:00", history("glue-up 10:10", unit=a_unit(finish="")), missing=("P1", "W1")
    )
    assert one.why == "ready, after P1 and W1"


def test_supports_do_not_matter_before_the_unit_is_ready():
    one = standing_at("10:30", history(*GLUED), missing=("P1",))
    assert (one.state, one.missing) == (State.GLUE_CURING, ())


def test_an_answer_lasts_until_midnight_when_times_are_said_otherwise():
    assert standing_at("07:30", history()).changes_at == at("Tue 00:00")
    assert standing_at("10:30", history(*GLUED)).changes_at == at("11:10")


def test_nothing_is_next_when_all_is_done_and_the_first_step_when_nothing_is():
    steps = SETUP.steps(a_unit())
    assert next_step(folded(history("hang 10:00")), steps) is None
    assert next_step(folded(history()), steps).name == "cut"


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=200)
@given(logs(), moments(), st.sampled_from(((), ("P1",))))
def test_every_unit_has_exactly_one_standing_at_any_time(entries, now, missing):
    one = stand(folded(entries), SETUP, now=now, missing=missing)
    assert one.state in State
    assert one.why
    assert (one.step is None) == (one.station == "")
    assert one.resting == (one.rests_on != "")
    assert one.changes_at > now
    if one.resting:
        assert one.started <= one.earliest <= one.hands_at <= one.latest
        assert now < one.hands_at


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=300)
@given(logs(), moments(), st.floats(0, 1, exclude_max=True))
def test_a_standing_does_not_change_before_it_says_so(entries, now, share):
    state = folded(entries)
    one = stand(state, SETUP, now=now)
    later = now + (one.changes_at - now) * share
    assume(later < one.changes_at)
    assert stand(state, SETUP, now=later) == one


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=200)
@given(logs(), moments())
def test_striking_everything_gives_back_the_standing_of_the_bare_list(entries, now):
    strikes = [
        an_entry(Kind.STRUCK, {"target": entry.id}, when="w3 Mon 08:00", seq=n, kiosk="K9")
        for n, entry in enumerate(entries)
        if entry.kind in STRIKABLE
    ]
    bare = [entry for entry in entries if entry.kind not in STRIKABLE]
    assert stand(folded(entries + strikes), SETUP, now=now) == stand(folded(bare), SETUP, now=now)


def test_midnight_is_that_of_the_shop():
    assert standing_at("07:30", history()).changes_at.astimezone(ZONE).hour == 0
