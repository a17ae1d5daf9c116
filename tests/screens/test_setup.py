"""The shop itself at the kiosk: settings kept in their file, places, routes, copies, the check."""

import gettext
from dataclasses import replace
from datetime import UTC, datetime
from threading import Event

import pytest
from fake_setup import REFUSED
from fake_shop import FakeShop

from kiosk import language
from kiosk.actions import Shop
from kiosk.actions.copynotes import Night
from kiosk.actions.copywords import Told
from kiosk.app import late_shop
from kiosk.check import Check
from kiosk.clock import FixedClock
from kiosk.config import SETTINGS
from kiosk.helper import HelperGone
from kiosk.rules.words import _, capital
from kiosk.screens.nightwatch import NightWatch
from kiosk.screens.settingsask import AskActs
from kiosk.screens.settingswords import value_words
from kiosk.settingsfile import read_settings
from kiosk.settingstext import load
from kiosk.store import Store

AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shop.db"
    Store.open(path, "K").close()
    path.with_name("settings.toml").write_text('# ours\nzone = "UTC"\n', "utf-8")
    return path


@pytest.fixture
def at_shop(file, drive):
    """A kiosk on a real shop's file, with the screen about the shop itself."""
    settings, _wrong = read_settings(file.with_name("settings.toml"))
    kiosk = drive(late_shop(file, settings, FixedClock(AT)), person=settings.person)
    open_upkeep(kiosk)
    return kiosk


def open_upkeep(kiosk):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("The shop itself"))


def open_setting(kiosk, title):
    kiosk.tap(kiosk.button("Settings"))
    for _turn in range(9):
        found = [row for row in kiosk.desk.show.rows if row.label.text == title]
        if found:
            kiosk.tap(found[0])
            return
        kiosk.tap(kiosk.button("More"))
    raise AssertionError(title)


def type_letters(kiosk, text):
    pad = kiosk.desk.show
    for letter in text:
        if letter == " ":
            pad.space.dispatch("on_release")
            continue
        for _turn in pad.sheets:
            if letter in pad.keys:
                break
            pad.turn.dispatch("on_release")
        pad.keys[letter].dispatch("on_release")
    kiosk.tap(pad.use)


def kept(file):
    return read_settings(file.with_name("settings.toml"))[0]


