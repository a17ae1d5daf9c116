"""Say what a setting is set to, in words."""

from __future__ import annotations

from typing import Any

from kiosk.config import Setting
from kiosk.language import LANGUAGES
from kiosk.rules.words import _, known, number, say, say_n
from kiosk.settingkinds import Number, Places, YesNo, Zone
from labels.layouts import NAMES

SECRET = "mqtt_password"
NONE = _("none")
_LONGEST = 34  # of an address in a list; its end tells more than its beginning
_WORDS: dict[str, dict[str, str]] = {
    "station": {
        "cut": _("Cut"),
        "assemble": _("Assemble"),
        "finish": _("Finish"),
        "install": _("Install"),
    },
    "units": {"mm": _("Millimetres"), "inch": _("Inches")},
    "temperature": {"C": "°C", "F": "°F"},
    "scanner_suffix": {
        "any": _("Any of these"),
        "enter": _("Enter"),
        "tab": _("Tab"),
        "none": _("Nothing"),
    },
    "scanner_layout": {"": _("Guess it"), **{name: known(name, "layout") for name in NAMES}},
    "theme": {"light": _("light"), "dark": _("dark")},
    "language": LANGUAGES,
}
UNITS = {"in": _("in"), "m": _("m"), "s": _("s")}


def value_words(setting: Setting, value: Any) -> str:  # Any: a TOML value
    """Return a value of a setting as people read it."""
    if isinstance(setting.check, YesNo):
        return _("Yes") if value else _("No")
    if isinstance(setting.check, Places):
        return say_n("{n} place", "{n} places", len(value))
    if isinstance(setting.check, Zone) and value == "local":
        return _("As this computer")
    if isinstance(setting.check, Number) and setting.check.or_zero and not value:
        return _("the same as the bench")
    if isinstance(setting.check, Number):
        figure = number(f"{value:g}")
        unit = UNITS.get(setting.unit, setting.unit)
        return say("{figure}\u00a0{unit}", figure=figure, unit=unit) if unit else figure
    words = _WORDS.get(setting.name, {})
    if isinstance(value, str) and value in words:
        return words[value]
    text = str(value)
    if not text:
        return NONE
    if setting.name == SECRET:
        return _("set")
    return text if len(text) <= _LONGEST else f"…{text[1 - _LONGEST :]}"


def role_words(role: str) -> str:
    """Return what rests at a place of this role."""
    roles = {
        "glue": _("clamps: glue cures"),
        "coat": _("coats dry"),
        "ready": _("ready to hang"),
    }
    return roles.get(role, role)
