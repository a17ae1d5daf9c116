"""The list of people at the kiosk: put on, taken off, badges printed, signed out by name."""

from datetime import UTC, date, datetime, time

import pytest
from fake_shop import FakeShop

from kiosk import language
from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.people import people_of
from kiosk.rules.workday import Away, Hours
from kiosk.screens.hoursdesk import say_usual
from kiosk.settingstext import load
from kiosk.store import Store

AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
SETTINGS = load('zone = "UTC"\n')[0]


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shop.db"
    Store.open(path, "K").close()
    return path


@pytest.fixture
def kiosk(file, drive):
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(AT)), person="")
    open_list(kiosk)
    return kiosk


def open_list(kiosk):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("People"))
    kiosk.tap(kiosk.button("The list of people"))


def staff_in(file):
    store = Store.open(file, "K")
    found = people_of(store.shop_entries(Kind.PERSON_SET))
    store.close()
    return found


def add(kiosk, name):
    kiosk.tap(kiosk.button("Add somebody"))
    kiosk.scan(name)  # a keyboard types as a scanner does


def test_somebody_is_added_by_taps_and_initials_keep_their_capitals(kiosk, file):
    kiosk.tap(kiosk.button("Add somebody"))
    pad = kiosk.desk.show
    kiosk.tap(pad.keys["J"])
    kiosk.tap(pad.turn)
    kiosk.tap(pad.keys["B"])
    kiosk.tap(kiosk.button("Add"))
    (one,) = staff_in(file)
    assert one.name == "JB"
    assert kiosk.shows("JB is on the list")


def test_who_is_taken_off_is_put_back_with_the_same_badge(kiosk, file):
    add(kiosk, "Noor")
    (before,) = staff_in(file)
    kiosk.tap(kiosk.button("Take off again"))
    assert staff_in(file)[0].away
    kiosk.tap(kiosk.button("The list of people"))
    assert kiosk.shows("off the list")
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Put back on the list"))
    assert staff_in(file) == (before,)


def test_whoever_is_taken_off_while_signed_in_is_signed_out(kiosk):
    add(kiosk, "Noor")
    kiosk.desk.inputs.sign_in("Noor")
    kiosk.settle()
    assert kiosk.desk.post.person == "Noor"
    open_list(kiosk)
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Take off the list"))
    assert kiosk.desk.post.person == ""


def test_a_name_too_long_for_a_badge_and_a_double_are_refused_with_the_way_out(kiosk, file):
    add(kiosk, "Noor from the other workshop")
    assert kiosk.shows("is too long for a badge. Use up to 24 letters.")
    assert kiosk.desk.show.typed == "Noor from the other workshop"
    kiosk.tap(kiosk.button("Back"))
    add(kiosk, "Noor")
    kiosk.tap(kiosk.button("The list of people"))
    add(kiosk, "noor")
    assert kiosk.shows("Noor is on the list already.")
    assert kiosk.shows("need a letter more each")
    assert [one.name for one in staff_in(file)] == ["Noor"]


def test_a_badge_printed_again_is_a_page_with_the_same_code(kiosk, file):
    import pypdfium2
    import zxingcpp

    add(kiosk, "Noor")
    (one,) = staff_in(file)
    kiosk.tap(kiosk.button("Print the badge"))
    (page,) = file.with_name("labels").glob("badges-*.pdf")
    picture = pypdfium2.PdfDocument(page)[0].render(scale=6).to_pil()
    read = {found.text for found in zxingcpp.read_barcodes(picture)}
    assert one.code in read
    assert kiosk.shows(page.name)


def test_a_typed_name_that_is_on_no_list_is_told_of_no_badge_and_signs_out_in_people(drive):
    shop = FakeShop()
    kiosk = drive(shop, person="")
    kiosk.desk.inputs.people.open()
    kiosk.settle()
    assert not any("Sign out" in text for text in kiosk.texts())
    kiosk.tap(kiosk.button("Type a name"))
    kiosk.scan("JB")
    assert kiosk.shows("JB works here")
    assert not kiosk.shows("The badge again")
    kiosk.desk.inputs.people.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Sign out JB"))
    assert kiosk.shows("JB is signed out")
    assert kiosk.desk.post.person == ""


def test_who_is_on_the_list_is_told_of_the_badge(drive):
    kiosk = drive(FakeShop(), person="")
    kiosk.desk.inputs.sign_in("Ivo")
    kiosk.settle()
    assert kiosk.shows("The badge again signs out.")


def test_the_pad_has_umlauts_in_german_and_none_in_english(drive):
    kiosk = drive(FakeShop(), person="")
    staff = kiosk.desk.inputs.staff
    staff.ask_name()
    assert "Ä" not in kiosk.desk.show.keys
    language.use("de")
    try:
        staff.ask_name()
        pad = kiosk.desk.show
        for letter in "Jö":
            pad.keys[letter].dispatch("on_release")
        for letter in "rgß7":
            for _turn in pad.sheets:
                if letter in pad.keys:
                    break
                pad.turn.dispatch("on_release")
            pad.keys[letter].dispatch("on_release")
    finally:
        language.use("en")
    assert pad.typed == "Jörgß7"


def test_a_code_has_one_sheet_of_capitals_in_every_language(drive):
    from kiosk.screens.wordpad import AskWords, WordPad

    kiosk = drive(FakeShop())
    language.use("de")
    try:
        pad = WordPad(kiosk.desk.trim, AskWords("?", is_code=True), use=print, back=lambda: None)
    finally:
        language.use("en")
    pad.type_letters("wall 1-ä")
    assert pad.typed == "WALL1-"
    assert set("-Z0") <= set(pad.keys)


def hours_in(file):
    store = Store.open(file, "K")
    found = Shop(store, SETTINGS, FixedClock(AT)).hours()
    store.close()
    return list(found.values())


def test_somebodys_hours_are_shown_and_changed_and_are_the_shops_again(kiosk, file):
    add(kiosk, "Noor")
    kiosk.tap(kiosk.button("The list of people"))
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Hours"))
    assert kiosk.shows("Hours of Noor")
    assert kiosk.shows("as in the shop")
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.scan("8 in the morning")
    assert kiosk.shows("Write a time such as 07:30.")
    assert hours_in(file) == []
    for _letter in "8 in the morning":
        kiosk.tap(kiosk.desk.show.delete)
    kiosk.scan("09:15")
    assert hours_in(file) == [{"opens": "09:15"}]
    assert kiosk.shows("of their own")
    kiosk.tap(kiosk.desk.show.rows[0])
    for _letter in "09:15":
        kiosk.tap(kiosk.desk.show.delete)
    kiosk.tap(kiosk.button("Use it"))
    assert not kiosk.shows("of their own")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.button("Take off the list")


@pytest.mark.parametrize(
    ("away", "said"), [(0, "never"), (1, "1 closed time"), (2, "2 closed times")]
)
def test_when_the_shop_is_closed_is_counted(away, said):
    day = date(2026, 5, 1)
    closed = (Away(day, day),) * away
    usual = Hours(time(8), time(17), time(12), 45, (0, 1, 2, 3, 4), away=closed)
    assert say_usual(usual, "away") == said