def test_every_setting_stands_in_the_list_with_its_words_and_sentence(at_shop):
    at_shop.tap(at_shop.button("Settings"))
    seen = []
    for _turn in range(-(-len(SETTINGS) // 8)):  # as many pages as rows of 4 × 2 fill
        seen += at_shop.texts()
        at_shop.tap(at_shop.button("More"))

    for setting in SETTINGS:
        assert setting.words in seen, setting.name
        assert setting.sentence in seen, setting.name


def test_a_setting_of_each_kind_can_be_tapped_and_asks_in_a_way_of_its_own(at_shop):
    kinds = {}
    asked = {"sound", "station", "glue", "viewing_distance_m", "shop", "zone", "closes_at"}
    each = {type(one.check): one.name for one in SETTINGS}
    for setting in SETTINGS:
        if setting.name not in asked | set(each.values()):
            continue  # one like it is tapped; that each stands in the list is tested above
        at_shop.desk.shopdesk.upkeep.open()
        at_shop.settle()
        open_setting(at_shop, setting.words)
        kinds[setting.name] = type(at_shop.desk.show).__name__

    assert kinds["sound"] == kinds["station"] == kinds["glue"] == "AskScreen"
    assert kinds["viewing_distance_m"] == "FigurePad"
    assert kinds["shop"] == kinds["zone"] == "WordPad"
    assert kinds["closes_at"] == "StepsScreen"
    assert kinds["places"] == "ListScreen"


def test_a_choice_is_kept_with_comments_and_counts_at_once(at_shop, file):
    open_setting(at_shop, "Temperatures")
    at_shop.tap(at_shop.button("°F"))

    assert at_shop.shows("It counts from now on.")
    assert kept(file).temperature == "F"
    assert at_shop.app.shop.fahrenheit
    assert file.with_name("settings.toml").read_text("utf-8").startswith('# ours\nzone = "UTC"\n')


def test_the_value_before_is_offered_and_comes_back(at_shop, file):
    open_setting(at_shop, "Lengths")
    at_shop.tap(at_shop.button("Inches"))
    assert kept(file).units == "inch"

    at_shop.tap(at_shop.button("Back to Millimetres"))

    assert kept(file).units == "mm"


def test_a_setting_that_needs_a_new_start_says_so_and_does_not_count_yet(at_shop, file):
    open_setting(at_shop, "Kiosk's letter")
    at_shop.desk.show.delete.dispatch("on_release")
    type_letters(at_shop, "M")

    assert at_shop.shows("It counts from the next start")
    assert kept(file).kiosk_letter == "M"
    assert at_shop.app.shop.settings.kiosk_letter == "K"


def test_a_kiosk_that_may_restart_offers_it_and_ends_for_it(at_shop):
    ended = []
    at_shop.app.stop = lambda: ended.append(at_shop.app.wants_restart)
    open_setting(at_shop, "Kiosk's letter")
    at_shop.desk.restart = at_shop.app.restart
    at_shop.desk.show.delete.dispatch("on_release")
    type_letters(at_shop, "M")
    assert at_shop.shows("A restart takes a few seconds")
    at_shop.tap(at_shop.button("Restart the kiosk now"))
    assert ended == [True]


def test_a_figure_out_of_range_is_refused_in_words_and_stays_typed(at_shop, file):
    open_setting(at_shop, "Read twice")
    pad = at_shop.desk.show
    for key in "9999":
        pad.keys[key].dispatch("on_release")
    at_shop.tap(pad.use)

    assert at_shop.shows("9999 is not between 0 and 3600.")
    assert at_shop.desk.show.typed == "9999"
    assert kept(file).repeat_seconds == 60

    at_shop.desk.show.keys["Delete"].dispatch("on_release")
    at_shop.tap(at_shop.desk.show.use)
    assert kept(file).repeat_seconds == 999


def test_letters_capitals_signs_and_spaces_can_be_typed(at_shop, file):
    open_setting(at_shop, "Shop's name")
    type_letters(at_shop, "Glaze & Kiln, no. 4")

    assert kept(file).shop == "Glaze & Kiln, no. 4"


def test_a_time_of_day_goes_by_quarters(at_shop, file):
    open_setting(at_shop, "Closing time")
    at_shop.tap(at_shop.desk.show.more[0])
    at_shop.tap(at_shop.desk.show.less[1])
    at_shop.tap(at_shop.button("Use 17:45"))

    assert kept(file).closes_at == "17:45"


def test_a_broken_file_is_said_and_never_written_over(at_shop, file):
    broken = 'shop = "half\n'
    file.with_name("settings.toml").write_text(broken, "utf-8")

    open_setting(at_shop, "Sound")
    at_shop.tap(at_shop.button("No"))

    assert at_shop.shows("Nothing was changed")
    assert at_shop.shows("Mend the line it names")
    assert file.with_name("settings.toml").read_text("utf-8") == broken


def test_a_broken_file_is_said_above_the_list(at_shop, file):
    file.with_name("settings.toml").write_text("= 5\n", "utf-8")

    at_shop.tap(at_shop.button("Settings"))

    assert at_shop.shows("settings.toml is not readable")


class Upper(gettext.NullTranslations):
    """Says everything in capitals, as another language would in its own words."""

    def gettext(self, message: str) -> str:
        parts = message.split("{")
        said = [parts[0].upper()]
        for part in parts[1:]:
            name, _brace, rest = part.partition("}")
            said.append(f"{name}}}{rest.upper()}")
        return "{".join(said)

    def ngettext(self, one: str, many: str, n: int) -> str:
        return self.gettext(one if n == 1 else many)


@pytest.fixture
def other_tongue(monkeypatch):
    def use(name):
        found = Upper() if name == "de" else gettext.NullTranslations()
        language.use_catalogue(found)

    monkeypatch.setattr(language, "use", use)
    yield
    language.use_catalogue(gettext.NullTranslations())


def test_another_language_redraws_the_screens_at_once(at_shop, file, other_tongue):
    open_setting(at_shop, "Language")
    at_shop.tap(at_shop.button("Deutsch"))

    assert kept(file).language == "de"
    assert at_shop.shows("LANGUAGE: Deutsch")
    at_shop.tap(at_shop.button("BACK TO English"))
    assert at_shop.shows("Language: English")


def test_the_buttons_change_sides_at_once(at_shop):
    before = at_shop.desk.bench
    open_setting(at_shop, "Left-handed")
    at_shop.tap(at_shop.button("Yes"))

    assert at_shop.desk.trim.left_handed
    assert at_shop.desk.bench is not before


def test_who_works_here_and_the_station_count_at_once(at_shop):
    open_setting(at_shop, "Who works here")
    type_letters(at_shop, "Ivo")
    at_shop.tap(at_shop.button("More settings"))
    at_shop.desk.shopdesk.upkeep.open()
    at_shop.settle()
    open_setting(at_shop, "Station")
    at_shop.tap(at_shop.button("Install"))
    at_shop.tap(at_shop.button("To the bench"))

    assert at_shop.desk.post.person == "Ivo"
    assert at_shop.desk.post.station == "install"
    assert at_shop.shows("INSTALL")


def test_a_scan_amid_the_settings_is_recorded_and_shown(drive, shop):
    kiosk = drive(shop)
    open_upkeep(kiosk)
    open_setting(kiosk, "Shop's name")
    kiosk.scan("K7F3Q97")

    assert shop.scans == ["K7F3Q97"]
    assert kiosk.desk.show is kiosk.desk.bench


def test_a_zone_is_found_whatever_its_capitals(window):
    from kiosk.screens.settingsask import read_zone

    assert read_zone("europe/dublin") == "Europe/Dublin"
    assert read_zone("america/new york") == "America/New_York"
    assert read_zone("") == "local"
    assert read_zone("Mars/Base") == "Mars/Base"


def test_whole_and_broken_figures_are_read(window):
    from kiosk.screens.settingsask import read_number

    assert read_number("203", is_whole=True) == 203
    assert isinstance(read_number("203", is_whole=True), int)
    assert read_number("2.5", is_whole=False) == 2.5
    assert read_number("2.5", is_whole=True) == 2.5
    assert read_number("-", is_whole=False) is None


def test_settings_are_said_as_the_shop_calls_them_and_no_key_is_shown(at_shop):
    kiosk, texts = at_shop, set()
    kiosk.tap(kiosk.button("Settings"))
    for _turn in range(9):
        texts.update(str(text) for text in kiosk.texts())
        kiosk.tap(kiosk.button("More"))
    shop, (defaults, _wrong) = kiosk.app.shop, load("")
    titles = {one.key: one.title for one in shop.products()}
    for key in (defaults.glue, defaults.filler, defaults.wall_paint, defaults.stripe):
        assert titles[key] in texts
        assert key not in texts
    assert defaults.label_stock not in texts
    assert "the same as the bench" in texts


def test_what_was_kept_is_said_by_its_title(at_shop, file):
    key = load("")[0].glue
    glue = next(one for one in at_shop.app.shop.products() if one.role == "glue" and one.key != key)
    open_setting(at_shop, "Glue")
    at_shop.tap(at_shop.button(glue.title))
    assert read_settings(file.with_name("settings.toml"))[0].glue == glue.key
    assert at_shop.shows(f"Glue: {glue.title}")


def test_a_password_is_never_shown():
    secret = next(one for one in SETTINGS if one.name == "mqtt_password")

    assert value_words(secret, "hush") == "set"
    assert value_words(secret, "") == "none"


# -- places ------------------------------------------------------------------------------------


def open_place(kiosk, name):
    kiosk.tap(kiosk.button("Places"))
    kiosk.tap(kiosk.button(name))


def names_and_slots(file):
    return [(place.name, place.slots) for place in kept(file).places]


def test_slots_are_kept_tap_by_tap_and_stand_on_the_board(at_shop, file):
    open_place(at_shop, "Rack")
    for _tap in range(2):
        at_shop.tap(at_shop.desk.show.more[0])
    at_shop.settle()

    assert ("Rack", 8) in names_and_slots(file)
    assert [len(one.slots) for one in at_shop.desk.floor.places if one.name == "Rack"] == [8]


def test_two_taps_before_the_first_is_kept_both_count(at_shop, file):
    open_place(at_shop, "Rack")
    for _tap in range(2):
        at_shop.desk.show.more[0].dispatch("on_release")
    at_shop.settle()

    assert ("Rack", 8) in names_and_slots(file)
    assert at_shop.shows("8")


def test_slots_never_fall_below_one(at_shop, file):
    open_place(at_shop, "Clamp bench")
    for _tap in range(6):
        at_shop.tap(at_shop.desk.show.less[0])

    assert ("Clamp bench", 1) in names_and_slots(file)


def test_a_place_is_added_with_its_role_renamed_and_moved(at_shop, file):
    at_shop.tap(at_shop.button("Places"))
    at_shop.tap(at_shop.button("Add a place"))
    type_letters(at_shop, "Loft")
    at_shop.tap(at_shop.button("ready to hang"))
    at_shop.tap(at_shop.button("Further up"))

    assert [name for name, _slots in names_and_slots(file)] == [
        "Clamp bench",
        "Rack",
        "Loft",
        "By the door",
    ]
    assert kept(file).places[2].role == "ready"
    at_shop.tap(at_shop.button("Rename"))
    type_letters(at_shop, "2")
    assert ("Loft2", 4) in names_and_slots(file)


def test_a_name_twice_or_none_is_refused_in_words(at_shop, file):
    at_shop.tap(at_shop.button("Places"))
    at_shop.tap(at_shop.button("Add a place"))
    type_letters(at_shop, "Rack")
    assert at_shop.shows("There is a place Rack already.")
    for _letter in "Rack":
        at_shop.desk.show.delete.dispatch("on_release")
    at_shop.tap(at_shop.desk.show.use)
    assert at_shop.shows("A place needs a name.")
    assert len(kept(file).places) == 3


def test_an_empty_place_goes_at_once_and_can_be_put_back(at_shop, file):
    open_place(at_shop, "Rack")
    at_shop.tap(at_shop.button("Take away"))
    assert [name for name, _slots in names_and_slots(file)] == ["Clamp bench", "By the door"]

    at_shop.tap(at_shop.button("Put it back"))

    assert [name for name, _slots in names_and_slots(file)] == [
        "Clamp bench",
        "Rack",
        "By the door",
    ]


def test_a_place_where_units_rest_is_asked_about_first(drive, shop):
    kiosk = drive(shop)
    open_upkeep(kiosk)
    open_place(kiosk, "Rack")
    kiosk.tap(kiosk.button("Take away"))

    assert kiosk.shows("5 units rest at Rack. Take the place away?")
    assert kiosk.shows("G08, G05")
    assert "places" not in shop.kept
    kiosk.tap(kiosk.button("Take it away"))
    assert [place.name for place in shop.kept["places"]] == ["Clamp bench", "By the door"]


def test_places_that_cannot_be_kept_are_said(drive, shop):
    kiosk = drive(shop)
    open_upkeep(kiosk)
    open_place(kiosk, "Rack")
    shop.refusing = REFUSED
    kiosk.tap(kiosk.desk.show.more[0])

    assert kiosk.shows("Nothing was changed")
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("6 slots")


# -- routes, copies, about ---------------------------------------------------------------------


def test_a_route_shows_steps_stations_rests_and_products(at_shop):
    at_shop.tap(at_shop.button("Routes"))
    assert at_shop.shows("Tap one to see its steps")
    at_shop.tap(at_shop.button("Shelf"))

    for words in ("3. glue up", "Assemble", "waits: glue up out of clamps", "uses PVA glue"):
        assert at_shop.shows(words), words


def test_a_copy_is_made_checked_and_known_as_the_last(at_shop, file):
    at_shop.tap(at_shop.button("Copies"))
    assert at_shop.shows("No copy was made yet.")
    at_shop.tap(at_shop.button("Copy beside the shop's file"))

    assert at_shop.shows("Copied and checked")
    copy = file.parent / "copies" / "shop-2026-03-11-1540.db"
    store = Store.open(copy, "K")
    store.close()
    at_shop.tap(at_shop.button("More copies"))
    assert at_shop.shows("The last copy: 15:40")
    at_shop.tap(at_shop.button("Copies in reach"))
    assert at_shop.shows("shop-2026-03-11-1540.db")
    assert at_shop.shows("cleatclock restore COPY")


def test_a_folder_that_cannot_be_used_is_said_and_scans_go_on(at_shop, file):
    (file.parent / "taken").write_text("a file, no folder", "utf-8")
    at_shop.desk.shopdesk.upkeep.copies.make(file.parent / "taken")
    at_shop.settle()

    assert at_shop.shows("No copy was made")
    at_shop.scan("K7F3Q97")
    assert at_shop.desk.show is at_shop.desk.bench


def test_half_a_folder_is_asked_for_again(at_shop):
    at_shop.tap(at_shop.button("Copies"))
    at_shop.tap(at_shop.button("Copy to another folder"))
    at_shop.desk.show.delete.dispatch("on_release")
    type_letters(at_shop, "Stick")

    assert at_shop.shows("Write the whole folder")
    assert at_shop.desk.show.typed == "Stick"


def test_about_names_version_file_and_licence(at_shop, file):
    at_shop.tap(at_shop.button("About and check"))

    for words in ("Cleatclock", "Apache-2.0", str(file), "Kivy", "SQLite"):
        assert at_shop.shows(words), words


def test_the_check_says_each_finding_and_what_to_do(at_shop):
    about = at_shop.desk.shopdesk.upkeep.about
    found = (
        lambda: Check("disk", True, "room enough"),
        lambda: Check("printer", False, "the lid is open", "Close the lid."),
    )
    about._steps = lambda: found
    at_shop.tap(at_shop.button("About and check"))
    at_shop.tap(at_shop.button("Check all"))
    for _each in found:
        at_shop.settle()

    for words in ("1 thing needs looking after", "Printer: the lid is open", "Close the lid."):
        assert at_shop.shows(words), words


def test_a_check_left_for_the_bench_does_not_come_back(at_shop):
    about = at_shop.desk.shopdesk.upkeep.about
    about._steps = lambda: (lambda: Check("disk", True, "room enough"),)
    about.check()
    at_shop.desk.open_bench()
    at_shop.settle()

    assert at_shop.desk.show is at_shop.desk.bench


def test_the_menu_says_that_this_kiosk_is_alone_and_offers_no_exchange(at_shop):
    assert at_shop.shows("it is not connected with others")
    assert not any("xchange" in one.label.text for one in at_shop.desk.show.buttons)


def test_words_of_settings_are_phrases_for_any_language():
    upper = Upper()
    assert all(capital(one.words).said(upper) != one.words for one in SETTINGS)
    assert all(one.sentence.said(upper) != one.sentence for one in SETTINGS)
    assert _("Back").said(upper) == "BACK"


def test_a_shop_works_by_new_settings_at_once(file):
    store = Store.open(file, "K")
    shop = Shop(store, load('zone = "UTC"')[0], FixedClock(AT))
    settings, problems = shop.keep_setting("temperature", "F")
    shop.keep_setting("kiosk_letter", "M")

    assert problems == ()
    assert (settings.temperature, shop.fahrenheit) == ("F", True)
    assert shop.settings.kiosk_letter == "K"
    assert shop.kept_settings()[0] == replace(settings, kiosk_letter="M")
    store.close()


def test_the_fake_shop_keeps_what_it_is_told():
    shop = FakeShop()
    assert shop.keep_setting("units", "inch")[0].units == "inch"


# -- printers --------------------------------------------------------------------------------------


@pytest.fixture
def at_fake(drive, shop):
    """A kiosk on a shop written by hand, whose computer has the queues Office and Labels."""
    kiosk = drive(shop)
    open_upkeep(kiosk)
    return kiosk


def test_a_paper_printer_is_chosen_from_the_queues_of_the_computer(at_fake, shop):
    open_setting(at_fake, "Paper printer")
    assert at_fake.shows("Labels")
    at_fake.tap(at_fake.button("Office"))

    assert shop.kept == {"paper_printer": "Office"}
    assert shop.settings.paper_printer == "Office"  # it counts at once
    assert at_fake.shows("Paper printer: Office")

    at_fake.tap(at_fake.button("Back to none"))
    assert shop.settings.paper_printer == ""


def test_the_label_printer_is_chosen_from_the_same_queues(at_fake, shop):
    open_setting(at_fake, "Printer")
    assert "Print a test page" not in at_fake.texts()  # labels have a page with rulers
    at_fake.tap(at_fake.button("Labels"))

    assert shop.kept == {"printer": "Labels"}
    assert at_fake.shows("It counts from the next start")


def test_a_printer_can_be_typed_where_no_queue_is_known(at_fake, shop):
    shop.paper.found, shop.paper.why = (), "No print queue is known to this computer."
    open_setting(at_fake, "Paper printer")
    assert at_fake.shows("No print queue is known to this computer.")
    at_fake.tap(at_fake.button("Type its name"))
    type_letters(at_fake, "Office")

    assert shop.kept == {"paper_printer": "Office"}


def test_many_queues_are_turned_through_and_a_long_name_keeps_both_its_ends(at_fake, shop):
    long = "Laser_in_the_office_upstairs_by_the_window"
    shop.paper.found = ("Office", "Labels", "Plotter", "Photo", long)
    open_setting(at_fake, "Paper printer")
    assert not at_fake.shows("Laser")
    at_fake.tap(at_fake.button("Others"))
    at_fake.tap(at_fake.button("Laser_in_the… _the_window"))

    assert shop.kept == {"paper_printer": long}


def test_a_test_page_is_printed_and_a_printer_that_takes_none_says_why(at_fake, shop):
    shop.settings = replace(shop.settings, paper_printer="Office")
    open_setting(at_fake, "Paper printer")
    at_fake.tap(at_fake.button("Print a test page"))
    assert at_fake.shows("Sent to the paper printer Office")
    assert at_fake.shows("It shows whether A4 is in it.")

    shop.paper.trouble = "The printer is being mended."
    at_fake.tap(at_fake.button("Print it again"))
    assert at_fake.shows("Not printed at Office")
    assert at_fake.shows("The printer is being mended. Mend it.")
    assert [what for what, _at in shop.paper.sent] == ["test page", "test page"]

    at_fake.tap(at_fake.button("Back"))
    assert at_fake.shows("Type its name")


@pytest.mark.parametrize("button", ["Paper printer", "Print a test page"])
def test_who_went_elsewhere_is_not_called_back_by_a_printer(at_fake, shop, button):
    shop.settings = replace(shop.settings, paper_printer="Office")
    printers = at_fake.desk.shopdesk.upkeep.settings.printers
    if button == "Paper printer":
        acts = AskActs(lambda _name: None, at_fake.desk.open_bench, at_fake.desk.put)
        setting = next(one for one in SETTINGS if one.name == "paper_printer")
        printers.open(setting, "Office", acts)
    else:
        printers.test(at_fake.desk.open_bench)
    at_fake.desk.open_board()
    at_fake.settle()

    assert at_fake.desk.show is at_fake.desk.board


# -- nightly copies and their proof ------------------------------------------------------------


def test_the_latest_copy_is_proved_for_real_and_said_in_sentences(at_shop, file, monkeypatch):
    monkeypatch.setattr("kiosk.screens.worker.Worker.patience_s", 120.0)  # a process is started
    at_shop.tap(at_shop.button("Copies"))
    assert not any(one.label.text == "Prove the latest copy" for one in at_shop.desk.show.buttons)
    at_shop.tap(at_shop.button("Copy beside the shop's file"))
    at_shop.tap(at_shop.button("More copies"))
    at_shop.tap(at_shop.button("Prove the latest copy"))

    assert at_shop.shows("The copy is proved")
    assert at_shop.shows("opened, and found whole")
    assert at_shop.shows("Each entry is as the shop has it")
    at_shop.tap(at_shop.button("Back"))
    at_shop.tap(at_shop.button("How it stands"))
    assert at_shop.shows("Brought back as a drill 15:40")
    assert at_shop.shows("No second folder is set")


def test_a_copy_that_is_not_sound_is_said_even_to_who_went_elsewhere(drive, shop):
    kiosk = drive(shop)
    shop.is_sound = False
    copies = kiosk.desk.shopdesk.upkeep.copies
    copies.prove(shop.copied.found[0].file)
    kiosk.desk.open_bench()
    kiosk.settle()

    assert shop.proved == [shop.copied.found[0].file]
    assert kiosk.shows("The copy is not sound")


def test_a_sound_copy_takes_no_screen_from_who_went_elsewhere(drive, shop):
    kiosk = drive(shop)
    kiosk.desk.shopdesk.upkeep.copies.prove(shop.copied.found[0].file)
    kiosk.desk.open_bench()
    kiosk.settle()

    assert kiosk.desk.show is kiosk.desk.bench


def test_the_copies_screen_says_how_the_night_went(drive, shop):
    kiosk = drive(shop)
    open_upkeep(kiosk)
    kiosk.tap(kiosk.button("Copies"))

    assert kiosk.shows("Nightly copy: 02:30, proved: 1 entry.")


def test_what_went_wrong_at_night_is_said_first_and_marked(drive, shop):
    wrong = "The try of 02:30 failed: no room."
    shop.tell = lambda: Told("Something is wrong.", ("Nightly copy: Tue.", wrong), wrong)
    kiosk = drive(shop)
    open_upkeep(kiosk)
    kiosk.tap(kiosk.button("Copies"))

    assert kiosk.shows("Something is wrong. The last copy")
    assert kiosk.button("How it stands").mark.shape == "late"
    kiosk.tap(kiosk.button("How it stands"))
    from kiosk.widgets.marks import Mark  # a window is opened first

    marks = [one.shape for one in kiosk.stage_widgets() if isinstance(one, Mark)]
    assert marks == ["late"]


def test_a_kiosk_that_watches_the_night_makes_one_copy_when_it_is_due(drive, shop):
    kiosk = drive(shop)
    kiosk.app.nights, shop.is_due = NightWatch(), True
    kiosk.tick()
    kiosk.tick(30.0)  # it has just started
    assert shop.nights_run == 0

    for _turn in range(3):
        kiosk.tick(60.0)

    assert shop.nights_run == 1
    assert kiosk.desk.show is kiosk.desk.bench


def test_while_a_night_is_run_no_other_is_begun(drive, shop, monkeypatch):
    monkeypatch.setattr("kiosk.screens.worker.Worker.patience_s", 0.2)
    kiosk, ended, begun = drive(shop), Event(), []
    kiosk.app.nights = NightWatch()

    def slow():
        begun.append(1)
        ended.wait()
        return Night(shop.at, "night.db")

    shop.run_night, shop.is_due = slow, True
    for _turn in range(4):
        kiosk.tick(60.0)
    at_once = len(begun)
    ended.set()
    kiosk.settle()

    assert at_once == 1


def test_a_night_that_fails_is_tried_again_and_stops_nothing(drive, shop, monkeypatch):
    kiosk = drive(shop)
    kiosk.app.nights = NightWatch()
    tried = []

    def fail():
        tried.append(1)
        raise HelperGone("no process can be had")

    shop.run_night, shop.is_due = fail, True
    for _turn in range(4):
        kiosk.tick(60.0)
    kiosk.scan("K7F3Q97")

    assert len(tried) == 3
    assert shop.scans == ["K7F3Q97"]


def test_without_a_watch_no_night_is_run(drive, shop):
    kiosk = drive(shop)
    shop.is_due = True
    kiosk.tick(60.0)

    assert shop.nights_run == 0
