import random

import pytest
from hypothesis import given, settings

from kiosk.rules.products import STAGES, confirm_in_text, parse_products
from tests.builders import PRODUCTS_TEXT
from tests.strategies import mutated

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
    assert list(products) == ["clear"]
    assert [(problem.message.split(":")[0], problem.column) for problem in problems] == [
        ("Product stray", "stray"),
        ("Product a", "recoat"),
        ("Product a", "minutes"),
        ("Product a", "sand"),
        ("Product a", "hang"),
        ("Product a", "role"),
        ("Product b", "minutes"),
        ("Product b", "reference"),
        ("Product c", "clamp"),
        ("Product c", "reference"),
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
    assert [p.column for p in parse_products(f"{GOOD}reference = {{ {air} }}\n")[1]] == [
        "reference"
    ]


@pytest.mark.parametrize(("temperature", "humidity"), [(0, 100), (50, 0.1)])
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
    confirmed = confirm_in_text(PRODUCTS_TEXT, "clear")
    products, problems = parse_products(confirmed)
    assert problems == ()
    assert [key for key, product in products.items() if not product.seed] == ["clear"]
    assert confirmed.replace("seed = false\n", "") == PRODUCTS_TEXT


@pytest.mark.parametrize("head", ["[clear]", '["clear"]', "[clear]  # the can by the door"])
def test_confirming_replaces_what_stood_there_and_may_be_done_twice(head):
    text = (
        GOOD.replace("[clear]", head) + 'seed = true # not read yet\n[b]\nseed = true\nrole = "x"\n'
    )
    once = confirm_in_text(text, "clear")
    assert confirm_in_text(once, "clear") == once
    assert parse_products(once)[0]["clear"].seed is False
    assert once.endswith('[b]\nseed = true\nrole = "x"\n')


def test_confirming_does_not_depend_on_the_order_of_products():
    keys = list(parse_products(PRODUCTS_TEXT)[0])
    random.Random(5).shuffle(keys)
    text = PRODUCTS_TEXT
    for key in keys:
        text = confirm_in_text(text, key)
    assert not any(product.seed for product in parse_products(text)[0].values())
