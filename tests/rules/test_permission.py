"""What needs a supervisor, who is one, and which permit is good for what."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.entries import Kind
from kiosk.rules.lockout import LONGEST_WAIT, Tries
from kiosk.rules.people import Person
from kiosk.rules.permission import (
    ACT_WORDS,
    Act,
    How,
    Permit,
    Supervisor,
    check_pin,
    find_supervisor,
    how_set,
    is_last_way,
    is_pin,
    mark_of,
    refuse,
    say_locked,
    say_wrong,
    supervisors_of,
)
from tests.builders import an_entry

MARA, IVO, ADA = Person("Mara", "KAAAAAA"), Person("Ivo", "KBBBBBB"), Person("Ada", "KCCCCCC")
MARA_S, IVO_S = Supervisor("Mara", "KAAAAAA", "h1"), Supervisor("Ivo", "KBBBBBB", "h2")


def pin_set(code, kept=None, **more):
    body = {"code": code} | ({} if kept is None else {"hash": kept}) | more
    return an_entry(Kind.PIN_SET, body)


def test_who_was_given_a_pin_last_is_a_supervisor_in_the_order_of_the_list():
    entries = [pin_set("KBBBBBB", "h2"), pin_set("KAAAAAA", "h0"), pin_set("KAAAAAA", "h1")]
    assert supervisors_of((MARA, IVO, ADA), entries) == (MARA_S, IVO_S)


@pytest.mark.parametrize("kept", [None, "", 7, ["h"]])
def test_without_a_hash_the_last_entry_takes_the_pin_away(kept):
    assert supervisors_of((MARA,), [pin_set("KAAAAAA", "h1"), pin_set("KAAAAAA", kept)]) == ()


def test_what_is_no_entry_about_a_pin_makes_nobody_a_supervisor():
    others = [
        an_entry(Kind.PERSON_SET, {"code": "KAAAAAA", "hash": "h1"}),
        pin_set(["KAAAAAA"], "h1"),
        pin_set("KDDDDDD", "h1"),
    ]
    assert supervisors_of((MARA, IVO), others) == ()


def test_who_is_off_the_list_is_no_supervisor():
    away = Person("Mara", "KAAAAAA", away=True)
    assert supervisors_of((away, IVO), [pin_set("KAAAAAA", "h1")]) == ()


def test_a_hash_is_not_written_where_a_supervisor_is_printed():
    assert "h1" not in repr(MARA_S)


def test_a_supervisor_is_found_by_name_and_by_badge():
    assert find_supervisor((MARA_S, IVO_S), "  ivo ") == IVO_S
    assert find_supervisor((MARA_S, IVO_S), "KAAAAAA") == MARA_S
    assert find_supervisor((MARA_S,), "Ada") is None


@pytest.mark.parametrize("act", list(Act))
def test_without_supervisors_nothing_needs_one(act):
    assert refuse(act, None, ()) == ()
    assert mark_of(Permit("Mara", "KAAAAAA", act), ()) == {}


@pytest.mark.parametrize("act", list(Act))
def test_with_one_every_act_is_refused_without_a_permit_and_names_who_to_ask(act):
    (problem,) = refuse(act, None, (MARA_S, IVO_S))
    assert problem.message == f"{ACT_WORDS[act]} needs a supervisor."
    assert "Mara, Ivo" in problem.remedy


@pytest.mark.parametrize("act", list(Act))
@pytest.mark.parametrize("given", list(Act))
def test_a_permit_is_good_for_its_own_act_alone(act, given):
    permit = Permit("Mara", "KAAAAAA", given)
    assert (refuse(act, permit, (MARA_S, IVO_S)) == ()) == (act == given)


def test_a_permit_of_who_is_none_any_more_is_no_good():
    assert refuse(Act.ROUTES, Permit("Mara", "KAAAAAA", Act.ROUTES), (IVO_S,)) != ()


def test_the_entry_of_an_act_names_who_allowed_it():
    assert mark_of(Permit("Mara", "KAAAAAA", Act.REVISE), (MARA_S,)) == {"allowed_by": "Mara"}
    assert mark_of(None, (MARA_S,)) == {}


@pytest.mark.parametrize("pin", ["274915", "000001", "112358132134", "9081726354"])
def test_a_sound_pin_is_taken(pin):
    assert is_pin(pin)
    assert check_pin(pin) == ()


@pytest.mark.parametrize(
    "pin", ["", "27491", "1234567890123", "27491a", "27 915", "٢٧٤٩١٥", "-74915"]
)
def test_what_is_no_pin_is_refused_with_its_length(pin):
    assert not is_pin(pin)
    assert check_pin(pin)[0].message == "A PIN has 6 to 12 digits."


@pytest.mark.parametrize("pin", ["111111", "123456", "987654", "890123", "3210987", "901234567890"])
def test_what_is_guessed_first_is_refused(pin):
    assert "guessed first" in check_pin(pin)[0].message


@given(st.text(alphabet="0123456789", min_size=6, max_size=12))
def test_few_pins_are_refused_as_easy(pin):
    steps = {(int(b) - int(a)) % 10 for a, b in pairwise(pin)}
    is_easy = steps in ({0}, {1}, {9})
    assert (check_pin(pin) != ()) == is_easy


def test_how_somebody_came_to_a_pin():
    own, other = (
        Permit("Mara", "KAAAAAA", Act.SUPERVISORS),
        Permit("Ivo", "KBBBBBB", Act.SUPERVISORS),
    )
    assert how_set("KAAAAAA", None, ()) == How.SET
    assert how_set("KCCCCCC", own, (MARA_S, IVO_S)) == How.SET
    assert how_set("KAAAAAA", own, (MARA_S, IVO_S)) == How.CHANGED
    assert how_set("KAAAAAA", other, (MARA_S, IVO_S)) == How.RESET
    assert how_set("KAAAAAA", None, (MARA_S,)) == How.RESET


def test_only_where_nobody_is_left_to_ask_the_file_alone_is_enough():
    assert is_last_way({"KAAAAAA"}, (MARA_S,))
    assert is_last_way({"KAAAAAA", "KBBBBBB"}, (MARA_S, IVO_S))
    assert not is_last_way({"KAAAAAA"}, (MARA_S, IVO_S))


def test_a_wrong_pin_says_how_many_tries_are_left_or_how_long_to_wait():
    assert say_wrong(Tries(1)).remedy == "4 tries left."
    assert say_wrong(Tries(4)).remedy == "1 try left."
    assert "30 seconds" in say_wrong(Tries(5)).remedy
    assert "60 min" in say_locked(LONGEST_WAIT)
