"""Read settings from text and write them as text; say the zone and the file they lead to."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Mapping
from datetime import UTC, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from kiosk.config import SETTINGS, PlaceSetting, Setting, Settings
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, join, say
from kiosk.settingkinds import Zone

_zone = Zone()
HOURS = frozenset({"opens_at", "closes_at", "break_starts", "break_minutes"})
_USUAL = {setting.name: setting.default for setting in SETTINGS}


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
    for one in contradictions(values, data):
        problems.append(join((one.message, one.remedy)))
        if one.column == "closes_at":
            values |= {name: _USUAL[name] for name in ("opens_at", "closes_at")}
    values["places"] = tuple(
        PlaceSetting(place["name"], int(place["slots"]), place["role"])
        for place in values["places"]
    )
    return Settings(**values), tuple(problems)


def contradictions(values: Mapping[str, Any], given: Collection[str]) -> tuple[Problem, ...]:
    """Return where the hours of a shop contradict each other; each value alone is sound.

    Args:
        values: of all settings by name; those that concern the hours are looked at.
        given: which of them a person wrote: a break nobody wrote is left out in a short day.
    """
    opens, closes = values["opens_at"], values["closes_at"]
    said = {"opens": opens, "closes": closes}
    if closes <= opens:
        words = say("opens_at {opens} is not before closes_at {closes}.", **said)
        usual = {"opens": _USUAL["opens_at"], "closes": _USUAL["closes_at"]}
        remedy = say("Set them apart; {opens} and {closes} are used meanwhile.", **usual)
        return (Problem(words, remedy, column="closes_at", value=closes),)
    minutes, starts = values["break_minutes"], values["break_starts"]
    if not minutes or not {"break_starts", "break_minutes"} & set(given):
        return ()
    if minutes >= _minute(closes) - _minute(opens):
        words = say(
            "break_minutes {n} is as long as the day, {opens} to {closes}.", n=minutes, **said
        )
        remedy = _("Set fewer minutes; 0: no break.")
        return (Problem(words, remedy, column="break_minutes", value=str(minutes)),)
    if not _minute(opens) <= _minute(starts) <= _minute(closes) - minutes:
        told = {"starts": starts, "n": minutes}
        words = say(
            "A break of {n} minutes from {starts} is not within {opens} to {closes}.",
            **told,
            **said,
        )
        remedy = _("Set break_starts to a time within them, or break_minutes to 0 for no break.")
        return (Problem(words, remedy, column="break_starts", value=starts),)
    return ()


def _minute(clock: str) -> int:
    hours, minutes = clock.split(":")
    return 60 * int(hours) + int(minutes)


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
