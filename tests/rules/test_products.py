import random
from dataclasses import replace

import pytest
from hypothesis import given, settings

from kiosk.rules.productedit import (
    confirm_in_text,
    factor_in_text,
    figure_in_text,
    reference_in_text,
)
from kiosk.rules.productfile import parse_products
from kiosk.rules.products import Entered, Interval
from kiosk.rules.rates import Law, Rate
from kiosk.rules.stages import STAGES
from tests.builders import PRODUCTS_TEXT
from tests.strategies import mutated

IDA = Entered("Ida", "2026-03-05")
GOOD = '[clear]\nrole = "coat"\nminutes = { recoat = 120 }\n'


def test_the_products_that_ship_have_no_fault_and_are_marked_as_seeds():
    products, problems = parse_products(PRODUCTS_TEXT)
    assert problems == ()
    assert all(product.seed and product.source for product in products.values())
    assert {product.role for product in products.values()} == {"glue", "filler", "coat"}


@pytest.mark.parametrize(
    ("key", "stage", "minutes"),
    [
        # docs/rules.md, "Seed figures", names the source of each
        ("pva-interior", "clamp", 60),
        ("pva-water-resistant", "clamp", 30),
        ("hide-liquid", "clamp", 12 * 60),
        ("epoxy-slow", "full", 5 * 24 * 60),
        ("clear", "recoat", 2 * 60),
        ("clear", "window", 12 * 60),
        ("enamel", "window", 72 * 60),
        ("primer", "window", 7 * 24 * 60),
        ("oil-polyurethane", "hang", 4 * 24 * 60),
        ("oil", "window", 48 * 60),
        ("filler-water", "sand", 30),
        ("clear", "score", 8 * 60),
        ("oil-polyurethane", "score", 24 * 60),
        ("shellac", "sand", 2 * 60),
        ("lacquer", "sand", 2 * 60),
    ],
)
def test_seed_figures_are_those_of_the_reference(key, stage, minutes):
    assert parse_products(PRODUCTS_TEXT)[0][key].stage(stage) == minutes


def test_no_seed_may_be_sanded_before_it_may_be_coated_again():
    # the routes that ship let a coat follow the scuff, and the scuff wait for "sand" alone
    coats = [one for one in parse_products(PRODUCTS_TEXT)[0].values() if one.role == "coat"]
    assert [one.key for one in coats if one.minutes["sand"] < one.minutes["recoat"]] == []


def test_a_product_with_little_said_gets_the_usual_air_and_its_key_as_title():
    (product,) = parse_products(GOOD)[0].values()
    assert (product.title, product.temperature_c, product.humidity) == ("clear", 23, 50)
    assert (product.seed, product.stage("recoat"), product.stage("sand")) == (True, 120, None)


def test_every_mistake_is_named_at_once_and_sound_products_are_kept():
    text = GOOD + (
        "loose = 3\n"
        '[a]\nrole = "paint"\nminutes = { recoat = 0, dry = 5, sand = "soon", hang = true }\n'
        '[b]\nrole = "glue"\nreference = 23\n'
        '[c]\nrole = "glue"\nminutes = { clamp = 1e9 }\nreference = { temperature_c = 80 }\n'
    )
    text = "stray = 1\n" + text
    products, problems = parse_products(text)
    assert list(products) == []
    assert [(problem.message.split(":")[0], problem.column) for problem in problems] == [
        ("Product stray", "stray"),
        ("Product clear", "loose"),
        ("Product a", "role"),
        ("Product a", "recoat"),
        ("Product a", "minutes"),
        ("Product a", "sand"),
        ("Product a", "hang"),
        ("Product b", "reference"),
        ("Product b", "minutes"),
        ("Product c", "clamp"),
        ("Product c", "temperature_c"),
    ]
    assert all(problem.remedy for problem in problems)


@pytest.mark.parametrize(
    "air",
    [
        'temperature_c = "warm"',
        "temperature_c = -0.1",
        "temperature_c = 50.1",
        "humidity = 100.1",
        "humidity = 0",
        "humidity = 101",
        "humidity = true",
        "humidity = nan",
    ],
)
def test_air_no_label_states_is_refused(air):
    (problem,) = parse_products(f"{GOOD}reference = {{ {air} }}\n")[1]
    assert problem.column == air.split()[0]


