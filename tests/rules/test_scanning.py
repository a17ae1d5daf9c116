from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.fold import Done
from kiosk.rules.route import STATIONS, State
from kiosk.rules.scanning import Offer, Outcome, Question, judge
from tests.builders import (
    CUT_ONLY,
    PRODUCTS_TEXT,
    SETUP,
    ZONE,
    a_unit,
    a_wall,
    at,
    folded,
    history,
    late,
    scan_at,
    setup,
    standing_at,
    taken,
)
from tests.strategies import UNIT_STEPS, logs, moments

READY_TO_GLUE = ("cut A 08:00", "cut B", "gather A", "gather B")
GLUED = (*READY_TO_GLUE, "glue-up 10:10")
COATED = (*GLUED, "fill 11:20", "sand 12:00", "coat-1 13:00")


def said(verdict):
    return verdict.outcome, verdict.message


# -- recorded ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "when", "station", "part", "step", "recorded"),
    [
        ((), "08:00", "cut", "A", "cut", "A"),
        (("cut A 08:00",), "08:10", "assemble", "A", "gather", "A"),
        (READY_TO_GLUE, "08:10", "assemble", "A", "glue-up", ""),
        (READY_TO_GLUE, "08:10", "assemble", "", "glue-up", ""),
        (GLUED, "11:10", "finish", "B", "fill", ""),
        (COATED, "17:00", "finish", "B", "scuff-2", ""),
    ],
)
def test_the_step_that_is_due_here_is_recorded(lines, when, station, part, step, recorded):
    verdict = scan_at(when, history(*lines), station, part)
    assert (verdict.outcome, verdict.step.name, verdict.part) == (Outcome.RECORDED, step, recorded)
    assert (verdict.message, verdict.offers) == ("", ())


def test_a_unit_of_one_part_goes_from_cut_to_finish_and_to_the_wall():
    single = a_unit(parts="A", finish="")
    cut = history("cut A 08:00", unit=single)
    assert scan_at("08:10", cut, "install", "A").step.name == "hang"
    assert scan_at("08:10", cut, "assemble", "A").outcome == Outcome.ELSEWHERE


def test_a_unit_without_finish_is_not_coated():
    entries = history(*GLUED, unit=a_unit(finish=""))
    verdict = scan_at("Tue 12:00", entries, "finish", "A")
    assert said(verdict) == (Outcome.ELSEWHERE, "Not here: hang")
    assert scan_at("Tue 12:00", entries, "install", "A").step.name == "hang"


def test_a_recut_after_glue_up_is_recorded_at_the_saw():
    entries = history(*GLUED, "spoil A A2 10:30")
    assert scan_at("10:40", entries, "cut", "A2").step.name == "cut"
    assert said(scan_at("11:30", entries, "finish", "B")) == (Outcome.ELSEWHERE, "Not here: cut")


def test_a_closed_window_makes_the_scan_a_scuff():
    verdict = scan_at("Tue 08:00", history(*COATED), "finish", "A")
    assert (verdict.outcome, verdict.step.name) == (Outcome.RECORDED, "scuff-2")


def test_a_scuff_the_route_does_not_have_is_recorded_scanned_or_named():
    entries = history("coat-1 Mon 11:00", unit=a_wall())
    assert scan_at("Thu 12:00", entries, "install").step.name == "scuff-2"
    named = scan_at("Thu 12:00", entries, "install", step="scuff-2")
    assert (named.outcome, named.step.name) == (Outcome.RECORDED, "scuff-2")


# -- already ----------------------------------------------------------------------------------


def test_a_second_read_within_a_minute_is_a_repeat_and_offers_the_next_step():
    entries = history(*GLUED, "fill 11:20", "sand 12:00:00")
    for seconds, outcome in ((0, Outcome.ALREADY), (59, Outcome.ALREADY), (60, Outcome.RECORDED)):
        now = at("12:00") + timedelta(seconds=seconds)
        assert scan_at(now, entries, "finish", "A").outcome == outcome
    verdict = scan_at(at("12:00") + timedelta(seconds=30), entries, "finish", "A")
    assert (verdict.message, verdict.step.name) == ("Already: sanded", "sand")
    assert verdict.offers == (Offer("also", "coat-1", "Coat 1 on too"),)
    assert verdict.detail.startswith("12:00 by Ida")
    assert verdict.done.entry == entries[-1].id


