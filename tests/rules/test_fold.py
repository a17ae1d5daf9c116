from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.entries import STRIKABLE, Kind, to_ms
from kiosk.rules.fold import fold_unit
from kiosk.rules.standing import stand
from tests.builders import SETUP, a_unit, an_entry, at, folded, history, late, taken
from tests.strategies import logs, moments


def parts(state):
    return {one.piece.code: (sorted(one.done), one.needed) for one in state.pieces}


def test_a_unit_no_list_named_has_no_state():
    assert fold_unit([an_entry(Kind.STEP_DONE, {"step": "hang"})]) is None
    assert fold_unit([]) is None


def test_steps_are_kept_for_the_part_or_for_the_unit():
    state = folded(history("cut A 08:00", "cut B", "gather A", "glue-up 10:10"))
    assert parts(state) == {"A": (["cut", "gather"], True), "B": (["cut"], True)}
    glued = state.done["glue-up"]
    assert (glued.at, glued.person, glued.kiosk, glued.early) == (at("10:10"), "Ida", "K1", "")
    assert state.last == glued


def test_the_reason_for_going_ahead_is_kept():
    entries = history("glue-up 10:10")
    hurried = an_entry(
        Kind.STEP_DONE, {"step": "fill", "early": "label says so"}, seq=3, when="10:30"
    )
    assert folded([*entries, hurried]).done["fill"].early == "label says so"


def test_the_first_record_of_a_step_counts_and_the_second_is_a_repeat():
    state = folded(history("glue-up 10:10", "glue-up 10:12", "cut A", "cut A"))
    assert state.done["glue-up"].at == at("10:10")
    assert state.repeats == ("K1-3", "K1-5")


def test_striking_the_first_record_lets_the_second_count():
    entries = history("glue-up 10:10", "glue-up 10:12")
    strike = an_entry(Kind.STRUCK, {"target": "K1-2"}, when="10:20", seq=4)
    state = folded([*entries, strike])
    assert (state.done["glue-up"].at, state.repeats) == (at("10:12"), ())


def test_a_strike_that_arrives_before_its_target_holds():
    *before, target, strike = history("glue-up 10:10", "strike")
    assert folded([strike, *before, target]).done == {}


def test_a_late_scan_is_kept_at_the_time_it_happened():
    *before, glued = history("cut A 08:00", "glue-up 12:00")
    assert folded([*before, late(glued, "10:10")]).done["glue-up"].at == at("10:10")


def test_the_last_step_is_the_one_that_happened_last_not_the_one_recorded_last():
    *before, forgotten = history("coat-1 10:00", "sand 12:00")
    assert folded([*before, late(forgotten, "09:00")]).last.at == at("10:00")
    assert folded(history()).last is None


def test_a_spoiled_part_is_replaced_by_its_recut():
    state = folded(history("cut A", "spoil A A2 09:00"))
    assert parts(state) == {"A": (["cut"], False), "B": ([], True), "A2": ([], True)}
    first, recut = state.piece("A"), state.piece("A2")
    assert (first.spoiled, first.recut) == ("tear-out", "A2")
    assert (recut.replaces, recut.born, recut.piece.part) == ("A", at("09:00"), "part A")
    assert recut.piece.length == first.piece.length
    assert state.piece("Z") is None


def test_a_recut_may_be_spoiled_too_even_by_an_entry_that_sorts_before_it():
    head, first, second = history("spoil A A2 09:00", "spoil A2 A3 09:05")
    early = replace(second, l=to_ms(at("08:00")))
    for entries in ([head, first, second], [head, first, early]):
        assert [code for code, (_, needed) in parts(folded(entries)).items() if needed] == [
            "B",
            "A3",
        ]


def test_a_spoil_without_reason_or_recut_is_still_a_spoil():
    entry = an_entry(Kind.PART_SPOILED, {"part": "A"}, seq=2)
    state = folded([*history(), entry])
    assert (state.piece("A").spoiled, state.piece("A").recut, len(state.pieces)) == (
        "spoiled",
        "",
        2,
    )


def test_a_spoil_of_a_part_nobody_knows_changes_nothing():
    assert parts(folded(history("spoil Q Q2"))) == parts(folded(history()))


def test_of_two_recuts_for_one_part_the_first_is_waited_for_and_the_second_stays_known():
    state = folded(history("spoil A A2 09:00", "spoil A A3 09:01", "cut A3"))
    assert parts(state)["A2"] == ([], True)
    assert parts(state)["A3"] == (["cut"], False)


def test_striking_the_first_of_two_spoils_makes_the_second_recut_the_wanted_one():
    entries = history("spoil A A2 09:00", "spoil A A3 09:01")
    strike = an_entry(Kind.STRUCK, {"target": "K1-2"}, when="10:20", seq=4)
    assert parts(folded([*entries, strike])) == {
        "A": ([], False),
        "B": ([], True),
        "A3": ([], True),
    }


