"""Answer cards and people: whose code is whose."""

import pytest

from kiosk.actions import PROBLEMS
from kiosk.rules.cards import CARDS, NUMBERS, read_card
from kiosk.rules.entries import Kind
from kiosk.rules.people import LONGEST, Person, check_name, find_person, people_of, tidy_name
from labels.codes import ALPHABET, CAPACITY, code_for, number_of, parse
from tests.builders import an_entry

# Printed cards hang on walls for years: these may be added to, never changed.
PRINTED = {
    "yes": "XD49KC3",
    "back": "XR6H7PJ",
    "strike": "X68RS38",
    "problem": "XHB3DD7",
    "spoiled": "XVDAXQX",
    "missing": "XAFJK4C",
    "failed_coat": "XNHT7EU",
    "too_tacky": "X3M4RR5",
    "other": "XEPCD5G",
    "board": "XSRKXFA",
    "stations": "X7TUJSS",
    "rags": "XJW676M",
    "wipe": "XX2DRGB",
    "shop": "XC4NCTT",
    "1": "X2MGJ9R",
    "2": "XDPR6KA",
}


@pytest.mark.parametrize("key", PRINTED)
def test_a_card_printed_once_means_the_same_for_ever(key):
    card = read_card(PRINTED[key])
    assert card is not None
    assert card.key == key


def test_every_card_has_a_sound_code_of_its_own():
    codes = [card.code for card in CARDS]
    assert len(set(codes)) == len(codes)
    assert [parse(code).code for code in codes] == codes


def test_a_card_is_read_with_a_scanners_prefix_and_in_groups():
    assert read_card("]Q3xd4-9kc3").key == "yes"


def test_no_kiosk_counts_as_far_as_the_cards():
    assert min(number_of(card.code) for card in CARDS) > CAPACITY - 100


def test_the_code_of_a_part_is_no_card():
    read = [read_card(code_for(letter, n)) for letter in ALPHABET for n in range(1, 400)]
    assert read == [None] * len(read)
    assert read_card("no code") is None


def test_there_is_a_card_for_every_kind_of_problem():
    assert {trouble.key for trouble in PROBLEMS} <= {card.key for card in CARDS}


def test_the_cards_with_numbers_are_one_to_eight():
    assert [card.key for card in CARDS if card.key in NUMBERS] == list("12345678")


# -- people ------------------------------------------------------------------------------------


def said(name, code, *, seq, **more):
    return an_entry(Kind.PERSON_SET, {"name": name, "code": code} | more, seq=seq)


def test_the_last_word_on_a_badge_counts():
    entries = [
        said("Mara", "K1", seq=1),
        said("Ivo", "K2", seq=2),
        said("Mara", "K1", seq=3, away=True),
        said("Ivo B", "K2", seq=4),
    ]
    assert people_of(entries) == (Person("Mara", "K1", away=True), Person("Ivo B", "K2"))


def test_an_entry_without_a_name_or_a_code_is_nobody():
    entries = [
        said("", "K1", seq=1),
        said("Ivo", None, seq=2),
        an_entry(Kind.PLACE_CODED, {"name": "Rack", "code": "K3"}, seq=3),
    ]
    assert people_of(entries) == ()


def test_a_person_is_found_whatever_the_capitals_and_who_is_there_first():
    people = (Person("Mara", "K1", away=True), Person("mara", "K2"), Person("Ivo", "K3"))
    assert find_person(people, "  MARA ").code == "K2"
    assert find_person(people, "Ada") is None


def test_a_name_is_kept_with_single_spaces():
    assert tidy_name("  Mara   of the  kiln ") == "Mara of the kiln"


@pytest.mark.parametrize("name", ["", "M" * (LONGEST + 1)])
def test_a_name_nobody_can_read_is_a_problem_with_its_way_out(name):
    (problem,) = check_name(name)
    assert problem.remedy


def test_a_name_as_long_as_a_badge_is_none():
    assert check_name("M" * LONGEST) == ()
