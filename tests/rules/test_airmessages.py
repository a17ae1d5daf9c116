"""What sensors publish is taken as it is meant, and rubbish is answered in words."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.air import Reading
from kiosk.rules.airmessages import Gather, Message, read_message
from kiosk.rules.airmessages.gather import MOST_SENSORS
from kiosk.rules.airmessages.message import LONGEST

NOON = datetime(2026, 3, 5, 12, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def read(payload, topic="studio/glaze store"):
    data = payload if isinstance(payload, bytes) else json.dumps(payload).encode()
    return read_message(topic, data)


def message(sensor="glaze store", at=None, **values):
    return Message(values, at, sensor, ())


@pytest.mark.parametrize(
    "key", ["temperature", "Temp", "t", "temperature_c", "temp_C", "airTemperature", "temp °C"]
)
def test_a_temperature_is_known_by_any_common_name(key):
    assert read({key: 21.5}).values == {"temperature_c": 21.5}


@pytest.mark.parametrize(
    "key", ["humidity", "HUM", "rh", "h", "relative_humidity", "Relative-Humidity", "humidity_pct"]
)
def test_a_humidity_is_known_by_any_common_name(key):
    assert read({key: 55}).values == {"humidity": 55}


@pytest.mark.parametrize("key", ["surface_temperature", "panel_temperature", "surface_c"])
def test_a_panels_own_temperature_is_known(key):
    assert read({key: 17}).values == {"surface_c": 17}


@pytest.mark.parametrize(
    ("key", "value", "speed"),
    [
        ("air_speed", 0.3, 0.3),
        ("speed_m_s", 0.3, 0.3),
        ("air_speed", "3.6 km/h", 1.0),
        ("air_speed_mph", 1, 0.447),  # 1609.344 m in 3600 s
        ("airspeed", "100 ft/min", 0.508),  # 30.48 m in 60 s
    ],
)
def test_an_air_speed_becomes_metres_a_second(key, value, speed):
    assert read({key: value}).values == {"speed_m_s": speed}


@pytest.mark.parametrize(
    "value",
    [
        {"temperature_f": 77},
        {"temperature": "77 °F"},
        {"temperature": "77 F"},
        {"temperature": "77 ℉"},
        {"temperature": "77 degrees Fahrenheit"},
        {"temperature": 77, "unit": "°F"},
        {"temperature": 77, "temperature_unit": "fahrenheit", "humidity_unit": "%"},
        {"temperature": {"value": 77, "unit": "F"}},
        {"temperature": {"fahrenheit": 77}},
    ],
)
def test_fahrenheit_becomes_celsius_wherever_the_unit_stands(value):
    # 77 °F are 25 °C, from 32 °F = 0 °C and 212 °F = 100 °C
    assert read(value).values == {"temperature_c": 25}


@pytest.mark.parametrize(
    "text", ["21.5", "21,5", "+21.5", " 21.5 °C", "21.5C", "21.5 ºC", "21.5 ℃", "2.15e1", "21.5 °"]
)
def test_numbers_as_text_count(text):
    assert read({"temperature": text}).values == {"temperature_c": 21.5}


@pytest.mark.parametrize("text", ["55", "55%", "55 %", "55 %RH", "55 % rH", "55 percent"])
def test_humidities_as_text_count(text):
    assert read({"humidity": text}).values == {"humidity": 55}


def test_values_one_level_down_are_found():
    found = read({"climate": {"temperature": 21.5, "humidity": 55}, "battery": 88})

    assert found.values == {"temperature_c": 21.5, "humidity": 55}
    assert found.problems == ()


def test_what_stands_above_counts_before_what_stands_below():
    found = read({"temperature": 21, "probe": {"temperature": 35, "humidity": 50}})

    assert found.values == {"temperature_c": 21, "humidity": 50}


def test_a_temperature_below_surface_is_the_surfaces():
    found = read({"air": {"temperature": 21}, "surface": {"temperature": 17}})

    assert found.values == {"temperature_c": 21, "surface_c": 17}


def test_the_sensors_own_warmth_and_a_wish_are_not_the_air():
    found = read({"device": {"temperature": 43}, "target": {"temperature": 19}})

    assert found == Message({}, None, "studio/glaze store", ())


def test_one_temperature_in_two_units_is_one():
    assert read({"temperature": 21.5, "temperature_f": 71}).values == {"temperature_c": 21.5}


def test_of_two_different_temperatures_neither_counts():
    found = read({"in": {"temperature": 21}, "out": {"temperature": 4, "humidity": 70}})

    assert found.values == {"humidity": 70}
    assert found.problems == ("The message says two different things of the temperature.",)


def test_a_battery_alone_is_neither_value_nor_problem():
    assert read({"battery": 97, "linkquality": 120}) == Message({}, None, "studio/glaze store", ())


@pytest.mark.parametrize(
    ("topic", "payload", "sensor", "values"),
    [
        ("studio/kiln/temperature", b"21.5 \xc2\xb0C", "studio/kiln", {"temperature_c": 21.5}),
        ("studio/kiln/Temperature", b"70 F", "studio/kiln", {"temperature_c": 21.111}),
        ("studio/kiln/temperature_f", b"77", "studio/kiln", {"temperature_c": 25}),
        ("studio/kiln/humidity", b"55", "studio/kiln", {"humidity": 55}),
        ("studio/kiln/humidity", b'"55 %"', "studio/kiln", {"humidity": 55}),
        ("studio/kiln/surface_temperature", b"17", "studio/kiln", {"surface_c": 17}),
        ("studio/kiln_room_humidity", b"55", "studio/kiln_room", {"humidity": 55}),
        ("studio/kiln_temperature/state", b"21", "studio/kiln", {"temperature_c": 21}),
        ("studio/kiln/temperature", b'{"value": 21}', "studio/kiln", {"temperature_c": 21}),
        ("temperature", b"\xef\xbb\xbf21", "", {"temperature_c": 21}),
        ("state", b"ON", "state", {}),
    ],
)
def test_a_plain_number_is_what_its_topic_names(topic, payload, sensor, values):
    assert read(payload, topic) == Message(values, None, sensor, ())


@pytest.mark.parametrize("payload", [b"ON", b"42", b'"offline"', b"2026-03-05T08:00:00Z"])
def test_a_status_on_another_topic_is_none_of_our_business(payload):
    assert read(payload, "studio/kiln/lamp") == Message({}, None, "studio/kiln/lamp", ())


@pytest.mark.parametrize(
    ("payload", "words"),
    [
        (b"", "empty"),
        (b" \n", "empty"),
        (b'{"temperature": 21', "no sound JSON from letter 19"),
        (b"{'temperature': 21}", "no sound JSON from letter 2"),
        (b"[21, 55]", "no JSON object"),
        (b"twenty one and a bit", "no JSON object"),
        (b'{"temperature": "21 \xb0C"}', "UTF-8"),
        ('{"temperature": 21}'.encode("utf-16"), "UTF-8"),
        (b'{"temperature": 21' + b" " * 10_000_000 + b"}", "10000019 bytes long"),
        (b'{"a":' * 1000 + b"1" + b"}" * 1000, "nested too deep"),
        (b"[" * 1000 + b"]" * 1000, "nested too deep"),
        (b'{"temperature": NaN}', "temperature nan is no number"),
        (b'{"temperature": 1e999}', "temperature inf is no number"),
        (b'{"temperature": ' + b"9" * 5000 + b"}", "temperature inf is no number"),
        (b'{"temperature": null}', "temperature None is no number"),
        (b'{"temperature": true}', "temperature True is no number"),
        (b'{"temperature": [21]}', "temperature [21.0] is no number"),
        (b'{"temperature": "unavailable"}', "temperature 'unavailable' is no number"),
        (b'{"temperature": "21 \\ud800"}', "unknown unit"),
        (b'{"temperature": "294 K"}', "unknown unit"),
        (b'{"temperature": "21 $"}', "unknown unit"),
        (b'{"temperature": "55 %"}', "unknown unit"),
        (b'{"humidity": "55 C"}', "unknown unit"),
        (b'{"humidity": 0.55}', "humidity 0.55 looks like a share"),
        (b'{"humidity": "' + b"5" * 70 + b'"}', "5..."),
    ],
)
def test_rubbish_is_answered_in_words(payload, words):
    found = read(payload)

    assert found.values == {}
    assert len(found.problems) == 1
    assert words in found.problems[0]
    assert len(found.problems[0]) < 160


def test_a_message_as_long_as_allowed_is_read():
    payload = b'{"temperature": 21' + b" " * (LONGEST - 19) + b"}"

    assert read(payload).values == {"temperature_c": 21}


def test_a_bad_value_does_not_take_the_good_one_with_it():
    found = read({"temperature": "ERR", "humidity": 55})

    assert found.values == {"humidity": 55}
    assert len(found.problems) == 1


@pytest.mark.parametrize(
    "value",
    [
        {"time": "2026-03-05T12:00:00Z"},
        {"timestamp": "2026-03-05T13:00:00+01:00"},
        {"ts": 1772712000},
        {"last_seen": 1772712000000},
        {"climate": {"time": "2026-03-05T12:00:00Z"}},
        {"time": "12:00", "epoch": 1772712000},
    ],
)
def test_a_time_of_its_own_is_read(value):
    assert read({"temperature": 21} | value).at == NOON


@pytest.mark.parametrize(
    "value",
    ["2026-03-05T12:00:00", "1970-01-01T00:00:00Z", "noon", 12345, 5e12, 1e300, float("nan"), None],
)
def test_a_time_without_a_zone_or_of_an_unset_clock_is_none(value):
    found = read({"temperature": 21, "time": value})

    assert found.at is None
    assert found.values == {"temperature_c": 21}


NAMES = st.sampled_from(["temperature", "humidity", "t", "time", "unit", "surface", "air_speed"])
JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text() | st.datetimes().map(str),
    lambda below: st.lists(below, max_size=3) | st.dictionaries(NAMES | st.text(), below),
    max_leaves=8,
)


@given(st.text(), st.binary() | JSON.map(lambda value: json.dumps(value).encode()))
def test_no_message_raises_and_every_value_is_a_number(topic, payload):
    found = read_message(topic, payload)

    assert all(value - value == 0 for value in found.values.values())
    assert found.at is None or found.at.tzinfo is UTC


def test_one_message_with_both_is_a_reading():
    values = {"temperature_c": 21, "humidity": 55, "surface_c": 17, "speed_m_s": 0.2}

    reading = Gather().take(message(**values), now=NOON)

    assert reading == Reading(NOON, 21, 55, 17, 0.2, "sensor")


@pytest.mark.parametrize("apart", [timedelta(0), timedelta(minutes=2)])
def test_what_arrives_apart_within_two_minutes_belongs_together(apart):
    gather = Gather()

    first = gather.take(message(humidity=55), now=NOON)
    second = gather.take(message(temperature_c=21), now=NOON + apart)

    assert first is None
    assert second == Reading(NOON + apart, 21, 55, source="sensor")


def test_what_arrives_further_apart_does_not_belong_together():
    gather = Gather()
    gather.take(message(humidity=55), now=NOON)

    late = NOON + 2 * MINUTE + timedelta(seconds=1)

    assert gather.take(message(temperature_c=21), now=late) is None


def test_two_sensors_are_not_joined():
    gather = Gather()
    gather.take(message("glaze store", humidity=55), now=NOON)

    assert gather.take(message("kiln room", temperature_c=21), now=NOON) is None


def test_one_reading_in_five_minutes_is_kept():
    gather = Gather()
    values = {"temperature_c": 21, "humidity": 55}

    kept = [
        minute
        for minute in range(13)
        if gather.take(message(**values), now=NOON + minute * MINUTE) is not None
    ]

    assert kept == [0, 5, 10]


def test_how_often_is_a_setting():
    gather = Gather(every=timedelta(0))
    gather.take(message(temperature_c=21, humidity=55), now=NOON)

    assert gather.take(message(temperature_c=21, humidity=55), now=NOON) is not None


@pytest.mark.parametrize(
    ("temperature", "humidity", "kept"),
    [
        (21.1, 55, True),
        (19.1, 55, True),
        (21.0, 59.9, False),
        (20.1, 60, True),
        (20.1, 50, True),
    ],
)
def test_a_jump_is_kept_at_once(temperature, humidity, kept):
    gather = Gather()
    gather.take(message(temperature_c=20.1, humidity=55), now=NOON)

    found = gather.take(message(temperature_c=temperature, humidity=humidity), now=NOON + MINUTE)

    assert (found is not None) == kept


def test_a_slow_drift_is_measured_from_the_last_one_kept():
    gather = Gather()
    warming = [20.0, 20.4, 20.8, 21.2]

    kept = [
        value
        for second, value in enumerate(warming)
        if gather.take(
            message(temperature_c=value, humidity=55), now=NOON + timedelta(seconds=second)
        )
    ]

    assert kept == [20.0, 21.2]


def test_a_retained_message_is_no_reading_of_now():
    gather = Gather()

    assert gather.take(message(temperature_c=21, humidity=55), now=NOON, retained=True) is None
    assert gather.take(message(temperature_c=21), now=NOON) is None


def test_a_retained_message_with_its_own_time_is_a_reading_of_that_time():
    at = NOON - timedelta(hours=3)

    reading = Gather().take(message(at=at, temperature_c=21, humidity=55), now=NOON, retained=True)

    assert reading == Reading(at, 21, 55, source="sensor")


def test_the_same_retained_message_again_is_no_second_reading():
    gather, at = Gather(), NOON - timedelta(hours=3)
    gather.take(message(at=at, temperature_c=21, humidity=55), now=NOON, retained=True)

    again = gather.take(message(at=at, temperature_c=21, humidity=55), now=NOON, retained=True)

    assert again is None


def test_a_surface_that_arrives_last_completes_the_reading_of_the_same_moment():
    gather = Gather()
    gather.take(message(temperature_c=21, humidity=55), now=NOON)
    soon = NOON + timedelta(seconds=2)

    completed = gather.take(message(surface_c=17), now=soon)
    again = gather.take(message(surface_c=17.5), now=soon)
    faster = gather.take(message(speed_m_s=0.2), now=soon)

    assert completed == Reading(NOON, 21, 55, 17, source="sensor")
    assert again is None
    assert faster == Reading(NOON, 21, 55, 17, 0.2, "sensor")


def test_a_surface_without_a_reading_to_complete_is_none():
    gather = Gather()

    before = gather.take(message(surface_c=17), now=NOON - 3 * MINUTE)
    gather.take(message(temperature_c=21, humidity=55), now=NOON)
    late = gather.take(message(surface_c=17), now=NOON + 3 * MINUTE)

    assert before is None
    assert late is None


def test_a_message_without_values_is_no_reading():
    gather = Gather()
    gather.take(message(temperature_c=21, humidity=55), now=NOON)

    assert gather.take(message(), now=NOON + timedelta(hours=1)) is None


def test_the_longest_silent_sensor_is_forgotten_when_there_are_too_many():
    gather = Gather()
    for number in range(MOST_SENSORS):
        gather.take(message(f"sensor {number}", humidity=55), now=NOON)
    gather.take(message("sensor 0", humidity=55), now=NOON)

    gather.take(message("one more", humidity=55), now=NOON)

    assert gather.take(message("sensor 1", temperature_c=21), now=NOON) is None
    assert gather.take(message("sensor 0", temperature_c=21), now=NOON) is not None
