"""Codes that came through another keyboard layout than the scanner's are read all the same."""

import random

import pytest

from labels.codes import ALPHABET, check_letter, code_for, parse, sent_through
from labels.layouts import NAMES, undone

# Keys as xkb-data 2.35 has them; the scanner presses Shift for letters.
DIGITS = {
    "French": "é\"'(-è_ç", "Belgian": "é\"'(§è!ç", "Czech": "ěščřžýáí", "Slovak": "ľščťžýáí",
    "Lithuanian": "čęėįšųū„",
}  # fmt: skip
AZERTY = {"A": "Q", "Q": "A", "W": "Z", "M": "?"}


def through(code: str, layout: str) -> str:
    """Return what a computer makes of a code that a scanner set to US sends."""
    letters = AZERTY if layout in ("French", "Belgian") else {}
    digits = dict(zip("23456789", DIGITS[layout], strict=True))
    return "".join(digits.get(one, letters.get(one, one)) for one in code)


CODES = [code_for("K", number) for number in random.Random(11).sample(range(10**6), 3000)]


@pytest.mark.parametrize("layout", DIGITS)
def test_codes_come_back_whatever_layout_the_computer_has(layout):
    wrong, unread = [], 0
    for code in CODES:
        found = parse(through(code, layout))
        if found.code not in (None, code):
            wrong.append(found.code)
            assert code in sent_through(through(code, layout))
        unread += found.code is None and code not in found.offers
    # letters alone may check by chance: that code is no other part's, and the shop looks further
    assert len(wrong) < len(CODES) / 200
    assert not set(wrong) & set(CODES)
    assert unread == 0


@pytest.mark.parametrize("layout", DIGITS)
def test_nearly_all_of_them_without_asking(layout):
    taken = sum(parse(through(code, layout)).code == code for code in CODES)
    # without a digit nothing but letters comes, which a person may have typed wrong
    assert taken / len(CODES) > 0.9


def test_it_says_which_layout_it_was():
    assert parse(
        "K7F3Q97".replace("7", "è").replace("3", '"').replace("Q", "A").replace("9", "ç")
    ).message == ("Read as sent through a French keyboard layout.")


def test_a_slip_made_of_letters_is_offered_and_never_taken():
    taken = 0
    dice = random.Random(5)
    letters = [one for one in ALPHABET if one.isalpha()]
    for _ in range(20_000):
        body = "".join(dice.choice(letters) for _ in range(6))
        slip = body + dice.choice([one for one in letters if one != check_letter(body)])
        taken += parse(slip).code is not None
    assert taken == 0


def test_a_slip_with_digits_is_no_layout():
    for code in CODES[:500]:
        slip = code[:-1] + ALPHABET[(ALPHABET.index(code[-1]) + 1) % 29]
        assert parse(slip).code is None


@pytest.mark.parametrize(("layout", "sent"), [("Dvorak", "K7F3Q97"), ("Colemak", "K7F3Q97")])
def test_a_rearranged_layout_is_undone_only_where_it_is_set(layout, sent):
    moved = {"Dvorak": "T7U3'97", "Colemak": "N7T3Q97"}[layout]
    # K is where Dvorak has T, F where it has U, Q where it has the apostrophe
    if layout == "Colemak":
        moved = "E7T3Q97"
    assert parse(moved, layout=layout).code == sent
    assert parse(moved).code is None


def test_what_no_layout_gives_is_left_alone():
    assert list(undone("€€€€€€€")) == []
    assert list(undone("K7F3Q97", layout="nonsense")) == []
    assert parse("hello").code is None
    assert set(DIGITS) < set(NAMES)


@pytest.mark.parametrize("mark", ["]Q1", "]C0", "]d2", "]z3"])
def test_a_scanners_mark_of_the_symbology_is_left_off(mark):
    assert parse(f"{mark}K7F3Q97").code == "K7F3Q97"


def test_a_question_mark_that_may_be_two_things_is_asked_about():
    asked = [
        found
        for code in CODES
        if "?" in (text := through(code, "French")) and (found := parse(text)).code is None
    ]
    assert asked
    assert all(found.problem == "slip" and found.offers for found in asked)
