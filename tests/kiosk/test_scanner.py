from kiosk.scanner import LONGEST, STALE_AFTER_S, Reader


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
