"""What `labels` says is said anew; what it never said stays."""

from kiosk.rules.labelwords import say_code_reading, say_drawing, say_print
from kiosk.rules.words import Phrase
from labels.codes import parse
from labels.printing.words import find_reason, unreachable, wrong_size


def test_readings_prints_and_drawings_are_known():
    state = find_reason(["paused"], message="Mara is at lunch")
    assert state is not None
    sentences = (
        say_code_reading(parse("").message),
        say_print(state.words),
        say_print(state.remedy),
        say_print(unreachable("bench").words),
        say_print(wrong_size("50 × 25 mm").words),
        say_drawing(ValueError("x.pdf could not be written: full. Choose another folder, "
                               "or make room on the disk.")),
    )  # fmt: skip

    assert all(isinstance(sentence, Phrase) for sentence in sentences)
    assert say_print(state.words) == "The printer is paused: Mara is at lunch."


def test_other_words_stay_plain():
    assert type(say_print("Out of honey.")) is str
