"""What the check of hanging does to the board, to a scan, to the install station and to the log."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.entries import Kind
from kiosk.rules.entrywords import say_of_hanging, say_what
from kiosk.rules.hangword import HangWord
from kiosk.rules.reasons import HANG_REASONS, say_reason
from kiosk.rules.records import Allowed
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.rules.scene import Scene
from kiosk.rules.stationview import see_station
from kiosk.rules.words import Phrase
from tests.builders import (
    SETUP,
    a_standing,
    a_step,
    a_unit,
    an_entry,
    at,
    folded,
    history,
    scan_at,
    standing_at,
)

COATED = (
    "cut A 08:00", "cut B", "gather A", "gather B", "glue-up 10:10", "fill 11:20", "sand 12:00",
    "coat-1 13:00", "scuff-2 Tue 08:00", "coat-2 Tue 08:10",
)  # fmt: skip
DRY = "w3 Mon 08:00"
HOLDS = HangWord(words="holds 15 kg")
REFUSED = HangWord(
    words="not rated: one stud",
    is_refused=True,
    message="Not rated: it may come down",
    detail="One stud. Use two.",
    whys=("one_stud",),
    check=("One stud.",),
)


def test_without_a_measured_wall_all_is_as_it_was():
    one = standing_at(DRY, history(*COATED))
    assert (one.state, one.hang) == (State.READY_TO_HANG, None)
    assert scan_at(DRY, history(*COATED), "install").outcome == Outcome.RECORDED


def test_what_it_holds_is_said_where_it_is_ready():
    one = standing_at(DRY, history(*COATED), hang=HOLDS)
    assert one.state == State.READY_TO_HANG
    assert one.why.endswith("; holds 15 kg")
    assert one.hang == HOLDS
    assert scan_at(DRY, history(*COATED), "install", hang=HOLDS).outcome == Outcome.RECORDED


def test_what_is_refused_is_not_ready():
    one = standing_at(DRY, history(*COATED), hang=REFUSED)
    assert (one.state, one.why, one.step.name) == (State.ON_HOLD, REFUSED.words, "hang")


@pytest.mark.parametrize("lines", [(), COATED[:6], (*COATED, "hang w3 Mon 07:00")])
def test_before_it_is_to_be_hung_and_after_that_it_holds_up_nothing(lines):
    assert standing_at(DRY, history(*lines), hang=REFUSED).state == (
        standing_at(DRY, history(*lines)).state
    )


def test_hanging_what_is_refused_needs_a_reason():
    told = scan_at(DRY, history(*COATED), "install", hang=REFUSED)
    assert (told.outcome, told.message) == (Outcome.TOO_EARLY, REFUSED.message)
    assert told.detail == "One stud. Use two."
    assert [one.kind for one in told.offers] == ["go_ahead"]
    ahead = scan_at(DRY, history(*COATED), "install", hang=REFUSED, reason="other reason")
    assert ahead.outcome == Outcome.RECORDED


def test_while_it_hardens_both_are_told_so_that_one_reason_hides_neither():
    named = {"step": "hang", "hang": REFUSED}
    told = scan_at("Tue 09:00", history(*COATED), "install", **named)
    assert told.message == REFUSED.message
    assert told.detail.startswith("One stud. Use two. Coat 2 hardens until")
    plain = scan_at("Tue 09:00", history(*COATED), "install", step="hang")
    assert plain.message.startswith("Too early")


def test_before_its_turn_the_refusal_is_told_as_well():
    named = {"step": "hang", "hang": REFUSED}
    told = scan_at(DRY, history(*COATED[:6]), "install", **named)
    assert told.message == REFUSED.message
    assert told.detail.startswith("One stud. Use two. Before that: ")
    below = scan_at(DRY, history(*COATED), "install", hang=REFUSED, missing=("W",))
    assert below.detail == "One stud. Use two. First W."


def test_the_install_station_goes_by_the_order_of_a_measured_wall():
    hang = a_step("hang", "hang", "install", State.READY_TO_HANG)
    ready = {"state": State.READY_TO_HANG, "step": hang, "hang": HOLDS}
    standings = [a_standing(name, hands_at=at("08:00"), **ready) for name in ("A", "B", "C")]
    order = {("GLAZE", "B"): (1, "before A"), ("GLAZE", "A"): (2, "from the top down")}
    view = see_station("install", Scene({}, standings, SETUP, at("12:00"), order=order))
    said = [(str(line.words), str(line.more)) for line in view.lines]
    assert said == [
        ("1.  C  hang", "shelf C, holds 15 kg"),
        ("2.  B  hang", "shelf B, holds 15 kg, before A"),
        ("3.  A  hang", "shelf A, holds 15 kg, from the top down"),
    ]
    assert [str(line.brief) for line in view.lines] == ["", "holds 15 kg", "holds 15 kg"]


def test_the_refusals_go_into_the_log():
    assert REFUSED.body() == [{"why": "one_stud", "message": "One stud."}]
    assert HOLDS.body() == []


# -- the log -----------------------------------------------------------------------------------


def test_the_last_word_on_how_a_unit_hangs_counts_and_a_strike_takes_a_go_ahead_back():
    allowed = {"reason": "other reason", "check": REFUSED.body(), "allowed_by": "Ivo"}
    entries = [
        *history(),
        an_entry(Kind.UNIT_FITTED, {"drop": 1600}, seq=2, when="09:00"),
        an_entry(Kind.UNIT_FITTED, {"drop": 3200}, seq=3, when="10:00"),
        an_entry(Kind.HANGING_ALLOWED, allowed, seq=4, when="11:00"),
    ]
    state = folded(entries)
    assert state.fitted == {"drop": 3200}
    assert state.allowed == Allowed(
        "K1-4", "other reason", at("11:00"), "Ida", ("one_stud",), ("One stud.",), "Ivo"
    )
    strikes = [
        an_entry(Kind.STRUCK, {"target": target}, seq=n, when="12:00")
        for n, target in ((5, "K1-3"), (6, "K1-4"))
    ]
    struck = folded([*entries, *strikes])
    # how it hangs is mended by saying it again, not by striking
    assert (struck.fitted, struck.allowed) == ({"drop": 3200}, None)
    assert (folded(history()).fitted, folded(history()).allowed) == (None, None)


@pytest.mark.parametrize("check", [None, "one_stud", [3], [{}], [{"why": "one_stud"}]])
def test_a_go_ahead_that_is_not_understood_covers_no_more_than_it_says(check):
    body = {"reason": "x", "check": check}
    found = folded([*history(), an_entry(Kind.HANGING_ALLOWED, body, seq=2)]).allowed
    assert set(found.whys) <= {"", "one_stud"}


@given(st.data())
def test_the_order_of_arrival_changes_nothing(data):
    kinds = (Kind.UNIT_FITTED, Kind.HANGING_ALLOWED)
    entries = history()
    for n in range(2, 8):
        kiosk = data.draw(st.sampled_from(("K1", "K2")))
        kind = data.draw(st.sampled_from(kinds))
        when = data.draw(st.sampled_from(("09:00", "09:01")))
        body = {"drop": n * 1600, "reason": f"reason {n}"}
        entries.append(an_entry(kind, body, seq=n, kiosk=kiosk, when=when))
    target = data.draw(st.sampled_from(entries)).id
    entries.append(an_entry(Kind.STRUCK, {"target": target}, seq=9, when="09:00"))
    doubled = entries + data.draw(st.lists(st.sampled_from(entries), max_size=4))
    assert folded(data.draw(st.permutations(doubled))) == folded(entries)


@pytest.mark.parametrize(
    ("kind", "body", "words"),
    [
        (Kind.WALL_MEASURED, {"wall": "G1"}, "wall G1 measured"),
        (Kind.UNIT_FITTED, {}, "how it hangs was entered"),
        (
            Kind.HANGING_ALLOWED,
            {"reason": "other reason"},
            "may be hung without a number: other reason",
        ),
        (
            Kind.HANGING_ALLOWED,
            {"reason": "other reason", "allowed_by": "Ivo"},
            "may be hung without a number: other reason, allowed by Ivo",
        ),
    ],
)
def test_entries_of_hanging_are_said(kind, body, words):
    assert say_what(an_entry(kind, body), {}, parts={}) == words


def test_other_entries_are_none_of_hanging():
    assert say_of_hanging(an_entry(Kind.STEP_DONE, unit=a_unit())) is None


@pytest.mark.parametrize("reason", HANG_REASONS)
def test_reasons_for_hanging_are_known_again_from_the_log(reason):
    found = say_reason(str.__str__(reason) + "")
    assert found == reason
    assert isinstance(found, Phrase)
    assert replace(HOLDS, words=found).words == reason
