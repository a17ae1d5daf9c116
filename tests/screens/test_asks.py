"""What only a person can decide: its sign on the board, the list, one tap for each answer."""

from dataclasses import replace

import pytest

from kiosk.screens.asksamples import ASKED, TWICE
from kiosk.screens.jobsamples import UNIT
from kiosk.theme import INK, QUIET, rgba


@pytest.fixture
def asking(shop):
    """A shop that asks three things."""
    shop.asked = ASKED
    return shop


@pytest.mark.parametrize("home", ["bench", "board"])
def test_without_questions_there_is_no_sign(drive, shop, home):
    kiosk = drive(shop, home=home)
    assert kiosk.desk.board.sign is None


def test_the_board_says_how_much_is_asked_and_a_tap_leads_to_it(drive, asking):
    kiosk = drive(asking, home="board")
    sign = kiosk.desk.board.sign
    assert (sign.label.text, sign.mark.shape) == ("3 questions", "question")
    kiosk.tap(sign)
    assert kiosk.shows("Questions")
    assert kiosk.shows("Coat 1 was recorded twice (Mara 10:05, Ivo 14:40)")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.board


def test_the_sign_stands_before_back_and_back_at_the_edge(drive, asking):
    board = drive(asking, home="bench").desk.board
    sign, back = list(reversed(board.foot.children))[-2:]
    assert (sign, back.label.text) == (board.sign, "Back")


def test_the_sign_follows_what_is_asked(drive, asking):
    kiosk = drive(asking, home="board")
    asking.asked, asking.fresh = (TWICE,), True
    kiosk.tick()
    assert kiosk.desk.board.sign.label.text == "1 question"
    asking.asked, asking.fresh = (), True
    kiosk.tick()
    assert kiosk.desk.board.sign is None
    assert not kiosk.shows("question")


def test_an_answer_is_one_tap_and_strike_last_is_offered(drive, asking):
    kiosk = drive(asking)
    assert kiosk.desk.bench.shop.mark.shape == "question"
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Questions"))
    kiosk.tap(kiosk.button("G05 of GLAZE"))
    assert kiosk.shows("was the second one coat 2?")
    kiosk.tap(kiosk.button("The second was coat 2"))
    assert asking.calls == [("answer_question", "twice:01", "next", "Mara")]
    assert kiosk.shows("The second was coat 2")
    kiosk.tap(kiosk.button("Strike last"))
    assert asking.calls[-1] == ("strike_last", "Mara")
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_list_is_shorter_after_an_answer(drive, asking):
    kiosk = drive(asking)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Questions"))
    kiosk.tap(kiosk.button("KILN"))
    kiosk.tap(kiosk.button("It stays closed"))
    kiosk.tap(kiosk.button("Questions"))
    assert kiosk.shows("G05 of GLAZE")
    assert not kiosk.shows("KILN")


def test_a_question_settled_elsewhere_meanwhile_is_said(drive, asking):
    kiosk = drive(asking)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Questions"))
    kiosk.tap(kiosk.button("G05 of GLAZE"))
    asking.asked = ()
    kiosk.tap(kiosk.button("It was the same coat 1"))
    assert kiosk.shows("This is asked no more")
    assert "Strike last" not in kiosk.texts()


def test_an_answer_that_could_not_be_kept_says_so(drive, asking):
    kiosk = drive(asking)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Questions"))
    kiosk.tap(kiosk.button("G05 of GLAZE"))
    asking.broken = OSError("The disk is full.")
    kiosk.tap(kiosk.button("It was the same coat 1"))
    assert kiosk.shows("The answer was not recorded. Try again.")
    asking.broken = None


@pytest.mark.parametrize("where", ["show_history", "show_unit"])
def test_a_step_recorded_twice_is_grey_and_said_in_the_units_story(drive, shop, where):
    kiosk = drive(shop)
    past = (UNIT.past[0], replace(UNIT.past[0], is_double=True))
    units = kiosk.desk.shopdesk.units
    getattr(units, where)(replace(UNIT, past=past), kiosk.desk.open_bench)
    kiosk.settle()

    assert kiosk.shows("recorded twice")
    said = [one for one in kiosk.desk.show.walk() if getattr(one, "text", "") == past[0].what]
    assert [tuple(one.color) for one in said] == [tuple(rgba(INK)), tuple(rgba(QUIET))]
