"""The bench: its station's panel, the wiping, keys and pads, the left hand, and sounds."""

import wave
from dataclasses import replace

import numpy as np
import pytest
from fake_bench import IVO, VIEWS
from fake_shop import recorded, too_early

from kiosk.rules.cards import CARDS
from kiosk.rules.viewlines import StationView, ViewLine
from kiosk.screens.stationpanel import panel_title

CARD = {card.key: card.code for card in CARDS}
PART = "K7F3Q97"
ENTER, BACKSPACE = 13, 8


def type_only(kiosk, text):
    """Keys of a keyboard, without Enter at their end."""
    for letter in text:
        kiosk.seconds += 0.2
        kiosk.win.dispatch("on_textinput", letter)
    kiosk.step()


# -- the panel ---------------------------------------------------------------------------------


@pytest.mark.parametrize("station", ["cut", "assemble", "finish", "install"])
def test_a_bench_where_nothing_was_scanned_shows_its_stations_panel(drive, shop, station):
    kiosk = drive(shop, station=station)
    view = VIEWS[station]
    for line in view.lines[:3]:
        assert kiosk.shows(line.words)
        assert kiosk.shows(line.more)
    assert kiosk.shows("Scan a label, or tap Number pad")
    assert shop.about_asked[-1] == ("", "")


def test_after_a_scan_the_panel_is_asked_for_that_unit_and_stands_above_the_due_list(drive, shop):
    kiosk = drive(shop, station="assemble")
    kiosk.scan(PART)
    assert shop.about_asked[-1] == ("GLAZE", "G05")
    bench = kiosk.desk.bench
    assert kiosk.shows("G05: 2 not cut yet")
    assert kiosk.shows("Due here: 1 of 7")
    due = next(one for one in kiosk.stage_widgets() if type(one).__name__ == "DueList")
    assert bench.panel.to_window(0, bench.panel.y)[1] >= due.to_window(0, due.top)[1]


def test_a_panel_that_changed_is_shown_with_the_next_news(drive, shop):
    kiosk = drive(shop)
    shop.views["finish"] = StationView("1 coat due", (ViewLine("G99  coat 1", "no window"),))
    assert not kiosk.shows("G99  coat 1")
    kiosk.tick(11)
    assert kiosk.shows("G99  coat 1")
    assert not kiosk.shows("Tape off: K13")


def test_a_question_leaves_no_room_for_the_panel_and_keeps_its_answers(drive, shop):
    kiosk = drive(shop)
    shop.plan[PART] = too_early(PART)
    kiosk.scan(PART)
    assert kiosk.desk.bench.panel is None
    kiosk.tick(11)
    assert kiosk.button("Wait")


def test_a_station_without_a_panel_has_the_whole_side_for_words(drive, shop):
    shop.views = {}
    kiosk = drive(shop)
    assert kiosk.desk.bench.panel is None
    kiosk.scan(PART)
    assert kiosk.shows("Due here: 5 of 7")


def test_lines_that_find_no_room_are_counted():
    view = StationView("Coats", tuple(ViewLine(str(at)) for at in range(5)))
    assert panel_title(view, 3) == "Coats (3 of 5)"
    assert panel_title(view, 5) == "Coats"


@pytest.mark.parametrize("left", [False, True])
def test_the_panel_stands_on_the_side_of_the_hand(drive, shop, left):
    shop.settings = replace(shop.settings, left_handed=left)
    kiosk = drive(shop)

    def place(name):
        (one,) = [each for each in kiosk.stage_widgets() if type(each).__name__ == name]
        return one.to_window(one.x, one.y)[0]

    # idle: the panel below the words, the list on the side of the working hand
    assert (place("StationPanel") > place("DueList")) is left
    kiosk.scan(PART)
    assert (place("AnswerPanel") > place("DueList")) is left
    assert place("StationPanel") == place("DueList")
    kiosk.scan(CARD["yes"])
    kiosk.step()
    assert (place("NoticePanel") > place("StationPanel")) is left


@pytest.mark.parametrize("left", [False, True])
def test_the_number_pad_is_used_on_the_side_of_the_hand(drive, shop, left):
    shop.settings = replace(shop.settings, left_handed=left)
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    assert (kiosk.desk.pad.use.x < kiosk.desk.pad.back.x) is left


