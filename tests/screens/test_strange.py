"""Every screen of the sample shop in a strange language, marked and about 40 % longer."""

import json
import re
import subprocess
import sys
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from kiosk.rules.words import Phrase, said, say
from tests.messages import gather, keys_of
from tests.strange import Strange, strange

HERE = Path(__file__).parent
OUTPUT = HERE.parent / "output" / "strange"
WRONG = "unsaid"
# What says sentences in samples; a code offered for a misread one is the shop's own.
SENTENCES = {"message", "detail", "next", "why", "what", "words", "remedy", "title"}


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    file = tmp_path_factory.mktemp("strange") / "sample.db"
    ran = subprocess.run(
        [sys.executable, str(HERE / "draw_strange.py"), str(OUTPUT), str(file)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr[-2000:]
    return json.loads(ran.stdout)


def test_every_word_on_every_screen_is_said_through_the_catalogue(drawn):
    plain = {name: found["plain"] for name, found in drawn.items() if found["plain"]}

    assert plain == {WRONG: ["Unsaid", "words"]}
    assert len(drawn) > 140


def test_words_40_percent_longer_are_not_cut_and_lie_over_nothing(drawn):
    wrong = {name: found["misfits"] for name, found in drawn.items() if found["misfits"]}

    assert wrong.keys() == {WRONG}
    assert any("is cut" in one for one in wrong[WRONG])


def test_the_strange_language_marks_words_and_keeps_fields():
    catalogue = Strange({("", "{n} parts of {unit} are cut")})
    words = say("{n} parts of {unit} are cut", n=3, unit="G05").said(catalogue)

    assert re.findall("[A-Za-z]+", words) == ["G"]
    assert "3 " in words
    assert "G05" in words


@pytest.mark.parametrize(
    "text", ["Back", "Use it", "Which station is this?", "Scan a label, or tap Number pad"]
)
def test_the_strange_language_is_about_40_percent_longer(text):
    assert 1.3 <= len(strange(text)) / len(text) <= 1.55


def test_samples_say_their_sentences_as_phrases(window):
    from kiosk.screens import jobsamples, samples, settingsgallery

    found = [*samples.SAMPLES, *samples.SAMPLE_TROUBLES, samples.SAMPLE_PROPOSAL]
    found += [offer for one in samples.SAMPLES for offer in one.offers if offer.kind != "code"]
    found += [*jobsamples.UNITS, *jobsamples.UNIT.past, *settingsgallery._FOUND]
    catalogue = Strange(keys_of(gather()))
    for one in found:
        assert is_dataclass(one)
        for name in SENTENCES & {field.name for field in fields(one)}:
            text = getattr(one, name)
            # in words the program says too, so that a catalogue has them
            assert not text or (isinstance(text, Phrase) and said(text, catalogue) != text)
