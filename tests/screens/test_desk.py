import logging
from dataclasses import replace
from threading import Event

import pytest
from fake_shop import REASONS, recorded, too_early

from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Offer, Outcome


def test_before_any_scan_it_says_what_to_do(drive, shop):
    kiosk = drive(shop)
    assert kiosk.shows("Scan a label, or tap Number pad")
    assert kiosk.shows("FINISH")


def test_a_scan_is_acknowledged_only_when_the_shop_has_answered(drive, shop):
    kiosk = drive(shop)
    kiosk.type("K7F3Q97")
    assert not kiosk.shows("Recorded")
    kiosk.settle()
    assert kiosk.shows("Recorded")
    assert kiosk.shows("Coat 2 on")
    assert kiosk.shows("G05 Tile panel")
    assert kiosk.shows("Next: hang at install from Fri 08:20")
    assert shop.calls == [("scan", "K7F3Q97", "finish", "Mara", None, None)]


def test_of_scans_that_queue_up_all_are_recorded_and_sound_and_the_last_is_drawn(
    drive, shop, monkeypatch
):
    kiosk, heard, drawn, looks = drive(shop), [], [], []
    kiosk.settle()
    show, floor = kiosk.desk.bench.show_answer, shop.floor
    monkeypatch.setattr(kiosk.app.sounds, "play", lambda *, good: heard.append(good))
    monkeypatch.setattr(
        kiosk.desk.bench,
        "show_answer",
        lambda answer, *rest: drawn.append(answer.code) or show(answer, *rest),
    )
    monkeypatch.setattr(shop, "floor", lambda *given: looks.append(given) or floor(*given))
    codes = ["K7F3Q97", "G22AB4C", "EARLY22", "XW9TUV8"]
    for code in codes:
        shop.plan[code] = too_early(code) if code == "EARLY22" else recorded(code)
        kiosk.desk.take_code(code)
    kiosk.app.worker.settle()  # all are answered before the next frame
    kiosk.settle()
    assert shop.scans == codes
    assert heard == [True, True, False, True]
    assert drawn == ["XW9TUV8"]
    assert len(looks) == 1
    assert kiosk.desk.answer.code == "XW9TUV8"


def test_news_asked_for_while_the_shop_is_busy_is_looked_for_once(drive, shop, monkeypatch):
    kiosk, free, looks = drive(shop), Event(), []
    kiosk.settle()
    floor = shop.floor
    monkeypatch.setattr(shop, "floor", lambda *given: looks.append(given) or floor(*given))
    kiosk.app.worker.ask(free.wait, lambda _: None, fail=print)
    for _ in range(3):
        kiosk.app.look()
    free.set()
    kiosk.settle()
    assert len(looks) == 1
    kiosk.app.look()
    kiosk.settle()
    assert len(looks) == 2


@pytest.mark.parametrize("good", [True, False])
def test_a_recorded_scan_sounds_unlike_a_refused_one(drive, shop, monkeypatch, good):
    kiosk, heard = drive(shop), []
    monkeypatch.setattr(kiosk.app.sounds, "play", lambda *, good: heard.append(good))
    shop.plan["EARLY22"] = too_early("EARLY22")
    kiosk.scan("K7F3Q97" if good else "EARLY22")
    assert heard == [good]


def test_a_tap_on_strike_last_strikes(drive, shop):
    kiosk = drive(shop)
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.desk.bench.strike)
    assert shop.calls[-1] == ("strike_last", "Mara")
    assert kiosk.shows("Struck")


