import random
from dataclasses import replace
from datetime import UTC
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.config import SETTINGS
from kiosk.settingstext import load, shop_path, write_commented, zone_of


def test_no_file_gives_the_defaults_without_a_problem():
    settings, problems = load("")

    assert problems == ()
    assert settings.station == "cut"
    assert [place.name for place in settings.places] == ["Clamp bench", "Rack", "By the door"]


def test_every_mistake_is_named_at_once_and_the_default_used():
    settings, problems = load(
        'zone = "Mars/Base"\nlabel_dpi = 100\nkiosk_letter = "O"\nsatation = "cut"\n'
        'sound = 1\nscreen_diagonal_in = true\nplaces = [{ name = "Rack", slots = 0 }]\nshop = 5\n'
    )

    text = "\n".join(problems)
    for name in ("zone", "label_dpi", "kiosk_letter", "sound", "screen_diagonal_in", "places"):
        assert name in text
    assert "did you mean station?" in text
    assert len(problems) == 8
    assert settings == load("")[0]


@pytest.mark.parametrize(
    ("text", "named", "way_out"),
    [
        ('opens_at = "17:00"\ncloses_at = "08:00"', "opens_at 17:00", "Set them apart"),
        ('opens_at = "09:00"\ncloses_at = "09:00"', "closes_at 09:00", "07:30 and 17:00 are used"),
        ('opens_at = "18:00"', "closes_at 17:00", "Set them apart"),
        ('break_starts = "18:00"', "45 minutes from 18:00", "break_minutes to 0"),
        ('break_starts = "07:00"', "not within 07:30 to 17:00", "break_starts"),
        ('break_starts = "16:30"', "not within 07:30 to 17:00", "break_starts"),
        (
            'opens_at = "08:00"\ncloses_at = "12:00"\nbreak_minutes = 240',
            "as long as the day, 08:00 to 12:00",
            "Set fewer minutes",
        ),
        ('days_open = ""', "days_open", "'Mon-Fri' is used"),
    ],
)
def test_hours_that_contradict_each_other_are_named_with_the_way_out(text, named, way_out):
    settings, (problem,) = load(text)

    assert named in problem
    assert way_out in problem
    assert settings.opens_at < settings.closes_at
    assert settings.days_open


@pytest.mark.parametrize(
    "text",
    [
        'break_starts = "16:15"',
        'break_starts = "07:30"',
        'closes_at = "12:00"',  # half a day; nobody said there is a break
        'closes_at = "12:00"\nbreak_minutes = 0',
        'opens_at = "14:00"\ncloses_at = "22:00"\nbreak_starts = "18:00"',
    ],
)
def test_hours_that_agree_are_no_problem(text):
    assert load(text)[1] == ()


@pytest.mark.parametrize(
    "places",
    ["5", '["Rack"]', '[{ name = "A", slots = 2, role = "sky" }]', "[{ slots = 2 }]"],
)
def test_unsound_places_are_refused_in_words(places):
    settings, problems = load(f"places = {places}")

    assert len(problems) == 1
    assert settings.places == load("")[0].places


def test_the_commented_file_reads_back_as_the_same_settings():
    settings, _ = load("")
    odd = replace(settings, shop='The "new" \\ shop\n', sound=False, viewing_distance_m=2.5)

    text = write_commented(odd)

    assert load(text) == (odd, ())
    assert all(setting.sentence in text for setting in SETTINGS)


def test_mutated_settings_never_raise():
    text = write_commented(load("")[0])
    rng = random.Random(20260311)

    for _ in range(500):
        letters = list(text)
        for _ in range(rng.randint(1, 6)):
            letters[rng.randrange(len(letters))] = rng.choice('="[]{}\n#a5.é\x00')
        settings, problems = load("".join(letters))
        assert isinstance(problems, tuple)
        assert load(write_commented(settings)) == (settings, ())


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 5_000,
        "label_dpi = " + "9" * 5_000,
        "label_dpi = 0x" + "f" * 20_000,
        "repeat_seconds = nan",
        "repeat_seconds = 60.5",
        "label_dpi = 203.0",
        'zone = "../../etc/passwd"',
        'zone = "a\\u0000b"',
        'zone = "Europe"',
        'places = [{ name = "A", slots = 2.5, role = "glue" }]',
        'places = [{ name = " ", slots = 2, role = "glue" }]',
        'places = [{ name = "A", slots = 2, role = "glue", colour = 1 }]',
        'places = [{name = "A", slots = 2, role = "glue"}, {name = "A", slots = 1, role = "coat"}]',
    ],
    ids=lambda text: text[:48],
)
def test_odd_values_become_one_problem_that_can_be_read(text):
    settings, problems = load(text)

    assert settings == load("")[0]
    assert len(problems) == 1
    assert len(problems[0]) < 250


@given(st.text(max_size=40), st.sampled_from([setting.name for setting in SETTINGS]))
def test_any_text_after_a_settings_name_gives_settings_and_never_raises(value, name):
    settings, problems = load(f"{name} = {value}")

    assert settings == load("")[0] or problems == ()


def test_a_sound_setting_stands_beside_a_wrong_one():
    settings, problems = load('station = "finish"\nlabel_dpi = 100')

    assert settings.station == "finish"
    assert settings.label_dpi == 203
    assert len(problems) == 1


def test_the_mark_some_editors_put_first_is_passed_over():
    assert load('\ufeffshop = "Kiln room"')[0].shop == "Kiln room"


def test_a_shop_without_places_is_sound():
    settings, problems = load("places = []")

    assert settings.places == ()
    assert problems == ()
    assert load(write_commented(settings)) == (settings, ())


def test_the_zone_is_the_one_named_or_the_machines():
    named, _ = load('zone = "Europe/Dublin"')

    assert zone_of(named) == ZoneInfo("Europe/Dublin")
    assert zone_of(load("")[0]) is UTC or isinstance(zone_of(load("")[0]), ZoneInfo)


def test_the_shops_file_is_as_named_then_from_the_environment():
    env = {"CLEATCLOCK_SHOP": "/srv/shop.db"}

    assert shop_path("/tmp/a.db", env) == Path("/tmp/a.db")
    assert shop_path(None, env) == Path("/srv/shop.db")
    assert shop_path(None, {}).name == "shop.db"
