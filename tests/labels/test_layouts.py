"""Codes that came through another keyboard layout than the scanner's are read all the same."""

import ctypes
import random
from functools import cache
from pathlib import Path

import pytest

from labels.codes import ALPHABET, CAPACITY, check_letter, code_for, parse, sent_through
from labels.layouts import GUESSED, KEYS, MARKS, NAMES, SET, undone

# Keys as xkb-data 2.35 has them; the scanner presses Shift for letters.
DIGITS = {
    "French": "é\"'(-è_ç", "Belgian": "é\"'(§è!ç", "Czech": "ěščřžýáí", "Slovak": "ľščťžýáí",
    "Lithuanian": "čęėįšųū„",
}  # fmt: skip
AZERTY = {"A": "Q", "Q": "A", "W": "Z", "M": "?"}
# layout and variant of xkb
XKB = {
    "French": ("fr", ""), "Belgian": ("be", ""), "Czech": ("cz", ""), "Slovak": ("sk", ""),
    "Lithuanian": ("lt", ""), "Dvorak": ("us", "dvorak"), "Colemak": ("us", "colemak"),
    "Turkish F": ("tr", "f"), "Bepo": ("fr", "bepo"), "Russian": ("ru", ""),
    "Ukrainian": ("ua", ""),
}  # fmt: skip
# Layouts that leave a code as it is: of the shops' countries, in Latin letters.
UNALTERED = (
    "us", "gb", "ie", "de", "at", "ch", "it", "es", "pt", "br", "latam", "nl", "dk", "no", "se",
    "fi", "is", "pl", "hu", "ro", "hr", "si", "rs(latin)", "ee", "lv", "tr", "ca", "mt",
)  # fmt: skip


def through(code: str, layout: str) -> str:
    """Return what a computer makes of a code that a scanner set to US sends."""
    letters = AZERTY if layout in ("French", "Belgian") else {}
    digits = dict(zip("23456789", DIGITS[layout], strict=True))
    return "".join(digits.get(one, letters.get(one, one)) for one in code)


def some_codes(count, seed=11):
    dice = random.Random(seed)
    return [code_for(dice.choice(ALPHABET), dice.randrange(CAPACITY)) for _ in range(count)]


CODES = some_codes(3000)


# -- the tables, against the keyboard library ------------------------------------------------


class _Names(ctypes.Structure):
    _fields_ = [
        (one, ctypes.c_char_p) for one in ("rules", "model", "layout", "variant", "options")
    ]


@cache
def _library():
    """Return libxkbcommon, which every Linux desktop has; without it or its data skip."""
    try:
        xkb = ctypes.CDLL("libxkbcommon.so.0")
    except OSError:
        pytest.skip("libxkbcommon is not installed")
    if not Path("/usr/share/X11/xkb/symbols/fr").exists():
        pytest.skip("xkb-data is not installed")
    pointer = ctypes.c_void_p
    xkb.xkb_context_new.restype = pointer
    xkb.xkb_keymap_new_from_names.restype = pointer
    xkb.xkb_keymap_new_from_names.argtypes = [pointer, ctypes.POINTER(_Names), ctypes.c_int]
    xkb.xkb_state_new.restype = pointer
    xkb.xkb_state_new.argtypes = [pointer]
    xkb.xkb_keymap_mod_get_index.argtypes = [pointer, ctypes.c_char_p]
    xkb.xkb_state_update_mask.argtypes = [pointer, *[ctypes.c_uint32] * 6]
    xkb.xkb_state_key_get_utf8.argtypes = [
        pointer,
        ctypes.c_uint32,
        ctypes.c_char_p,
        ctypes.c_size_t,
    ]
    return xkb


def pressed(keys: str, layout: str, variant: str = "", *, caps: bool = False) -> list[str]:
    """Return what comes of keys of a US keyboard, Shift held for letters."""
    xkb = _library()
    rows = {2: "1234567890", 16: "QWERTYUIOP[]", 30: "ASDFGHJKL", 44: "ZXCVBNM"}
    number = {key: first + n + 8 for first, row in rows.items() for n, key in enumerate(row)}
    names = _Names(b"evdev", b"pc105", layout.encode(), variant.encode(), None)
    keymap = xkb.xkb_keymap_new_from_names(xkb.xkb_context_new(0), names, 0)
    state = xkb.xkb_state_new(keymap)
    shift, lock = (1 << xkb.xkb_keymap_mod_get_index(keymap, one) for one in (b"Shift", b"Lock"))
    out = []
    for key in keys:
        held = shift if key.isalpha() else 0
        xkb.xkb_state_update_mask(state, held, 0, lock if caps else 0, 0, 0, 0)
        sign = ctypes.create_string_buffer(16)
        xkb.xkb_state_key_get_utf8(state, number[key], sign, 16)
        out.append(sign.value.decode())
    return out


@pytest.mark.parametrize("name", NAMES)
def test_every_table_is_what_the_keyboard_library_gives(name):
    assert "".join(pressed(KEYS, *XKB[name])) == (dict(GUESSED) | dict(SET))[name]