def test_a_code_typed_on_the_number_pad_counts_like_a_scan(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    for letter in "K7F3Q":
        kiosk.tap(kiosk.desk.pad.keys[letter])
    assert kiosk.desk.pad.shown.text == "K7F-3Q__"
    kiosk.tap(kiosk.desk.pad.keys["delete"])
    for letter in "?97":
        kiosk.tap(kiosk.desk.pad.keys[letter])
    assert kiosk.desk.pad.shown.text == "K7F-3?97"
    kiosk.tap(kiosk.desk.pad.use)
    assert shop.scans == ["K7F3?97"]
    assert kiosk.shows("Coat 2 on")


def test_the_number_pad_takes_no_eighth_letter_and_nothing_empty(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    kiosk.tap(kiosk.desk.pad.use)
    assert shop.scans == []
    for _ in range(9):
        kiosk.tap(kiosk.desk.pad.keys["K"])
    assert kiosk.desk.pad.typed == "KKKKKKK"
    kiosk.tap(kiosk.desk.pad.keys["clear"])
    assert kiosk.desk.pad.typed == ""
    kiosk.tap(kiosk.desk.pad.back)
    assert kiosk.desk.show is kiosk.desk.bench


def test_the_number_pad_has_every_letter_of_a_code_and_no_other(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.open_pad()
    letters = {name for name in kiosk.desk.pad.keys if len(name) == 1}
    assert letters == set("23456789ABCDEFGHJKMNPQRSTUVWX?")


def test_too_early_shows_time_left_and_a_picked_reason_goes_ahead(drive, shop):
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = too_early("K7F3Q97")
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("35 min to go")
    assert kiosk.shows("dry to recoat after 2:00 h")
    assert shop.recorded == 0
    kiosk.tap(kiosk.button("Touch test is dry"))
    assert shop.calls[-1] == ("scan", "K7F3Q97", "finish", "Mara", "coat-2", REASONS[0])
    assert kiosk.shows("Recorded")


def test_wait_records_nothing_and_leaves_the_refusal_on_the_screen(drive, shop):
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = too_early("K7F3Q97")
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.button("Wait"))
    assert len(shop.calls) == 1
    assert kiosk.shows("35 min to go")
    assert kiosk.shows("Due here")


def test_a_repeat_offers_the_next_step(drive, shop):
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = replace(
        recorded("K7F3Q97"),
        outcome=Outcome.ALREADY,
        offers=(Offer("also", "mask", "Masked too"),),
    )
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.button("Masked too"))
    assert shop.calls[-1] == ("scan", "K7F3Q97", "finish", "Mara", "mask", None)


def test_a_likely_code_is_taken_only_when_tapped(drive, shop):
    kiosk = drive(shop)
    shop.plan["K7F3Q98"] = replace(
        recorded("K7F3Q98"),
        outcome=Outcome.SLIP,
        message="The code does not add up",
        unit="",
        unit_name="",
        part="",
        offers=(Offer("code", "K7F3Q97", "K7F-3Q97"),),
    )
    kiosk.scan("K7F3Q98")
    assert shop.scans == ["K7F3Q98"]
    kiosk.tap(kiosk.button("K7F-3Q97"))
    assert shop.scans == ["K7F3Q98", "K7F3Q97"]
    assert kiosk.shows("Coat 2 on")


def test_a_hold_is_lifted_for_the_unit_of_that_job(drive, shop):
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = replace(
        recorded("K7F3Q97"), outcome=Outcome.ON_HOLD, offers=(Offer("lift", "G05", "Lift it"),)
    )
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.button("Lift it"))
    assert shop.calls[-1] == ("lift", "GLAZE/G05", "Mara")


def test_a_problem_is_recorded_after_a_second_tap(drive, shop):
    kiosk = drive(shop)
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.button("Problem"))
    kiosk.tap(kiosk.button("Coat failed"))
    assert len(shop.calls) == 1
    kiosk.tap(kiosk.button("Record it"))
    assert shop.calls[-1] == ("problem", "K7F3Q97", "failed_coat", "Mara")
    assert kiosk.shows("G05 is on hold")