def test_of_two_steps_in_one_minute_the_repeat_names_the_later():
    entries = history(*GLUED, "fill 11:20", "sand 12:00", "coat-1 12:00")
    assert scan_at("12:00", entries, "finish", "A").message == "Already: coat 1 on"


def test_a_second_read_after_a_scuff_the_route_does_not_have_does_not_record_the_coat():
    entries = history("coat-1 Mon 11:00", "scuff-2 Thu 12:00", unit=a_wall())
    verdict = scan_at(at("Thu 12:00") + timedelta(seconds=10), entries, "install")
    assert said(verdict) == (Outcome.ALREADY, "Already: scuffed for paint 2")
    assert verdict.offers == (Offer("also", "coat-2", "Second paint on too"),)
    assert scan_at("Thu 12:01", entries, "install").step.name == "coat-2"


def test_the_span_of_a_repeat_is_a_setting():
    entries = history(*GLUED, "fill 11:20", "sand 12:00")
    verdict = scan_at("12:01", entries, "finish", "A", repeat=timedelta(minutes=5))
    assert verdict.outcome == Outcome.ALREADY


def test_of_two_people_scanning_the_same_unit_the_second_records_nothing():
    entries = history(*GLUED)
    first = scan_at("11:20", entries, "finish", "A")
    second = scan_at(
        at("11:20") + timedelta(seconds=20), history(*GLUED, "fill 11:20"), "finish", "B"
    )
    assert (first.outcome, first.step.name) == (Outcome.RECORDED, "fill")
    assert said(second) == (Outcome.ALREADY, "Already: filled")


def test_the_next_station_is_no_repeat():
    verdict = scan_at("08:00", history("cut A 08:00"), "assemble", "A")
    assert (verdict.outcome, verdict.step.name) == (Outcome.RECORDED, "gather")


def test_a_part_cut_before_says_when_by_whom_and_what_is_still_to_cut():
    verdict = scan_at("09:00", history("cut A 08:00", unit=a_unit(parts="ABCDE")), "cut", "A")
    assert said(verdict) == (Outcome.ALREADY, "Already: cut")
    assert verdict.detail == (
        "08:00 by Ida. Still to cut: part B B, part C C, part D D and 1 more."
    )
    assert verdict.offers == ()


def test_a_record_without_a_name_leaves_the_name_out():
    entries = history("cut A 08:00")
    nameless = [*entries[:-1], _by_nobody(entries[-1])]
    assert scan_at("09:00", nameless, "cut", "A").detail.startswith("08:00. Still to cut")


def _by_nobody(entry):
    return replace(entry, person="")


def test_where_only_unscanned_parts_stand_against_it_gluing_anyway_is_offered():
    for lines in (("cut A 08:00", "gather A"), ("cut A 08:00", "cut B", "gather A")):
        verdict = scan_at("09:00", history(*lines), "assemble", "A")
        assert verdict.outcome == Outcome.ALREADY
        assert verdict.offers == (Offer("go_ahead", "glue-up", "glue up all the same"),)


def test_gluing_anyway_is_not_offered_at_another_station_or_once_glued():
    assert scan_at("09:00", history("cut A 08:00"), "cut", "A").offers == ()
    glued = history(*GLUED, "spoil A A2 10:30")
    verdict = scan_at("11:00", glued, "assemble", "B")
    assert (verdict.message, verdict.offers) == ("Already: glued up", ())


def test_where_the_route_ends_with_its_parts_no_further_step_is_offered():
    entries = history("cut A 08:00", unit=a_unit("R1", kind="rail"))
    verdict = scan_at("09:00", entries, "cut", "A", shop=setup(routes=CUT_ONLY))
    assert (verdict.message, verdict.offers) == ("Already: cut done", ())


def test_a_unit_step_already_done_here_says_what_is_next_elsewhere():
    verdict = scan_at("11:30", history(*GLUED), "assemble", "A")
    assert said(verdict) == (Outcome.ALREADY, "Already: glued up")
    assert verdict.detail == "10:10 by Ida. Fill since 11:10."


