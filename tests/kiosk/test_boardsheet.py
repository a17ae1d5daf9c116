"""The printed board: every slot and unit on a page, and read back from the file that is written."""

import json
import re
from itertools import combinations
from types import SimpleNamespace

import numpy as np
import pypdfium2
import pytest
from PIL import Image
from typer.testing import CliRunner

from kiosk.boardsheet import write_board
from kiosk.boardsheet.pages import Head, lay_out_pages
from kiosk.boardsheet.rows import compose_sections
from kiosk.cli import app
from kiosk.figure.paper import SIZES
from kiosk.figure.shapes import overlap
from kiosk.rules.floor import Rack, lay_out
from kiosk.rules.route import State
from kiosk.settingstext import load
from tests.builders import ZONE, a_standing, a_step, at

NOW = at("12:00")
RACKS = (Rack("Clamp bench", 4, "glue"), Rack("Rack", 3, "coat"), Rack("By the door", 2, "ready"))
HANG = a_step("hang", "hang", "install", State.READY_TO_HANG)
STANDINGS = (
    a_standing("S1", State.GLUE_CURING, hands_at=at("14:05"), started=at("11:00")),
    a_standing("S2", State.COAT_DUE, hands_at=at("09:00")),
    a_standing("S3", State.SCUFF_FIRST, window_closes_at=at("11:50")),
    a_standing("S4", State.COAT_DUE, window_closes_at=at("12:20")),
    a_standing("S5", State.COAT_DRYING, hands_at=at("15:00"), started=at("11:00")),
    a_standing("S6", State.READY_TO_HANG, step=HANG, hands_at=at("08:00")),
    a_standing("S7", State.TO_CUT, step=a_step("cut", "cut", "cut")),
    a_standing("S8", State.HUNG, step=None),
)


def board(standings=STANDINGS, racks=RACKS, paper="a4"):
    floor, _ = lay_out(standings, now=NOW, zone=ZONE, racks=racks)
    sections = compose_sections(floor, standings, now=NOW, zone=ZONE)
    head = Head("Glaze store", NOW.astimezone(ZONE), floor)
    return floor, sections, lay_out_pages(head, sections, size=SIZES[paper])


def texts(figures):
    return [words.text for figure in figures for words in figure.words]


def shop_of(standings=STANDINGS, racks=RACKS):
    settings = load('shop = "Glaze store"')[0]
    floor, _ = lay_out(standings, now=NOW, zone=ZONE, racks=racks)
    return SimpleNamespace(
        floor=lambda now: floor, standings=lambda now: standings, settings=settings, zone=ZONE
    )


def test_places_stand_slot_by_slot_with_free_ones_and_then_what_has_no_slot():
    _, sections, _ = board()
    assert [(one.title, [(row.slot, row.unit) for row in one.rows]) for one in sections] == [
        ("Clamp bench", [("1", "S1"), ("2", ""), ("3", ""), ("4", "")]),
        ("Rack", [("1", "S3"), ("2", "S4"), ("3", "S2")]),
        ("By the door", [("1", "S6"), ("2", "")]),
        ("Without a slot", [("", "S7"), ("", "S5")]),
    ]
    assert sections[1].more == "+1 resting"


def test_each_unit_has_its_standing_next_step_and_time_in_words():
    _, sections, _ = board()
    rows = {row.unit: row for one in sections for row in one.rows if row.unit}
    assert {unit: (row.standing, row.when) for unit, row in rows.items()} == {
        "S1": ("glue curing", "from 14:05"),
        "S3": ("scuff first", "closed 11:50"),
        "S4": ("coat due, now", "by 12:20"),
        "S2": ("coat due", "since 09:00"),
        "S6": ("ready to hang", "since 08:00"),
        "S7": ("to cut", ""),
        "S5": ("coat drying", "from 15:00"),
    }
    assert rows["S6"].step == "hang at install"
    assert rows["S7"].step == "cut"


def test_what_is_at_risk_or_held_is_said():
    risky = a_standing("S1", State.COAT_DRYING, risk="at_risk", started=at("11:00"))
    _, (_, rack, *_), _ = board([risky])
    assert (rack.rows[0].standing, rack.rows[0].when) == ("coat drying, at risk", "held")


def test_the_page_says_counts_next_hands_and_from_when_on_it_knows_nothing():
    _, _, figures = board()
    said = texts(figures)
    for words in (
        "Glaze store: board",
        "1 to hang",
        "3 to coat",
        "2 resting",
        "next hands: S1 Clamp bench in 2:05 h, then S5 Rack in 3:00 h",
        "No news since 12:00: what was scanned later is not here.",
        "page 1 of 1",
    ):
        assert words in said
    assert any(re.fullmatch(r"printed \d{4}-\d\d-\d\d 12:00", words) for words in said)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [0, 1, 40, 150])
def test_no_unit_is_lost_and_no_words_run_over_others_or_the_edge(paper, count):
    many = [
        a_standing(f"S{n:03}", State.COAT_DRYING, hands_at=at("14:00"), started=at("11:00"))
        for n in range(count)
    ]
    _, _, figures = board(many, paper=paper)
    said = texts(figures)
    assert [words for words in said if re.fullmatch(r"S\d{3}", words)] == [one.unit for one in many]
    assert said.count("free") == 9 - min(count, 3)
    for figure in figures:
        for words in figure.words:
            left, top, right, bottom = words.edges
            assert min(left, top) >= 40
            assert right <= figure.width - 40
            assert bottom <= figure.height - 35
        for one, other in combinations(figure.words, 2):
            assert not overlap(one.edges, other.edges), (one.text, other.text)