@pytest.mark.parametrize("caps", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_a_code_comes_back_through_the_real_keys_of_a_layout_that_is_set(name, caps):
    back = dict(zip(KEYS, pressed(KEYS, *XKB[name], caps=caps), strict=True))
    for code in CODES[:300]:
        sent = "".join(back[one] for one in code)
        reading = parse(sent, layout=name)
        # a text that says the same either way is read as it stands, without a word
        assert reading.code == code, sent


@pytest.mark.parametrize("caps", [False, True])
@pytest.mark.parametrize("name", UNALTERED)
def test_the_other_layouts_leave_a_code_as_it_is_and_only_change_a_scanners_mark(name, caps):
    layout, _, variant = name.rstrip(")").partition("(")
    assert "".join(pressed(KEYS, layout, variant, caps=caps)).upper() == KEYS
    mark = "".join(pressed("]Q1", layout, variant, caps=caps))
    if len(mark) == 3:  # a dead key gives no sign of its own
        assert mark[0].lower() in MARKS
        assert parse(f"{mark}K7F3Q97").code == "K7F3Q97"


@pytest.mark.parametrize("name", GUESSED)
def test_a_scanners_mark_comes_off_through_every_layout_that_is_guessed(name):
    sent = "".join(pressed("]Q1K7F3Q97", *XKB[name]))
    assert parse(sent).code == "K7F3Q97"


# -- guessing ----------------------------------------------------------------------------------


def test_the_tables_are_of_the_letters_of_codes():
    assert KEYS == ALPHABET
    assert all(len(set(row)) == len(KEYS) for row in (*GUESSED.values(), *SET.values()))


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
    assert len(wrong) < len(CODES) / 1000
    assert not set(wrong) & set(CODES)
    assert unread == 0


@pytest.mark.parametrize("layout", DIGITS)
def test_no_layout_that_is_guessed_makes_a_code_another_one(layout):
    # 0 of 100,000 codes for each of them when it was measured; here fewer, for time
    for code in some_codes(6000, seed=12):
        reading = parse(through(code, layout))
        assert reading.code in (None, code) or not reading.message


@pytest.mark.parametrize("layout", DIGITS)
def test_nearly_all_of_them_without_asking(layout):
    taken = sum(parse(through(code, layout)).code == code for code in CODES)
    # without a digit nothing but letters comes, which a person may have typed wrong
    assert taken / len(CODES) > 0.9


@pytest.mark.parametrize("layout", ["Czech", "Slovak", "Lithuanian"])
def test_caps_lock_makes_no_difference_to_digits_that_are_letters_there(layout):
    # what comes of Shift and Caps Lock together: letters small, the digits' signs capital
    for code in CODES[:500]:
        sent = through(code, layout)
        small, capital = parse(sent), parse(sent.swapcase())
        assert (capital.code, capital.offers) == (small.code, small.offers)


def test_it_says_which_layout_it_was():
    assert parse(
        "K7F3Q97".replace("7", "è").replace("3", '"').replace("Q", "A").replace("9", "ç")
    ).message == ("Read as sent through a French keyboard layout.")


# -- what people type ----------------------------------------------------------------------------


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


def letters_only(count):
    """Return codes without a digit, which a French layout could undo throughout."""
    dice = random.Random(6)
    letters = [one for one in ALPHABET if one.isalpha()]
    made = []
    while len(made) < count:
        body = "".join(dice.choice(letters) for _ in range(6))
        if check_letter(body).isalpha():
            made.append(body + check_letter(body))
    return made


def test_two_unreadable_letters_are_never_filled_as_letters_of_a_french_keyboard():
    for code in letters_only(1500):
        assert parse(code[:2] + "??" + code[4:]).code is None


def test_a_hyphen_and_a_letter_too_few_is_never_taken_for_a_french_six():
    for code in letters_only(1500):
        assert parse(f"{code[:3]}-{code[3:6]}").code is None


def test_a_question_mark_that_may_be_two_things_is_asked_about():
    asked = [
        found
        for code in CODES
        if "?" in (text := through(code, "French")) and (found := parse(text)).code is None
    ]
    assert asked
    assert all(found.problem == "slip" and found.offers for found in asked)


# -- layouts that are set ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("layout", "sent"),
    # K is where Dvorak has T, F where it has U, Q where it has the quotation mark
    [("Dvorak", 'T7U3"97'), ("Dvorak", "t7u3'97"), ("Colemak", "E7T3Q97"), ("Turkish F", "M7A3F97"),
     ("Bepo", "S+E»B/+"), ("Russian", "Л7А3Й97"), ("Ukrainian", "л7а3й97")],
)  # fmt: skip
def test_a_rearranged_layout_is_undone_only_where_it_is_set(layout, sent):
    assert parse(sent, layout=layout).code == "K7F3Q97"
    assert parse(sent).code is None


def test_digits_as_they_are_beside_moved_letters_are_read_where_the_layout_is_set():
    assert parse("K7F3A97", layout="French").code == "K7F3Q97"
    assert parse("K7F3A97").code is None


def test_where_a_text_adds_up_either_way_a_layout_that_is_set_comes_first():
    code = next(
        one
        for one in letters_only(5000)
        if one.count("A") + one.count("Q") > 1
        and not set(one) & set("MWZ")
        and parse(one.translate(str.maketrans("AQ", "QA"))).message == ""
        and parse(one.translate(str.maketrans("AQ", "QA"))).code
    )
    typed = code.translate(str.maketrans("AQ", "QA"))

    reading = parse(typed, layout="French")

    assert (reading.code, reading.offers) == (code, (typed,))
    assert parse(typed).code == typed


def test_a_code_the_layout_does_not_change_is_read_without_a_word():
    assert parse("2222223", layout="Dvorak").message == ""


def test_what_no_layout_gives_is_left_alone():
    assert list(undone("€€€€€€€")) == []
    assert list(undone("K7F3Q97", layout="nonsense")) == []
    assert parse("hello").code is None
    assert set(DIGITS) == set(GUESSED) < set(NAMES)


@pytest.mark.parametrize("mark", ["]Q1", "]C0", "]d2", "]z3", "+Q1", "$Q1", "¨q1", "ÚQ1"])
def test_a_scanners_mark_of_the_symbology_is_left_off(mark):
    assert parse(f"{mark}K7F3Q97").code == "K7F3Q97"