@pytest.mark.parametrize(("temperature", "humidity"), [(0, 95), (50, 1)])
def test_air_at_the_ends_of_its_range_is_taken(temperature, humidity):
    air = f"reference = {{ temperature_c = {temperature}, humidity = {humidity} }}\n"
    (product,) = parse_products(GOOD + air)[0].values()
    assert (product.temperature_c, product.humidity) == (temperature, humidity)


@pytest.mark.parametrize("minutes", ["{}", "3", "[]", '"120"'])
def test_a_product_that_states_no_minutes_is_refused(minutes):
    products, (problem,) = parse_products(f'[clear]\nrole = "coat"\nminutes = {minutes}\n')
    assert products == {}
    assert problem.message == "Product clear: states no minutes."


@pytest.mark.parametrize(("minutes", "taken"), [(0.5, 1), (129_600, 1), (129_601, 0), (-1, 0)])
def test_minutes_reach_up_to_ninety_days(minutes, taken):
    # 90 x 24 x 60 = 129 600
    text = GOOD.replace("120", str(minutes))
    assert len(parse_products(text)[0]) == taken


@pytest.mark.parametrize(
    "text",
    [
        "[clear",
        "a = " + "1" * 5000,
        "a = " + "[" * 100_000,
        "a = 0x" + "f" * 5000,
        "clear.role = 0x" + "f" * 5000,
        "clear.role" + ".a" * 3000 + " = 1",
    ],
)
def test_a_file_that_cannot_be_read_is_a_problem_and_no_crash(text):
    products, (problem,) = parse_products(text)
    assert products == {}
    assert "not readable" in problem.message


@settings(derandomize=True, deadline=None)
@given(
    mutated(GOOD + 'reference = { humidity = 50 }\n[b]\nrole = "glue"\nminutes = { open = 5 }\n')
)
def test_a_damaged_products_file_never_raises(text):
    products, problems = parse_products(text)
    for product in products.values():
        assert product.minutes.keys() <= STAGES.keys()
    assert all(problem.message and problem.remedy for problem in problems)


def test_confirming_marks_one_product_and_leaves_every_other_line():
    confirmed = confirm_in_text(PRODUCTS_TEXT, "clear", entered=IDA)
    products, problems = parse_products(confirmed)
    assert problems == ()
    assert [key for key, product in products.items() if not product.seed] == ["clear"]
    added = set(confirmed.splitlines()) - set(PRODUCTS_TEXT.splitlines())
    assert sorted(line.split(" = ")[0] for line in added) == ["entered", "seed"]
    assert set(products["clear"].entered.values()) == {IDA}
    assert products["clear"].unconfirmed == ()
    assert len(confirmed.splitlines()) == len(PRODUCTS_TEXT.splitlines()) + 2


@pytest.mark.parametrize("head", ["[clear]", '["clear"]', "[clear]  # the can by the door"])
def test_confirming_replaces_what_stood_there_and_may_be_done_twice(head):
    text = (
        GOOD.replace("[clear]", head) + 'seed = true # not read yet\n[b]\nseed = true\nrole = "x"\n'
    )
    once = confirm_in_text(text, "clear", entered=IDA)
    assert confirm_in_text(once, "clear", entered=IDA) == once
    assert parse_products(once)[0]["clear"].seed is False
    assert once.endswith('[b]\nseed = true\nrole = "x"\n')


def test_confirming_does_not_depend_on_the_order_of_products():
    keys = list(parse_products(PRODUCTS_TEXT)[0])
    random.Random(5).shuffle(keys)
    text = PRODUCTS_TEXT
    for key in keys:
        text = confirm_in_text(text, key, entered=IDA)
    assert not any(product.seed for product in parse_products(text)[0].values())


# -- figures, air, laws, limits, windows -----------------------------------------------------

