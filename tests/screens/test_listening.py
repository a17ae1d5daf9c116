import pytest

LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWX"


def codes(rng, count):
    return ["".join(rng.choice(list(LETTERS), 7)) for _ in range(count)]


def test_two_hundred_scans_at_two_milliseconds_a_key_arrive_whole(drive, shop, rng):
    kiosk, sent = drive(shop), codes(rng, 200)
    for place, code in enumerate(sent):
        kiosk.type(code, gap=0.002)
        if place % 20 == 0:
            kiosk.step()
    kiosk.settle()
    assert shop.scans == sent


def test_scans_during_a_frame_of_300_milliseconds_arrive_whole(drive, shop, rng):
    kiosk, sent = drive(shop), codes(rng, 20)
    from kivy.clock import Clock

    def block(_dt):
        # the frame stands still while the clock goes on and keys pile up
        for code in sent:
            kiosk.type(code, gap=0.3 / 160)

    Clock.schedule_once(block)
    kiosk.step(2)
    kiosk.settle()
    assert shop.scans == sent


@pytest.mark.parametrize("gap", [0.0005, 0.02, 0.3, 1.9])
def test_speed_is_no_test_of_a_scanner(drive, shop, gap):
    kiosk = drive(shop)
    kiosk.type("K7F3Q97", gap=gap)
    kiosk.settle()
    assert shop.scans == ["K7F3Q97"]


def test_half_a_code_does_not_glue_to_the_next(drive, shop):
    kiosk = drive(shop)
    for letter in "K7F":
        kiosk.win.dispatch("on_textinput", letter)
    kiosk.seconds += 3
    kiosk.step(5)
    kiosk.scan("G22AB4C")
    assert shop.scans == ["G22AB4C"]


def test_a_frame_of_three_seconds_in_the_middle_of_a_code_cuts_nothing_off(drive, shop):
    kiosk = drive(shop)
    for letter in "K7F":
        kiosk.win.dispatch("on_textinput", letter)
    kiosk.seconds += 3  # the same frame goes on, and keys wait to be read
    kiosk.type("3Q97")
    kiosk.settle()
    assert shop.scans == ["K7F3Q97"]


@pytest.mark.parametrize("end", [13, 271, 9])
def test_enter_keypad_enter_and_tab_end_a_code(drive, shop, end):
    kiosk = drive(shop)
    kiosk.type("K7F3Q97", end=end)
    kiosk.settle()
    assert shop.scans == ["K7F3Q97"]


def test_the_listener_works_after_a_text_field_had_the_focus(drive, shop):
    from kivy.uix.textinput import TextInput

    kiosk = drive(shop)
    field = TextInput()
    kiosk.desk.stage.add_widget(field)
    kiosk.step(2)
    field.focus = True
    kiosk.step(2)
    field.focus = False
    kiosk.step(2)
    kiosk.desk.stage.remove_widget(field)
    kiosk.scan("K7F3Q97")
    assert shop.scans == ["K7F3Q97"]


def test_the_window_gets_its_own_way_back_when_the_kiosk_stops(window, drive, shop):
    kiosk = drive(shop)
    assert "release_keyboard" in vars(window)
    kiosk.app.wedge.stop()
    assert "release_keyboard" not in vars(window)
    kiosk.app.wedge.start()


@pytest.mark.parametrize("key", [27, 282, 283, 292, 293])
def test_escape_and_function_keys_change_nothing(drive, shop, key):
    kiosk = drive(shop)
    before = kiosk.texts()
    kiosk.win.dispatch("on_keyboard", key, 41, None, [])
    kiosk.key(key)
    kiosk.settle()
    assert kiosk.texts() == before
    assert kiosk.loop.status == "started"
    kiosk.scan("K7F3Q97")
    assert shop.scans == ["K7F3Q97"]


def test_enter_presses_no_button(drive, shop):
    kiosk = drive(shop)
    kiosk.key(13)
    kiosk.key(32)
    kiosk.settle()
    assert shop.calls == []


@pytest.mark.parametrize("opened", ["open_pad", "open_stations", "open_board"])
def test_a_scan_counts_on_every_screen(drive, shop, opened):
    kiosk = drive(shop)
    getattr(kiosk.desk, opened)()
    kiosk.settle()
    kiosk.scan("K7F3Q97")
    assert shop.scans == ["K7F3Q97"]
    assert kiosk.desk.show is kiosk.desk.bench
    assert kiosk.shows("Coat 2 on")


def test_a_code_without_a_suffix_arrives_once_nothing_more_comes():
    from kiosk.widgets.wedge import Wedge

    taken, clock = [], [0.0]
    wedge = Wedge(taken.append, suffix="none", seconds=lambda: clock[0])
    wedge._text(None, "K7F3Q97")
    wedge.poll()
    assert taken == []
    clock[0] = 1.0
    wedge.poll()
    wedge.poll()
    assert taken == ["K7F3Q97"]


def test_codes_glued_together_without_a_suffix_arrive_one_by_one(drive, shop):
    kiosk = drive(shop)
    for letter in "K7F3Q97A2B3C4M":
        kiosk.win.dispatch("on_textinput", letter)
    kiosk.seconds += 0.4
    kiosk.app.wedge.poll()
    kiosk.app.wedge.poll()
    kiosk.settle()
    assert shop.scans == ["K7F3Q97", "A2B3C4M"]
