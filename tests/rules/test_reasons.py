"""Reasons are kept in English and said anew."""

import json

import pytest

from kiosk.rules.reasons import (
    GO_AHEAD_REASONS,
    PROBLEMS,
    say_reason,
    say_spoiled,
    say_step,
    say_trouble,
)
from kiosk.rules.words import Phrase


def kept(reason):
    """Return a reason as a log gives it back: a plain string."""
    plain = json.loads(json.dumps({"reason": reason}))["reason"]
    assert type(plain) is str
    return plain


@pytest.mark.parametrize("note", ["", "dust in it"])
@pytest.mark.parametrize("trouble", PROBLEMS[1:], ids=lambda trouble: trouble.key)
def test_every_trouble_is_known_again_from_the_log(trouble, note):
    reason = say_trouble(trouble.key, note=note)

    assert reason == (f"{trouble.words}: {note}" if note else trouble.words)
    assert isinstance(say_reason(kept(reason)), Phrase)


def test_a_missing_part_is_named():
    assert say_trouble("missing", part="side") == "part missing side"
    assert say_trouble("missing", part="side", note="look") == "part missing side: look"
    assert isinstance(say_reason("part missing side: look"), Phrase)


def test_a_trouble_nobody_knows_is_said_as_it_is():
    assert say_trouble("burnt", note="black") == "burnt: black"
    assert say_trouble("burnt") == "burnt"


def test_a_spoiled_part_is_known_again_from_the_log():
    reason = kept(say_spoiled("side"))

    assert reason.startswith("side spoiled: put the recut in")
    assert isinstance(say_reason(reason), Phrase)


def test_reasons_to_go_ahead_are_known_again_and_own_words_stay():
    assert all(isinstance(say_reason(kept(reason)), Phrase) for reason in GO_AHEAD_REASONS)
    assert type(say_reason("the van was late")) is str


def test_a_step_is_said_by_its_name():
    assert [say_step(name) for name in ("glue-up", "coat-2", "scuff-12")] == [
        "glue up",
        "coat 2",
        "scuff 12",
    ]
