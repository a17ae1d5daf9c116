"""What two kiosks recorded of one unit while they were apart."""

import random
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.asked import BRIEF, CHOICES
from kiosk.rules.ends import ends_of
from kiosk.rules.entries import Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.questions import DOUBLE_WITHIN, doubles, questions
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.rules.standing import stand
from tests.builders import SETUP, ZONE, a_unit, an_entry, asked, at, history, scan_at, taken
from tests.strategies import logs

NOON = at("15:00")


def step(name, when, *, kiosk="M", person="Ivo", seq=1, **more):
    return an_entry(
        Kind.STEP_DONE, {"step": name} | more, when=when, kiosk=kiosk, seq=seq, person=person
    )


def struck(target, when="16:00", *, kiosk="M", seq=90):
    return an_entry(Kind.STRUCK, {"target": target}, when=when, kiosk=kiosk, seq=seq)


def ask(entries, now=NOON):
    state = fold_unit(entries)
    return questions(state, SETUP.steps(state.spec), now=now, zone=ZONE)


def only(entries):
    (found,) = ask(entries)
    return found


def standing(entries, now=NOON):
    return stand(fold_unit(entries), SETUP, now=now)


def answered(entries, question, key, *, kiosk="M", when="15:05", who="Ana", seq=50):
    """Return the entries with those an answer writes, as an action writes them."""
    return [*entries, *asked(question, key, kiosk=kiosk, when=when, person=who, seq=seq)]


# -- the same step twice -------------------------------------------------------------------------

APART = [*history("glue-up 07:30", "coat-1 10:05"), step("coat-1", "14:40")]


def test_a_coat_recorded_by_two_people_is_counted_once_and_asked_about():
    state, found = fold_unit(APART), only(APART)

    assert state.done["coat-1"].at == at("10:05")
    assert (found.id, found.what, found.job, found.unit) == ("twice:M-1", "twice", "GLAZE", "S1")
    assert found.words == (
        "Coat 1 was recorded twice (Ida 10:05, Ivo 14:40): was the second one coat 2?"
    )
    assert [one.key for one in found.replies] == ["same", "next", "strike-first", "strike-second"]


def test_without_a_name_the_kiosk_is_told():
    found = only([*history("coat-1 10:05"), step("coat-1", "14:40", person="")])

    assert "kiosk M 14:40" in found.words


@pytest.mark.parametrize(
    ("person", "apart", "is_asked"),
    [
        ("Ida", DOUBLE_WITHIN, False),
        ("Ida", -DOUBLE_WITHIN, False),
        ("Ida", DOUBLE_WITHIN + timedelta(milliseconds=1), True),
        ("Ivo", timedelta(0), True),
    ],
)
def test_the_same_person_within_ten_minutes_recorded_one_step_twice(person, apart, is_asked):
    again = step("coat-1", at("10:05") + apart, person=person)
    entries = [*history("coat-1 10:05"), again]

    assert bool(ask(entries)) == is_asked
    state = fold_unit(entries)
    assert doubles(state) == (frozenset() if is_asked else frozenset(state.repeats))
    assert len(state.repeats) == 1


def test_the_next_one_is_offered_where_the_route_has_it_and_nobody_recorded_it():
    last = [*history("coat-2 10:05"), step("coat-2", "14:40")]
    known = [*APART, step("coat-2", "14:50", seq=2)]
    glued = [*history("glue-up 10:05"), step("glue-up", "14:40")]

    for entries in (last, known, glued):
        found = only(entries)
        assert [one.key for one in found.replies] == ["same", "strike-first", "strike-second"]
        assert found.words.endswith("Which counts?")


def test_a_step_the_route_no_longer_has_is_said_by_its_name():
    found = only([*history("buff-1 10:05"), step("buff-1", "14:40")])

    assert found.words.startswith("Buff 1 was recorded twice")


