import tomllib

import pytest

from kiosk.config import load
from kiosk.settingsfile import keep_setting, keep_settings

TEXT = """# The glaze store's kiosk.
shop = "Sample shop"   # as on the door

# how far the board hangs
viewing_distance_m = 4.0
places = [
  { name = "Rack", slots = 6, role = "coat" },  # by the window
]
mine = "no setting of ours"
"""


@pytest.fixture
def file(tmp_path):
    made = tmp_path / "settings.toml"
    made.write_text(TEXT, "utf-8")
    return made


def test_one_setting_changes_and_every_other_byte_stays(file):
    assert keep_setting(file, "viewing_distance_m", 3.5) == ""
    assert file.read_text("utf-8") == TEXT.replace("= 4.0", "= 3.5")


def test_a_setting_that_was_not_there_is_added_and_read_back(file):
    assert keep_setting(file, "screen_diagonal_in", 42.6) == ""
    text = file.read_text("utf-8")
    assert text.startswith(TEXT.rstrip())
    assert load(text)[0].screen_diagonal_in == 42.6


def test_a_file_that_is_not_there_is_made(tmp_path):
    file = tmp_path / "new" / "settings.toml"
    assert keep_setting(file, "theme", "dark") == ""
    assert load(file.read_text("utf-8")) == (load('theme = "dark"')[0], ())


def test_several_are_kept_together_or_not_at_all(file):
    assert keep_settings(file, {"theme": "dark", "viewing_distance_m": 99}) != ""
    assert file.read_text("utf-8") == TEXT
    assert keep_settings(file, {"theme": "dark", "viewing_distance_m": 9}) == ""
    assert tomllib.loads(file.read_text("utf-8"))["theme"] == "dark"


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("distance", 4, "There is no setting distance."),
        ("viewing_distance_m", 99, "viewing_distance_m is not between 0.3 and 15."),
        ("theme", "pink", "theme is none of light, dark."),
    ],
)
def test_what_would_not_be_read_is_not_written(file, name, value, words):
    assert keep_setting(file, name, value) == words
    assert file.read_text("utf-8") == TEXT


def test_a_broken_file_is_left_to_a_person(file):
    file.write_text("shop = [", "utf-8")
    assert "Mend it by hand" in keep_setting(file, "theme", "dark")
    assert file.read_text("utf-8") == "shop = ["


def test_a_place_that_cannot_be_written_is_said_in_words(tmp_path):
    (tmp_path / "taken").write_text("", "utf-8")
    words = keep_setting(tmp_path / "taken" / "settings.toml", "theme", "dark")
    assert words.startswith("settings.toml cannot be")


def test_no_draft_is_left_beside_the_file(file):
    keep_setting(file, "theme", "dark")
    assert [one.name for one in file.parent.iterdir()] == ["settings.toml"]


def test_line_ends_of_another_system_stay(file):
    file.write_bytes(TEXT.replace("\n", "\r\n").encode())
    assert keep_setting(file, "viewing_distance_m", 3.5) == ""
    assert file.read_bytes() == TEXT.replace("= 4.0", "= 3.5").replace("\n", "\r\n").encode()
