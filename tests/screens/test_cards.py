"""Cards do what the tap would: whole ways through the kiosk without a touch."""

from dataclasses import replace

import pytest
from fake_bench import GONE, IVO, MARA, PARTS
from fake_shop import REASONS, recorded, too_early

from kiosk.rules.cards import CARDS
from kiosk.rules.rags import Rags
from kiosk.rules.scanning import Offer, Outcome

CARD = {card.key: card.code for card in CARDS}
PART = "K7F3Q97"


def scan(kiosk, *codes):
    for code in codes:
        kiosk.scan(code)
        kiosk.seconds += 2


@pytest.fixture
def untouched(monkeypatch):
    """Fail the test if anything is tapped."""
    from driver import Driver

    def tap(*_):
        raise AssertionError("tapped")

    monkeypatch.setattr(Driver, "tap", tap)


def test_a_spoiled_part_is_recorded_without_a_tap(drive, shop, untouched):
    kiosk = drive(shop)
    scan(kiosk, PART, CARD["problem"])
    assert kiosk.shows("What is wrong with G05 Tile panel, Panel face?")
    scan(kiosk, CARD["spoiled"])
    assert kiosk.shows("Part spoiled: G05 Tile panel, Panel face")
    assert shop.calls[1:] == []
    scan(kiosk, CARD["yes"])
    assert shop.calls[1:] == [("problem", PART, "spoiled", "Mara")]
    assert kiosk.desk.show is kiosk.desk.bench


def test_cards_scanned_in_one_breath_wait_for_the_answer_they_are_about(drive, shop, untouched):
    kiosk = drive(shop)
    scan(kiosk, "KTR87XM")
    shop.plan[PART] = replace(recorded(PART), unit="K05", unit_name="Cone box")
    for code in (PART, CARD["problem"], CARD["failed_coat"], CARD["yes"]):
        kiosk.type(code)  # no frame is drawn and no answer is in
    for _ in range(3):
        kiosk.settle()
    assert shop.calls[-1] == ("problem", PART, "failed_coat", "Mara")
    assert shop.scans == ["KTR87XM", PART]


def test_a_problem_named_at_once_asks_only_whether_it_is_sure(drive, shop, untouched):
    kiosk = drive(shop)
    scan(kiosk, PART, CARD["too_tacky"])
    assert kiosk.shows("Still too tacky: G05 Tile panel, Panel face")
    scan(kiosk, CARD["back"])
    assert kiosk.desk.show is kiosk.desk.bench
    assert len(shop.calls) == 1


@pytest.mark.parametrize("pick", [CARD["2"], "2"], ids=["card", "typed"])
def test_going_ahead_too_early_by_the_number_of_a_reason(drive, shop, untouched, pick):
    kiosk = drive(shop)
    shop.plan[PART] = too_early(PART)
    scan(kiosk, PART)
    assert kiosk.shows("35 min to go")
    scan(kiosk, pick)
    assert shop.calls[-1] == ("scan", PART, "finish", "Mara", "coat-2", REASONS[1])
    assert kiosk.shows("Recorded")


def test_the_number_of_a_reason_stands_on_its_button(drive, shop):
    kiosk = drive(shop)
    shop.plan[PART] = too_early(PART)
    scan(kiosk, PART)
    for at, reason in enumerate(REASONS, start=1):
        button = kiosk.button(f"{reason[0].upper()}{reason[1:]}")
        assert str(at) in [getattr(child, "text", "") for child in button.children]
    back = kiosk.button("Wait")
    assert [getattr(child, "text", None) for child in back.children] == ["Wait"]


def test_yes_picks_no_reason_but_says_how_and_the_question_stays(drive, shop):
    kiosk = drive(shop)
    shop.plan[PART] = too_early(PART)
    scan(kiosk, PART, CARD["yes"])
    assert shop.recorded == 0
    assert kiosk.shows("Scan the card with the number")
    scan(kiosk, CARD["1"])
    assert shop.recorded == 1


