"""Products at the kiosk: whose figures they are, what the label says, what was found."""

from dataclasses import replace

import pytest
from fake_matters import findings_of
from fake_shop import NOW

from kiosk.rules.problems import Problem
from kiosk.rules.products import Entered
from kiosk.screens.productdesk import read_minutes
from kiosk.screens.productview import say_minutes, see_product, see_products


def open_product(kiosk, key="clear"):
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Products"))
    kiosk.tap(kiosk.desk.show.rows[key])


def type_figure(kiosk, figure):
    for letter in figure:
        kiosk.tap(kiosk.desk.show.keys[letter])
    kiosk.tap(kiosk.desk.show.use)


def confirm_all(shop, *, by="Ida"):
    entered = Entered(by, "2026-03-10")
    for key, one in shop.known.items():
        stages = dict.fromkeys(one.minutes, entered)
        shop.known[key] = replace(one, entered=stages, seed=False)


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (45, "45 min"),
        (90, "90 min"),
        (7.5, "7.5 min"),
        (60, "1 h"),
        (120, "2 h"),
        (150, "2 h 30 min"),
        (1440, "24 h"),
        (2880, "2 d"),
        (4320, "3 d"),
        (3600, "2 d 12 h"),
    ],
)
def test_a_labels_time_is_said_as_people_say_it(minutes, words):
    assert say_minutes(minutes) == words


@pytest.mark.parametrize(
    ("text", "unit", "minutes"), [("45", "min", 45), ("1.5", "h", 90), ("3", "d", 4320)]
)
def test_typed_digits_are_minutes_by_their_unit(text, unit, minutes):
    assert read_minutes(text, unit) == (minutes, "")


@pytest.mark.parametrize(("text", "unit"), [("", "h"), (".", "h"), ("0", "min"), ("91", "d")])
def test_what_is_no_time_of_a_label_is_said_in_words(text, unit):
    assert read_minutes(text, unit)[1]


def test_the_dot_at_shop_is_explained_behind_it(drive, shop):
    kiosk = drive(shop)
    assert kiosk.desk.bench.shop.mark.shape == "dot"
    kiosk.tap(kiosk.desk.bench.shop)
    assert kiosk.shows("Figures of 5 products are typical, not from the label")


def test_without_typical_figures_and_with_air_there_is_no_dot(drive, shop):
    from fake_matters import days_of_air

    from kiosk.rules.air import Air

    confirm_all(shop)
    shop.read = Air(days_of_air(NOW))
    kiosk = drive(shop)
    assert kiosk.desk.bench.shop.mark is None
    kiosk.tap(kiosk.desk.bench.shop)
    assert not kiosk.shows("typical")


def test_products_in_use_come_first_and_say_whose_figures_they_are(shop):
    shop.known["oil"] = replace(
        shop.known["oil"],
        seed=False,
        entered=dict.fromkeys(shop.known["oil"].minutes, Entered("Ida", "2026-03-10")),
    )
    shop.known["clear"] = replace(
        shop.known["clear"], entered={"recoat": Entered("Ida", "2026-03-10")}
    )
    lines = {line.key: line for line in see_products(shop)}
    used = [line.in_use for line in lines.values()]
    assert used == sorted(used, reverse=True)
    assert lines["oil"].below.startswith("from the label: Ida, 10 Mar 2026; for ")
    assert lines["clear"].below.startswith("8 of 9 figures typical, not from the label")
    assert lines["enamel"].below == "typical, not from the label; for 23 °C and 50 %"


def test_a_day_written_by_hand_is_shown_as_written(shop):
    confirm_all(shop)
    shop.known["oil"] = replace(shop.known["oil"], entered={"touch": Entered("Ida", "last spring")})
    assert "last spring" in see_product(shop, "oil").stages[0].who


def test_a_product_shows_its_limits_in_the_shops_unit(shop):
    assert "not below 10 °C" in see_product(shop, "clear").limits
    shop.fahrenheit = True
    limits = see_product(shop, "clear").limits
    assert "not below 50 °F" in limits
    assert "5.4 °F above the dew point" in limits  # a difference of 3 °C


def test_a_product_shows_every_figure_on_its_pages(drive, shop):
    kiosk = drive(shop)
    open_product(kiosk)
    first = set(kiosk.desk.show.rows)
    kiosk.tap(kiosk.button("More figures"))
    assert first | set(kiosk.desk.show.rows) == set(shop.known["clear"].minutes)
    assert kiosk.shows("Fresh air while it is wet")