FULL = """
[x]
title = "X"
role = "coat"
reference = { temperature_c = 21, humidity = 70 }
minutes = { touch = 30, recoat = 90, window = 600 }
limits = { least_c = 8, most_humidity = 80, dew_margin_c = 3 }
laws = { early = "evap", late = "oxid", close = "arrhenius", energy_kj = 42 }
coverage = { label_m2_l = 12, own_m2_l = 10, solids = 35 }
windows = [{ opens = 60, closes = 120, action = "none" }, { opens = 4320, action = "scuff" }]
entered = { recoat = { by = "Ida", on = 2026-03-05 }, touch = { by = "Bo", on = "2026-03-06" } }
factors = { recoat = 1.2 }
hazards = ["fresh_air", "dust"]
caution = "Stir well."
source = "its label"
"""


def test_a_product_holds_every_figure_with_its_air_and_who_read_it():
    products, problems = parse_products(FULL)
    assert problems == ()
    one = products["x"]
    assert (one.temperature_c, one.humidity, one.late, one.energy_kj) == (21, 70, Law.OXID, 42)
    assert (one.least_c, one.most_humidity, one.dew_margin_c) == (8, 80, 3)
    assert one.windows == (Interval(60, 120, "none"), Interval(4320, None, "scuff"))
    assert one.entered["recoat"] == Entered("Ida", "2026-03-05")
    assert one.unconfirmed == ("window",)
    assert (one.is_seed("touch"), one.is_seed("window")) == (False, True)
    assert (one.factors, one.hazards, one.caution) == (
        {"recoat": 1.2},
        ("fresh_air", "dust"),
        "Stir well.",
    )
    assert one.rate("late") == Rate(Law.OXID, 21, 70, 42, 8, 80, 3)


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("reference = 5", "reference"),
        ("reference = { temperature = 5 }", "temperature"),
        ('limits = { least_c = "cold" }', "least_c"),
        ("limits = { most_humidity = 120 }", "most_humidity"),
        ('laws = { early = "fast" }', "early"),
        ("laws = { late = 5 }", "late"),
        ("coverage = { own_m2_l = 0 }", "own_m2_l"),
        ("depth = { own_mm = 4 }", "own_mm"),
        ("windows = 5", "windows"),
        ("windows = [5]", "windows"),
        ('windows = [{ opens = 60, closes = 30, action = "none" }]', "windows"),
        ('windows = [{ opens = 60, action = "sing" }]', "windows"),
        ('windows = [{ opens = 60, action = "none", then = 5 }]', "windows"),
        ('windows = [{ action = "none" }]', "windows"),
        (
            'windows = [{ opens = 60, closes = 90, action = "none" },'
            ' { opens = 80, action = "scuff" }]',
            "windows",
        ),
        (
            'windows = [{ opens = 60, action = "none" }, { opens = 80, action = "scuff" }]',
            "windows",
        ),
        ("entered = 5", "entered"),
        ("entered = { recoat = 5 }", "entered"),
        ('entered = { recoat = { by = "Ida", on = "soon" } }', "entered"),
        ('entered = { hang = { by = "Ida", on = "2026-03-05" } }', "entered"),
        ("factors = 5", "factors"),
        ("factors = { recoat = 0.5 }", "factors"),
        ("factors = { recoat = true }", "factors"),
        ("factors = { shine = 1.2 }", "factors"),
        ('windows = [{ opens = 0, closes = 120, action = "wait" }]', "windows"),
        ("hazards = 5", "hazards"),
        ('hazards = ["fresh_air", "tigers"]', "hazards"),
        ("hazards = [[]]", "hazards"),
        ("minute = { recoat = 5 }", "minute"),
        ("minutes = { touch = 300, recoat = 120 }", "touch"),
        ("minutes = { recoat = 1200, window = 720 }", "recoat"),
    ],
)
def test_every_line_that_is_not_sound_is_named(line, column):
    base = (
        GOOD.replace("minutes = { recoat = 120 }\n", "") if line.startswith("minutes =") else GOOD
    )
    products, (problem,) = parse_products(base + line + "\n")
    assert (products, problem.column) == ({}, column)
    assert problem.remedy