# -- wiping ------------------------------------------------------------------------------------


def wiping(kiosk):
    kiosk.tap(kiosk.button("Shop"))
    kiosk.tap(kiosk.button("Wipe the screen"))
    assert kiosk.shows("20 s")


def test_while_the_screen_is_wiped_no_touch_counts(drive, shop):
    kiosk = drive(shop)
    kiosk.scan(PART)
    strike = kiosk.desk.bench.strike
    wiping(kiosk)
    calls = list(shop.calls)
    kiosk.tap(strike)
    kiosk.tap(kiosk.desk.stage)
    assert shop.calls == calls
    assert not kiosk.shows("Struck")


def test_scans_count_while_the_screen_is_wiped_and_say_so(drive, shop):
    kiosk = drive(shop)
    wiping(kiosk)
    kiosk.scan(PART)
    assert shop.scans == [PART]
    assert kiosk.shows("Coat 2 on")
    assert kiosk.shows("20 s")
    kiosk.tap(kiosk.desk.bench.strike)
    assert [call[0] for call in shop.calls] == ["scan"]
    kiosk.scan(IVO.code)
    assert kiosk.shows("Ivo works here")


def test_the_wiping_counts_down_and_ends_by_itself(drive, shop):
    kiosk = drive(shop)
    wiping(kiosk)
    kiosk.scan(PART)
    kiosk.tick(5)
    assert kiosk.shows("15 s")
    kiosk.tick(14)
    assert kiosk.shows("1 s")
    kiosk.tick(1)
    assert kiosk.desk.attention.wipe is None
    assert kiosk.shows("Recorded")
    kiosk.tap(kiosk.desk.bench.strike)
    assert kiosk.shows("Struck")


def test_the_wiping_starts_by_card(drive, shop):
    kiosk = drive(shop)
    kiosk.scan(CARD["wipe"])
    assert kiosk.shows("touch is off")


def test_the_wipe_card_again_begins_the_wiping_anew(drive, shop):
    kiosk = drive(shop)
    wiping(kiosk)
    kiosk.tick(5)
    kiosk.scan(CARD["wipe"])
    kiosk.tick(1)
    assert kiosk.shows("19 s")
    kiosk.scan(PART)
    assert kiosk.shows("Coat 2 on")
    kiosk.tick(19)
    assert kiosk.desk.attention.wipe is None


# -- keys and pads -----------------------------------------------------------------------------