def test_a_number_no_button_shows_records_nothing(drive, shop):
    kiosk = drive(shop)
    shop.plan[PART] = too_early(PART)
    scan(kiosk, PART, CARD["8"])
    assert shop.recorded == 0
    assert kiosk.shows("Number 8")


def test_back_leaves_a_reason_unpicked(drive, shop, untouched):
    kiosk = drive(shop)
    shop.plan[PART] = too_early(PART)
    scan(kiosk, PART, CARD["back"])
    assert kiosk.desk.bench.choices is None
    assert len(shop.calls) == 1


@pytest.mark.parametrize("kind", ["also", "lift"])
def test_yes_takes_the_one_thing_offered(drive, shop, untouched, kind):
    kiosk = drive(shop)
    offers = (Offer(kind, "mask" if kind == "also" else "G05", "This too"),)
    shop.plan[PART] = replace(recorded(PART), outcome=Outcome.ALREADY, offers=offers)
    scan(kiosk, PART, CARD["yes"])
    wanted = {"also": ("scan", PART, "finish", "Mara", "mask", None)}
    assert shop.calls[-1] == wanted.get(kind, ("lift", "GLAZE/G05", "Mara"))


@pytest.mark.parametrize(
    "key", ["yes", "back", "spoiled", "missing", "failed_coat", "too_tacky", "other", "1", "rags"]
)
def test_a_card_that_means_nothing_now_says_what_it_is_for(drive, shop, key):
    kiosk = drive(shop)
    card = next(card for card in CARDS if card.key == key)
    scan(kiosk, card.code)
    assert shop.calls == []
    assert kiosk.shows("Nothing recorded")
    assert kiosk.shows(card.title)
    assert kiosk.shows(card.purpose)


def test_what_a_card_is_for_gives_way_to_the_last_answer(drive, shop):
    kiosk = drive(shop)
    scan(kiosk, PART, CARD["back"])
    assert kiosk.shows("Nothing recorded")
    kiosk.tick(1)
    assert kiosk.shows("Nothing recorded")
    kiosk.tick(9)
    assert kiosk.shows("Coat 2 on")
    assert not kiosk.shows("Nothing recorded")


def test_strike_and_board_and_stations_and_shop_by_card(drive, shop, untouched):
    kiosk = drive(shop)
    scan(kiosk, PART, CARD["strike"])
    assert shop.calls[-1] == ("strike_last", "Mara")
    scan(kiosk, CARD["board"])
    assert kiosk.desk.show is kiosk.desk.board
    scan(kiosk, CARD["back"])
    assert kiosk.desk.show is kiosk.desk.bench
    scan(kiosk, CARD["stations"], CARD["1"])
    assert kiosk.shows("CUT")
    scan(kiosk, CARD["shop"])
    assert kiosk.shows("Labels")
    scan(kiosk, CARD["back"])
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_rags_are_ticked_off_by_two_cards(drive, shop, untouched):
    kiosk = drive(shop)
    shop.out = Rags(shop.at, "Oil, wiped on", pressing=False)
    kiosk.tick(11)
    scan(kiosk, CARD["rags"], CARD["yes"])
    assert not kiosk.shows("Oily rags since")
    assert shop.out is None


def test_a_card_a_scanner_stutters_on_counts_once(drive, shop):
    kiosk = drive(shop)
    scan(kiosk, PART)
    kiosk.scan(CARD["strike"])
    kiosk.scan(CARD["strike"])
    assert [call[0] for call in shop.calls] == ["scan", "strike_last"]
    kiosk.seconds += 2
    kiosk.scan(CARD["strike"])
    assert [call[0] for call in shop.calls].count("strike_last") == 2