def test_a_part_gathered_by_two_is_asked_about_by_its_name():
    entries = [*history("gather A 10:05"), step("gather", "14:40", part="A")]

    assert only(entries).words.startswith("Gather: part A was recorded twice")


def test_a_part_nobody_knows_is_not_asked_about():
    entries = [*history("cut Q 10:05"), step("cut", "14:40", part="Q")]

    assert ask(entries) == ()
    assert doubles(fold_unit(entries)) == frozenset()


@pytest.mark.parametrize(
    ("key", "left"),
    [
        ("same", {"coat-1": ("10:05", "Ida")}),
        ("next", {"coat-1": ("10:05", "Ida"), "coat-2": ("14:40", "Ivo")}),
        ("strike-first", {"coat-1": ("14:40", "Ivo")}),
        ("strike-second", {"coat-1": ("10:05", "Ida")}),
    ],
)
def test_each_answer_leaves_the_coats_as_it_says_and_settles_the_question(key, left):
    entries = answered(APART, only(APART), key)

    done = fold_unit(entries).done
    assert {
        name: (f"{one.at.astimezone(ZONE):%H:%M}", one.person)
        for name, one in done.items()
        if name != "glue-up"
    } == left
    assert ask(entries) == ()


def test_why_a_coat_went_ahead_goes_with_it_to_the_next():
    entries = [*history("coat-1 10:05"), step("coat-1", "14:40", early="label says so")]

    after = fold_unit(answered(entries, only(entries), "next"))

    assert after.done["coat-2"].early == "label says so"


def test_an_answer_struck_takes_back_all_it_wrote():
    question = only(APART)
    for reply in question.replies:
        entries = answered(APART, question, reply.key)
        back = [*entries, struck(entries[-1].id)]
        assert ask(back) == (question,)
        state = fold_unit(back)
        assert replace(state, struck=()) == fold_unit(APART)


def test_the_same_answer_given_at_two_kiosks_counts_once_and_is_no_question():
    question = only(APART)
    entries = answered(answered(APART, question, "next"), question, "next", kiosk="K", seq=70)

    state = fold_unit(entries)

    assert sorted(state.done) == ["coat-1", "coat-2", "glue-up"]
    assert ask(entries) == ()
    assert state.repeats == ()


def test_a_third_record_is_asked_about_by_itself():
    entries = answered([*APART], only(APART), "same")
    third = step("coat-1", "15:30", person="Ben", kiosk="N")

    assert only([*entries, third]).id == "twice:N-1"


# -- one question answered in two ways -----------------------------------------------------------


def torn(first="next", second="strike-first"):
    """Two kiosks answered the question while they were apart, N after M."""
    question = only(APART)
    made = asked(question, second, kiosk="N", when="15:10", person="Ben", seq=60)
    return [*answered(APART, question, first), *made]


def test_of_two_answers_the_first_counts_and_which_is_right_is_asked():
    entries, question = torn(), only(torn())

    assert fold_unit(entries).done == fold_unit(answered(APART, only(APART), "next")).done
    assert question.id == "answers:M-answer-50-N-answer-60"
    assert question.words == (
        "One question was answered in two ways "
        "(Ana 15:05: it was the next one; Ben 15:10: the first struck)"
    )
    for key, done in (
        ("first", {"coat-1": at("10:05"), "coat-2": at("14:40")}),
        ("second", {"coat-1": at("14:40")}),
    ):
        after = answered(entries, question, key, seq=80, when="15:20")
        assert ask(after) == ()
        left = fold_unit(after).done
        assert {name: one.at for name, one in left.items() if name != "glue-up"} == done
        back = [*after, struck(after[-1].id)]
        assert ask(back) == (question,)


def test_of_two_ways_to_choose_between_answers_the_first_counts():
    entries, question = torn(), only(torn())
    one = asked(question, "first", seq=80, when="15:20")
    two = asked(question, "second", kiosk="N", seq=80, when="15:21", person="Ben")

    (again,) = ask([*entries, *one, *two])

    assert fold_unit([*entries, *one, *two]).done == fold_unit([*entries, *one]).done
    assert again.what == "answers"
    assert "Ana 15:20: the first answer; Ben 15:21: the second answer" in again.words


