"""The commands about air, clocks, findings, rags, products and handover, as people meet them."""

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image
from typer.testing import CliRunner

from kiosk.cli import app

LIST = (
    "Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Finish\n"
    "S1;Jar shelf;shelf;Board;1;764;200;clear\nS2;Oil shelf;shelf;Board;1;764;200;oil\n"
)


class Shop:
    """Runs commands on one shop file."""

    def __init__(self, folder: Path, settings: str = 'zone = "UTC"\n') -> None:
        self.folder, self.file = folder, folder / "shop.db"
        (folder / "settings.toml").write_text(settings, "utf-8")
        (folder / "list.csv").write_text(LIST, "utf-8")
        self.run("take-in", str(folder / "list.csv"), "--job", "JARS", "--at", at("07:00"))

    def run(self, *words: str, status: int = 0) -> str:
        result = CliRunner().invoke(app, [*words, "--shop", str(self.file)])
        assert result.exit_code == status, result.output
        return result.output

    def json(self, *words: str, status: int = 0):
        return json.loads(self.run(*words, "--json", status=status))

    def coat(self, when: str, unit: str = "S1", step: str = "coat-1") -> None:
        words = (
            "--station",
            "finish",
            "--step",
            step,
            "--reason",
            "done earlier",
            "--at",
            at(when),
        )
        self.run("scan", unit, *words)

    def unit(self, when: str, *words: str, name: str = "S1"):
        units = self.json("board", "--at", at(when), *words)["units"]
        return next(one for one in units if one["unit"] == name)


def at(clock: str) -> str:
    return f"2026-03-09T{clock}:00+00:00"


@pytest.fixture
def shop(tmp_path):
    return Shop(tmp_path)


def test_a_reading_is_recorded_and_the_board_says_how_fast_it_dries(shop):
    shop.coat("08:00")
    assert shop.unit("09:00")["hands_at"] == at("12:00")
    answer = shop.json("air", "--temp", "18C", "--humidity", "65", "--at", at("08:00"))
    assert (answer["temperature_c"], answer["humidity"], answer["after_it"]) == (18, 65, "last")
    one = shop.unit("09:00")
    assert one["hands_at"] == "2026-03-09T15:46:38+00:00"
    assert one["air"] == "18 °C and 65 %: about half speed"
    assert (one["estimated"], one["held"], one["risk"]) == (True, False, None)
    assert one["progress"] == pytest.approx(60 * 0.514321 / 240, abs=1e-3)


def test_the_air_is_said_with_what_it_means_and_its_latest_readings(shop):
    assert "No reading of the air yet" in shop.run("air", "--at", at("08:00"))
    assert "clocks run on the labels' own air" in shop.run("air", "--at", at("08:00"))
    words = ("--temp", "20", "--humidity", "50%", "--surface", "16C", "--speed", "0.2")
    shop.run("air", *words, "--at", at("08:00"), "--person", "Ida")
    said = shop.run("air", "--at", at("08:30"), "--readings", "5")
    for words in ("20 °C, 50 %, panel 16 °C", "dew point 9.3 °C", "9.3 % moisture", "30 min ago",
                  "panel 16 °C", "0.2 m/s"):  # fmt: skip
        assert words in said
    answer = shop.json("air", "--at", at("08:30"), "--readings", "5")
    (reading,) = answer["readings"]
    assert (reading["person"], reading["source"], reading["surface_c"]) == ("Ida", "typed", 16)
    shop.run("strike", reading["entry"])
    assert shop.json("air", "--at", at("08:30"))["last"] is None


def test_a_shop_in_fahrenheit_types_and_reads_fahrenheit(tmp_path):
    shop = Shop(tmp_path, 'zone = "UTC"\ntemperature = "F"\n')
    said = shop.run("air", "--temp", "64.4", "--humidity", "65", "--at", at("08:00"))
    assert "64.4 °F, 65 %" in said
    assert shop.json("air", "--at", at("08:00"))["temperature_c"] == 18


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--temp", "warm", "--humidity", "65"), "“warm” is no temperature"),
        (("--temp", "18"), "The humidity is missing"),
        (("--humidity", "65"), "The temperature is missing"),
        (("--temp", "18", "--humidity", "650"), "650 % is no relative humidity"),
        (("--temp", "180", "--humidity", "65"), "180 °C is no temperature of a shop"),
        (("--temp", "18", "--humidity", "65", "--surface", "cold"), "“cold” is no temperature"),
        (("--temp", "18", "--humidity", "65", "--job", "NONE"), "There is no job NONE"),
        (("--temp", "18", "--file", "x.csv"), "Give one of"),
        (("--listen",), "leave --at out"),
        (("--dates", "sideways"), "none of day-first, month-first"),
        (("--temp", "18", "--humidity", "65", "--dry-run"), "--dry-run goes with --file"),
    ],
)
def test_what_is_no_reading_is_refused_with_the_way_out(shop, words, said):
    assert said in shop.run("air", *words, "--at", at("08:00"), status=2)
    assert shop.json("air", "--at", at("09:00"))["last"] is None