def test_a_unit_that_hangs_says_so():
    verdict = scan_at("Thu 10:00", history("hang Thu 09:00"), "install", "A")
    assert said(verdict) == (Outcome.ALREADY, "Already: hung")
    assert verdict.detail == "09:00 by Ida. S1 is up since 09:00."
    assert said(scan_at("Thu 10:00", history("hang Thu 09:00"), "finish")) == (
        Outcome.ELSEWHERE,
        "Nothing left to do",
    )


# -- too early --------------------------------------------------------------------------------


def test_a_rest_that_runs_refuses_with_the_time_left_and_a_way_to_go_ahead():
    verdict = scan_at("10:35", history(*GLUED), "finish", "A")
    assert said(verdict) == (Outcome.TOO_EARLY, "Too early: 35 min to go")
    assert (verdict.ready_at, verdict.step.name) == (at("11:10"), "fill")
    assert verdict.offers == (Offer("go_ahead", "fill", "fill all the same"),)
    assert verdict.detail == "glue cures until 11:10, then fill"


def test_with_a_reason_the_step_is_recorded_all_the_same():
    verdict = scan_at("10:35", history(*GLUED), "finish", "A", reason="touch test is dry")
    assert (verdict.outcome, verdict.step.name) == (Outcome.RECORDED, "fill")


def test_a_late_scan_is_judged_at_the_time_it_happened():
    entries = history(*GLUED, "fill 11:20", "sand 12:00")
    # told at 11:30: the sanding of 12:00 is known already, and it is no repeat
    verdict = scan_at("11:30", entries, "finish", "A")
    assert (verdict.outcome, verdict.step.name) == (Outcome.RECORDED, "coat-1")
    before_filling = scan_at("11:10", history(*GLUED, "fill 11:20"), "finish", "A")
    assert (before_filling.outcome, before_filling.ready_at) == (Outcome.TOO_EARLY, at("11:50"))


def test_a_late_record_opens_the_next_step_at_once():
    *before, glued = history(*GLUED)
    verdict = scan_at("10:20", [*before, late(glued, "09:00")], "finish", "A")
    assert (verdict.outcome, verdict.step.name) == (Outcome.RECORDED, "fill")


def test_a_part_nobody_scanned_at_the_saw_is_refused_at_the_bench():
    verdict = scan_at("08:10", history(), "assemble", "A")
    assert said(verdict) == (Outcome.TOO_EARLY, "Not cut yet")
    assert (verdict.step.name, verdict.part, verdict.detail) == (
        "gather",
        "A",
        "Scan it at cut first.",
    )
    ahead = scan_at("08:10", history(), "assemble", "A", reason="done earlier, not scanned")
    assert (ahead.outcome, ahead.part) == (Outcome.RECORDED, "A")


def test_what_it_hangs_on_must_be_up_before():
    entries = history("glue-up 10:10", unit=a_unit(finish=""))
    verdict = scan_at("Tue 12:00", entries, "install", "A", missing=("P1", "W1"))
    assert said(verdict) == (Outcome.TOO_EARLY, "First P1 and W1")
    assert (verdict.detail, verdict.ready_at) == ("P1 and W1 must be up before it.", None)
    assert scan_at("Tue 12:00", entries, "install", "A").outcome == Outcome.RECORDED


def test_where_a_figure_is_lacking_nobody_is_told_to_go_on():
    clear = "recoat = 120, window = 720, sand = 240,"
    shop = setup(products=PRODUCTS_TEXT.replace(clear, "recoat = 120, window = 720,"))
    entries = history(*COATED)
    verdict = scan_at("13:30", entries, "finish", "A", shop=shop)
    assert verdict.outcome == Outcome.TOO_EARLY
    assert "add it from the label" in verdict.detail
    assert (verdict.ready_at, verdict.offers[0].kind) == (None, "go_ahead")
    ahead = scan_at("13:30", entries, "finish", "A", shop=shop, reason="touch test is dry")
    assert ahead.outcome == Outcome.RECORDED