def test_a_question_that_comes_back_may_be_answered_anew():
    entries = answered(HELD, only(HELD), "lift")
    back = [*entries, struck(entries[-2].id)]  # the lifting alone

    question = only(back)
    assert question.after == (entries[-1].id,)
    assert ask(answered(back, question, "lift", seq=95, when="16:30")) == ()


def test_an_answer_not_understood_answers_nothing():
    odd = [
        an_entry(Kind.QUESTION_ANSWERED, body, when="15:00", seq=n, kiosk="Q")
        for n, body in enumerate(({}, {"question": 5, "about": 7, "after": 3}), start=1)
    ]

    assert ask([*APART, *odd]) == ask(APART)


# -- done while on hold --------------------------------------------------------------------------

HELD = [*history("hold wet wood 10:00"), step("hang", "10:05")]


def test_a_unit_hung_while_on_hold_is_hung_stays_on_hold_and_is_asked_about():
    state, one, found = fold_unit(HELD), standing(HELD), only(HELD)

    assert "hang" in state.done
    assert (one.state, one.why) == (State.ON_HOLD, "on hold since 10:00: wet wood")
    assert found.id == "held:M-1"
    assert found.words == (
        "Hang was recorded (Ivo 10:05) though the unit was put on hold (10:00): wet wood"
    )


@pytest.mark.parametrize(
    ("when", "kiosk", "is_asked"),
    [("09:59", "M", True), ("09:58", "M", False), ("10:05", "K1", False)],
)
def test_only_what_another_kiosk_recorded_since_about_then_meets_a_hold(when, kiosk, is_asked):
    entries = [*history("hold wet wood 10:00"), step("hang", when, kiosk=kiosk, seq=9)]

    assert bool(ask(entries)) == is_asked


def test_a_recut_cut_while_the_unit_waits_for_it_is_no_question():
    entries = history("spoil A A2 09:00", "hold A spoiled 09:00")
    recut = step("cut", "10:00", part="A2")
    other = step("cut", "10:00", part="B", seq=2)

    assert ask([*entries, recut]) == ()
    assert only([*entries, recut, other]).words.startswith("Cut: part B was recorded")


@pytest.mark.parametrize(
    ("key", "state", "has"),
    [("lift", State.HUNG, True), ("strike", State.ON_HOLD, False), ("both", State.ON_HOLD, True)],
)
def test_the_hold_is_lifted_the_step_struck_or_both_stay(key, state, has):
    entries = answered(HELD, only(HELD), key)

    assert standing(entries, at("w3 Mon 15:00")).state == state
    assert ("hang" in fold_unit(entries).done) == has
    assert ask(entries) == ()


def test_a_step_that_meets_a_hold_after_both_stayed_is_asked_about_anew():
    met = [*history("hold wet wood 10:00"), step("fill", "10:05")]
    entries = answered(met, only(met), "both")
    later = step("sand", "11:00", kiosk="N")

    assert only([*entries, later]).about[-1] == later.id


def test_many_steps_that_met_a_hold_are_one_question():
    names = ("fill", "sand", "coat-1", "scuff-2", "coat-2", "mask")
    met = [step(name, f"10:0{n}", seq=n + 1) for n, name in enumerate(names)]

    found = only([*history("hold wet wood 10:00"), *met])

    assert "and 2 more was recorded (Ivo 10:05)" in found.words
    assert len(found.reply("strike").deeds) == 6
    assert found.reply("nothing") is None


# -- struck, and built upon ----------------------------------------------------------------------

BUILT = [*history("glue-up 07:30", "coat-1 10:00"), struck("K1-3"), step("coat-2", "14:00", seq=2)]