def test_more_products_turns_the_pages_round(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Products"))
    seen = []
    for _ in range(3):
        seen += list(kiosk.desk.show.rows)
        kiosk.tap(kiosk.button("More products"))
    assert sorted(seen) == sorted(shop.known)
    assert kiosk.shows("page 1 of 3")


def test_confirming_needs_a_second_tap(drive, shop):
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.button("All as on the label"))
    assert shop.calls == []
    assert kiosk.shows("may be coated again 2 h")
    kiosk.tap(kiosk.button("Yes, as on the label"))
    assert shop.calls == [("confirm", "clear", "Mara")]
    assert kiosk.shows("from the label: Mara, 11 Mar 2026")
    assert kiosk.desk.show.confirm is None


def test_back_from_confirming_confirms_nothing(drive, shop):
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.button("All as on the label"))
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("typical, not from the label")
    assert shop.calls == []


def test_a_refused_confirmation_says_why(drive, shop):
    shop.refusing = (Problem("There is no product clear.", "Set the file."),)
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.button("All as on the label"))
    kiosk.tap(kiosk.button("Yes, as on the label"))
    assert kiosk.shows("Nothing was changed")
    assert kiosk.shows("There is no product clear. Set the file.")


def test_a_figure_is_set_in_the_unit_that_was_tapped(drive, shop):
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.desk.show.rows["recoat"])
    assert kiosk.shows("May be coated again: in hours, from the label (now 2 h)")
    for letter in "90":
        kiosk.tap(kiosk.desk.show.keys[letter])
    kiosk.tap(kiosk.button("In minutes"))
    assert kiosk.desk.show.typed == "90"
    kiosk.tap(kiosk.desk.show.use)
    assert shop.calls == [("figure", "clear", "recoat", 90, "Mara")]
    assert kiosk.shows("90 min")


def test_a_figure_with_a_problem_keeps_what_was_typed(drive, shop):
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.desk.show.rows["recoat"])
    type_figure(kiosk, "9999")
    assert kiosk.shows("9999 h is no time of a label")
    assert kiosk.desk.show.typed == "9999"
    assert shop.calls == []


def test_a_figure_the_shop_refuses_is_asked_again(drive, shop):
    shop.refusing = (Problem("The window would close before it opens.", "Read it again."),)
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.desk.show.rows["recoat"])
    type_figure(kiosk, "13")
    assert kiosk.shows("The window would close before it opens. Read it again.")
    assert kiosk.desk.show.typed == "13"


def test_what_was_found_is_applied_only_after_a_second_tap(drive, shop):
    shop.found = findings_of(NOW)
    kiosk = drive(shop)
    open_product(kiosk)
    assert kiosk.shows("12 findings (6 dry, 6 tacky)")
    kiosk.tap(kiosk.button("Accept"))
    assert shop.calls == []
    assert kiosk.shows("take 1.2 times the label's time?")
    kiosk.tap(kiosk.button("Yes, from now on"))
    (call,) = shop.calls
    assert call[:3] == ("factor", "clear", "recoat")
    assert call[3] == pytest.approx(1.22, abs=0.03)
    assert kiosk.shows("times as long, from own findings")
    assert kiosk.desk.show.accept is None


def test_of_two_stages_one_is_picked(drive, shop):
    shop.found = [*findings_of(NOW), *findings_of(NOW, stage="sand")]
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tap(kiosk.button("Accept"))
    kiosk.tap(kiosk.button("1.2 times: may be sanded"))
    kiosk.tap(kiosk.button("Back"))
    assert shop.calls == []


def test_too_few_findings_are_shown_but_cannot_be_accepted(drive, shop):
    shop.found = findings_of(NOW)[:3]
    kiosk = drive(shop)
    open_product(kiosk)
    assert kiosk.shows("too few to tell")
    assert kiosk.desk.show.accept is None


def test_a_product_that_is_gone_leads_back_to_the_list(drive, shop):
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("Products"))
    screen = kiosk.desk.show
    del shop.known["clear"]
    kiosk.tap(screen.rows["clear"])
    assert "clear" not in kiosk.desk.show.rows


def test_products_left_alone_go_home(drive, shop):
    kiosk = drive(shop)
    open_product(kiosk)
    kiosk.tick(61)
    assert kiosk.desk.show is kiosk.desk.bench