def test_a_problem_without_a_scan_before_asks_for_the_part(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Problem"))
    assert kiosk.shows("Scan the part")
    kiosk.scan("G22AB4C")
    assert shop.scans == []
    kiosk.tap(kiosk.button("Part spoiled"))
    kiosk.tap(kiosk.button("Record it"))
    assert shop.calls == [("problem", "G22AB4C", "spoiled", "Mara")]


def test_a_problem_takes_a_code_from_the_number_pad(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Problem"))
    kiosk.tap(kiosk.button("Number pad"))
    for letter in "G22AB4C":
        kiosk.tap(kiosk.desk.pad.keys[letter])
    kiosk.tap(kiosk.desk.pad.use)
    assert shop.scans == []
    assert kiosk.shows("What is wrong with G05 Tile panel, Panel face?")


def test_another_station_is_two_taps_away(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.header.station)
    kiosk.tap(kiosk.button("Cut"))
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("CUT")
    assert kiosk.shows("Nothing is due here")
    assert shop.calls[-1][2] == "cut"


def test_the_list_shows_five_lines_and_says_how_many_there_are(drive, shop):
    kiosk = drive(shop)
    assert kiosk.shows("Due here: 5 of 7")
    assert kiosk.shows("G08  scuff before coat 2")
    assert not kiosk.shows("G12")


def test_a_question_left_alone_goes_home(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Problem"))
    kiosk.tick(59)
    assert kiosk.shows("Scan the part")
    kiosk.tick(2)
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_kiosk_left_alone_brings_the_work_into_the_shops_file(drive, shop):
    kiosk = drive(shop)
    kiosk.tick(59)
    assert shop.brought_home == 0
    kiosk.tick(2)
    assert shop.brought_home == 1
    kiosk.scan("K000017")
    kiosk.tick(59)
    assert shop.brought_home == 1
    kiosk.tick(2)
    assert shop.brought_home == 2


def test_the_buttons_stand_on_the_other_side_for_the_left_hand(drive, shop):
    shop.settings = replace(shop.settings, left_handed=True)
    kiosk = drive(shop)
    bench = kiosk.desk.bench
    assert bench.strike.x < bench.board.x < bench.problem.x < bench.pad.x


def test_striking_is_kept_fifteen_millimetres_apart(drive, shop):
    shop.settings = replace(shop.settings, screen_diagonal_in=10.1)
    kiosk = drive(shop)
    bench, sizes = kiosk.desk.bench, kiosk.desk.trim.sizes
    assert bench.strike.x - (bench.board.x + bench.board.width) >= 15 * sizes.px_per_mm


def test_an_exception_in_a_callback_shows_words_and_scanning_works(drive, shop, caplog):
    from kivy.clock import Clock

    kiosk = drive(shop)

    def breaks(_dt):
        raise ValueError("the rack has no slot 7")

    with caplog.at_level(logging.CRITICAL, logger="cleatclock.screens"):
        Clock.schedule_once(breaks)
        kiosk.step(3)
    assert kiosk.shows("Something went wrong")
    assert kiosk.shows("the rack has no slot 7")
    assert "the rack has no slot 7" in caplog.text
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("Coat 2 on")
    assert shop.scans == ["K7F3Q97"]


def test_one_fault_again_and_again_does_not_hide_the_answers(drive, shop):
    from kivy.clock import Clock

    kiosk = drive(shop)

    def breaks(_dt):
        raise ValueError("again")

    Clock.schedule_once(breaks)
    kiosk.step(3)
    kiosk.scan("K7F3Q97")
    Clock.schedule_once(breaks)
    kiosk.step(3)
    assert kiosk.desk.show is kiosk.desk.bench
    assert kiosk.shows("Coat 2 on")


def test_a_scan_the_shop_could_not_record_says_so(drive, shop):
    kiosk = drive(shop)
    shop.broken = OSError("The disk is full.")
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("K7F3Q97 was not recorded. Scan it again.")
    assert kiosk.shows("The disk is full.")
    shop.broken = None
    kiosk.scan("K7F3Q97")
    assert kiosk.shows("Coat 2 on")


def test_go_on_leads_back_to_the_bench(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.fail("K7F3Q97 was not recorded.", "x")
    kiosk.tap(kiosk.button("Go on"))
    assert kiosk.desk.show is kiosk.desk.bench


def test_without_news_for_a_minute_it_says_since_when(drive, shop):
    kiosk = drive(shop)
    shop.broken = OSError("gone")
    kiosk.tick(59)
    assert not kiosk.shows("No news")
    kiosk.tick(2)
    assert kiosk.shows("No news since 15:40")
    shop.broken = None
    kiosk.tick()
    kiosk.tick()
    assert not kiosk.shows("No news")


def test_a_kiosk_filling_the_screen_is_not_closed_by_a_stray_hand(drive, shop):
    kiosk = drive(shop)
    kiosk.app._fullscreen = True
    assert kiosk.win.dispatch("on_request_close")
    kiosk.app._fullscreen = False
    assert not kiosk.app._may_close()


def test_kivys_own_settings_stay_closed(drive, shop):
    kiosk = drive(shop)
    kiosk.win.dispatch("on_keyboard", 282, 58, None, [])
    kiosk.settle()
    assert kiosk.win.children == [kiosk.desk.stage]


def test_without_a_sound_device_the_bench_says_so(drive, shop, monkeypatch):
    from kiosk.widgets.sounds import Sounds

    monkeypatch.setattr(Sounds, "_load", staticmethod(lambda path, tones: None))
    assert drive(shop).shows("sound off")


def test_an_odd_clock_is_said_until_it_is_mended(drive, shop):
    shop.odd_clock = Problem("This computer's clock is 3 h behind.", "Set it.")
    kiosk = drive(shop)
    kiosk.tick()
    kiosk.tick()
    assert kiosk.shows("This computer's clock is 3 h behind. Set it.")

    shop.odd_clock = None
    kiosk.tick(11)
    kiosk.tick()
    assert not kiosk.shows("behind")
