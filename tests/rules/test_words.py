"""Phrases: English by themselves, and any language through a catalogue."""

import gettext
from dataclasses import dataclass, replace

from kiosk.rules.words import Phrase, _, capital, join, said, say, say_n

WORDS = {
    "glue cures": "Leim bindet ab",
    "after {what}": "nach: {what}",
    "{n} label": "{n} Etikett",
    "{n} labels": "{n} Etiketten",
}


class German(gettext.NullTranslations):
    """A catalogue of a few words."""

    def gettext(self, message):
        return WORDS.get(message, message)

    def ngettext(self, msgid1, msgid2, n):
        return WORDS[msgid1 if n == 1 else msgid2]


GERMAN = German()


def test_a_phrase_is_its_english_words():
    phrase = say("after {what}", what=_("glue cures"))
    assert phrase == "after glue cures"
    assert isinstance(phrase, Phrase)
    assert len({phrase, "after glue cures"}) == 1


def test_a_phrase_and_the_phrases_in_it_are_said_in_another_language():
    assert say("after {what}", what=_("glue cures")).said(GERMAN) == "nach: Leim bindet ab"


def test_the_shops_own_words_are_never_translated():
    assert said("glue cures", GERMAN) == "glue cures"
    assert say("after {what}", what="glue cures").said(GERMAN) == "nach: glue cures"


def test_braces_in_values_and_in_fixed_words_stay():
    assert say("after {what}", what="{n}").said(GERMAN) == "nach: {n}"
    assert _("{odd").said(GERMAN) == "{odd"


def test_counts_choose_their_form():
    assert [say_n("{n} label", "{n} labels", n) for n in (0, 1, 2)] == [
        "0 labels",
        "1 label",
        "2 labels",
    ]
    assert say_n("{n} label", "{n} labels", 1).said(GERMAN) == "1 Etikett"
    assert say_n("{n} label", "{n} labels", 5).said(GERMAN) == "5 Etiketten"


def test_parts_are_joined_without_the_empty_ones():
    phrase = join([_("glue cures"), "", say_n("{n} label", "{n} labels", 2)], ". ")
    assert phrase == "glue cures. 2 labels"
    assert phrase.said(GERMAN) == "Leim bindet ab. 2 Etiketten"


def test_a_first_letter_is_a_capital_in_every_language():
    assert capital(_("glue cures")) == "Glue cures"
    assert capital(say("after {what}", what="G05")).said(GERMAN) == "Nach: G05"
    assert capital("") == ""


def test_a_phrase_outlives_being_kept_in_a_value():
    @dataclass(frozen=True)
    class Kept:
        words: str
        number: int = 0

    kept = replace(Kept(_("glue cures")), number=3)
    assert said(kept.words, GERMAN) == "Leim bindet ab"