def test_the_film_is_as_thick_as_the_shop_spreads_it_and_never_counted_thinner_than_most():
    (one,) = parse_products(FULL)[0].values()
    assert (one.film, one.wet_um) == (1.2, 100)
    thin = replace(one, own_coverage_m2_l=30)
    assert (thin.film, thin.wet_um) == (0.7, pytest.approx(33.3, abs=0.05))
    bare = replace(one, coverage_m2_l=None, own_coverage_m2_l=None)
    assert (bare.film, bare.wet_um) == (1.0, None)
    filler = replace(bare, role="filler", depth_mm=1, own_depth_mm=3)
    assert filler.film == 3


def test_a_filler_dries_through_its_depth_and_in_lifts_in_half_the_time():
    (one,) = parse_products(FULL)[0].values()
    filler = replace(one, role="filler", factors={}, coverage_m2_l=None, depth_mm=1)
    # 3 mm at once: 270 min; as two lifts of 1.5 mm: 135 min together
    assert replace(filler, own_depth_mm=3).target("sand", 30) == 270
    assert 2 * replace(filler, own_depth_mm=1.5).target("sand", 30) == 135


def test_later_coats_take_longer_to_harden_and_no_factor_puts_off_what_must_not_be_missed():
    (one,) = parse_products(FULL)[0].values()
    plain = replace(one, coverage_m2_l=None, factors={})
    assert [plain.target("hang", 100, coat=coat) for coat in (1, 2, 3, 4)] == [100, 100, 125, 125]
    assert plain.target("recoat", 100, coat=3) == 100
    slow = replace(plain, factors=dict.fromkeys(STAGES, 1.5), coverage_m2_l=12, own_coverage_m2_l=6)
    assert slow.target("window", 100) == slow.target("score", 100) == 100
    assert slow.target("recoat", 100) == 300


# -- edits -----------------------------------------------------------------------------------


def test_one_figure_read_off_the_label_is_set_and_stamped_and_nothing_else_changes():
    text = figure_in_text(PRODUCTS_TEXT, "clear", "recoat", minutes=90, entered=IDA)
    one = parse_products(text)[0]["clear"]
    assert (one.minutes["recoat"], one.entered, one.seed) == (90, {"recoat": IDA}, True)
    before, after = PRODUCTS_TEXT.splitlines(), text.splitlines()
    assert len(set(after) - set(before)) == 2
    half = figure_in_text(text, "clear", "touch", minutes=22.5, entered=IDA)
    assert parse_products(half)[0]["clear"].minutes["touch"] == 22.5


def test_when_every_figure_is_read_off_the_label_the_product_is_no_seed_any_more():
    text = GOOD
    text = figure_in_text(text, "clear", "recoat", minutes=90, entered=IDA)
    assert parse_products(text)[0]["clear"].seed is False


def test_the_reference_air_and_the_factor_are_set():
    text = reference_in_text(GOOD, "clear", temperature_c=21, humidity=70, entered=IDA)
    text = factor_in_text(text, "clear", "recoat", 1.234, entered=IDA)
    one = parse_products(text)[0]["clear"]
    assert (one.temperature_c, one.humidity, one.factors) == (21, 70, {"recoat": 1.23})
    assert one.entered == {"reference": IDA, "factors": IDA}
    assert one.is_seed("recoat")


@pytest.mark.parametrize("text", ["[clear", "clear = 5\n", "[other]\n"])
def test_a_product_that_is_not_there_is_not_made(text):
    assert factor_in_text(text, "clear", "sand", 1.2, entered=IDA) == text


def test_a_products_file_from_before_there_were_limits_gets_those_that_ship():
    table = 'role = "coat"\nminutes = { recoat = 700 }\n'
    old = f"[oil]\n{table}[mine]\n{table}"
    products, problems = parse_products(old, PRODUCTS_TEXT)
    assert problems == ()
    shipped = parse_products(PRODUCTS_TEXT)[0]["oil"]
    oil = products["oil"]
    assert (oil.early, oil.least_c, oil.hazards) == (
        shipped.early,
        shipped.least_c,
        shipped.hazards,
    )
    assert (oil.minutes, products["mine"].least_c) == ({"recoat": 700}, None)
    free = parse_products(old.replace("role", "limits = {}\nrole", 1), PRODUCTS_TEXT)[0]["oil"]
    assert (free.least_c, free.hazards) == (None, shipped.hazards)