def test_without_a_broker_there_is_nothing_to_listen_to(shop):
    assert "No broker is set" in shop.run("air", "--listen", status=2)


def test_a_place_that_cannot_be_written_is_said_in_words(shop):
    shop.coat("08:00")
    for words in (
        ("clock", "S1", "--out", "/nowhere/c.svg"),
        ("handover", "JARS", "--out", "/nowhere/h.pdf"),
    ):
        assert "cannot be written" in shop.run(*words, "--at", at("09:00"), status=2)


@pytest.mark.parametrize("moment", ["9999-12-31T23:59", "0001-01-01T00:00+14:00"])
def test_a_time_no_shop_has_is_refused(shop, moment):
    assert "no time of a shop" in shop.run("board", "--at", moment, status=2)


def test_every_mistake_in_a_typed_reading_is_named_at_once(shop):
    words = ("--temp", "warm", "--humidity", "damp", "--surface", "cold")
    answer = shop.json("air", *words, "--at", at("08:00"), status=2)
    assert [one["column"] for one in answer["problems"]] == ["--temp", "--humidity", "--surface"]


def test_a_loggers_file_comes_in_and_is_not_taken_twice(shop):
    file = shop.folder / "logger.csv"
    rows = "".join(f"2026-03-09 {hour:02}:00;{15 + hour / 4:.2f};60\n" for hour in range(20))
    file.write_text(f"Time;Temperature (°C);Humidity (%)\n{rows}2026-03-09 20:00;--;60\n", "utf-8")
    words = ("air", "--file", str(file), "--at", "2026-03-10T08:00")
    assert "20 readings would come in." in shop.run(*words, "--dry-run")
    answer = shop.json(*words)
    assert (answer["readings"], answer["taken"], len(answer["skipped"])) == (20, 20, 1)
    assert (answer["first"], answer["last"]) == (at("00:00"), at("19:00"))
    assert (
        "0 readings taken in; 20 were there already.\n"
        "From 2026-03-09 to 2026-03-09, 15 to 19.75 °C, 60 to 60 %." in shop.run(*words)
    )


def test_a_bad_file_is_refused_whole(shop):
    file = shop.folder / "logger.csv"
    head = "Time;Temperature (°C);Humidity (%)\n"
    file.write_text(f"{head}2026-03-09 08:00;185;60\n2026-03-09 09:00;18;60\n", "utf-8")
    said = shop.run("air", "--file", str(file), "--at", at("12:00"), status=2)
    assert "row 2" in said
    assert said.endswith("Nothing was taken in.\n")
    answer = shop.json("air", "--file", str(file), "--at", at("12:00"), status=2)
    assert (answer["taken"], answer["problems"][0]["row"]) == (0, 2)


def test_a_file_that_leaves_day_and_month_open_asks_and_is_told(shop):
    file = shop.folder / "logger.csv"
    file.write_text("Time,Temperature (°C),Humidity (%)\n3/4/2025 08:00,18,60\n", "utf-8")
    words = ("air", "--file", str(file), "--at", at("12:00"))
    assert "--dates" in shop.run(*words, status=2)
    assert shop.json(*words, "--dates", "day-first")["first"] == "2025-04-03T08:00:00+00:00"


# -- what if, clocks -------------------------------------------------------------------------


def test_the_board_can_be_asked_for_another_air_without_touching_the_log(shop):
    shop.coat("08:00")
    shop.run("air", "--temp", "12C", "--humidity", "70", "--at", at("08:00"))
    before = shop.unit("09:00")["hands_at"]
    warm = shop.json("board", "--at", at("09:00"), "--what-if", "heater: 23C 40%", status=2)
    assert warm["problems"]
    answer = shop.json("board", "--at", at("09:00"), "--what-if", "23C, 40%")
    assert answer["what_if"] == "if it is 23 °C and 40 %"
    assert shop.unit("09:00", "--what-if", "23C 40%")["hands_at"] < before
    assert shop.unit("09:00")["hands_at"] == before
    said = shop.run("board", "--at", at("09:00"), "--what-if", "23C 40%")
    assert said.startswith("if it is 23 °C and 40 %; nothing of this is recorded")


