"""The stock at the kiosk: sheets counted, sizes typed, offcuts added and thrown away."""

from dataclasses import replace

import pytest
from paper import Ordering, Press

from kiosk.actions import Wanted
from kiosk.rules.sheets.model import Material


@pytest.fixture
def press():
    return Press()


@pytest.fixture
def stock(drive, shop):
    """A kiosk without a printer, the stock on the screen."""
    kiosk = drive(shop, station="cut")
    kiosk.desk.shopdesk.open()
    kiosk.tap(kiosk.button("Stock"))
    return kiosk


def typed(kiosk, text):
    for sign in text:
        kiosk.tap(kiosk.desk.show.keys["Space" if sign == " " else sign])
    kiosk.tap(kiosk.desk.show.use)


def test_the_stock_says_what_there_is_and_for_whom(stock):
    for words in ("4 sheets", "2440 × 1220 mm, 2 planned", "any number", "812 × 300 mm"):
        assert stock.shows(words)
    assert stock.shows("left of KILN S2, for GLAZE")


def test_an_empty_stock_says_what_layouts_go_by(drive, shop):
    shop.stocked = replace(shop.stocked, sizes=(), offcuts=())
    kiosk = drive(shop)
    kiosk.desk.shopdesk.stock.open(kiosk.desk.open_bench)
    kiosk.settle()
    assert kiosk.shows("Nobody counted sheets yet")


def test_a_count_is_changed_by_taps_and_kept_for_exactly_that_size(stock, shop):
    stock.tap(stock.desk.show.rows[0])
    screen = stock.desk.show
    stock.tap(screen.more[0])
    stock.tap(screen.far[1])
    stock.tap(screen.less[0])
    stock.tap(stock.button("Keep 14"))
    wanted = ("count", "birch ply", "18 mm", "2440 mm", "1220 mm", "14", "5 mm")
    assert shop.sheet_calls == [wanted]
    assert stock.shows("Counted")


def test_a_count_never_falls_below_nothing(stock):
    stock.tap(stock.desk.show.rows[0])
    stock.tap(stock.desk.show.far[0])
    assert stock.button("Keep 0")


def test_many_sheets_are_counted_on_by_taps(stock, shop):
    first = shop.stocked.sizes[0]
    shop.stocked = replace(shop.stocked, sizes=(replace(first, left=1500),))
    stock.desk.shopdesk.stock.again()
    stock.settle()
    stock.tap(stock.desk.show.rows[0])
    stock.tap(stock.desk.show.less[0])
    assert stock.button("Keep 1499")


def test_a_material_without_a_name_is_none_that_could_be_counted(stock, shop):
    first = shop.stocked.sizes[0]
    bare = replace(first, size=replace(first.size, material=Material("", None)))
    shop.stocked = replace(shop.stocked, sizes=(bare, first))
    stock.desk.shopdesk.stock.again()
    stock.settle()
    stock.tap(stock.button("Add sheets"))
    assert stock.shows("birch ply, 18 mm")
    assert not stock.shows("material not named")


def test_a_count_is_typed_and_a_refusal_keeps_what_was_typed(stock, shop):
    shop.stock_refused = "Count: 12.5 is not understood."
    stock.tap(stock.desk.show.rows[0])
    stock.tap(stock.button("Type it"))
    typed(stock, "12.5")
    assert stock.desk.show.typed == "12.5"
    assert stock.shows("Count: 12.5 is not understood. Type less.")


def test_nothing_typed_is_no_count(stock, shop):
    stock.tap(stock.desk.show.rows[0])
    stock.tap(stock.button("Type it"))
    stock.tap(stock.desk.show.use)
    assert stock.shows("Type a whole number.")
    assert shop.sheet_calls == []


def test_as_many_as_it_takes_is_a_count_too(stock, shop):
    stock.tap(stock.desk.show.rows[0])
    stock.tap(stock.button("As many as it takes"))
    assert shop.sheet_calls[0][5] == ""


def test_sheets_of_a_known_material_are_added_by_size_and_count(stock, shop):
    stock.tap(stock.button("Add sheets"))
    stock.tap(stock.button("birch ply, 18 mm"))
    typed(stock, "2500")
    typed(stock, "1250.5")
    typed(stock, "3")
    wanted = ("count", "birch ply", "18 mm", "2500 mm", "1250.5 mm", "3", "")
    assert shop.sheet_calls == [wanted]


def test_another_material_is_named_and_its_thickness_asked(stock, shop):
    stock.tap(stock.button("Add sheets"))
    stock.tap(stock.button("Another material"))
    for letter in "ash":
        stock.win.dispatch("on_textinput", letter)
    stock.key(13)
    stock.settle()
    assert stock.shows("ash: How thick?")
    for text in ("19", "2500", "1250"):
        typed(stock, text)
    stock.tap(stock.button("As many as it takes"))
    assert shop.sheet_calls == [("count", "ash", "19 mm", "2500 mm", "1250 mm", "", "")]


def test_a_length_that_is_none_stays_on_the_pad_and_says_why(stock, shop):
    stock.tap(stock.button("Add an offcut"))
    stock.tap(stock.button("birch ply, 18 mm"))
    typed(stock, "0")
    assert stock.desk.show.typed == "0"
    assert stock.shows("a length starts above 0")
    assert shop.sheet_calls == []


def test_in_a_shop_of_inches_fractions_are_typed(drive, shop):
    shop.settings = replace(shop.settings, units="inch")
    kiosk = drive(shop)
    kiosk.desk.shopdesk.stock.open(kiosk.desk.open_bench)
    kiosk.settle()
    kiosk.tap(kiosk.button("Add an offcut"))
    kiosk.tap(kiosk.button('birch ply, 0.709"'))
    typed(kiosk, "23 3/4")
    for letter in "12 1/2":
        kiosk.win.dispatch("on_textinput", letter)
    assert kiosk.desk.show.typed == "12 1/2"
    kiosk.key(13)
    kiosk.settle()
    assert shop.sheet_calls == [("offcut", "birch ply", "18 mm", "23 3/4 in", "12 1/2 in")]


def test_the_label_of_a_new_offcut_is_made_at_once(drive, shop, press):
    shop.settings = replace(shop.settings, printer="Labels")
    shop.ordering = Ordering(shop)
    kiosk = drive(shop, gear=press.gear)
    kiosk.desk.shopdesk.stock.open(kiosk.desk.open_bench)
    kiosk.settle()
    kiosk.tap(kiosk.button("Add an offcut"))
    kiosk.tap(kiosk.button("birch ply, 18 mm"))
    typed(kiosk, "812")
    typed(kiosk, "300")
    assert shop.ordering.asked == [Wanted("", only=["K7F3Q97"])]
    assert kiosk.shows("Offcut added. ")


def test_an_offcut_goes_for_a_reason(stock, shop):
    stock.tap(stock.desk.show.rows[2])
    stock.tap(stock.button("It is gone"))
    assert stock.shows("The plan of GLAZE cuts it")
    stock.tap(stock.button("spoiled"))
    code = shop.stocked.offcuts[0].offcut.code
    assert shop.sheet_calls == [("throw", code, "spoiled")]
    assert stock.shows("Offcut gone")


@pytest.mark.parametrize("text", ["2440", "603.55", '23 3/4"', '1/64"', '0.709"', '1/3"'])
def test_a_length_said_for_the_stock_is_read_back_as_exactly_itself(text):
    from kiosk.rules.lengths import parse
    from kiosk.screens.stockview import as_typed

    length, _why = parse(text)
    assert parse(as_typed(length))[0] == length
