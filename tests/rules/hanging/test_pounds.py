"""What is said of a load in an inch job: kilograms as ever, pounds beside, never rounded up.

A pound is 0.45359237 kg exactly (international yard and pound agreement of 1959).
"""

from dataclasses import replace

import pytest

from kiosk.rules.hanging.hangviews import Better
from kiosk.rules.hanging.pounds import say_better, say_expected
from kiosk.rules.lengths import System
from kiosk.rules.words import Phrase
from tests.hangwalls import a_view

RATED = next(one for one in a_view().units if one.net_kg == 19)  # 41.9 lb


def test_in_millimetres_the_words_of_the_check_stay():
    better = Better(words=Phrase("Washers."), before=7, after=10)
    assert say_better(better, System.MM) is better.words
    assert say_expected(RATED, System.MM) is RATED.load_words


@pytest.mark.parametrize(
    ("load", "fits", "words"),
    [
        (19.0, True, "It may carry 19 kg (41 lb); 19.0 kg (41 lb) are expected."),  # 41.89 lb
        (17.5, True, "It may carry 19 kg (41 lb); 17.5 kg (38 lb) are expected."),
        (20.0, False, "It may carry 19 kg (41 lb) only; 20.0 kg (45 lb) are expected: too much."),
    ],
)
def test_what_is_too_much_is_rounded_up_and_all_else_down(load, fits, words):
    assert say_expected(replace(RATED, load_kg=load, fits=fits), System.INCH) == words


def test_a_unit_without_a_number_or_a_load_gets_none_in_pounds():
    none = Phrase("There is no number for it: load nothing.")
    bare = replace(RATED, rating=None, load_words=none)
    assert say_expected(bare, System.INCH) == none
    assert say_expected(replace(RATED, load_kg=None, load_words=None), System.INCH) is None


@pytest.mark.parametrize(
    ("before", "pounds"),
    [(7, "In pounds: 15 lb before, 22 lb after."), (None, "In pounds: 22 lb after.")],
)
def test_what_would_help_has_its_pounds_behind_it(before, pounds):
    better = Better(words=Phrase("Washers."), before=before, after=10)
    assert say_better(better, System.INCH) == f"Washers. {pounds}"
