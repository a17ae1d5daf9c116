"""The parts below the screens: text that fits, the shop's thread, sounds, offers, booting."""

import subprocess
import sys
import threading
import wave
from dataclasses import fields
from pathlib import Path

import pytest
from fake_shop import REASONS, recorded, too_early

from kiosk.screens.offers import OfferActs, choices_for


@pytest.mark.parametrize("text", ["", "35 min", "Next: scuff before coat 2 at finish", "W" * 40])
@pytest.mark.parametrize("box", [(60, 20), (300, 40), (900, 300)])
def test_text_never_leaves_its_box(window, text, box):
    from kiosk.widgets.fitting import FitLabel

    label = FitLabel(
        ladder=(80, 60, 40, 24, 16), text=text, most=80, size=box, size_hint=(None,) * 2
    )
    label.texture_update()
    if text:
        assert label.texture.width <= box[0]
        assert label.texture.height <= box[1]


def test_text_is_as_large_as_it_may_be(window):
    from kiosk.widgets.fitting import best_size

    ladder = (80, 60, 40, 24, 16)
    assert best_size("A", (300, 120), ladder=ladder, most=60, bold=False) == 60
    assert best_size("A", (300, 30), ladder=ladder, most=60, bold=False) == 24
    assert best_size("W" * 400, (50, 20), ladder=ladder, most=60, bold=False) == 16


def test_centred_words_are_broken_into_even_lines(window):
    from kiosk.widgets.fitting import even_width, measure

    said = {"font_size": 40, "bold": True}
    words, longest = "It was the same coat 1", "It was the same coat"
    width = measure(longest, width=None, **said)[0] + 2  # where only the number has no room
    even = even_width(words, width, **said)
    assert even < measure(longest, width=None, **said)[0]
    assert measure(words, width=even, **said)[1] == measure(words, width=width, **said)[1]
    assert measure(words, width=even - 1, **said)[1] > measure(words, width=width, **said)[1]
    assert even_width("Back", width, **said) == width


@pytest.fixture
def worker():
    from kiosk.screens.worker import Worker

    one = Worker(lambda then: then(0.0))
    yield one
    one.stop()


def test_the_shop_is_asked_in_order_on_one_thread_of_its_own(worker):
    seen, names = [], set()

    def call(number):
        names.add(threading.current_thread().name)
        return number

    for number in range(50):
        worker.ask(lambda number=number: call(number), seen.append, fail=seen.append)
    worker.settle()
    assert seen == list(range(50))
    assert names == {"shop"}


def test_a_fault_reaches_its_asker_and_the_thread_lives_on(worker):
    faults, answers = [], []

    def breaks():
        raise OSError("disk full")

    worker.ask(breaks, answers.append, fail=faults.append)
    worker.ask(lambda: 7, answers.append, fail=faults.append)
    worker.settle()
    assert [str(fault) for fault in faults] == ["disk full"]
    assert answers == [7]


def test_the_two_sounds_differ_in_rhythm(tmp_path: Path):
    from kiosk.widgets.sounds import GOOD, REFUSED, write_tones

    lengths = {}
    for name, tones in (("good", GOOD), ("refused", REFUSED)):
        write_tones(tmp_path / name, tones)
        with wave.open(str(tmp_path / name)) as file:
            lengths[name] = file.getnframes() / file.getframerate()
    assert lengths["good"] < 0.3 < 0.6 < lengths["refused"]
    assert GOOD[0][0] < GOOD[-1][0]


def test_sounds_that_are_not_wanted_are_not_loaded(tmp_path: Path):
    from kiosk.widgets.sounds import Sounds

    sounds = Sounds(tmp_path, wanted=False)
    sounds.play(good=True)
    assert not sounds.is_on
    assert list(tmp_path.iterdir()) == []


def test_an_answer_without_offers_has_no_buttons():
    nothing = OfferActs(*[print] * len(fields(OfferActs)))
    assert choices_for(recorded("K7F3Q97"), REASONS, nothing) == ("", ())


def test_every_reason_has_a_button_and_so_has_waiting():
    nothing = OfferActs(*[print] * len(fields(OfferActs)))
    _title, choices = choices_for(too_early("K7F3Q97"), REASONS, nothing)
    assert [choice.words.lower() for choice in choices] == [*REASONS, "wait"]


def test_the_kiosk_imports_no_window_before_it_is_booted():
    code = "import sys, kiosk.app; print(sorted(n for n in sys.modules if n.startswith('kivy')))"
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert ran.stdout.strip() == "[]"
