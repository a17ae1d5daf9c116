"""Read and say temperatures and humidities the way people do."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, number, say

# The same as a reading's limits; what could not be read need not be asked about either.
LOWEST_C, HIGHEST_C = -20.0, 60.0

_NUMBER: Final = r"[-−+]?[0-9]{1,9}(?:[.,][0-9]{1,9})?(?![.,]?[0-9])"
_DEGREES: Final = (
    r"(?:(?:°|º|deg(?:rees?)?\.?|grad)? ?(?:c|f|celsius|fahrenheit)|℃|℉|°|º|deg(?:rees?)?|grad)"
)
_RELATIVE: Final = r"(?:r\.? ?h\.?|r\.? ?f\.?|h\.? ?r\.?|r\.? ?v\.?)"
_MOISTURE: Final = rf"(?:(?:%|percent) ?{_RELATIVE}?|{_RELATIVE})"
_BETWEEN: Final = r"(?: ?(?:[,;/]|\band\b) ?| )"
_TEMPERATURE: Final = re.compile(rf"({_NUMBER}) ?({_DEGREES})?")
_HUMIDITY: Final = re.compile(rf"({_NUMBER}) ?{_MOISTURE}?")
_BOTH: Final = re.compile(rf"({_NUMBER} ?{_DEGREES}?){_BETWEEN}({_NUMBER} ?{_MOISTURE}?)")
_NAMES_C: Final = ("c", "celsius", "℃")
_NAMES_F: Final = ("f", "fahrenheit", "℉")
AIR_EXAMPLE: Final = _("Write a temperature and a humidity, such as 22C 45%.")


@lru_cache(maxsize=4096)
def read_temperature(text: str, *, fahrenheit: bool) -> tuple[float | None, str]:
    """Read `18C`, `18,5 °C`, `64 °F` or a plain number in the shop's own unit.

    Returns:
        The temperature in °C, to a thousandth, and '', or None and what is wrong. Whether a
        shop can be so warm is not judged here.
    """
    found = _TEMPERATURE.fullmatch(_tidy(text))
    if found is None:
        if not text.strip():
            return None, _("The temperature is missing.")
        return None, say("“{text}” is no temperature.", text=text.strip())
    value, unit = read_number(found[1]), found[2] or ""
    if not unit.endswith(_NAMES_C) and (fahrenheit or unit.endswith(_NAMES_F)):
        value = (value - 32) * 5 / 9
    return round(value, 3), ""


@lru_cache(maxsize=4096)
def read_humidity(text: str) -> tuple[float | None, str]:
    """Read `65`, `65 %` or `65,5 % RH`.

    Returns:
        The relative humidity in % and '', or None and what is wrong: between 0 and 1 it is taken
        for a share of one, as no shop is so dry. More than 100 is not judged here.
    """
    found = _HUMIDITY.fullmatch(_tidy(text))
    if found is None:
        if not text.strip():
            return None, _("The humidity is missing.")
        return None, say("“{text}” is no relative humidity.", text=text.strip())
    value = read_number(found[1])
    if 0 < value < 1:
        return None, say(
            "“{text}” is below 1 %; is it {likely:g} %?",
            text=text.strip(),
            likely=round(value * 100, 2),
        )
    return value, ""


def read_air(
    text: str, *, fahrenheit: bool
) -> tuple[tuple[float, float] | None, tuple[Problem, ...]]:
    """Read both as one text: `22 °C, 45 %`, `22C 45%`, `72F/45`.

    Refused: a temperature outside -20 to 60 °C, a humidity outside 0 to 100 %.

    Returns:
        Temperature in °C and humidity in % without problems, or None and every problem.
    """
    found = _BOTH.fullmatch(_tidy(text))
    if found is None:
        words = say("“{text}” is not an air.", text=text.strip())
        return None, (Problem(words, AIR_EXAMPLE, column="air", value=text),)
    temperature, _ = read_temperature(found[1], fahrenheit=fahrenheit)
    humidity, damp = read_humidity(found[2])
    problems = _out_of_range(temperature, humidity, text, fahrenheit=fahrenheit)
    if damp:
        problems = (*problems, Problem(damp, AIR_EXAMPLE, column="humidity", value=text))
    if temperature is None or humidity is None or problems:
        return None, problems
    return (temperature, humidity), ()


def _out_of_range(
    temperature: float | None, humidity: float | None, text: str, *, fahrenheit: bool
) -> tuple[Problem, ...]:
    """Return what no shop's air can be."""
    found: tuple[Problem, ...] = ()
    if temperature is not None and not LOWEST_C <= temperature <= HIGHEST_C:
        is_now, low, high = (
            show_temperature(one, fahrenheit=fahrenheit)
            for one in (temperature, LOWEST_C, HIGHEST_C)
        )
        words, remedy = (
            say("{is_now} is no temperature of a shop.", is_now=is_now),
            say("Write {low} to {high}.", low=low, high=high),
        )
        found = (Problem(words, remedy, column="temperature", value=text),)
    if humidity is not None and not 0 < humidity <= 100:
        words, remedy = (
            say("{humidity:g} % is no relative humidity.", humidity=humidity),
            _("Write more than 0, up to 100 %."),
        )
        found = (*found, Problem(words, remedy, column="humidity", value=text))
    return found


def show_temperature(temperature_c: float, *, fahrenheit: bool) -> str:
    """Return a temperature in the shop's own unit, to a tenth: `18 °C`, `64.4 °F`."""
    value = temperature_c * 9 / 5 + 32 if fahrenheit else temperature_c
    return number(f"{round(value, 1) + 0.0:g} °{'F' if fahrenheit else 'C'}")


def read_number(text: str) -> float:
    """Return a number of up to nine digits before and behind its point or comma."""
    return float(text.replace(",", ".").replace("−", "-"))


def _tidy(text: str) -> str:
    return " ".join(text.lower().split())