def test_every_clock_of_a_unit_is_said(shop):
    shop.coat("08:00")
    shop.run("air", "--temp", "23C", "--humidity", "50", "--at", at("08:00"))
    answer = shop.json("clock", "S1", "--at", at("09:00"))
    rows = {one["stage"]: one for one in answer["clocks"]}
    assert (rows["touch"]["state"], rows["recoat"]["state"], rows["window"]["closes"]) == (
        "ready",
        "running",
        True,
    )
    assert rows["recoat"]["expected"] == at("10:00")
    assert (rows["recoat"]["earliest"], rows["recoat"]["latest"]) == (at("09:36"), at("10:40"))
    said = shop.run("clock", "S1", "--at", at("09:00"))
    for words in ("coat 1, 08:00: Polyurethane", "may be coated again", "10:00* (09:36 to 10:40)",
                  "since 08:45*", "typical for the kind", "no guarantee"):  # fmt: skip
        assert words in said
    assert "if it is 12 °C" in shop.run("clock", "S1", "--at", at("09:00"), "--what-if", "12C 70%")
    assert shop.run("clock", "S2", "--at", at("09:00")) == "Nothing on it has a clock yet.\n"
    assert "Not a label of ours" in shop.run("clock", "nobody", "--at", at("09:00"), status=2)


def test_a_clock_out_of_sight_says_why(shop):
    shop.coat("08:00")
    shop.run("air", "--temp", "5C", "--humidity", "50", "--at", at("08:00"))
    assert "not in sight*; held: air 5 °C" in shop.run("clock", "S1", "--at", at("09:00"))
    assert shop.unit("09:00")["hands_at"] is None


def test_the_picture_of_a_clock_is_drawn_as_svg_and_png(shop):
    shop.coat("08:00")
    shop.run("air", "--temp", "18C", "--humidity", "60", "--at", at("08:00"))
    drawing, picture = shop.folder / "clock.svg", shop.folder / "clock.png"
    shop.run("clock", "S1", "--at", at("09:00"), "--out", str(drawing))
    root = ET.parse(drawing).getroot()
    assert root.tag.endswith("svg")
    assert any("may be sanded" in (one.text or "") for one in root.iter())
    answer = shop.json("clock", "S1", "--at", at("09:00"), "--out", str(picture))
    assert answer["file"] == str(picture)
    with Image.open(picture) as drawn:
        assert drawn.size == (1280, 800)
        assert len(drawn.convert("RGB").getcolors(100_000)) > 3
    assert "neither SVG nor PNG" in shop.run("clock", "S1", "--out", "x.gif", status=2)
    assert "has a clock yet" in shop.run("clock", "S2", "--out", str(drawing), status=1)


# -- findings, rags, handover ----------------------------------------------------------------


def test_what_is_found_at_the_bench_teaches_and_is_never_applied_unasked(shop):
    assert "Nothing found yet" in shop.run("found")
    shop.coat("08:00")
    answer = shop.json("found", "S1", "--tacky", "--at", at("11:00"))
    assert (answer["outcome"], answer["message"]) == ("recorded", "coat 1: still tacky")
    (row,) = shop.json("found")["proposals"]
    assert (row["product"], row["findings"], row["factor"]) == ("clear", 1, None)
    assert "Say which" in shop.run("found", "S1", status=2)
    assert "Nothing on it is at risk" in shop.run("found", "S1", "--tested", status=1)
    assert "Nothing on it dries" in shop.run("found", "S2", "--dry", status=1)


def test_enough_findings_offer_a_factor_with_the_command_that_accepts_it(shop):
    rows = "".join(f"T{n};Tile;shelf;Board;1;300;200;clear\n" for n in range(20))
    (shop.folder / "more.csv").write_text(LIST.splitlines()[0] + "\n" + rows, "utf-8")
    shop.run("take-in", str(shop.folder / "more.csv"), "--job", "TILES", "--at", at("07:00"))
    for number in range(20):
        shop.coat("08:00", f"T{number}")
        # sand after 4 h: tacky up to 4:40, dry from 5:00 on, and mixed between
        minutes = 240 + number * 6
        dry = number in (3, 6, 7) or (number >= 8 and number not in (9, 12))
        when = at(f"{8 + minutes // 60:02}:{minutes % 60:02}")
        shop.run("found", f"T{number}", "--dry" if dry else "--tacky", "--at", when)
    (row,) = shop.json("found")["proposals"]
    assert (row["findings"], row["dry"], row["doubt"]) == (20, 13, None)
    assert 1.1 < row["factor"] < 1.3
    said = shop.run("found")
    command = f"cleatclock products --factor clear.sand={row['factor']:.2f}"
    assert command in said
    assert shop.unit("09:00", name="T0")["hands_at"] == at("12:00")
    shop.run("products", "--factor", f"clear.sand={row['factor']:.2f}", "--at", at("07:30"))
    assert shop.unit("09:00", name="T0")["hands_at"] > at("12:00")