# -- a named step -----------------------------------------------------------------------------


def test_a_named_step_further_on_says_what_comes_before_and_goes_ahead_with_a_reason():
    verdict = scan_at("12:00", history(*GLUED), "finish", "A", step="coat-1")
    assert said(verdict) == (Outcome.TOO_EARLY, "Before that: fill")
    assert verdict.offers == (Offer("go_ahead", "coat-1", "coat 1 all the same"),)
    ahead = scan_at("12:00", history(*GLUED), "finish", "A", step="coat-1", reason="primed")
    assert (ahead.outcome, ahead.step.name) == (Outcome.RECORDED, "coat-1")


@pytest.mark.parametrize("lines", [(*GLUED, "sand 12:00"), (*GLUED, "hang Thu 09:00")])
def test_a_named_step_that_was_left_out_is_not_told_to_wait_for_what_follows_it(lines):
    verdict = scan_at("Thu 10:00", history(*lines), "finish", "A", step="fill")
    assert said(verdict) == (Outcome.TOO_EARLY, "Past that: fill")
    ahead = scan_at("Thu 10:00", history(*lines), "finish", "A", step="fill", reason="forgot")
    assert (ahead.outcome, ahead.step.name) == (Outcome.RECORDED, "fill")


def test_a_named_step_may_be_recorded_at_any_station():
    verdict = scan_at("12:00", history(*GLUED), "cut", "A", step="fill")
    assert (verdict.outcome, verdict.step.name) == (Outcome.RECORDED, "fill")


def test_a_named_step_done_before_says_when():
    verdict = scan_at("Tue 12:00", history(*GLUED), "assemble", "A", step="glue-up")
    assert said(verdict) == (Outcome.ALREADY, "Already: glued up")
    assert (verdict.detail, verdict.done.at) == ("Mon 10:10 by Ida.", at("Mon 10:10"))


def test_a_named_scuff_the_route_does_not_have_is_known_once_done():
    entries = history("coat-1 Mon 11:00", "scuff-2 Thu 12:00", unit=a_wall())
    verdict = scan_at("Thu 13:00", entries, "install", step="scuff-2")
    assert said(verdict) == (Outcome.ALREADY, "Already: scuff-2")
    assert (verdict.detail, verdict.done.at) == ("12:00 by Ida.", at("Thu 12:00"))


def test_a_named_step_the_unit_does_not_have_lists_those_it_has():
    for lines in (GLUED, ("hang 09:00",)):
        verdict = scan_at("12:00", history(*lines), "finish", "A", step="varnish")
        assert said(verdict) == (Outcome.ELSEWHERE, "S1 has no step varnish")
        assert "cut, gather, glue-up" in verdict.detail


def test_a_named_step_of_parts_needs_a_part():
    verdict = scan_at("07:30", history(), "cut", step="cut")
    assert said(verdict) == (Outcome.ELSEWHERE, "Scan a part to record: cut")
    assert scan_at("07:30", history(), "cut", "B", step="cut").part == "B"


def test_a_part_glued_in_unscanned_may_be_named_later():
    verdict = scan_at("12:00", history("glue-up 10:10"), "cut", "A", step="cut")
    assert (verdict.outcome, verdict.part) == (Outcome.RECORDED, "A")


# -- elsewhere, on hold -----------------------------------------------------------------------


def test_a_scan_at_another_station_says_where_the_unit_belongs():
    verdict = scan_at("08:00", history(), "finish", "A")
    assert said(verdict) == (Outcome.ELSEWHERE, "Not here: cut")
    assert verdict.detail == "Still to cut: part A A, part B B."


def test_a_part_gathered_without_a_scan_at_the_saw_is_not_named_as_still_to_cut():
    verdict = scan_at("09:00", history("gather A 08:00"), "finish", "A")
    assert verdict.detail == "Still to cut: part B B."
    at_the_saw = scan_at("09:00", history("gather A 08:00"), "cut", "A")
    assert said(at_the_saw) == (Outcome.ELSEWHERE, "Scan a part to record: cut")