def test_a_later_coat_does_not_stand_for_one_that_was_struck():
    one, found = standing(BUILT), only(BUILT)

    assert (one.state, one.step.name, one.coats_done) == (State.ON_HOLD, "coat-1", 1)
    assert one.why == "on hold: coat 1 was struck, but coat 2 is recorded"
    assert found.id == "struck:K1-3"
    assert found.words == (
        "Coat 1 (Ida 10:00) was struck, but coat 2 is recorded: was it done after all?"
    )
    ends = ends_of(fold_unit(BUILT), SETUP, now=NOON)
    assert set(ends.why.values()) == {"on hold"}


def test_where_nothing_came_after_a_struck_step_is_just_not_done():
    entries = [*history("glue-up 07:30", "coat-1 10:00"), struck("K1-3")]

    assert ask(entries) == ()
    assert standing(entries).step.name == "fill"


def test_a_struck_step_recorded_again_is_done():
    assert ask([*BUILT, step("coat-1", "14:05", seq=3)]) == ()


def test_it_was_done_after_all_or_the_later_ones_were_not_either():
    question = only(BUILT)

    done, gone = (fold_unit(answered(BUILT, question, key)) for key in ("done", "strike"))

    assert (done.done["coat-1"].at, done.done["coat-1"].person) == (at("10:00"), "Ida")
    assert set(done.done) == {"glue-up", "coat-1", "coat-2"}
    assert set(gone.done) == {"glue-up"}
    for key in ("done", "strike"):
        assert ask(answered(BUILT, question, key)) == ()


def test_a_part_whose_cut_was_struck_is_to_be_cut_though_it_was_gathered():
    cut = step("cut", "08:00", kiosk="K1", seq=2, part="A", early="label says so")
    entries = [taken(a_unit()), cut, struck("K1-2"), step("gather", "09:00", part="A", seq=2)]

    state, found = fold_unit(entries), only(entries)

    assert standing(entries).state == State.TO_CUT
    assert found.words.startswith("Cut: part A (Ivo 08:00) was struck, but gather is recorded")
    after = fold_unit(answered(entries, found, "done"))
    assert after.piece("A").done["cut"].early == "label says so"
    assert "cut" not in state.piece("A").done


def test_the_struck_cut_of_a_part_nobody_wants_is_not_asked_about():
    cut = step("cut", "08:00", kiosk="K1", seq=2, part="A")
    gathered = step("gather", "09:00", part="A", seq=2)
    revised = taken(a_unit(parts="B"), when="10:00", seq=9)
    strange = step("cut", "08:00", kiosk="K1", seq=3, part="Q")

    found = ask([taken(a_unit()), cut, struck("K1-2"), gathered, revised])
    assert [one.what for one in found] == ["spare"]
    assert ask([taken(a_unit()), strange, struck("K1-3"), step("glue-up", "10:00")]) == ()


# -- a revised list ------------------------------------------------------------------------------


def revised(parts="B"):
    return taken(a_unit(parts=parts), when="12:00", seq=9, kiosk="N")


def test_parts_that_were_cut_and_are_wanted_no_more_are_asked_about_until_answered():
    entries = [*history("cut A 10:00"), revised()]
    two = [*history("cut A 10:00", "cut B"), revised("C")]

    found = only(entries)

    assert (found.id, found.words) == (
        "spare:K1-2",
        "Part A was cut, but the list no longer has it",
    )
    assert only(two).words == "Part A, part B were cut, but the list no longer has them"
    spare = answered(entries, found, "spare")
    assert ask(spare) == ()
    assert fold_unit(spare).piece("A").done


def test_a_part_still_wanted_puts_the_unit_on_hold():
    entries = [*history("cut A 10:00"), revised()]

    held = answered(entries, only(entries), "wanted")

    assert ask(held) == ()
    assert standing(held).why.endswith(
        "cut, but no longer on the list: part A; revise the list, then lift"
    )


