"""One setting is changed in settings.toml, and nothing else."""

import os
import tomllib
from dataclasses import fields
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.config import SETTINGS, PlaceSetting
from kiosk.settingsfile import keep_setting, keep_settings, read_settings
from kiosk.settingstext import load, write_commented

WRITTEN = """# our kiosk
shop = "Old name"  # as on the door
station = "finish"
odd = 5

# where things rest
places = [
  { name = "Rack", slots = 6, role = "coat" },  # by the window
]
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "settings.toml"
    path.write_text(WRITTEN, "utf-8")
    return path


def test_only_the_setting_changes_and_comments_and_strange_lines_stay(file):
    assert keep_setting(file, "shop", "Glaze studio") == ()

    assert file.read_text("utf-8") == WRITTEN.replace("Old name", "Glaze studio")


def test_a_setting_that_was_not_there_comes_with_its_sentence(file):
    assert keep_setting(file, "units", "inch") == ()

    text = file.read_text("utf-8")
    added = '\n# How new jobs show lengths: mm or inch.\nunits = "inch"\n\n'
    assert text == WRITTEN.replace("odd = 5", f"{added}odd = 5")


HEAD = "# Set up in spring.\n# Ask the office before changing anything.\n"


@pytest.mark.parametrize(
    "text",
    [HEAD, f"{HEAD}\n", f"{HEAD}\nunits = \"inch\"\n", f"{HEAD}units = \"inch\"\n",
     f"{HEAD}# How new jobs show lengths: mm or inch.\nunits = \"inch\"\n",
     f"{HEAD}\n[zebra]\nx = 1\n", f"{HEAD}[zebra]\nx = 1\n", f"{HEAD}\nodd = 5\n"],
)  # fmt: skip
def test_what_a_file_begins_with_stays_its_beginning(file, text):
    file.write_text(text, "utf-8")
    names = [setting.name for setting in SETTINGS if setting.name != "units"]
    usual = load("")[0]

    for name in reversed(names):
        assert keep_setting(file, name, getattr(usual, name)) == (), name

    kept = file.read_text("utf-8")
    assert kept.startswith(HEAD)
    assert kept.count("Set up in spring") == 1
    found = tomllib.loads(kept)
    assert [name for name in found if name in names] == names


@settings(deadline=None)
@given(st.permutations([setting.name for setting in SETTINGS]))
def test_settings_kept_in_any_order_stand_in_the_order_they_are_listed_in(tmp_path_factory, names):
    file = Path(tmp_path_factory.mktemp("order")) / "settings.toml"
    usual = load("")[0]

    for name in names[:8]:
        assert keep_setting(file, name, getattr(usual, name)) == (), name

    text = file.read_text("utf-8")
    listed = [setting for setting in SETTINGS if setting.name in names[:8]]
    assert list(tomllib.loads(text)) == [setting.name for setting in listed]
    lines = text.splitlines()
    for setting in listed:
        at = next(at for at, one in enumerate(lines) if one.startswith(f"{setting.name} = "))
        assert lines[at - 1] == f"# {setting.sentence}"
    assert text.startswith("# Settings of this kiosk.")
    assert "\n\n\n" not in text


def test_a_setting_lands_behind_places_of_many_lines_and_not_inside_a_text(file):
    file.write_text(
        'odd = """\nshop = 1\n[zebra]\n"""\nsound = true\nscanner_suffix = "tab"\n', "utf-8"
    )

    assert keep_setting(file, "left_handed", value=True) == ()
    assert keep_setting(file, "places", ()) == ()

    assert read_settings(file)[0].left_handed is True
    lines = file.read_text("utf-8").splitlines()
    assert lines[:5] == ['odd = """', "shop = 1", "[zebra]", '"""', "sound = true"]
    assert lines.index("left_handed = true") < lines.index('scanner_suffix = "tab"')


def test_a_missing_file_is_made_with_the_one_setting(tmp_path):
    file = tmp_path / "settings.toml"

    assert keep_setting(file, "sound", value=False) == ()

    assert load(file.read_text("utf-8"))[0].sound is False
    assert file.read_text("utf-8").startswith("# Settings of this kiosk.")


def test_places_are_kept_in_their_order(file):
    places = (PlaceSetting("Shelf", 3, "ready"), PlaceSetting('The "odd" one', 1, "glue"))

    assert keep_setting(file, "places", places) == ()

    assert read_settings(file)[0].places == places
    assert "# our kiosk" in file.read_text("utf-8")


def test_places_written_as_tables_are_replaced_and_nothing_lands_inside_a_table(file):
    file.write_text(
        'sound = false\n[[places]]\nname = "A"\nslots = 2\nrole = "glue"\n[zebra]\nx = 1\n',
        "utf-8",
    )

    assert keep_setting(file, "places", (PlaceSetting("B", 5, "coat"),)) == ()
    assert keep_setting(file, "shop", "Kiln") == ()

    settings, wrong = read_settings(file)
    assert (settings.places, settings.shop, settings.sound) == (
        (PlaceSetting("B", 5, "coat"),),
        "Kiln",
        False,
    )
    assert wrong == ("there is no setting zebra",)


def test_no_places_at_all_can_be_kept(file):
    assert keep_setting(file, "places", ()) == ()

    assert read_settings(file)[0].places == ()


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("screen_diagonal_in", 300.0, "300.0 is not between 5 and 120."),
        ("zone", "Mars/Base", "Mars/Base is no time zone"),
        ("closes_at", "25:00", "25:00 is no time of day"),
        ("stattion", "cut", "There is no setting stattion."),
        ("places", [{"name": "A", "slots": 99, "role": "coat"}], "A: slots is not between"),
    ],
)
def test_a_wrong_value_is_refused_in_words_and_nothing_is_written(file, name, value, said):
    problems = keep_setting(file, name, value)

    assert said in problems[0].message
    assert problems[0].remedy
    assert file.read_text("utf-8") == WRITTEN


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("closes_at", "07:00", "opens_at 07:30 is not before closes_at 07:00."),
        ("opens_at", "17:30", "opens_at 17:30 is not before closes_at 17:00."),
        ("break_starts", "19:00", "A break of 45 minutes from 19:00 is not within"),
    ],
)
def test_hours_that_contradict_others_are_refused_and_nothing_is_written(file, name, value, said):
    (problem,) = keep_setting(file, name, value)

    assert said in problem.message
    assert problem.remedy
    assert file.read_text("utf-8") == WRITTEN


def test_hours_may_be_moved_step_by_step_to_an_evening(file):
    for name, value in (
        ("closes_at", "23:00"), ("break_starts", "20:00"), ("opens_at", "18:00"),
    ):  # fmt: skip
        assert keep_setting(file, name, value) == ()
    assert read_settings(file)[1] == ("there is no setting odd",)


def test_a_contradiction_written_by_hand_is_mended_by_either_end(file):
    file.write_text('opens_at = "17:00"\ncloses_at = "08:00"\n', "utf-8")
    assert keep_setting(file, "shop", "Kiln") == ()
    assert keep_setting(file, "opens_at", "09:00")
    assert keep_setting(file, "opens_at", "06:00") == ()
    assert read_settings(file)[1] == ()


@pytest.mark.parametrize("text", ['shop = "half\n', "places = [", "= 5", "a = 1\na = 2\n"])
def test_a_broken_file_is_said_and_never_written_over(file, text):
    file.write_text(text, "utf-8")

    problems = keep_setting(file, "shop", "New")

    assert "cannot be read" in problems[0].message
    assert file.read_text("utf-8") == text


def test_a_file_in_another_coding_is_said_and_never_written_over(file):
    file.write_bytes('shop = "Töpferei"\n'.encode("latin-1"))

    assert "cannot be read" in keep_setting(file, "shop", "New")[0].message
    assert "cannot be read" in read_settings(file)[1][0]
    assert file.read_bytes() == 'shop = "Töpferei"\n'.encode("latin-1")


def test_line_ends_of_another_system_and_the_mark_in_front_are_read(file):
    file.write_bytes(b'\xef\xbb\xbfshop = "A"\r\nsound = true\r\n')

    assert keep_setting(file, "sound", value=False) == ()
    assert keep_setting(file, "units", "inch") == ()

    settings, wrong = read_settings(file)
    assert (settings.shop, settings.sound, settings.units, wrong) == ("A", False, "inch", ())
    assert b"\n" not in file.read_bytes().replace(b"\r\n", b"")


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    problems = keep_setting(tmp_path / "none" / "settings.toml", "shop", "A")

    assert "cannot be written" in problems[0].message


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_stays_a_link(file, tmp_path):
    link = tmp_path / "link.toml"
    link.symlink_to(file)

    assert keep_setting(link, "shop", "Linked") == ()

    assert link.is_symlink()
    assert read_settings(file)[0].shop == "Linked"


@given(st.text(max_size=80))
def test_any_short_text_reads_back_as_it_was(tmp_path_factory, text):
    file = Path(tmp_path_factory.mktemp("any")) / "settings.toml"
    file.write_text(WRITTEN, "utf-8")

    if not keep_setting(file, "shop", text):
        assert read_settings(file)[0].shop == text
        assert read_settings(file)[0].station == "finish"


def test_every_setting_can_be_kept_in_the_file_that_cleatclock_settings_prints(tmp_path):
    file = tmp_path / "settings.toml"
    usual = load("")[0]
    file.write_text(write_commented(usual), "utf-8")

    for field in fields(usual):
        assert keep_setting(file, field.name, getattr(usual, field.name)) == (), field.name

    assert read_settings(file) == (usual, ())
    assert all(f"# {setting.sentence}" in file.read_text("utf-8") for setting in SETTINGS)


def test_several_are_kept_together_or_not_at_all(tmp_path):
    file = tmp_path / "settings.toml"
    file.write_text('shop = "Kiln"\n', "utf-8")
    problems = keep_settings(file, {"theme": "dark", "viewing_distance_m": 99, "none": 1})
    assert [one.column for one in problems] == ["viewing_distance_m", None]
    assert file.read_text("utf-8") == 'shop = "Kiln"\n'
    assert keep_settings(file, {"theme": "dark", "viewing_distance_m": 9}) == ()
    kept, _ = read_settings(file)
    assert (kept.theme, kept.viewing_distance_m, kept.shop) == ("dark", 9, "Kiln")