def test_three_parts_still_to_cut_are_all_named():
    verdict = scan_at("09:00", history(unit=a_unit(parts="ABC")), "finish", "A")
    assert verdict.detail == "Still to cut: part A A, part B B, part C C."


def test_a_unit_scanned_where_its_parts_are_asks_for_a_part():
    verdict = scan_at("08:00", history(), "cut")
    assert said(verdict) == (Outcome.ELSEWHERE, "Scan a part to record: cut")


def test_a_hold_stops_every_scan_and_offers_to_lift_it():
    entries = history(*GLUED, "hold wet wood")
    for asked in ({}, {"step": "fill"}, {"reason": "the customer waits"}):
        verdict = scan_at("12:00", entries, "finish", "A", **asked)
        assert said(verdict) == (Outcome.ON_HOLD, "S1 is on hold")
        assert verdict.detail == "wet wood. Lift the hold before it goes on."
        assert verdict.offers == (Offer("lift", "S1", "Lift the hold"),)


def test_a_spoiled_label_names_its_recut():
    entries = history("cut A", "spoil A A2")
    verdict = scan_at("09:00", entries, "assemble", "A")
    assert said(verdict) == (Outcome.ON_HOLD, "Spoiled: part A")
    assert verdict.detail == "tear-out. Its recut carries the label A2."


def test_a_spoiled_part_without_recut_does_not_name_one():
    entries = history("cut A", "spoil A A2")
    entries[-1].body["recut"] = ""
    assert scan_at("09:00", entries, "assemble", "A").detail == "tear-out. It has no recut."


def test_a_part_a_revised_list_left_out_is_to_be_kept_apart():
    entries = [*history("cut A"), taken(a_unit(parts="B"), when="09:00", seq=9)]
    verdict = scan_at("09:30", entries, "assemble", "A")
    assert said(verdict) == (Outcome.ON_HOLD, "No longer on the list: part A")


def test_a_part_of_another_unit_does_not_move_this_one():
    other = folded(history("cut Z", unit=a_unit("S2", parts="Z"))).piece("Z")
    verdict = _with_piece(other, "cut")
    assert (verdict.outcome, verdict.part) == (Outcome.ALREADY, "")


def _with_piece(piece, station):
    entries = history("cut A 08:00")
    state, standing = folded(entries), standing_at("09:00", entries)
    steps = SETUP.steps(state.spec)
    return judge(Question(state, standing, steps, station, at("09:00"), ZONE, piece))


# -- whatever happened ------------------------------------------------------------------------


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=300)
@given(
    logs(),
    moments(),
    st.sampled_from(STATIONS),
    st.sampled_from(("", "A", "B", "A2", "A3")),
    st.sampled_from(("", "scuff-1", *UNIT_STEPS, "cut", "gather")),
    st.sampled_from(("", "label says so")),
)
def test_any_scan_gets_an_answer_that_says_something(entries, now, station, part, step, reason):
    verdict = scan_at(now, entries, station, part, step=step, reason=reason)
    state = folded(entries)
    if verdict.outcome == Outcome.RECORDED:
        assert verdict.step is not None
        piece = state.piece(verdict.part) if verdict.part else None
        done = piece.done if piece else state.done
        assert verdict.step.name not in done
        # on hold, only a recut is cut and gathered: that is what the unit is held up for
        assert not state.holds or (piece is not None and piece.replaces)
    else:
        assert verdict.message
        assert verdict.detail
    if verdict.outcome == Outcome.TOO_EARLY:
        assert not reason
        assert [offer.kind for offer in verdict.offers] == ["go_ahead"]
    if verdict.outcome == Outcome.ALREADY:
        assert isinstance(verdict.done, Done)


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=200)
@given(logs(), moments(), st.sampled_from(STATIONS), st.sampled_from(("", "A", "B")))
def test_without_a_reason_nothing_is_recorded_while_a_clock_runs_for_it(
    entries, now, station, part
):
    standing = standing_at(now, entries)
    verdict = scan_at(now, entries, station, part)
    if standing.state in (State.GLUE_CURING, State.COAT_DRYING, State.HARDENING, State.ON_HOLD):
        assert verdict.outcome != Outcome.RECORDED or verdict.step.each
