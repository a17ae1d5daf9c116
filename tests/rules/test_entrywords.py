import pytest

from kiosk.rules.entries import Kind
from kiosk.rules.entrywords import built_upon, say_what
from tests.builders import SETUP, a_unit, an_entry, folded, history

STEPS = SETUP.steps(a_unit())
TITLES = {step.name: step.title for step in STEPS}
PARTS = {"A": "Side"}


@pytest.mark.parametrize(
    ("kind", "body", "words"),
    [
        (Kind.STEP_DONE, {"step": "coat-1"}, "coat 1"),
        (Kind.STEP_DONE, {"step": "old-step"}, "old step"),
        (Kind.STEP_DONE, {"step": "cut", "part": "A"}, "cut: Side"),
        (Kind.STEP_DONE, {"step": "cut", "part": "Z"}, "cut: Z"),
        (Kind.STEP_DONE, {"step": "coat-1", "early": "dry"}, "coat 1, went ahead: dry"),
        (
            Kind.STEP_DONE,
            {"step": "coat-1", "early": "dry", "allowed_by": "Mara"},
            "coat 1, went ahead: dry, allowed by Mara",
        ),
        (Kind.STEP_DONE, {"step": "coat-1", "allowed_by": ["Mara"]}, "coat 1"),
        (Kind.UNIT_GONE, {"allowed_by": "Mara"}, "left out by a revised list, allowed by Mara"),
        (Kind.PART_SPOILED, {"part": "A"}, "spoiled: Side"),
        (Kind.HOLD_PUT, {"reason": "runs"}, "on hold: runs"),
        (Kind.HOLD_LIFTED, {"target": "x"}, "hold lifted"),
        (Kind.DRYNESS_FOUND, {"dry": True}, "found dry"),
        (Kind.DRYNESS_FOUND, {"dry": False}, "found still tacky"),
        (Kind.LABELS_PRINTED, {"codes": ["A"]}, "1 label"),
        (Kind.LABELS_PRINTED, {"codes": "torn"}, "0 labels"),
        (Kind.UNIT_TAKEN, {"pieces": [{}, {}]}, "part list: 2 parts"),
        (Kind.UNIT_TAKEN, {}, "part list: 0 parts"),
        (Kind.UNIT_GONE, {}, "left out by a revised list"),
        (Kind.UNIT_CODED, {}, "unit label made"),
        (Kind.CUT_MADE, {"sheet": "P1/S2", "number": 3}, "cut 3 of sheet S2"),
        (Kind.SHEET_USED, {"sheet": "P1/S2"}, "sheet S2 begun"),
        (Kind.OFFCUT_KEPT, {"code": "KJXSWFF"}, "offcut KJX-SWFF kept"),
        (Kind.OFFCUT_GONE, {"code": "KJXSWFF"}, "offcut KJX-SWFF thrown away"),
        (Kind.STOCK_COUNTED, {}, "sheets counted"),
        (Kind.SHEETS_PLANNED, {}, "sheets planned"),
        ("moon_seen", {}, "moon seen"),
    ],
)
def test_an_entry_is_said_in_words(kind, body, words):
    assert say_what(an_entry(kind, body), TITLES, parts=PARTS) == words


def test_a_strike_says_what_it_voided():
    entry = an_entry(Kind.STRUCK, {"target": "x"})
    assert say_what(entry, TITLES, parts=PARTS, struck="coat 1") == "struck: coat 1"
    assert say_what(entry, TITLES, parts=PARTS) == "struck"


def upon(entries, at):
    return [step.name for step in built_upon(entries[at], folded(entries), STEPS)]


def test_the_steps_after_one_are_built_upon_it():
    entries = history("cut A", "cut B", "gather A", "glue-up", "fill")
    assert upon(entries, 4) == ["fill"]
    assert upon(entries, 5) == []


def test_of_a_part_only_its_own_steps_and_the_units_are_built_upon_its_cut():
    entries = history("cut A", "cut B", "gather A")
    assert upon(entries, 1) == ["gather"]
    assert upon(entries, 2) == []


def test_nothing_is_built_upon_what_is_no_step():
    assert upon(history("hold runs", "fill"), 1) == []