def test_a_card_while_a_part_is_asked_for_is_no_part(drive, shop):
    kiosk = drive(shop)
    scan(kiosk, CARD["problem"], CARD["spoiled"])
    assert kiosk.shows("Scan the part or unit first, then this card.")
    scan(kiosk, PART, CARD["spoiled"], CARD["yes"])
    assert shop.calls == [("problem", PART, "spoiled", "Mara")]


# -- the parts of a problem --------------------------------------------------------------------


def test_a_missing_part_is_picked_from_the_list_by_number(drive, shop, untouched):
    kiosk = drive(shop)
    shop.parts = PARTS
    scan(kiosk, PART, CARD["missing"])
    assert kiosk.shows("Side 3 KTR-87XM")
    scan(kiosk, CARD["3"], CARD["yes"])
    assert shop.calls[-1] == ("problem", "KTR87XM", "missing", "Mara")


def test_a_long_list_of_parts_has_pages_and_goes_round(drive, shop):
    kiosk = drive(shop)
    shop.parts = tuple(replace(PARTS[0], part=f"Lip {at}") for at in range(8))
    scan(kiosk, PART, CARD["missing"])
    assert not kiosk.shows("Lip 7")
    kiosk.tap(kiosk.button("More"))
    assert kiosk.shows("Lip 7")
    assert not kiosk.shows("Lip 0")
    kiosk.tap(kiosk.button("More"))
    assert kiosk.shows("Lip 0")


def test_something_else_takes_a_note_typed_on_a_keyboard(drive, shop, untouched):
    kiosk = drive(shop)
    scan(kiosk, PART, CARD["other"])
    scan(kiosk, "edge dented")
    assert kiosk.shows("Note: edge dented")
    scan(kiosk, CARD["yes"])
    assert shop.calls[-1] == ("problem", PART, "other", "Mara", "edge dented")


def test_something_else_goes_without_a_note(drive, shop, untouched):
    kiosk = drive(shop)
    scan(kiosk, PART, CARD["other"], CARD["yes"], CARD["yes"])
    assert shop.calls[-1] == ("problem", PART, "other", "Mara")


def test_a_spoiled_part_of_a_unit_is_asked_for(drive, shop, untouched):
    kiosk = drive(shop)
    shop.plan["G05"] = replace(recorded(""), part="", size="")
    scan(kiosk, "G05", CARD["spoiled"])
    assert kiosk.shows("Scan the label of the spoiled part")
    scan(kiosk, PART)
    assert kiosk.shows("Part spoiled: G05 Tile panel, Panel face")
    scan(kiosk, CARD["yes"])
    assert shop.calls[-1] == ("problem", PART, "spoiled", "Mara")


