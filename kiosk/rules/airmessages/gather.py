"""Join what a sensor sends in several messages, and thin what it sends too often."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from kiosk.rules.air import Reading
from kiosk.rules.airmessages.message import Message

TOGETHER: Final = timedelta(minutes=2)  # what one sensor sends in parts belongs together so long
EVERY: Final = timedelta(minutes=5)  # all four are choices
JUMP_C, JUMP_HUMIDITY = 1.0, 5.0  # °C and %: such a change is kept at once
MOST_SENSORS: Final = 500  # a topic of everything may name any number; the longest silent goes


class _Sensor:
    """What is known of one sensor: the latest of each quantity and the reading last kept."""

    __slots__ = ("kept", "latest")

    def __init__(self) -> None:
        self.latest: dict[str, tuple[float, datetime]] = {}
        self.kept: Reading | None = None

    def value(self, quantity: str, when: datetime) -> float | None:
        value, at = self.latest.get(quantity, (None, when))
        return value if abs(when - at) <= TOGETHER else None


class Gather:
    """Joins what one sensor sends in several messages, and thins what it sends too often."""

    def __init__(self, *, every: timedelta = EVERY) -> None:
        self._every = every
        self._sensors: dict[str, _Sensor] = {}

    def take(self, message: Message, *, now: datetime, retained: bool = False) -> Reading | None:
        """Take a message and return the reading it makes, None where it makes none.

        A retained message was published at some earlier time: without a time of its own it is
        refused. A surface temperature or air speed that arrives after the reading it belongs to
        returns that reading once more, of the same moment, with it.
        """
        # one half that cannot be right makes the other half doubtful too
        if not message.values or message.problems or (retained and message.at is None):
            return None
        when = message.at or now
        # taken out and put in again, so that the longest silent sensor stands first
        sensor = self._sensors.pop(message.sensor, None) or _Sensor()
        self._sensors[message.sensor] = sensor
        if len(self._sensors) > MOST_SENSORS:
            del self._sensors[next(iter(self._sensors))]
        sensor.latest.update({key: (value, when) for key, value in message.values.items()})
        if message.values.keys() & {"temperature_c", "humidity"}:
            reading = self._joined(sensor, when)
        else:
            reading = _filled(sensor, when)
        sensor.kept = reading or sensor.kept
        return reading

    def _joined(self, sensor: _Sensor, when: datetime) -> Reading | None:
        temperature, humidity = sensor.value("temperature_c", when), sensor.value("humidity", when)
        if temperature is None or humidity is None:
            return None
        kept = sensor.kept
        # rounded: 21.1 - 20.1 must count as 1
        if (
            kept is not None
            and abs(when - kept.at) < self._every
            and round(abs(temperature - kept.temperature_c), 6) < JUMP_C
            and round(abs(humidity - kept.humidity), 6) < JUMP_HUMIDITY
        ):
            return None
        surface, speed = sensor.value("surface_c", when), sensor.value("speed_m_s", when)
        return Reading(when, temperature, humidity, surface, speed, "sensor")


def _filled(sensor: _Sensor, when: datetime) -> Reading | None:
    """Return the kept reading with what it lacked and has arrived since, None without news."""
    kept = sensor.kept
    if kept is None or abs(when - kept.at) > TOGETHER:
        return None
    surface, speed = sensor.value("surface_c", when), sensor.value("speed_m_s", when)
    whole = replace(
        kept,
        surface_c=surface if kept.surface_c is None else kept.surface_c,
        speed_m_s=speed if kept.speed_m_s is None else kept.speed_m_s,
    )
    return None if whole == kept else whole
