"""Load cards and hanging on paper: the load large, or why there is none, and nothing cut off."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from math import floor
from zoneinfo import ZoneInfo

import pypdfium2
import pytest
import zxingcpp

from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.figure.cardhead import QUARTER
from kiosk.figure.carditems import MAIN
from kiosk.figure.loadcard import draw_load_cards, lay_out_cards
from kiosk.figure.loadfacts import LoadCard, facts, say_load
from kiosk.figure.output import to_png
from kiosk.figure.paper import SIZES
from kiosk.figure.paperflow import Heading, Para, Row, Titles, flow, height_of, lines_of
from kiosk.figure.shapes import INK, PAPER, Box
from kiosk.figure.sheetnames import wide_of
from kiosk.handover.loads import compose_loads, load_advice
from kiosk.handover.pages import _draw_cells
from kiosk.handover.words import HEADINGS, LOADED
from kiosk.language import use, use_catalogue
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.hangviews import Checked, HangingView
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.tape import on_tape
from kiosk.settingstext import load
from kiosk.store import Job, Store
from labels.codes import parse
from labels.printing import PrintState, Stage, Ticket
from tests.hangwalls import AT, UNITS, a_view, a_wall
from tests.sheetplans import Everything, assert_clean
from tests.strange import Strange

ZONE = ZoneInfo("Europe/Berlin")
CODES = ("K7F3Q97", "KA2B3CH", "KM9X4TP")
KG = re.compile(r"\d+(?:[.,]\d+)? kg")


@pytest.fixture
def strange_words():
    use_catalogue(Strange(Everything()))
    yield
    use("en")


def cards(*, system=System.MM, view=None):
    view = view or a_view(system=system)
    about = {"job": "GLAZE", "job_name": "Glaze store", "shop": "Studio", "at": AT, "zone": ZONE,
             "system": system}  # fmt: skip
    found = [
        LoadCard(
            unit=one.unit,
            name=one.name,
            code=CODES[number % 3],
            hanging=one,
            carries=("R1",) if one.unit == "S2" else (),
            **about,
        )
        for number, one in enumerate(view.units)
        if one.kind != "panel"
    ]
    return [*found, LoadCard(unit="X1", name="Shelf on another wall", code=CODES[0], **about)]


def card(unit, **how):
    return next(one for one in cards(**how) if one.unit == unit)


def pages(found, *, paper="a4", four=False):
    return lay_out_cards(found, size=SIZES[paper], four=four)


def said(*figures):
    return " ".join(one.text for figure in figures for one in figure.words)


# -- the load ------------------------------------------------------------------------------------


def test_a_rated_unit_has_its_net_load_large_and_evenly_spread():
    one = card("S1")
    (page,) = pages([one])
    large = max(page.words, key=lambda word: word.size)
    assert large.text == f"{one.hanging.net_kg} kg"
    assert large.size >= 80
    assert "evenly spread, besides its own weight" in said(page)


@pytest.mark.parametrize("four", [False, True])
@pytest.mark.parametrize("unit", ["B2", "B3"])
def test_not_rated_never_carries_a_number(unit, four):
    one = card(unit)
    found = pages([one], four=four)
    large = max(found[0].words, key=lambda word: word.size)
    assert large.text == "NOT RATED"
    own = dict(facts(one, one.hanging))["its own weight"]
    assert set(KG.findall(said(*found))) == {own}
    for refusal in one.hanging.refusals:
        assert refusal.message in said(*found)
        assert refusal.remedy in said(*found)


def test_a_refusal_goes_before_a_number_that_is_there_all_the_same():
    rated = card("S1")
    refusals = card("B3").hanging.refusals
    for state in (Checked.RATED, Checked.REFUSED, Checked.ALLOWED):
        odd = replace(rated, hanging=replace(rated.hanging, checked=state, refusals=refusals))
        assert not odd.is_rated
        assert not re.search(r"\d", " ".join(say_load(odd)))


def test_what_nobody_checked_says_so_without_a_number():
    (page,) = pages([card("X1")])
    assert max(page.words, key=lambda word: word.size).text == "NOT CHECKED"
    assert "Nobody measured the wall" in said(page)
    assert not KG.findall(said(page))


def test_a_carried_unit_points_to_what_carries_it():
    (page,) = pages([card("R1")])
    assert "What is put on it counts to S2" in said(page)
    assert "Counts here too what is put on: R1" in said(*pages([card("S2")]))
    assert max(page.words, key=lambda word: word.size).text == "NO LOAD OF ITS OWN"


def test_pounds_are_rounded_down_for_a_job_in_inches():
    one = card("S1", system=System.INCH)
    kg = one.hanging.net_kg
    pounds = int(re.search(r"(\d+) lb", say_load(one)[1])[1])
    # NIST SP 811: a pound is 0.45359237 kg
    assert pounds * 0.45359237 <= kg < (pounds + 1) * 0.45359237
    assert "lb" not in " ".join(say_load(card("S1")))


def test_facts_name_gross_the_deciding_check_hook_lock_stop_and_screws():
    one = card("S1")
    text = said(*pages([one]))
    gross = floor(one.hanging.rating.gross_kg * 10) / 10
    assert f"With its own weight: {gross:.1f} kg" in text
    for words in ("Decided by: the screws", "Hook: stays on its cleat without a lock",
                  "Stop below the bevel: 240 mm", "Lock: no lock",
                  "Screws: 4 × No. 10 × 88.9 mm"):  # fmt: skip
        assert words in text
    locked = said(*pages([card("L1")]))
    assert "only with its pull-lock" in locked
    assert "Lock: 4 screws No. 10" in locked
    assert "Stop below the bevel: not measured" in said(*pages([card("B3")]))


def test_what_a_unit_is_meant_for_is_named():
    assert "Meant for: books, school, hospital" in said(*pages([card("S2")]))


def test_each_shelf_has_its_own_most():
    one = card("S2")
    most = floor(one.hanging.rating.shelves[0].net_kg)
    assert f"Shelf 1 of 1: {most} kg at most" in said(*pages([one]))


def test_too_much_expected_is_loud_and_enough_is_not():
    loud = {one.unit: [word.text for word in pages([one])[0].words if word.colour == PAPER]
            for one in (card("S1"), card("S2"))}  # fmt: skip
    assert any("too much" in text for text in loud["S2"])
    assert not loud["S1"]
    assert "17.5 kg are expected" in said(*pages([card("S1")]))


@pytest.mark.parametrize("four", [False, True])
def test_an_override_is_printed_loudly_with_its_reason_and_who(four):
    (page,) = pages([card("B2")], four=four)
    loud = " ".join(word.text for word in page.words if word.colour == PAPER)
    for words in ("OVERRIDE", "Mara has screwed the shelf to the studs by hand", "allowed by Ivo",
                  "Wed 11 Mar 2026, 10:58"):  # fmt: skip
        assert words in loud
    boxes = [one for one in page.shapes if isinstance(one, Box) and one.fill == INK]
    for word in page.words:
        if word.colour == PAPER:
            left, top, right, bottom = word.edges
            assert any(one.left <= left and right <= one.right and one.top <= top + 4
                       and bottom - 4 <= one.bottom for one in boxes), word  # fmt: skip
    assert "OVERRIDE" not in said(*pages([card("B3")]))


# -- cautions and assumptions --------------------------------------------------------------------


@pytest.mark.parametrize("four", [False, True])
@pytest.mark.parametrize("system", list(System))
def test_every_card_has_all_its_cautions_and_assumptions(system, four):
    for one in cards(system=system):
        text = said(*pages([one], four=four))
        found = one.hanging.cautions if one.hanging else ALWAYS
        assert set(ALWAYS) <= set(found)
        for words in found:
            assert words in text, (one.unit, words)
        rests = one.hanging.assumptions if one.hanging else ()
        last = text.rpartition("What this rests on")[2]
        missing = [each for each in rests if f"{each.what}: {each.value}" not in last]
        if four and missing:
            # a small card keeps the main ones, and says how many it lacks
            assert not MAIN & {str(each.what) for each in missing}
            assert f"{len(missing)} more on this unit's card of a whole page" in text
        for each in rests if not four else ():
            assert f"{each.what} {each.value} {each.basis}" in text, (one.unit, each)


def test_a_small_card_keeps_studs_screws_glue_and_gypsum():
    whats = {str(each.what) for each in card("S1").hanging.assumptions}
    assert {"studs", "screws", "cleat on panel", "gap", "shop factor"} <= whats & MAIN


# -- the QR code ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "four"), [("a4", True), ("letter", False)])
def test_the_qr_code_reads_back_to_the_units_code(tmp_path, paper, four):
    found = cards()
    file = tmp_path / "cards.pdf"
    draw_load_cards(found, file, paper=paper, four=four)
    document = pypdfium2.PdfDocument(file)
    try:
        shots = [page.render(scale=200 / 72, grayscale=True).to_pil() for page in document]
    finally:
        document.close()
    read = [one.text for shot in shots for one in zxingcpp.read_barcodes(
        shot, formats=zxingcpp.BarcodeFormat.QRCode)]  # fmt: skip
    assert sorted(read) == sorted(one.code for one in found)


def test_the_modules_are_whole_dots_with_a_quiet_zone_of_four():
    picture = to_png(pages([card("S1")])[0], 2).convert("L")
    dark = picture.crop((1300, 90, 1554, 330)).point(lambda grey: 255 * (grey < 128))
    left, top, right, _bottom = dark.getbbox()
    assert right - left == 21 * 8
    finder = dark.crop((left, top, left + 7 * 8, top + 8))
    assert finder.getextrema() == (255, 255)
    assert dark.crop((left, top + 8, left + 8, top + 56)).getextrema() == (255, 255)


def test_a_unit_without_a_code_has_a_card_without_a_symbol():
    (page,) = pages([replace(card("S1"), code="")])
    assert not zxingcpp.read_barcodes(to_png(page, 2))
    assert_clean(page)


# -- nothing is cut off --------------------------------------------------------------------------


def inside(page, four):
    assert_clean(page)
    if not four:
        return
    wide, tall = page.width / 2, page.height / 2
    for word in page.words:
        left, top, right, bottom = word.edges
        assert (left < wide) == (right < wide), word
        assert (top < tall) == (bottom < tall), word
    middles = [abs(word.edges[2] - wide) for word in page.words]
    assert min(middles) > 8


@pytest.mark.parametrize(("paper", "system"), [("a4", System.MM), ("letter", System.INCH)])
@pytest.mark.parametrize("four", [False, True])
def test_no_words_touch_others_or_leave_their_card(paper, system, four):
    for page in pages(cards(system=system), paper=paper, four=four):
        quarters = sum("NOT" in word.text or " kg" in word.text for word in page.words
                       if word.size >= QUARTER.load - 20 and word.size <= QUARTER.load)  # fmt: skip
        inside(page, four=four and quarters > 0)


@pytest.mark.usefixtures("strange_words")
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("four", [False, True])
def test_longer_words_fit_too(paper, four):
    found = cards()
    laid = pages(found, paper=paper, four=four)
    for page in laid:
        assert_clean(page)
    assert all(one.name in said(*laid) for one in found)


def test_a_card_too_long_for_a_quarter_gets_a_page_of_its_own():
    one = card("B3")
    many = one.hanging.refusals * 30
    long = replace(one, hanging=replace(one.hanging, refusals=many))
    found = pages([card("S1"), long], four=True)
    assert len(found) >= 2
    assert said(*found[1:]).count(many[0].message) == 30
    assert "Tool box" not in said(found[0])


def test_what_a_page_cannot_hold_goes_on_overleaf():
    one = card("B3")
    many = one.hanging.refusals * 60
    found = pages([replace(one, hanging=replace(one.hanging, refusals=many))])
    assert len(found) > 1
    assert said(*found).count(many[0].message) == 60
    assert "B3 Tool box (continued)" in said(found[1])
    for page in found:
        assert_clean(page)


def test_a_very_long_name_is_broken_and_not_cut():
    name = "Shelf for the tall white jars with lids beside the window of the glaze store"
    for four in (False, True):
        (page,) = pages([replace(card("S1"), name=name)], four=four)
        assert name in said(page)
        assert_clean(page)


# -- setting words on pages ----------------------------------------------------------------------


def test_lines_are_never_wider_than_their_room_even_for_one_long_word():
    for text in ("a plain text of several words", "W" * 200, "x", "Kiln-shelf-" * 30):
        lines = lines_of(text, 90, 12)
        assert all(wide_of(line, 12) <= 90 for line in lines)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_heading_never_stands_alone_and_a_tables_head_comes_again():
    titles = Titles(("a", "b"), (0.5, 0.5))
    room = Box(0, 0, 300, 120)
    tall = height_of(Para("x"), 300)
    before = [Para("x")] * floor(85 / tall)
    items = [*before, Heading("Table"), titles, *(Row(titles, (str(n), "y")) for n in range(9))]
    found = flow(items, room, room)
    first = [shape.text for shape in found[0] if hasattr(shape, "text")]
    assert "Table" not in first
    words = [[shape.text for shape in page if hasattr(shape, "text")] for page in found[1:]]
    assert len(words) > 1
    assert words[0][0] == "Table"
    assert all({"a", "b"} <= set(page) for page in words)
    assert [text for page in words for text in page if text.isdigit()] == [*map(str, range(9))]


# -- the shop ------------------------------------------------------------------------------------

LIST = """Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Wall;Hangs on
W1;North wall;wall;Wall;1;2400;2300;;;
P1;Panel 1;panel;Panel;1;2280;1214.7;18;W1;
P2;Panel 2;panel;Panel;1;2280;1176.3;18;W1;
S1;Upper shelf;shelf;Board;1;900;300;18;W1;P1
R1;Rail for aprons;rail;Rod;1;500;40;20;W1;S1
B3;Tool box;box;Side;2;300;300;18;W1;P2
"""


class Office:
    """A printer that takes everything and keeps what it was given."""

    def __init__(self):
        self.sheets = []

    def submit(self, sheet, *, key):
        self.sheets.append(sheet)
        return Ticket(key, len(self.sheets), "Office")

    def state(self, ticket):
        return PrintState(Stage.WAITING, "It waits.")


@pytest.fixture
def shop(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    settings = load('zone = "UTC"\nshop = "Studio"\npaper_printer = "Office"\n')[0]
    opened = Shop(store, settings, FixedClock(datetime(2026, 3, 9, 7, 30, tzinfo=UTC)))
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    taken = opened.take_in(tmp_path / "list.csv", Job("GLAZE", name="Glaze store"))
    assert taken.problems == ()
    yield opened
    opened.stop_improving()
    store.close()


@pytest.fixture
def hung(shop):
    assert shop.measure_wall("GLAZE", a_wall()) == ()
    for unit in ("S1", "B3"):
        assert shop.fit_unit("GLAZE", unit, UNITS[unit][2]) == ()
    return shop


def text_of(file):
    document = pypdfium2.PdfDocument(file)
    try:
        return len(document)
    finally:
        document.close()


def test_a_shop_writes_a_card_for_each_unit_with_a_code_that_stays(hung, tmp_path):
    done = hung.write_cards("GLAZE", tmp_path / "cards.pdf")
    assert done.problems == ()
    assert sorted(done.named) == ["B3", "R1", "S1"]
    assert text_of(tmp_path / "cards.pdf") >= 2
    codes = {unit: hung.store.state("GLAZE", unit).codes for unit in ("S1", "B3")}
    assert all(len(code) == 1 for code in codes.values())
    hung.write_cards("GLAZE", tmp_path / "cards.pdf", four=True)
    assert {unit: hung.store.state("GLAZE", unit).codes for unit in codes} == codes


def test_a_card_names_whose_loads_count_to_it(hung):
    # in front of the shelf, where it is taken to be if nobody says, it would turn the shelf off
    assert hung.fit_unit("GLAZE", "R1", Fitting(load_out=from_mm(100))) == ()
    made = hung._cards("GLAZE", hung.hanging("GLAZE"), ["S1", "R1"], "")
    assert [one.carries for one in made] == [("R1",), ()]
    assert "counts to S1" in say_load(made[1])[1]


def test_cards_of_some_units_only_and_as_pictures(hung, tmp_path):
    done = hung.write_cards("GLAZE", tmp_path / "one.png", units=["S1"])
    assert done.files == (tmp_path / "one.png",)
    assert done.sheets is None
    (code,) = hung.store.state("GLAZE", "S1").codes
    assert [one.text for one in zxingcpp.read_barcodes(to_grey(done.files[0]))] == [code]
    assert parse(code).code == code


def to_grey(file):
    from PIL import Image

    with Image.open(file) as picture:
        return picture.convert("L")


def test_cards_of_a_job_whose_wall_nobody_measured_say_not_checked(shop, tmp_path):
    view = shop.hanging("GLAZE")
    assert view.walls == ()
    done = shop.write_cards("GLAZE", tmp_path / "cards.pdf", four=True)
    assert sorted(done.named) == ["B3", "R1", "S1"]
    made = shop._cards("GLAZE", view, ["S1"], "")
    assert say_load(made[0])[0] == "NOT CHECKED"


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"job": "NONE"}, "There is no job NONE."),
        ({"units": ["S9"]}, "GLAZE has no unit S9 that hangs."),
        ({"out": "cards.doc"}, "This cannot be written as cards.doc."),
    ],
)
def test_what_cannot_be_written_is_said_with_a_way_out(hung, tmp_path, how, words):
    how = {"job": "GLAZE"} | how
    out = tmp_path / how.pop("out", "cards.pdf")
    done = hung.write_cards(how.pop("job"), out, **how)
    assert [str(one.message) for one in done.problems] == [words]
    assert all(one.remedy for one in done.problems)
    assert not out.exists()


def test_a_walls_drawing_is_written_and_both_go_to_the_paper_printer(hung, tmp_path):
    office = Office()
    for done in (hung.write_wall("GLAZE"), hung.write_cards("GLAZE")):
        assert done.problems == ()
        assert done.files[0].parent == hung.store.folder
        sheets = replace(done.sheets, printer=replace(done.sheets.printer,
                                                      reach=lambda _name: office))  # fmt: skip
        sent = sheets.send()
        assert sent.is_sent
        assert sent.file == done.files[0]
    assert [sheet.data[:4] for sheet in office.sheets] == [b"%PDF"] * 2


def test_a_wall_nobody_measured_cannot_be_drawn(shop, tmp_path):
    done = shop.write_wall("GLAZE", "W1", tmp_path / "wall.pdf")
    assert [str(one.message) for one in done.problems] == ["Nobody measured a wall of GLAZE."]
    assert shop.measure_wall("GLAZE", a_wall()) == ()
    done = shop.write_wall("GLAZE", "W7", tmp_path / "wall.pdf")
    assert [str(one.remedy) for one in done.problems] == ["Measured are W1."]
    assert not (tmp_path / "wall.pdf").exists()


# -- the handover sheet --------------------------------------------------------------------------


def test_the_handover_says_loads_of_rated_units_only():
    view = a_view()
    loads = compose_loads(view)
    for one in view.units:
        figures = KG.findall(" ".join(loads[one.unit]))
        if one.checked is Checked.RATED:
            assert figures == [f"{one.net_kg} kg"]
        else:
            assert not figures
    assert loads["B3"] == ("NOT RATED", "load nothing")
    assert loads["B2"] == ("NOT RATED", "load nothing")
    assert loads["S2"][1] == "less than expected"
    assert loads["R1"] == ("", "counts to S2")
    assert loads["X1"] == ("not checked", "wall not measured")


def test_the_handovers_table_cuts_no_date_and_no_load(tmp_path):
    pen = Pen()
    row = ("Glaze store shelf", ""), *[("Wed 30 Sep 2027, 15:00", "estimate")] * 3
    for loads in compose_loads(a_view()).values():
        _draw_cells(pen, (*row, loads), 0, 1654)
    _draw_cells(pen, tuple((name, "") for name in (*HEADINGS, LOADED)), 0, 1654, grey=True)
    assert not [text for text in pen.texts if "…" in text]
    assert {"NOT RATED", "load nothing", "less than expected", "may carry"} <= set(pen.texts)
    ends = [x + width for x, width in pen.ends]
    assert max(ends) <= 1654 - 140


class Pen:
    """What takes words as Pillow's pen does, and keeps where they end."""

    def __init__(self):
        self.texts, self.ends = [], []

    def text(self, at, text, *, font, **_how):
        self.texts.append(text)
        self.ends.append((at[0], font.getlength(text)))

    def line(self, *_how, **_more):
        pass