def test_a_problem_about_no_part_of_ours_says_so_at_once(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Problem"))
    scan(kiosk, "G22AB4D")
    assert kiosk.shows("No part has this code")
    assert shop.calls == []


# -- people ------------------------------------------------------------------------------------


def test_a_badge_signs_in_and_the_next_scans_carry_the_name(drive, shop, untouched):
    kiosk = drive(shop, person="")
    scan(kiosk, IVO.code)
    assert kiosk.shows("Ivo works here")
    assert kiosk.desk.bench.header.middle.text == "Ivo"
    scan(kiosk, PART, CARD["strike"])
    assert shop.calls == [("scan", PART, "finish", "Ivo", None, None), ("strike_last", "Ivo")]


def test_a_part_scanned_right_after_the_badge_carries_the_name(drive, shop):
    kiosk = drive(shop)
    kiosk.type(IVO.code)
    kiosk.type(PART)
    kiosk.type(MARA.code)
    kiosk.type("KTR87XM")
    kiosk.settle()
    assert [(call[1], call[3]) for call in shop.calls] == [(PART, "Ivo"), ("KTR87XM", "Mara")]


def test_the_badge_again_signs_out_to_who_is_usually_here(drive, shop):
    kiosk = drive(shop)
    scan(kiosk, IVO.code, IVO.code)
    assert kiosk.shows("Ivo is signed out")
    assert kiosk.shows("Scans carry Mara again.")
    scan(kiosk, PART)
    assert shop.calls[-1][3] == "Mara"


def test_who_was_here_before_a_restart_signs_out_to_who_usually_is(drive, shop):
    kiosk = drive(shop, person="Ivo", usual="Mara")
    scan(kiosk, PART)
    assert shop.calls[-1][3] == "Ivo"
    scan(kiosk, IVO.code)
    assert kiosk.shows("Ivo is signed out")
    scan(kiosk, PART)
    assert shop.calls[-1][3] == "Mara"


def test_who_works_here_by_the_settings_is_who_scans_carry(drive, shop):
    kiosk = drive(shop, person="")
    kiosk.desk.shopdesk.upkeep.settings.keep("person", "Ada", then=lambda _problems: None)
    kiosk.settle()
    assert kiosk.desk.bench.header.middle.text == "Ada"
    scan(kiosk, PART)
    assert shop.calls[-1][3] == "Ada"
    scan(kiosk, IVO.code)
    kiosk.desk.shopdesk.upkeep.settings.keep("person", "Noor", then=lambda _problems: None)
    kiosk.settle()
    scan(kiosk, PART)
    assert shop.calls[-1][3] == "Ivo"


def test_another_badge_takes_over(drive, shop):
    kiosk = drive(shop, person="")
    scan(kiosk, IVO.code, MARA.code, PART)
    assert shop.calls[-1][3] == "Mara"


def test_the_badge_of_somebody_off_the_list_signs_nobody_in(drive, shop):
    kiosk = drive(shop)
    scan(kiosk, GONE.code, PART)
    assert shop.calls[-1][3] == "Mara"


def test_a_badge_while_a_part_is_asked_for_signs_in_and_the_question_stays(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Problem"))
    scan(kiosk, IVO.code)
    assert kiosk.desk.bench.header.middle.text == "Ivo"
    assert not kiosk.shows("What is wrong")
    scan(kiosk, PART, CARD["failed_coat"], CARD["yes"])
    assert shop.calls == [("problem", PART, "failed_coat", "Ivo")]


def test_a_name_is_tapped_or_typed_where_no_badge_is_at_hand(drive, shop):
    kiosk = drive(shop, person="")
    kiosk.tap(kiosk.button("Shop"))
    kiosk.tap(kiosk.button("People"))
    assert not kiosk.shows("Ada")
    kiosk.tap(kiosk.button("Ivo"))
    assert kiosk.desk.bench.header.middle.text == "Ivo"
    kiosk.tap(kiosk.button("Shop"))
    kiosk.tap(kiosk.button("People"))
    kiosk.tap(kiosk.button("Type a name"))
    for letter in "Mara":
        kiosk.tap(kiosk.desk.show.keys[letter])
    kiosk.tap(kiosk.button("Sign in"))
    scan(kiosk, PART)
    assert shop.calls[-1][3] == "Mara"


def test_a_name_nobody_could_read_is_refused_with_words_and_none_is_not_taken(drive, shop):
    kiosk = drive(shop, person="")
    kiosk.desk.inputs.people.ask_name(())
    kiosk.tap(kiosk.button("Sign in"))
    assert kiosk.desk.post.person == ""
    scan(kiosk, "noor")
    assert kiosk.desk.post.person == "noor"


def test_more_people_than_a_screen_holds_have_pages(drive, shop):
    shop.staff = tuple(replace(MARA, name=f"Person {at}", code=f"X{at}") for at in range(7))
    kiosk = drive(shop)
    kiosk.desk.inputs.people.open()
    kiosk.settle()
    assert not kiosk.shows("Person 6")
    kiosk.tap(kiosk.button("More"))
    assert kiosk.shows("Person 6")
    kiosk.tap(kiosk.button("More"))
    assert kiosk.shows("Person 0")
