"""Read settings from text and write them as text; say the zone and the file they lead to."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import UTC, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from kiosk.config import SETTINGS, PlaceSetting, Setting, Settings
from kiosk.rules.words import _, say
from kiosk.settingkinds import Zone

_zone = Zone()


def load(text: str) -> tuple[Settings, tuple[str, ...]]:
    """Read settings from TOML text.

    Returns:
        The settings, with the default where a value is missing or wrong, and every problem.
    """
    problems: list[str] = []
    try:
        data = tomllib.loads(text.removeprefix("\ufeff"))  # a mark some editors put first
    except (ValueError, RecursionError) as error:  # too many digits, too many brackets
        data = {}
        problems.append(
            say("settings.toml is not readable: {error}; the defaults are used", error=error)
        )
    names = [setting.name for setting in SETTINGS]
    for key in data:
        if key not in names:
            import difflib  # only where there is a slip to explain

            near = difflib.get_close_matches(key, names, n=1)
            hint = say("; did you mean {name}?", name=near[0]) if near else ""
            problems.append(say("there is no setting {name}{hint}", name=_said(key), hint=hint))
    values = {}
    for setting in SETTINGS:
        value = data.get(setting.name, setting.default)
        if problem := setting.check(value):
            problems.append(_say_wrong(setting, value, problem))
            value = setting.default
        values[setting.name] = value
    values["places"] = tuple(
        PlaceSetting(place["name"], int(place["slots"]), place["role"])
        for place in values["places"]
    )
    return Settings(**values), tuple(problems)


def _say_wrong(setting: Setting, value: Any, problem: str) -> str:
    said = {"name": setting.name, "value": _said(value), "wrong": problem}
    if setting.name == "places":
        return say("{name} = {value} {wrong}; the usual ones are used", **said)
    usual = repr(setting.default)
    return say("{name} = {value} {wrong}; {usual} is used", usual=usual, **said)


def _said(value: Any) -> str:
    """Return a value as a person wrote it, cut to a length that can be read."""
    try:
        text = value if isinstance(value, str) and value.isidentifier() else repr(value)
    except (ValueError, RecursionError):  # more digits than Python prints
        return _("this value")
    return text if len(text) <= 60 else f"{text[:57]}..."


def write_commented(settings: Settings) -> str:
    """Return the settings as a TOML file with a sentence above each."""
    lines = ["# Settings of this kiosk. Keep it as settings.toml beside the shop's file.", ""]
    for setting in SETTINGS:
        lines.append(f"# {setting.sentence}")
        lines.append(f"{setting.name} = {_toml(getattr(settings, setting.name))}")
        lines.append("")
    return "\n".join(lines)


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        escaped = "".join(
            f"\\u{ord(letter):04x}" if letter < " " or letter == "\x7f" else letter
            for letter in value.replace("\\", "\\\\").replace('"', '\\"')
        )
        return f'"{escaped}"'
    if isinstance(value, tuple):
        rows = [
            f'  {{ name = {_toml(one.name)}, slots = {one.slots}, role = "{one.role}" }},'
            for one in value
        ]
        return "\n".join(["[", *rows, "]"])
    return repr(value)


def zone_of(settings: Settings) -> tzinfo:
    """Return the time zone the shop's times are said in."""
    if settings.zone != "local":
        return ZoneInfo(settings.zone)
    return _machine_zone()


def _machine_zone() -> tzinfo:
    """Return the machine's zone by name where it has one, so that summer time is known ahead."""
    link = Path("/etc/localtime")
    if link.is_symlink():
        name = str(link.resolve()).partition("zoneinfo/")[2]
        if name and not _zone(name):
            return ZoneInfo(name)
    return UTC


def shop_path(explicit: str | None, env: Mapping[str, str]) -> Path:
    """Return the shop's file: as named, else CLEATCLOCK_SHOP, else in the user's data folder."""
    named = explicit or env.get("CLEATCLOCK_SHOP")
    if named:
        return Path(named).expanduser()
    import platformdirs  # an appliance names its file

    return Path(platformdirs.user_data_dir("cleatclock")) / "shop.db"
