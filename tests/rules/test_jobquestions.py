"""What two kiosks recorded of one job as a whole while they were apart."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.entries import Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.jobfold import fold_job
from kiosk.rules.jobquestions import job_questions
from kiosk.rules.parts import as_body
from tests.builders import ZONE, a_unit, an_entry, asked, at

JOB = a_unit("")
NOW = at("16:00")


def about(kind, body=None, *, unit="", when="08:00", kiosk="K", seq=1, **more):
    return an_entry(kind, body, unit=a_unit(unit), when=when, kiosk=kiosk, seq=seq, **more)


def opened(**more):
    return about(Kind.JOB_OPENED, {"name": "Glaze store"}, **more)


def closed(when="12:00", **more):
    body = {"name": "Glaze store", "reason": "all up", "allowed_by": "Ana", "answer": ""}
    return about(Kind.JOB_CLOSED, body, when=when, **({"seq": 9} | more))


def done(when, unit="S1", step="hang", **more):
    return about(
        Kind.STEP_DONE,
        {"step": step},
        unit=unit,
        when=when,
        person="Ivo",
        **({"kiosk": "M"} | more),
    )


def ask(entries):
    return job_questions(fold_job(entries), now=NOW, zone=ZONE)


def answered(entries, key, *, kiosk="K", seq=60):
    (question,) = ask(entries)
    made = asked(question, key, kiosk=kiosk, when="15:00", seq=seq)
    return [*entries, *made]


def test_a_job_nobody_opened_has_no_state():
    assert fold_job([]) is None
    assert fold_job([done("10:00")]) is None


def test_a_job_is_as_it_was_last_set():
    state = fold_job([opened(), closed(), opened(when="13:00", kiosk="M")])

    assert (state.code, state.is_open, state.needs_units, ask([opened()])) == (
        "GLAZE",
        True,
        False,
        (),
    )
    assert not fold_job([opened(), closed()]).is_open
    assert fold_job([opened(), closed()]).needs_units


LATER = [opened(), closed(), done("11:00"), done("12:30", "S10", seq=2), done("12:40", "S2", seq=3)]


def test_work_recorded_after_a_job_was_closed_keeps_it_seen_until_answered():
    state, (found,) = fold_job(LATER), ask(LATER)

    assert (state.is_open, [one.id for one in state.worked]) == (True, ["M-2", "M-3"])
    assert (found.id, found.unit) == ("closed:M-3", "")
    assert found.words == (
        "The job was closed (Ida 12:00), but work was recorded after that: S2, S10"
    )


@pytest.mark.parametrize(("key", "is_open"), [("reopen", True), ("leave", False)])
def test_the_job_goes_on_or_stays_closed(key, is_open):
    entries = answered(LATER, key)

    state = fold_job(entries)

    assert (state.is_open, ask(entries)) == (is_open, ())
    assert state.body["name"] == "Glaze store"
    assert state.body.get("reason") == (None if is_open else "all up")
    # who allowed it to be closed has not allowed it to be opened
    assert state.body.get("allowed_by") == (None if is_open else "Ana")


def test_work_that_comes_after_the_answer_is_asked_about_anew():
    entries = [*answered(LATER, "leave"), done("12:35", "S3", kiosk="N")]

    assert [one.about for one in ask(entries)] == [("K-9", "N-1")]


def test_what_was_struck_since_is_no_work():
    strikes = [
        about(Kind.STRUCK, {"target": target}, unit=unit, when="13:00", kiosk="M", seq=seq)
        for target, unit, seq in (("M-2", "S10", 8), ("M-3", "S2", 9))
    ]

    assert not fold_job([*LATER, *strikes]).is_open


def test_an_answer_struck_asks_again():
    for key in ("reopen", "leave"):
        entries = answered(LATER, key)
        back = [*entries, about(Kind.STRUCK, {"target": entries[-1].id}, when="15:30", seq=80)]
        assert ask(back) == ask(LATER)


def test_a_job_opened_again_here_and_left_closed_there_is_asked_about():
    (question,) = ask(LATER)
    here = asked(question, "reopen", kiosk="K", when="15:00", seq=60)
    there = asked(question, "leave", kiosk="M", when="15:01", seq=60, person="Ivo")

    state, (again,) = fold_job([*LATER, *here, *there]), ask([*LATER, *here, *there])

    assert state.is_open
    assert again.words.endswith("(Ana 15:00: it goes on; Ivo 15:01: it stays closed)")
    for key, is_open in (("first", True), ("second", False)):
        made = asked(again, key, kiosk="K", when="15:30", seq=70)
        after = [*LATER, *here, *there, *made]
        assert (fold_job(after).is_open, ask(after)) == (is_open, ())


# -- two lists -----------------------------------------------------------------------------------


def a_list(kiosk, when, *specs, seq=1, revised=False):
    head = about(Kind.LIST_TAKEN, {"revised": revised}, kiosk=kiosk, when=when, seq=seq)
    return [
        head,
        *(
            about(
                Kind.UNIT_TAKEN, as_body(spec), unit=spec.unit, kiosk=kiosk, when=when, seq=seq + n
            )
            for n, spec in enumerate(specs, start=1)
        ),
    ]


BOTH = [
    opened(),
    *a_list("K", "09:00", a_unit("S1"), a_unit("S2"), a_unit("S3", parts="CD"), seq=2),
    *a_list("M", "10:00", a_unit("S1"), a_unit("S2", parts="A"), a_unit("S4")),
    # of no list, such as a unit that was put back
    about(Kind.UNIT_TAKEN, as_body(a_unit("S9")), unit="S9", kiosk="N", when="11:00"),
]


def test_two_lists_taken_in_for_one_job_are_asked_about_with_what_differs():
    (found,) = ask(BOTH)

    assert fold_job(BOTH).needs_units
    assert found.id == "lists:M-1"
    assert found.words == (
        "Two lists were taken in (Ida 09:00; Ida 10:00). "
        "Only in the first: S3. Only in the second: S4. Not alike: S2."
    )


def test_two_lists_that_differ_in_labels_alone_say_so():
    alike = [opened(), *a_list("K", "09:00", a_unit("S1"), seq=2)]
    # the same parts in another order, with other codes
    pieces = reversed(a_unit("S1").pieces)
    other = replace(a_unit("S1"), pieces=tuple(replace(one, code=f"M{one.code}") for one in pieces))

    (found,) = ask([*alike, *a_list("M", "10:00", other)])

    assert found.words.endswith("They ask for the same; only their labels differ.")


def test_a_revised_list_is_no_second_first_one():
    revised = a_list("M", "10:00", a_unit("S1", parts="A"), revised=True)

    assert ask([opened(), *a_list("K", "09:00", a_unit("S1"), seq=2), *revised]) == ()


@pytest.mark.parametrize(
    ("key", "last"),
    [
        ("both", {"S1": "AB", "S2": "A", "S3": "CD", "S4": "AB", "S9": "AB"}),
        ("first", {"S1": "AB", "S2": "AB", "S3": "CD", "S4": None, "S9": "AB"}),
        ("second", {"S1": "AB", "S2": "A", "S3": None, "S4": "AB", "S9": "AB"}),
    ],
)
def test_each_answer_leaves_the_units_as_it_says(key, last):
    entries = answered(BOTH, key)

    assert ask(entries) == ()
    for unit, parts in last.items():
        state = fold_unit(one for one in entries if one.unit == unit)
        assert (None if state.gone else "".join(one.code for one in state.spec.pieces)) == parts


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.data())
def test_any_order_and_any_number_of_copies_asks_the_same(data):
    entries = [*BOTH, closed(), done("12:30", "S10", kiosk="P"), done("12:40", kiosk="Q")]
    again = data.draw(st.lists(st.sampled_from(entries), max_size=6))
    shuffled = data.draw(st.permutations(entries + again))

    assert fold_job(shuffled) == fold_job(entries)
    assert ask(shuffled) == ask(entries)
    assert len(ask(entries)) == 2
