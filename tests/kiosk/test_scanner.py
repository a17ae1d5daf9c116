import pytest

from kiosk.scanner import LONGEST, QUIET_S, STALE_AFTER_S, Reader, is_scanned
from labels.codes import code_for


def test_strokes_become_one_code_when_the_suffix_comes():
    reader = Reader()
    for place, letter in enumerate("K7F3Q97"):
        reader.feed(letter, place * 0.002)

    assert reader.end(0.02) == "K7F3Q97"
    assert reader.end(0.03) is None


def test_slow_typing_counts_like_a_scanner():
    reader = Reader()
    for place, letter in enumerate("K7F3Q97"):
        reader.feed(letter, place * 1.5)

    assert reader.end(11.0) == "K7F3Q97"


def test_a_half_read_code_does_not_glue_to_the_next():
    reader = Reader()
    reader.feed("K7F", 0.0)
    for place, letter in enumerate("A2B3C4M"):
        reader.feed(letter, 10 + place * 0.01)

    assert reader.end(10.1) == "A2B3C4M"


def test_a_suffix_long_after_the_text_ends_nothing():
    reader = Reader()
    reader.feed("K7F3Q97", 0.0)

    assert reader.end(STALE_AFTER_S + 0.1) is None


def test_a_stream_without_an_end_is_dropped():
    reader = Reader()
    reader.feed("X" * (LONGEST + 1), 0.0)

    assert reader.end(0.1) is None


def test_what_is_left_of_too_long_a_stream_is_no_code_but_the_next_one_is():
    reader = Reader()
    for place in range(LONGEST + 6):
        reader.feed(str(place % 10), place * 0.001)

    assert reader.end(0.1) is None
    reader.feed("K7F3Q97", 0.2)
    assert reader.end(0.3) == "K7F3Q97"


def test_a_stream_without_an_end_is_forgotten_after_a_while():
    reader = Reader()
    reader.feed("X" * (LONGEST + 1), 0.0)

    reader.feed("K7F3Q97", STALE_AFTER_S + 0.1)

    assert reader.end(STALE_AFTER_S + 0.2) == "K7F3Q97"


def test_the_longest_text_is_still_a_code():
    reader = Reader()
    reader.feed("X" * LONGEST, 0.0)

    assert reader.end(0.1) == "X" * LONGEST


def test_an_end_of_two_strokes_ends_once():
    reader = Reader()
    reader.feed("K7F3Q97", 0.0)

    assert [reader.end(0.01), reader.end(0.02)] == ["K7F3Q97", None]


def test_a_silence_at_the_limit_still_belongs_to_the_code():
    reader = Reader()
    reader.feed("K7F", 0.0)
    reader.feed("3Q97", STALE_AFTER_S)

    assert reader.end(2 * STALE_AFTER_S) == "K7F3Q97"


# -- scanners without a suffix ---------------------------------------------------------------


def test_a_code_without_a_suffix_is_complete_when_nothing_more_comes():
    reader = Reader()
    for place, letter in enumerate("K7F3Q97"):
        reader.feed(letter, place * 0.02)
        assert reader.poll(place * 0.02) is None
    assert reader.is_waiting
    assert reader.poll(0.12 + QUIET_S + 0.01) == "K7F3Q97"
    assert not reader.is_waiting
    assert reader.end(0.6) is None  # an Enter that comes all the same


@pytest.mark.parametrize("text", ["K7F3Q9", "K7F3Q9X", "K7F3Q?7", "K7F 3Q?7", "S1", "K7F3Q97A2"])
def test_what_is_no_sound_code_waits_for_its_end(text):
    reader = Reader()
    reader.feed(text, 0.0)
    assert reader.poll(1.0) is None
    assert reader.end(1.0) == text


def test_a_typed_code_with_a_hyphen_counts_the_same():
    reader = Reader()
    reader.feed("k7f-3q97", 0.0)
    assert reader.poll(0.5) == "k7f-3q97"


def test_nothing_typed_is_no_code():
    assert Reader().poll(100.0) is None


def all_of(reader, at):
    """Return what poll hands over, one after the other."""
    found = []
    while code := reader.poll(at):
        found.append(code)
    return found