def test_overleaf_the_place_is_named_again():
    many = [a_standing(f"S{n:03}", State.TO_CUT) for n in range(60)]
    _, _, figures = board(many)
    assert len(figures) == 3
    assert "Without a slot (continued)" in [words.text for words in figures[2].words]


def test_a_shop_without_places_prints_its_open_units():
    _, sections, figures = board(racks=())
    assert [one.title for one in sections] == ["Open units"]
    assert "S7" in texts(figures)


def test_a_shop_without_units_prints_that_there_are_none():
    assert "No open units." in texts(board([], ())[2])


def test_every_word_is_in_the_pdf_where_it_was_laid_out(tmp_path):
    (file,) = write_board(shop_of(), NOW, out=tmp_path / "board.pdf", paper="a4")
    _, _, (figure,) = board()
    document = pypdfium2.PdfDocument(file)
    try:
        assert len(document) == 1
        width, height = document[0].get_size()
        assert (width / 72 * 25.4, height / 72 * 25.4) == pytest.approx((210, 297), abs=0.3)
        page = np.asarray(document[0].render(scale=200 / 72).to_pil().convert("L")).astype(int)
    finally:
        document.close()
    for words in figure.words:
        left, top, right, bottom = (round(2 * side) for side in words.edges)
        inside = page[top:bottom, left:right]
        assert inside.max() - inside.min() > 90, words.text
    # and none where there are no words or marks: the outer edge is white
    assert page[:60].min() > 240
    assert page[:, :60].min() > 240


def test_letter_paper_is_letter(tmp_path):
    (file,) = write_board(shop_of(), NOW, out=tmp_path / "board.pdf", paper="letter")
    document = pypdfium2.PdfDocument(file)
    try:
        assert document[0].get_size() == pytest.approx((612, 792), abs=0.5)
    finally:
        document.close()


def test_pictures_of_several_pages_are_numbered_and_show_the_states_by_shape(tmp_path):
    many = [a_standing(f"S{n:03}", State.TO_CUT) for n in range(60)]
    files = write_board(shop_of(many), NOW, out=tmp_path / "board.png", paper="a4")
    assert [file.name for file in files] == ["board-1.png", "board-2.png", "board-3.png"]
    with Image.open(files[0]) as image:
        assert image.size == (1654, 2338)


def test_marks_of_two_states_never_look_the_same(tmp_path):
    from kiosk.boardsheet.marks import mark
    from kiosk.figure import Figure, to_png

    drawn = {
        state: np.asarray(to_png(Figure(40, 40, mark(state, 0.35, (4, 4), 32))).convert("L")) < 128
        for state in ("resting", "coat", "hang", "late", "other")
    }
    for one, other in combinations(drawn.values(), 2):
        both = one | other
        assert (one ^ other).sum() / both.sum() > 0.4


def test_a_fuller_clock_has_more_ink():
    from kiosk.boardsheet.marks import mark
    from kiosk.figure import Figure, to_png

    ink = [
        int((np.asarray(to_png(Figure(40, 40, mark("resting", share, (4, 4), 32)))) < 128).sum())
        for share in (0.0, 0.3, 0.6, 1.0)
    ]
    assert ink == sorted(set(ink))


# -- the command ------------------------------------------------------------------------------


def run(tmp_path, *words):
    return CliRunner().invoke(app, ["board", "--shop", str(tmp_path / "shop.db"), *words])


def test_the_command_writes_the_file_and_names_it(tmp_path):
    out = tmp_path / "board.pdf"
    done = run(tmp_path, "--out", str(out), "--json", "--at", "2026-03-11T15:40")
    assert done.exit_code == 0, done.output
    answer = json.loads(done.stdout)
    assert answer["files"] == [str(out)]
    assert answer["at"].startswith("2026-03-11T15:40")
    assert out.read_bytes().startswith(b"%PDF")


def test_the_paper_is_that_of_the_settings_unless_it_is_named(tmp_path):
    (tmp_path / "settings.toml").write_text('paper = "letter"\n', "utf-8")
    run(tmp_path, "--out", str(tmp_path / "one.png"))
    run(tmp_path, "--out", str(tmp_path / "two.png"), "--paper", "a4")
    sizes = []
    for name in ("one", "two"):
        with Image.open(tmp_path / f"{name}.png") as image:
            sizes.append(image.size)
    assert sizes == [(1700, 2200), (1654, 2338)]


@pytest.mark.parametrize(
    "words",
    [
        ("--out", "board.txt"),
        ("--out", "board.pdf", "--paper", "a5"),
        ("--out", "board.pdf", "--what-if", "22C 45%"),
        ("--out", "no/such/folder/board.pdf"),
    ],
)
def test_what_cannot_be_printed_is_refused_in_words(tmp_path, monkeypatch, words):
    monkeypatch.chdir(tmp_path)
    done = run(tmp_path, *words)
    assert done.exit_code == 2
    assert "Traceback" not in done.output
    assert not list(tmp_path.glob("*.pdf"))
