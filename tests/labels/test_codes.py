"""Part codes: check values, and what people do to them."""

import itertools
import random

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2, mod_11_10, mod_37_2, mod_37_36, mod_97_10

from labels import codes
from labels.codes import (
    ALPHABET,
    CAPACITY,
    check_letter,
    code_for,
    compact,
    is_of,
    number_of,
    parse,
    sent_through,
    shown,
)

CODES = tuple(
    code_for(random.Random(seed).choice(ALPHABET), random.Random(seed).randrange(CAPACITY))
    for seed in range(1_500)
)
SOUND = st.builds(code_for, st.sampled_from(ALPHABET), st.integers(0, CAPACITY - 1))


def _pure(body: str, alphabet: str, *, modulus: int, radix: int) -> str:
    """Return the check character of an ISO/IEC 7064 pure system, written out as the standard does.

    Every character is weighted by a power of the radix, the check character by 1; the sum is 1.
    """
    weighted = sum(
        alphabet.index(letter) * pow(radix, place, modulus)
        for place, letter in enumerate(reversed(body), start=1)
    )
    return alphabet[(1 - weighted) % modulus]


def _sound(code):
    """Tell whether the check agrees, without the slow search for offers."""
    return check_letter(code[:-1]) == code[-1]


@pytest.mark.parametrize(
    ("body", "check"),
    [("K7F3Q9", "7"), ("7K3FQ9", "Q"), ("222222", "3"), ("A2B3C4", "M"), ("XXXXXX", "D")],
)
def test_check_letters_worked_apart_agree(body, check):
    assert check_letter(body) == check
    assert _pure(body, ALPHABET, modulus=29, radix=2) == check


@pytest.mark.parametrize(
    ("module", "body", "check", "own"),
    [
        (mod_11_2, "0794", "0", ("0123456789X", 11, 2)),
        (mod_11_2, "079", "X", ("0123456789X", 11, 2)),
        (mod_11_2, "000000012103268", "3", ("0123456789X", 11, 2)),
        (mod_37_2, "G123489654321", "Y", ("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*", 37, 2)),
        (mod_11_10, "0794", "5", None),
        (mod_97_10, "0794", "44", None),
        (mod_37_36, "A12425GABC1234002", "M", None),
    ],
)
def test_the_oracle_gives_the_published_values_of_iso_7064(module, body, check, own):
    calc = getattr(module, "calc_check_digit", None) or module.calc_check_digits
    assert calc(body) == check
    if own:
        alphabet, modulus, radix = own
        assert _pure(body, alphabet, modulus=modulus, radix=radix) == check


@given(st.text(ALPHABET, min_size=1, max_size=12))
def test_the_check_letter_is_a_pure_system_mod_29(body):
    assert check_letter(body) == _pure(body, ALPHABET, modulus=29, radix=2)


def test_every_single_wrong_letter_is_refused():
    for code in CODES:
        for at, letter in itertools.product(range(7), ALPHABET):
            wrong = code[:at] + letter + code[at + 1 :]
            assert _sound(wrong) == (wrong == code)


def test_every_swap_of_neighbours_is_refused():
    for code in CODES:
        for at in range(6):
            wrong = code[:at] + code[at + 1] + code[at] + code[at + 2 :]
            assert _sound(wrong) == (wrong == code)


def test_parse_refuses_what_the_check_letter_refuses():
    for code in CODES[:40]:
        for at, letter in itertools.product(range(7), ALPHABET):
            wrong = code[:at] + letter + code[at + 1 :]
            reading = parse(wrong)
            assert (reading.code, reading.problem) == (
                (code, "ok") if wrong == code else (None, "slip")
            )


@given(SOUND, st.integers(0, 6))
@example("CCQFACX", 3)  # with a ? for its F it is sound through a French keyboard too
def test_one_unreadable_letter_has_one_solution(code, at):
    holed = code[:at] + "?" + code[at + 1 :]
    solutions = [c for c in ALPHABET if _sound(holed.replace("?", c))]
    reading = parse(holed)
    assert len(solutions) == 1
    if not set(sent_through(holed)) <= {code}:  # nobody can tell which was meant: both are offered
        assert (reading.code, reading.problem, reading.offers[0]) == (None, "slip", code)
        return
    assert (reading.code, reading.problem) == (code, "ok")
    assert shown(code) in reading.message


@given(st.sampled_from(ALPHABET), st.integers(0, CAPACITY - 1))
def test_a_code_leads_back_to_its_number(letter, number):
    code = code_for(letter, number)
    assert (code[0], number_of(code)) == (letter, number)


def test_no_two_numbers_share_a_code():
    made = {code_for(letter, n) for letter in ALPHABET[:3] for n in range(20_000)}
    assert len(made) == 60_000