@pytest.mark.parametrize("suffix", ["any", "none"])
@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("K7F3Q97A2B3C4M", ["K7F3Q97", "A2B3C4M"]),
        ("K7F3Q97K7F3Q97", ["K7F3Q97", "K7F3Q97"]),
        ("]Q1K7F3Q97]C0A2B3C4M", ["]Q1K7F3Q97", "]C0A2B3C4M"]),
        ("k7f-3q97A2B-3C4M222-2223", ["k7f-3q97", "A2B-3C4M", "222-2223"]),
        ("K7F3Q97\r\nA2B3C4M\r\n", ["K7F3Q97", "A2B3C4M"]),
    ],
)
def test_codes_glued_together_are_told_apart(suffix, text, codes):
    reader = Reader(suffix=suffix)
    reader.feed(text, 0.0)

    assert all_of(reader, QUIET_S + 0.01) == codes
    assert not reader.is_waiting


def test_a_code_that_comes_while_another_waits_is_kept():
    reader = Reader()
    reader.feed("K7F3Q97A2B3C4M", 0.0)
    assert reader.poll(0.4) == "K7F3Q97"

    reader.feed("2222223", 0.5)

    assert all_of(reader, 0.9) == ["A2B3C4M", "2222223"]


@pytest.mark.parametrize("end", ["\r", "\n", "\r\n", "\t"])
def test_a_second_end_is_no_second_code(end):
    reader = Reader()
    reader.feed("K7F3Q97", 0.0)
    assert reader.end(0.01) == "K7F3Q97"

    reader.feed(end, 0.02)

    assert not reader.is_waiting
    assert reader.poll(0.5) is None
    assert reader.end(0.5) is None


def test_glued_codes_that_end_with_enter_are_left_whole_to_be_asked_about():
    reader = Reader()
    reader.feed("K7F3Q97A2B3C4M", 0.0)

    assert reader.end(0.1) == "K7F3Q97A2B3C4M"


def test_without_a_suffix_the_next_codes_first_letter_ends_the_one_before():
    reader = Reader(suffix="none")
    reader.feed("K7F3Q97A2B", 0.0)

    assert reader.poll(QUIET_S) == "K7F3Q97"
    reader.feed("3C4M", 0.5)
    assert reader.poll(0.9) == "A2B3C4M"


@pytest.mark.parametrize("text", ["K7F3Q9X", "QBDCQQH", "K7F3Q9XA2B3C4M"])
def test_without_a_suffix_no_scan_stays_silent(text):
    reader = Reader(suffix="none")
    reader.feed(text, 0.0)

    assert reader.poll(STALE_AFTER_S) is None
    assert reader.poll(STALE_AFTER_S + 0.01) == text


def test_without_a_suffix_a_text_too_short_for_a_code_says_nothing():
    reader = Reader(suffix="none")
    reader.feed("K7F3Q9", 0.0)

    assert reader.poll(STALE_AFTER_S + 0.01) is None


@pytest.mark.parametrize(
    "text", ["k7f3q97", 'Kèf"Açè', 'kèf"açè', "KÝFŠQÍÝ", "kýfšqíý", '$A&Kèf"Açè', "?_TFSB'"]
)
def test_a_code_that_a_layout_changed_is_complete_without_a_suffix_too(text):
    reader = Reader()
    reader.feed(text, 0.0)

    assert reader.poll(QUIET_S) == text


@pytest.mark.parametrize("text", ["KBF?DCA", "KB??DCA", "KBF-DCA"])
def test_what_a_person_may_have_typed_waits_for_enter(text):
    reader = Reader()
    reader.feed(text, 0.0)

    assert reader.poll(1.0) is None
    assert reader.end(1.0) == text


def test_a_layout_that_is_set_is_undone_without_a_suffix_too():
    dvorak = 'T7U3"97'  # K7F3Q97 sent by a scanner set to US
    plain, told = Reader(), Reader(layout="Dvorak")
    for reader in (plain, told):
        reader.feed(dvorak, 0.0)

    assert plain.poll(QUIET_S) is None
    assert told.poll(QUIET_S) == dvorak


def test_a_stream_too_long_is_no_code_without_a_suffix_either():
    reader = Reader(suffix="none")
    reader.feed("K7F3Q97" * 10, 0.0)

    assert reader.poll(QUIET_S) is None
    assert reader.poll(STALE_AFTER_S + 0.1) is None


def test_beside_a_pad_only_a_sound_code_that_came_fast_is_a_scan():
    code = code_for("K", 77)
    assert is_scanned(code, 0.06 * len(code))
    assert not is_scanned(code, 0.15 * len(code))
    assert not is_scanned("KILNROOM", 0.01)
    assert not is_scanned("", 0.0)
