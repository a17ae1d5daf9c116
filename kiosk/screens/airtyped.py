"""Hold what was typed of a reading, and read it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from kiosk.rules.air import Reading, check_reading
from kiosk.rules.airwords import read_humidity, read_temperature
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.screens.flow import say_problems

# What a problem with a reading is about, as kiosk.rules.air names it: which figure to type again.
_COLUMNS = {"temperature": "warm", "humidity": "damp", "surface temperature": "panel"}


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed so far, as typed; panel is None where it is not asked for."""

    warm: str = ""
    damp: str = ""
    panel: str | None = ""


def read_typed(
    typed: Typed, *, fahrenheit: bool
) -> tuple[float | None, float | None, float | None]:
    """Return temperature, humidity and the panel's own temperature in °C and %; None if unread."""
    panel = _read("panel", typed.panel, fahrenheit=fahrenheit)[0] if typed.panel else None
    warm = _read("warm", typed.warm, fahrenheit=fahrenheit)[0]
    return warm, _read("damp", typed.damp, fahrenheit=fahrenheit)[0], panel


def wrong_with(name: str, text: str, *, fahrenheit: bool) -> str:
    """Return in words what is wrong with one figure (warm, damp, panel), nothing if it will do."""
    if not text.strip("-"):
        return _("Nothing is typed yet.")
    value, wrong = _read(name, text, fahrenheit=fahrenheit)
    if wrong or value is None:
        return wrong or say("{text} is no figure.", text=text)
    at = datetime(2000, 1, 1, tzinfo=UTC)  # any time will do: only the figures are judged here
    figures = {"warm": 20.0, "damp": 50.0, name: value}
    reading = Reading(at, figures["warm"], figures["damp"], figures.get("panel"))
    return say_problems(check_reading(reading, now=at))


def name_of(problem: Problem) -> str:
    """Return which figure a problem is about, empty where it is about none."""
    return _COLUMNS.get(problem.column or "", "")


def _read(name: str, text: str, *, fahrenheit: bool) -> tuple[float | None, str]:
    return read_humidity(text) if name == "damp" else read_temperature(text, fahrenheit=fahrenheit)