def test_the_handover_gives_refusals_overrides_and_all_cautions():
    view = a_view()
    text = " ".join(load_advice(view))
    for one in view.units:
        assert all(refusal.message in text for refusal in one.refusals)
        assert all(words in text for words in one.cautions)
    assert "B2 was let go ahead against the check by Mara" in text
    assert "Nobody measured the wall of X1" in text


def test_the_handover_of_an_inch_job_says_pounds_too():
    view = a_view(system=System.INCH)
    loads = compose_loads(view, System.INCH)
    rated = [one for one in view.units if one.checked is Checked.RATED]
    for one in rated:
        assert loads[one.unit][0] == f"{one.net_kg} kg ({int(one.net_kg / 0.45359237)} lb)"
    (short,) = [one for one in rated if one.fits is False]
    (told,) = [words for words in load_advice(view, System.INCH) if "too much" in words]
    assert told.startswith(f"{short.unit}: It may carry {loads[short.unit][0]} only; ")


def test_where_nothing_was_measured_the_handover_says_only_that():
    view = HangingView(job="GLAZE", unmeasured=("S1", "S2"))
    (words,) = load_advice(view)
    assert words.startswith("Nobody measured the wall of S1, S2")
    assert compose_loads(view)["S1"] == ("not checked", "wall not measured")


def test_loads_on_cards_of_an_inch_job_are_in_pounds_too():
    one = card("S1", system=System.INCH)
    words = said(*pages([one]))
    assert "It may carry 19 kg (41 lb); 17.5 kg (38 lb) are expected." in words  # 41.9; 38.6 lb
    assert "Its own weight: 9.0 kg (20 lb)" in words  # 19.8 lb


def test_lengths_on_cards_are_in_the_jobs_units():
    one = card("S1", system=System.INCH)
    assert on_tape(one.hanging.fitting.drop, System.INCH) in said(*pages([one]))