def test_a_hold_put_by_an_answer_asks_of_later_steps_alone():
    entries = [*history("cut A 10:00"), revised()]
    # given at another kiosk a minute after the cut, which it knew of
    held = answered(entries, only(entries), "wanted", when="10:01")
    assert ask(held) == ()

    later = [*held, step("cut", "10:02", kiosk="N", part="B", seq=7)]
    assert only(later).what == "held"


def test_a_recut_made_on_two_kiosks_is_one_too_many():
    entries = history("cut A 08:00", "spoil A A2 09:00", "spoil A A3 09:01", "cut A3 09:30")

    found = only(entries)

    assert (found.what, found.words) == (
        "recut",
        "Part A was recut on two kiosks; one recut is too many",
    )
    assert ask(answered(entries, found, "spare")) == ()
    used = answered(entries, found, "use")
    assert ask(used) == ()
    assert fold_unit(used).piece("A3").needed
    both = only([*entries, step("cut", "09:40", part="A2")])
    assert [one.key for one in both.replies] == ["spare"]


def test_a_recut_of_a_part_the_list_dropped_is_a_spare():
    entries = [*history("spoil A A2 09:00", "cut A2 09:30"), revised()]

    assert [one.what for one in ask(entries)] == ["recut"]


def test_a_unit_left_out_by_a_list_but_begun_stays_seen_until_answered():
    entries = [*history("glue-up 10:00"), an_entry(Kind.UNIT_GONE, when="12:00", kiosk="N")]

    state, found = fold_unit(entries), only(entries)

    assert (state.gone, state.away) == (True, False)
    assert standing(entries).why == "on hold: no longer on the list, but begun"
    assert set(ends_of(state, SETUP, now=NOON).why.values()) == {"on hold"}
    assert (found.id, found.about) == ("gone:K1-2", ("N-1", "K1-2"))
    off = answered(entries, found, "off")
    assert fold_unit(off).away
    assert ask(off) == ()
    back = fold_unit(answered(entries, found, "wanted"))
    assert (back.gone, back.spec) == (False, state.spec)
    more = step("fill", "16:00", kiosk="M", seq=9)
    assert not fold_unit([*off, more]).away


def test_a_unit_left_out_before_anybody_began_is_away():
    entries = [*history(), an_entry(Kind.UNIT_GONE, when="12:00", kiosk="N")]

    assert fold_unit(entries).away
    assert ask(entries) == ()
    assert fold_unit([*entries, step("cut", "12:30", part="A")]).left_over == ("M-1",)


def test_a_scan_of_a_unit_that_is_gone_says_to_answer_first():
    entries = [*history("glue-up 10:00"), an_entry(Kind.UNIT_GONE, when="12:00", kiosk="N")]

    verdict = scan_at(NOON, entries, "finish")

    assert (verdict.outcome, verdict.message) == (
        Outcome.ON_HOLD,
        "No longer on the list: S1",
    )


# -- any order -----------------------------------------------------------------------------------


@settings(derandomize=True, deadline=None, max_examples=60)
@given(logs(), st.data())
def test_any_order_and_any_number_of_copies_asks_the_same(entries, data):
    again = data.draw(st.lists(st.sampled_from(entries), max_size=6))
    shuffled = data.draw(st.permutations(entries + again))

    found = ask(entries)

    assert ask(shuffled) == found
    assert len({one.id for one in found}) == len(found)
    for one in found:
        assert one.what in BRIEF
        assert {(one.what, reply.key) for reply in one.replies} <= CHOICES.keys()


@settings(derandomize=True, deadline=None, max_examples=60)
@given(logs(), st.integers(0, 2**32))
def test_answering_comes_to_an_end_and_loses_no_entry(entries, seed):
    rng = random.Random(seed)
    known = list(entries)
    for turn in range(40):
        found = ask(known, at("w3 Mon 15:00"))
        if not found:
            break
        question = rng.choice(found)
        reply = rng.choice(question.replies)
        known = answered(
            known, question, reply.key, when="w3 Mon 16:00", seq=100 + 30 * turn, kiosk="K1"
        )
    assert ask(known) == ()
