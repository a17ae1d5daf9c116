"""Know the names, units and numbers sensors write, however they spell them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from kiosk.rules.words import _, say

TITLES = {
    "temperature_c": _("temperature"),
    "humidity": _("humidity"),
    "surface_c": _("surface temperature"),
    "speed_m_s": _("air speed"),
}
_NAMES = {
    "temperature_c": "temperature temp t airtemperature airtemp",
    "humidity": "humidity hum rh h relativehumidity relhumidity airhumidity",
    "surface_c": "surface surfacetemperature surfacetemp surfacet paneltemperature paneltemp "
    "panelt",
    "speed_m_s": "airspeed airvelocity",
}
# unit -> factor and what is added after it; °F by its definition, foot and mile by theirs
# (0.3048 m and 1609.344 m, international yard and pound agreement of 1959)
_TEMPERATURE = dict.fromkeys(("", "c", "celsius"), (1.0, 0.0)) | dict.fromkeys(
    ("f", "fahrenheit"), (5 / 9, -160 / 9)
)
_SPEED = dict.fromkeys(("", "ms", "mps"), (1.0, 0.0)) | {
    "kmh": (1 / 3.6, 0.0),
    "mph": (1609.344 / 3600, 0.0),
    "ftmin": (0.3048 / 60, 0.0),
}
_UNITS = {
    "temperature_c": _TEMPERATURE,
    "humidity": dict.fromkeys(("", "rh", "percent", "percentrh", "pct"), (1.0, 0.0)),
    "surface_c": _TEMPERATURE,
    "speed_m_s": _SPEED,
}
# every spelling of a name, with and without a unit behind it -> quantity and unit
SPELT = {
    name + between + unit: (quantity, unit)
    for quantity, names in _NAMES.items()
    for name in names.split()
    for between in ("", "deg", "value", "in")
    for unit in _UNITS[quantity]
    if unit or between in ("", "value")
} | {"speedms": ("speed_m_s", "ms")}
LONGEST_NUMBER = 60  # letters, its unit with it (choice)
_UNIT_KEYS = ("unit", "units", "temperatureunit", "tempunit")
_NUMBER = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(\D*)")


@dataclass(frozen=True, slots=True)
class Found:
    """One value as a message has it; unit is plain, empty for our own."""

    quantity: str
    value: Any  # Any: JSON
    unit: str


def plain(name: str) -> str:
    """Return a name without case, gaps and signs: Relative-Humidity and relativeHumidity agree."""
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def named(data: Mapping[str, Any], parent: str) -> Iterator[Found]:
    """Yield every value of the air in an object; parent is the plain name it stands under."""
    by_name = {plain(key): value for key, value in data.items()}
    units = (_unit(str(by_name[key])) for key in _UNIT_KEYS if key in by_name)
    stated = next((unit for unit in units if unit in _TEMPERATURE), "")
    for key, value in by_name.items():
        known = SPELT.get(parent + key) or SPELT.get(key)
        if known and not isinstance(value, dict):
            quantity, unit = known
            fallback = stated if _UNITS[quantity] is _TEMPERATURE else ""
            yield Found(quantity, value, unit or fallback)


def settle(found: list[Found]) -> tuple[dict[str, float], list[str]]:
    """Return one value for each quantity; of two that differ by more than 1 neither counts.

    So much differ the same temperature in whole °C and in whole °F.
    """
    values: dict[str, float] = {}
    problems, twice = [], set()
    for one in found:
        value, problem = _number(one)
        if value is None:
            problems.append(problem)
        elif abs(values.setdefault(one.quantity, value) - value) > 1:
            twice.add(one.quantity)
    for quantity in sorted(twice):
        del values[quantity]
        problems.append(
            say("The message says two different things of the {title}.", title=TITLES[quantity])
        )
    return values, problems


def _number(found: Found) -> tuple[float | None, str]:
    """Return a value in our own unit, and what is wrong with it or nothing."""
    value, unit, title = found.value, found.unit, TITLES[found.quantity]
    none = say(
        "The {title} {said} is no number; let the sensor send one such as 21.5.",
        title=title,
        said=_said(value),
    )
    if isinstance(value, str):
        short = value.strip()
        parts = _NUMBER.fullmatch(short) if len(short) <= LONGEST_NUMBER else None
        if parts is None:
            return None, none
        value, unit = float(parts[1].replace(",", ".")), _unit(parts[2]) or unit
    if not isinstance(value, float) or not isfinite(value):
        return None, none
    if unit not in _UNITS[found.quantity]:
        return None, say(
            "The {title} {said} has an unknown unit; send °C, % and m/s.",
            title=title,
            said=_said(found.value),
        )
    if found.quantity == "humidity" and 0 < value <= 1:
        return None, say(
            "The humidity {value:g} looks like a share; let the sensor send per cent.", value=value
        )
    factor, add = _UNITS[found.quantity][unit]
    return round(value * factor + add, 3), ""


def _unit(text: str) -> str:
    """Return a unit as the tables above spell it: °F, degF and F are f."""
    # º, an ordinal's sign, is often typed for °
    for sign, word in (("℃", "c"), ("℉", "f"), ("%", "percent"), ("º", "")):
        text = text.replace(sign, word)
    # signs alone, such as $, stay what they are: no unit we know
    return re.sub("^deg(rees?)?", "", plain(text) or text.strip(" °"))


def _said(value: Any) -> str:
    words = repr(value)
    return words if len(words) <= 40 else f"{words[:37]}..."