@pytest.mark.parametrize(
    ("lines", "left"),
    [
        (["cut A"], {"B": ([], True), "A": (["cut"], False)}),
        (["print A"], {"B": ([], True)}),
        (
            ["spoil A A2", "cut A2"],
            {"B": ([], True), "A": ([], False), "A2": (["cut"], False)},
        ),
    ],
)
def test_a_part_that_was_cut_is_never_lost_when_a_revised_list_drops_it(lines, left):
    revised = taken(a_unit(parts="B"), when="12:00", seq=9)
    assert parts(folded([*history(*lines), revised])) == left


def test_a_revised_list_changes_what_the_unit_is():
    revised = taken(a_unit(parts="ABC", name="Top shelf"), when="12:00", seq=9)
    state = folded([*history("cut A"), revised])
    assert (state.spec.name, list(parts(state))) == ("Top shelf", ["A", "B", "C"])
    assert parts(state)["A"] == (["cut"], True)


def test_a_unit_dropped_and_taken_in_again_is_there():
    gone = history("gone 09:00")
    assert folded(gone).gone
    assert not folded([*gone, taken(a_unit(), when="10:00", seq=9)]).gone


def test_holds_stand_until_each_is_lifted_and_a_struck_lift_brings_its_hold_back():
    assert [hold.reason for hold in folded(history("hold wet wood", "hold ask Ida")).holds] == [
        "wet wood",
        "ask Ida",
    ]
    assert [h.reason for h in folded(history("hold wet wood", "hold ask", "lift")).holds] == [
        "wet wood"
    ]
    assert [h.reason for h in folded(history("hold wet wood", "lift", "strike")).holds] == [
        "wet wood"
    ]
    assert folded(history("hold wet wood", "strike")).holds == ()


def test_printed_labels_are_counted_by_code():
    assert folded(history("print A B", "print A")).printed == {"A": 2, "B": 1}


def test_entries_of_a_kind_that_is_not_about_units_are_passed_over():
    other = an_entry(Kind.JOB_OPENED, {"name": "Glaze store"}, seq=2)
    newer = an_entry("moon_seen", {}, seq=3)
    assert folded([*history(), other, newer]) == folded(history())


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=200)
@given(logs(), st.data())
def test_any_order_and_any_number_of_copies_gives_the_same_state_and_standing(entries, data):
    again = data.draw(st.lists(st.sampled_from(entries), max_size=6))
    shuffled = data.draw(st.permutations(entries + again))
    state, other = folded(entries), folded(shuffled)
    assert other == state
    assert list(other.done) == list(state.done)
    for now in data.draw(st.lists(moments(), max_size=3)):
        assert stand(other, SETUP, now=now) == stand(state, SETUP, now=now)


@pytest.mark.no_cover
@settings(derandomize=True, deadline=None, max_examples=200)
@given(logs(), logs(most=6), st.randoms(use_true_random=False))
def test_striking_all_that_came_after_gives_back_the_state_before(before, after, rng):
    fresh = [
        replace(entry, id=f"K3-{n}", kiosk="K3", seq=n)
        for n, entry in enumerate(after[1:])
        if entry.kind in STRIKABLE
    ]
    struck = [
        an_entry(Kind.STRUCK, {"target": entry.id}, when="w3 Mon 08:00", seq=n, kiosk="K4")
        for n, entry in enumerate(fresh)
    ]
    everything = [*before, *fresh, *struck]
    rng.shuffle(everything)
    after, only = folded(everything), folded(before)
    assert replace(after, struck=only.struck) == only
    assert {one.done.entry for one in after.struck} <= {entry.id for entry in [*before, *fresh]}


def test_what_was_found_of_a_coat_is_kept_and_may_be_struck():
    body = {"step": "coat-1", "stage": "sand", "dry": True}
    found = an_entry(Kind.DRYNESS_FOUND, body, when="12:00", seq=9)
    entries = [*history("coat-1 10:00"), found]
    (only,) = folded(entries).findings
    assert (only.step, only.stage, only.dry, only.at, only.person) == (
        "coat-1",
        "sand",
        True,
        at("12:00"),
        "Ida",
    )
    struck = an_entry(Kind.STRUCK, {"target": found.id}, when="12:01", seq=10)
    assert folded([*entries, struck]).findings == ()


def test_a_units_own_labels_have_codes_that_are_kept_and_counted():
    coded = an_entry(Kind.UNIT_CODED, {"code": "K222223"}, when="12:00", seq=9)
    printed = an_entry(Kind.LABELS_PRINTED, {"codes": ["K222223"]}, when="12:01", seq=10)
    state = folded([*history("coat-1 10:00"), printed, coded])
    assert (state.codes, dict(state.printed)) == (("K222223",), {"K222223": 1})
