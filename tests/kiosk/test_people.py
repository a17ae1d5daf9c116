"""People, badges and cards: put on the list, printed, read back, and never taken for parts."""

import json
from datetime import UTC, datetime

import pytest
from PIL import Image
from typer.testing import CliRunner

from kiosk.actions import Shop
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.rules.cards import CARDS
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Store
from labels.codes import parse

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
LIST = "Unit;Part;Qty;Length (mm);Width (mm)\nS1;Side;2;600;300\nS1;Board;1;764;200\n"


@pytest.fixture
def shop(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    opened = Shop(store, load('zone = "UTC"\n')[0], FixedClock(START))
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    assert opened.take_in(tmp_path / "list.csv", Job("JARS")).problems == ()
    yield opened
    store.close()


def codes_in(path):
    """The codes a reader of symbols finds in a picture."""
    import zxingcpp

    with Image.open(path) as image:
        return {one.text for one in zxingcpp.read_barcodes(image.convert("L"))}


def test_each_person_gets_a_badge_code_of_our_own_family(shop):
    mara, _ = shop.add_person("  Mara ", person="Ivo")
    ivo, _ = shop.add_person("Ivo")
    assert (mara.name, ivo.name) == ("Mara", "Ivo")
    assert parse(mara.code).code == mara.code != ivo.code
    assert shop.people() == (mara, ivo)


def test_a_badge_is_known_however_it_was_scanned(shop):
    mara, _ = shop.add_person("Mara")
    assert shop.badge_of(f"]C1{mara.code.lower()}") == mara
    assert shop.badge_of(CARDS[0].code) is None
    assert shop.badge_of("S1") is None


def test_a_name_twice_or_none_is_refused_with_its_way_out(shop):
    shop.add_person("Mara")
    for name in ("MARA", "", "M" * 25):
        person, problems = shop.add_person(name)
        assert person is None
        assert problems[0].remedy
    assert len(shop.people()) == 1


def test_who_is_off_the_list_keeps_the_badge_for_the_day_they_come_back(shop):
    mara, _ = shop.add_person("Mara")
    off, problems = shop.off_person("mara")
    assert (off.away, problems) == (True, ())
    assert shop.off_person("mara")[0].away
    answer = shop.scan(mara.code, station="cut")
    assert answer.outcome == Outcome.ELSEWHERE
    assert "off the list" in answer.detail
    back, _ = shop.add_person("Mara")
    assert back == mara


def test_nobody_of_that_name_says_who_there_is(shop):
    assert "empty" in shop.off_person("Ada")[1][0].remedy
    shop.add_person("Mara")
    assert "Mara" in shop.off_person("Ada")[1][0].remedy


def test_a_badge_or_card_scanned_as_a_part_records_nothing(shop):
    mara, _ = shop.add_person("Mara")
    for code in (mara.code, CARDS[0].code):
        answer = shop.scan(code, station="cut")
        assert answer.outcome == Outcome.ELSEWHERE
        assert answer.entry == ""
        assert shop.problem(code, "too_tacky").outcome == Outcome.ELSEWHERE
    assert shop.store.state("JARS", "S1").holds == ()


def test_no_part_unit_or_place_ever_shares_a_code_with_a_badge(shop, tmp_path):
    badges = {shop.add_person(f"Person {at}")[0].code for at in range(20)}
    shop.place_labels(tmp_path / "places.pdf")
    more = {shop.add_person(f"More {at}")[0].code for at in range(20)}
    state = shop.store.state("JARS", "S1")
    parts = {piece.piece.code for piece in state.pieces}
    assert len(badges | more) == 40
    assert not (badges | more) & parts
    assert all(shop.badge_of(code) is None for code in parts)
    assert all(shop.place_of(code) == "" for code in badges | more)


def test_badges_read_back_and_carry_the_name(shop, tmp_path):
    mara, _ = shop.add_person("Mara")
    shop.add_person("Ivo")
    shop.off_person("Ivo")
    run = shop.badges(tmp_path / "badges.png")
    assert (run.problems, run.codes) == ((), (mara.code,))
    assert codes_in(tmp_path / "badges.png") == {mara.code}


def test_a_badge_is_printed_again_for_one_person(shop, tmp_path):
    codes = {name: shop.add_person(name)[0].code for name in ("Mara", "Ivo")}
    run = shop.badges(tmp_path / "badges.pdf", names=["ivo"])
    assert run.codes == (codes["Ivo"],)


def test_badges_that_cannot_be_printed_say_why(shop, tmp_path):
    assert "Nobody" in shop.badges(tmp_path / "b.pdf").problems[0].message
    shop.add_person("Mara")
    wrong = (
        shop.badges(tmp_path / "b.pdf", names=["Ada"]),
        shop.badges(tmp_path / "b.txt"),
        shop.badges(tmp_path / "b.pdf", stock="none"),
    )
    for run in wrong:
        assert run.problems[0].remedy
    assert list(tmp_path.glob("b.*")) == []


def test_every_card_is_printed_with_its_code(shop, tmp_path):
    run = shop.cards(tmp_path / "cards.png", stock="a4-21")
    assert (run.problems, run.pages) == ((), 2)
    seen = set().union(*(codes_in(file) for file in run.files))
    assert seen == {card.code for card in CARDS}


def test_what_a_text_is_about_records_nothing(shop):
    code = shop.store.state("JARS", "S1").pieces[0].piece.code
    answer = shop.about(code)
    assert (answer.unit, answer.part, answer.entry) == ("S1", "Side", "")
    assert shop.about("S1").code == "JARS/S1"
    assert shop.about("nothing").outcome != Outcome.RECORDED
    assert shop.store.state("JARS", "S1").piece(code).done == {}


def test_the_parts_not_gathered_come_first(shop):
    first, second, third = (piece.piece for piece in shop.store.state("JARS", "S1").pieces)
    shop.scan(first.code, station="cut")
    shop.scan(first.code, station="assemble")
    found = [one.code for one in shop.parts_at("S1")]
    assert found == [second.code, third.code, first.code]
    assert shop.parts_at("nobody") == ()
    assert shop.parts_at("S1")[1].size == "764 × 200 mm"


def test_the_panel_of_a_station_is_of_the_moment_asked_about(shop):
    view = shop.station_view("cut")
    assert view.title == "Left to cut: 3 parts"
    code = shop.store.state("JARS", "S1").pieces[0].piece.code
    shop.scan(code, station="cut")
    view = shop.station_view("cut", about=("JARS", "S1"), floor=shop.floor())
    assert view.lines[0].words == "S1: 2 of 3 parts left"


# -- the command line --------------------------------------------------------------------------


@pytest.fixture
def run(tmp_path):
    def call(*words, status=0):
        result = CliRunner().invoke(app, [*words, "--shop", str(tmp_path / "s.db")])
        assert result.exit_code == status, result.output
        return result.output

    return call


def test_people_are_added_listed_and_taken_off(run):
    assert "Nobody is on the list" in run("people")
    run("people", "--add", "Mara", "--add", "Ivo")
    run("people", "--off", "Ivo")
    rows = json.loads(run("people", "--json"))["people"]
    assert [(row["name"], row["away"]) for row in rows] == [("Mara", False), ("Ivo", True)]
    assert "Ivo" in run("people")


def test_a_wrong_name_at_the_command_line_says_the_way_out(run):
    assert "Nobody on the list is called Ada" in run("people", "--off", "Ada", status=2)
    assert run("people", "--badges", "none.pdf", status=2)


def test_badges_and_cards_are_written(run, tmp_path):
    out = tmp_path / "badges.pdf"
    run("people", "--add", "Mara", "--badges", str(out))
    assert out.read_bytes().startswith(b"%PDF")
    cards = tmp_path / "cards.pdf"
    answer = json.loads(run("cards", "--out", str(cards), "--json"))
    assert answer["labels"] == len(CARDS)
    assert cards.is_file()
    assert run("cards", "--out", str(tmp_path / "cards.txt"), status=2)