def test_oily_rags_are_named_on_the_board_until_they_are_ticked_off(shop):
    assert shop.json("rags", "--at", at("09:00")) == {
        "waiting": False,
        "since": None,
        "product": None,
        "pressing": False,
    }
    assert shop.run("rags", "--at", at("09:00")) == "No oily rags to tick off.\n"
    shop.coat("08:00", "S2")
    assert "Oily rags can catch fire" in shop.run("board", "--at", at("09:00"))
    assert shop.json("rags", "--at", at("17:00"))["pressing"]
    assert "cleatclock rags --done" in shop.run("rags", "--at", at("17:00"))
    shop.run("rags", "--done", "--at", at("17:05"))
    assert not shop.json("rags", "--at", at("18:00"))["waiting"]
    assert "No oily rags" in shop.run("rags", "--done", "--at", at("18:00"), status=1)


def test_the_handover_says_from_when_each_unit_may_be_wiped_and_loaded(shop):
    shop.coat("08:00", step="coat-2")
    sheet = shop.folder / "handover.pdf"
    answer = shop.json("handover", "JARS", "--out", str(sheet), "--at", at("09:00"))
    units = {one["unit"]: one for one in answer["units"]}
    assert units["S1"]["load_from"] == units["S1"]["wipe_from"] == "2026-03-23T08:00:00+00:00"
    assert units["S2"]["why"]["load"] == "coat 2 is not on yet"
    assert answer["pages"] == len(pypdfium2.PdfDocument(str(sheet))) == 1
    said = shop.run("handover", "JARS", "--out", str(sheet), "--at", at("09:01"))
    assert "23 Mar 08:00" in said
    assert "There is no job NONE" in shop.run("handover", "NONE", status=2)


# -- products --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("--figure", "clear.recoat=90 min"), "recoat = 90"),
        (("--figure", "clear.hang=3 d"), "hang = 4320"),
        (("--reference", "clear=21C 70%"), "humidity = 70.0"),
        (("--factor", "clear.sand=1,2"), "sand = 1.2"),
        (("--confirm", "clear"), "seed = false"),
    ],
)
def test_what_a_label_says_is_entered(shop, words, line):
    shop.run("products", *words, "--person", "Ida")
    assert line in shop.run("products")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--figure", "clear=2 h"), "is not clear"),
        (("--figure", "clear.recoat=soon"), "is not clear"),
        (("--figure", "clear.shine=2 h"), "There is no stage shine"),
        (("--figure", "milk.recoat=2 h"), "There is no product milk"),
        (("--reference", "clear=warm"), "is not an air"),
        (("--factor", "clear.sand=big"), "is not clear"),
        (("--factor", "clear=1.2"), "is not clear"),
        (("--factor", "clear.sand=9"), "factors has no sound sand"),
        (("--factor", "clear=1", "--confirm", "clear"), "at a time"),
    ],
)
def test_what_is_no_figure_of_a_label_is_refused(shop, words, said):
    assert said in shop.run("products", *words, status=2)


def test_every_json_key_about_air_is_in_formats(shop):
    shop.coat("08:00")
    shop.coat("08:00", "S2")
    file = shop.folder / "logger.csv"
    file.write_text("Time,Temperature (°C),Humidity (%)\n2026-03-09 08:00,x,60\n", "utf-8")
    answers = [
        shop.json("air", "--temp", "18", "--humidity", "60", "--at", at("08:00")),
        shop.json("air", "--at", at("09:00"), "--readings", "2"),
        shop.json("air", "--file", str(file), "--at", at("09:00"), status=2),
        shop.json("clock", "S1", "--at", at("09:00")),
        shop.json("found", "S1", "--dry", "--at", at("09:00")),
        shop.json("found"),
        shop.json("rags", "--at", at("09:00")),
        shop.json("board", "--at", at("09:00")),
        shop.json("handover", "JARS", "--out", str(shop.folder / "h.pdf"), "--at", at("09:00")),
    ]
    formats = (Path(__file__).parents[2] / "docs/formats.md").read_text("utf-8")

    keys = set().union(*map(_keys, answers))

    assert {"wood_moisture", "held_by", "doubt", "wipe_from"} <= keys
    assert sorted(key for key in keys if f"`{key}`" not in formats) == []


def _keys(value: object) -> set[str]:
    if isinstance(value, dict):
        return set(value).union(*map(_keys, value.values()))
    return set().union(*map(_keys, value)) if isinstance(value, list) else set()
