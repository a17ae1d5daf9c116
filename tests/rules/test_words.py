"""Phrases: English by themselves, and any language through a catalogue."""

import gettext
import json
from dataclasses import dataclass, replace

from kiosk.rules.words import Phrase, _, capital, heard, join, known, number, said, say, say_n

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


class Strange(gettext.NullTranslations):
    """A catalogue that knows one word by its context and one without."""

    def gettext(self, message):
        return {"step\x04cut": "zuschneiden", "cut": "Schnitt", "": "the head"}.get(
            message, message
        )


def test_words_that_came_as_data_are_looked_up_by_what_they_are():
    assert known("cut", "step").said(Strange()) == "zuschneiden"
    assert known("cut", "station").said(Strange()) == "Schnitt"
    assert known("cut").said(Strange()) == "Schnitt"
    assert known("bend", "step").said(Strange()) == "bend"
    assert known("cut", "step") == "cut"


def test_an_error_carries_a_phrase_on():
    assert said(str(ValueError(_("glue cures"))), GERMAN) == "Leim bindet ab"


def test_nothing_is_not_looked_up():
    assert known("").said(Strange()) == ""
    assert _("").said(Strange()) == ""


def test_english_that_was_kept_is_heard_by_its_template():
    heard_again = heard("after {2} suns", ("before {what}", "after {what}"))
    assert heard_again == "after {2} suns"
    assert said(heard_again, GERMAN) == "nach: {2} suns"


def test_what_no_template_fits_stays_a_plain_string():
    kept = heard("somebody's own words", ("after {what}",))
    assert not isinstance(kept, Phrase)
    assert kept == "somebody's own words"


def test_what_fills_a_template_can_be_heard_too():
    templates = ("after {what}", "glue cures")
    wholly = heard("after glue cures", templates, wholly=True)
    assert said(wholly, GERMAN) == "nach: Leim bindet ab"
    assert said(heard("after glue cures", templates), GERMAN) == "nach: glue cures"


def test_templates_with_braces_of_their_own_are_heard():
    kept = heard("{ 3.5 mm }", ("{{ {value} mm }}",))
    assert isinstance(kept, Phrase)
    assert kept == "{ 3.5 mm }"


def test_what_stands_between_parts_may_be_translated_too():
    joined = join(("A", "B"), _("glue cures"))
    assert joined == "Aglue curesB"
    assert joined.said(GERMAN) == "ALeim bindet abB"


class _Comma(gettext.NullTranslations):
    decimal = ","


def test_a_figure_is_said_with_the_mark_of_the_language_and_kept_with_a_point():
    width = number("603.5 mm")
    assert width == "603.5 mm"
    assert json.dumps(width) == '"603.5 mm"'
    assert said(width, _Comma()) == "603,5 mm"
    assert said(width, gettext.NullTranslations()) == "603.5 mm"


def test_numbers_in_a_sentence_follow_the_language_but_codes_and_names_do_not():
    told = say(
        "{code}: {part}, {n:g} mm, {count} pieces", code="K7.5", part="Rail 2.0", n=3.5, count=4
    )
    assert told == "K7.5: Rail 2.0, 3.5 mm, 4 pieces"
    assert said(told, _Comma()) == "K7.5: Rail 2.0, 3,5 mm, 4 pieces"
