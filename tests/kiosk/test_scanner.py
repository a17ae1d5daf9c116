import pytest

from kiosk.scanner import LONGEST, QUIET_S, STALE_AFTER_S, Reader


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


@pytest.mark.parametrize("text", ["K7F3Q9", "K7F3Q9X", "K7F3Q?7", "S1", "K7F3Q97K7F3Q97"])
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
