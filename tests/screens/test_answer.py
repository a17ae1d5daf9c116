"""The words of an answer: nothing said twice, no number torn from its unit."""

from dataclasses import replace

import pytest
from fake_shop import recorded

from kiosk.rules.scanning import Answer, Outcome
from kiosk.screens.answer import keep_units, name_answer, say_detail


def test_a_reason_of_its_own_stays_whole():
    answer = replace(recorded("K7F3Q97"), next="Next: coat 2", detail="coat failed: runs.")
    assert say_detail(answer) == "Coat failed: runs."


@pytest.mark.parametrize(
    "text",
    ["Too early: 1:05 h to go", "35 min", "1200 × 1200 mm", "2 d", "18 °C", "0.74 kPa", "at 65 %."],
)
def test_a_number_keeps_its_unit(text):
    kept = keep_units(text)
    assert kept.count("\u00a0") == 1
    assert kept.replace("\u00a0", " ") == text


def test_plain_words_may_break_anywhere():
    assert keep_units("coat 2 in hand") == "coat 2 in hand"


def test_an_unknown_code_is_shown_as_on_its_label():
    answer = Answer(Outcome.UNKNOWN, "No part has this code", code="K7F3Q97")
    assert name_answer(answer) == "K7F-3Q97"
    assert name_answer(replace(answer, code="https://x")) == "https://x"