def test_the_last_number_is_as_good_as_the_first():
    assert number_of(code_for("K", CAPACITY - 1)) == CAPACITY - 1
    assert code_for("K", 0) == "K22222" + check_letter("K22222")


def test_neighbouring_numbers_have_codes_far_apart():
    pairs = [(code_for("K", n), code_for("K", n + 1)) for n in range(1_000)]
    alike = [sum(a == b for a, b in zip(one, two, strict=True)) for one, two in pairs]
    assert max(alike) <= 4  # of seven; a plain counter would leave five alike


@pytest.mark.parametrize(
    ("letter", "number"), [("O", 1), ("", 1), ("AB", 1), ("k", 1), ("K", -1), ("K", CAPACITY)]
)
def test_a_letter_or_number_that_is_none_is_refused(letter, number):
    with pytest.raises(ValueError, match="is"):
        code_for(letter, number)


@pytest.mark.parametrize("code", ["K7F3Q98", "K7F3Q9", "", "K7F3Q9O"])
def test_only_a_sound_code_has_a_number(code):
    with pytest.raises(ValueError, match="no part code"):
        number_of(code)


@pytest.mark.parametrize(
    "text",
    ["K7F3Q97", "k7f-3q97", " K7F 3Q97\n", "]Q1K7F3Q97", "]C0K7F3Q97", "K7F–3Q97", "]q1k7f3q97\r"],
)
def test_a_code_is_read_however_it_is_written(text):
    reading = parse(text)
    assert (reading.code, reading.problem, reading.message) == ("K7F3Q97", "ok", "")


def test_a_shown_code_reads_back():
    assert shown("K7F3Q97") == "K7F-3Q97"
    assert all(compact(shown(code)) == code for code in CODES)


def test_what_is_no_code_is_shown_as_it_is():
    assert shown("G01") == "G01"


def test_letters_beyond_ascii_are_not_taken_for_others():
    assert compact("ßıſ") == "ßıſ"


@pytest.mark.parametrize(
    ("text", "problem", "says"),
    [
        ("", "empty", "Scan"),
        (" - ", "empty", "Scan"),
        ("K7F3Q9", "length", "this has 6"),
        ("K7F3Q977", "length", "this has 8"),
        ("K?F3?97", "gaps", "2 letters"),
        ("???????", "gaps", "7 letters"),
        ("K7F3Q98", "slip", "letter wrong"),
        ("O0O0O01", "letters", "O and 0 and 1"),
        ("K7F?Q9É", "letters", "É"),
        ("ÉÈF3Q97", "letters", "É and È"),
    ],
)
def test_what_is_wrong_with_a_text_is_said(text, problem, says):
    reading = parse(text)
    assert (reading.code, reading.problem) == (None, problem)
    assert says in reading.message


@given(st.text(max_size=12))
def test_no_text_breaks_the_reader(text):
    reading = parse(text)
    assert (reading.code is None) == (reading.problem != "ok")


@given(SOUND, st.data())
def test_a_confused_letter_is_among_the_offers(code, data):
    places = [at for at, letter in enumerate(code) if letter in "8B5S6HN"]
    if not places:
        return
    at = data.draw(st.sampled_from(places))
    pair = data.draw(st.sampled_from([p for p in codes.CONFUSABLE if code[at] in p]))
    wrong = code[:at] + pair.replace(code[at], "") + code[at + 1 :]
    assert parse(wrong).code is None
    assert code in parse(wrong).offers


@given(SOUND, st.integers(0, 5))
def test_a_swap_is_among_the_offers(code, at):
    wrong = code[:at] + code[at + 1] + code[at] + code[at + 2 :]
    assert wrong == code or code in parse(wrong).offers


@given(SOUND, st.integers(0, 6), st.sampled_from("O01ILZYÄ/"))
def test_a_letter_of_no_code_is_offered_for_never_replaced(code, at, strange):
    reading = parse(code[:at] + strange + code[at + 1 :])
    assert reading.code is None
    assert all(_sound(offer) for offer in reading.offers)
    # one letter is to be found and the check allows one: the right one stands first, before what
    # the text would be if another keyboard layout had changed it
    assert reading.offers[0] == code
    assert reading.problem == "slip"


def test_two_letters_of_no_code_are_offered_for_by_their_looks():
    code = code_for("K", 0)
    reading = parse(code.replace("2", "Z", 2))
    assert reading.code is None
    assert code in reading.offers


def test_three_letters_of_no_code_are_not_guessed_at():
    reading = parse(code_for("K", 0).replace("2", "Z", 3))
    assert (reading.problem, reading.offers) == ("letters", ())


def test_a_code_is_of_the_kiosk_whose_letter_it_begins_with():
    code = code_for("K", 7)
    assert is_of(code, "K")
    assert not is_of(code, "M")
    assert not is_of(code[:-1] + ("2" if code[-1] != "2" else "3"), "K")  # a slip