def test_a_keyboard_types_into_the_number_pad(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    type_only(kiosk, "k7f-3x")
    assert kiosk.desk.pad.shown.text == "K7F-3X__"
    kiosk.key(BACKSPACE)
    assert kiosk.desk.pad.shown.text == "K7F-3___"
    type_only(kiosk, "?97")
    kiosk.key(ENTER)
    kiosk.settle()
    assert shop.scans == ["K7F3?97"]


def test_touch_and_keyboard_may_be_mixed_however_slowly(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    for letter in "K7F":
        kiosk.tap(kiosk.desk.pad.keys[letter])
    type_only(kiosk, "3Q")
    kiosk.seconds += 30  # the phone rang
    type_only(kiosk, "9")
    kiosk.tap(kiosk.desk.pad.keys["7"])
    kiosk.seconds += 30
    kiosk.key(ENTER)
    kiosk.settle()
    assert shop.scans == [PART]


def test_a_scan_while_the_number_pad_is_open_is_that_scan(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    for letter in "K7F":
        kiosk.tap(kiosk.desk.pad.keys[letter])
    kiosk.scan("KTR87XM")
    assert shop.scans == ["KTR87XM"]
    assert kiosk.desk.pad.typed == "K7F"


def test_a_code_that_does_not_add_up_is_handed_on_from_a_keyboard_too(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    kiosk.scan("K7F3Q98")
    assert shop.scans == ["K7F3Q98"]


def test_a_scan_after_backspace_is_that_scan(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    type_only(kiosk, "K7F")
    kiosk.win.dispatch("on_key_down", BACKSPACE, 42, None, [])
    kiosk.scan(PART)
    assert shop.scans == [PART]


def test_whoever_types_is_not_sent_home(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    pad = kiosk.desk.show
    for letter in "K7F3":
        kiosk.tick(40)
        type_only(kiosk, letter)
    assert kiosk.desk.show is pad
    assert pad.typed == "K7F3"


def test_enter_on_an_empty_pad_records_nothing(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    kiosk.key(ENTER)
    kiosk.settle()
    assert shop.scans == []
    assert kiosk.desk.show is kiosk.desk.pad


def test_every_key_of_the_number_pad_is_twenty_millimetres(drive, shop):
    shop.settings = replace(shop.settings, screen_diagonal_in=10.1)
    kiosk = drive(shop)
    kiosk.tap(kiosk.button("Number pad"))
    kiosk.step()
    sizes = kiosk.desk.trim.sizes
    least = min(min(key.width, key.height) for key in kiosk.desk.pad.keys.values())
    assert least >= 20 * sizes.px_per_mm - 1


def test_keys_typed_where_no_pad_is_open_change_nothing(drive, shop):
    kiosk = drive(shop)
    before = kiosk.texts()
    type_only(kiosk, "K7")
    kiosk.key(BACKSPACE)
    assert kiosk.texts() == before


# -- sounds ------------------------------------------------------------------------------------


def tones_of(path):
    """Return the stretches of a WAV file that are not silent: seconds and hertz."""
    with wave.open(str(path)) as file:
        rate = file.getframerate()
        samples = np.frombuffer(file.readframes(file.getnframes()), np.int16).astype(float)
    step = round(rate * 0.005)
    loud = [np.abs(samples[at : at + step]).max() > 1000 for at in range(0, len(samples), step)]
    found, start = [], None
    for at, is_loud in enumerate([*loud, False]):
        if is_loud and start is None:
            start = at
        elif not is_loud and start is not None:
            part = samples[start * step : at * step]
            spectrum = np.abs(np.fft.rfft(part))
            found.append((len(part) / rate, float(np.argmax(spectrum)) * rate / len(part)))
            start = None
    return found


def test_a_good_scan_rises_and_a_refused_one_is_two_long_low_tones(tmp_path):
    from kiosk.widgets.sounds import GOOD, REFUSED, write_tones

    write_tones(tmp_path / "good.wav", GOOD)
    write_tones(tmp_path / "refused.wav", REFUSED)
    good, refused = tones_of(tmp_path / "good.wav"), tones_of(tmp_path / "refused.wav")
    assert [len(good), len(refused)] == [2, 2]
    assert good[0][1] < good[1][1]
    assert max(hertz for _s, hertz in refused) < 400
    # rhythm, not pitch alone: the long one is at least twice as long
    assert min(seconds for seconds, _h in refused) > 2 * max(seconds for seconds, _h in good)


def test_both_sounds_are_loaded_before_the_first_scan(drive, shop):
    sounds = drive(shop).app.sounds
    assert sounds.is_on
    assert sounds._good.length < sounds._refused.length


@pytest.mark.parametrize("volume", [0, 30, 100])
def test_the_volume_is_as_set_and_none_is_off(drive, shop, volume):
    shop.settings = replace(shop.settings, sound_volume=volume)
    kiosk = drive(shop)
    assert kiosk.shows("sound off") is (volume == 0)
    if volume:
        assert kiosk.app.sounds._refused.volume == pytest.approx(volume / 100)
    kiosk.scan(PART)  # nothing to play is no fault
    assert kiosk.shows("Recorded")


def test_sound_off_in_the_settings_is_said_quietly(drive, shop):
    shop.settings = replace(shop.settings, sound=False)
    assert drive(shop).desk.bench.header.middle.text == "Mara, sound off"


def test_a_device_of_no_length_is_no_sound(drive, shop, monkeypatch):
    from kiosk.widgets.sounds import Sounds

    class Silent:
        length, volume = 0, 1.0

        def play(self): ...

        def stop(self): ...

    monkeypatch.setattr(Sounds, "_load", staticmethod(lambda path, tones: Silent()))
    assert drive(shop).shows("sound off")


def test_a_card_and_a_badge_sound_whether_anything_came_of_them(drive, shop, monkeypatch):
    kiosk, heard = drive(shop), []
    monkeypatch.setattr(kiosk.app.sounds, "play", lambda *, good: heard.append(good))
    kiosk.scan(CARD["yes"])
    kiosk.scan(IVO.code)
    assert heard == [False, True]
    assert recorded("")  # neither is an answer of the shop
    assert shop.calls == []
