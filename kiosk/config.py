"""The settings of one kiosk: one table gives the defaults, the checks and the commented file."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import platformdirs

from kiosk.language import LANGUAGES
from kiosk.palette import THEMES
from kiosk.rules.route import STATIONS
from labels.codes import ALPHABET
from labels.layouts import NAMES

PAPERS = ("a4", "letter")
ROLES = ("glue", "coat", "ready")


@dataclass(frozen=True, slots=True)
class PlaceSetting:
    """A place where units rest or wait: its name, its slots, and what rests there."""

    name: str
    slots: int
    role: str


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings of one kiosk; the table SETTINGS says what each means."""

    shop: str
    language: str
    zone: str
    kiosk_letter: str
    station: str
    person: str
    units: str
    label_stock: str
    label_dpi: int
    printer: str
    print_at_once: bool
    camera: str
    scanner_device: str
    scanner_layout: str
    glue: str
    filler: str
    wall_paint: str
    stripe: str
    temperature: str
    closes_at: str
    mqtt_host: str
    mqtt_port: int
    mqtt_topic: str
    mqtt_user: str
    mqtt_password: str
    mqtt_tls: bool
    repeat_seconds: int
    screen_diagonal_in: float
    viewing_distance_m: float
    board_diagonal_in: float
    board_distance_m: float
    theme: str
    paper: str
    sound: bool
    sound_volume: int
    left_handed: bool
    scanner_suffix: str
    places: tuple[PlaceSetting, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting; its type is the default's, the check returns '' or what is wrong."""

    name: str
    default: Any  # Any: a TOML value
    sentence: str
    check: Callable[[Any], str]
    unit: str = ""


def _among(*words: object) -> Callable[[Any], str]:
    def check(value: Any) -> str:
        sound = any(type(value) is type(word) and value == word for word in words)
        return "" if sound else f"is none of {', '.join(map(str, words))}"

    return check


def _number(low: float, high: float) -> Callable[[Any], str]:
    def check(value: Any) -> str:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return "is no number"
        return "" if low <= value <= high else f"is not between {low:g} and {high:g}"

    return check


def _whole(low: int, high: int) -> Callable[[Any], str]:
    def check(value: Any) -> str:
        return "is no whole number" if isinstance(value, float) else _number(low, high)(value)

    return check


def _or_none(check: Callable[[Any], str]) -> Callable[[Any], str]:
    def checked(value: Any) -> str:
        return "" if value == 0 and not isinstance(value, bool) else check(value)

    return checked


def _text(value: Any) -> str:
    return "" if isinstance(value, str) and len(value) <= 80 else "is no short text"


def _yes_no(value: Any) -> str:
    return "" if isinstance(value, bool) else "is neither true nor false"


def _zone(value: Any) -> str:
    if value == "local":
        return ""
    try:
        ZoneInfo(str(value))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return "is no time zone; write one such as Europe/Dublin, or local"
    return ""


def _clock(value: Any) -> str:
    sound = isinstance(value, str) and re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", value)
    return "" if sound else "is no time of day; write one such as 17:00"


def _letter(value: Any) -> str:
    sound = isinstance(value, str) and len(value) == 1 and value in ALPHABET
    return "" if sound else f"is not one of {ALPHABET}"


def _places(value: Any) -> str:
    if not isinstance(value, list):
        return "is no list of places"
    names = set()
    for place in value:
        if not isinstance(place, dict) or place.keys() != {"name", "slots", "role"}:
            return 'holds something other than { name = "Rack", slots = 6, role = "coat" }'
        if _text(place["name"]) or not place["name"].strip():
            return "holds a place without a short name"
        if place["name"] in names:
            return f"names {place['name']} twice"
        names.add(place["name"])
        if problem := _whole(1, 40)(place.get("slots")):
            return f"{place['name']}: slots {problem}"
        if problem := _among(*ROLES)(place.get("role")):
            return f"{place['name']}: role {problem}"
    return ""


_DEFAULT_PLACES = [
    {"name": "Clamp bench", "slots": 4, "role": "glue"},
    {"name": "Rack", "slots": 6, "role": "coat"},
    {"name": "By the door", "slots": 4, "role": "ready"},
]

SETTINGS: tuple[Setting, ...] = (
    Setting("shop", "", "The shop's name, said above the board's text.", _text),
    Setting("language", "en", "The language the kiosk is read in.", _among(*LANGUAGES)),
    Setting("zone", "local", "Time zone the shop's times are said in.", _zone),
    Setting(
        "kiosk_letter", "K", "First letter of this kiosk's part codes; one per kiosk.", _letter
    ),
    Setting("station", "cut", "The station this kiosk stands at.", _among(*STATIONS)),
    Setting("person", "", "Who works here when nobody says otherwise.", _text),
    Setting("units", "mm", "How new jobs show lengths: mm or inch.", _among("mm", "inch")),
    Setting("label_stock", "50x25", "The label stock in the printer.", _text),
    Setting("label_dpi", 203, "The printer's dots per inch.", _among(203, 300, 600)),
    Setting(
        "printer",
        "",
        "Where labels are printed: a print queue's name or ipp://…; empty: PDF.",
        _text,
    ),
    Setting(
        "print_at_once",
        False,
        "Print a part's label when it is cut, a unit's when it is glued up.",
        _yes_no,
    ),
    Setting("camera", "", "Camera that reads labels, by number, such as 0; empty: none.", _text),
    Setting(
        "scanner_device", "", "Scanner read directly, by its path below /dev/input (Linux).", _text
    ),
    Setting(
        "scanner_layout",
        "",
        f"Keyboard layout to undo, where it is not guessed: {', '.join(NAMES)}.",
        _among("", *NAMES),
    ),
    Setting("glue", "pva-interior", "The glue units are glued up with, a product's key.", _text),
    Setting("filler", "filler-water", "The filler, a product's key.", _text),
    Setting("wall_paint", "enamel", "What walls are painted with, a product's key.", _text),
    Setting("stripe", "enamel", "What accent stripes are painted with, a product's key.", _text),
    Setting("temperature", "C", "How temperatures are shown: C or F.", _among("C", "F")),
    Setting("closes_at", "17:00", "When the shop closes; oily rags are asked for then.", _clock),
    Setting("mqtt_host", "", "Host of an MQTT broker with air sensors; empty: no sensors.", _text),
    Setting("mqtt_port", 1883, "The broker's port.", _whole(1, 65535)),
    Setting("mqtt_topic", "", "Topic of the sensor in the shop; one place, one topic.", _text),
    Setting("mqtt_user", "", "User at the broker, if it asks for one.", _text),
    Setting("mqtt_password", "", "Password at the broker.", _text),
    Setting("mqtt_tls", False, "Speak TLS with the broker.", _yes_no),
    Setting(
        "repeat_seconds",
        60,
        "A second read of a label within this many seconds is taken for a repeat.",
        _whole(0, 3600),
        "s",
    ),
    Setting(
        "screen_diagonal_in", 43.0, "Diagonal of this screen in inches.", _number(5, 120), "in"
    ),
    Setting(
        "viewing_distance_m",
        4.0,
        "From how far the board is read, in metres.",
        _number(0.3, 15),
        "m",
    ),
    Setting(
        "board_diagonal_in",
        0.0,
        "Diagonal of the screen that `open --board` fills, if it is another; 0: the same.",
        _or_none(_number(5, 120)),
        "in",
    ),
    Setting(
        "board_distance_m",
        0.0,
        "From how far that screen is read; 0: as viewing_distance_m.",
        _or_none(_number(0.3, 15)),
        "m",
    ),
    Setting(
        "theme",
        "light",
        "Colours: light, or dark for a dim room; from the next start.",
        _among(*THEMES),
    ),
    Setting("paper", "a4", "Paper that lists are printed on: a4 or letter.", _among(*PAPERS)),
    Setting("sound", True, "Say scan results by sound too.", _yes_no),
    Setting("sound_volume", 100, "How loud the sounds are, 0 to 100.", _whole(0, 100), "%"),
    Setting("left_handed", False, "Put the buttons on the left.", _yes_no),
    Setting(
        "scanner_suffix",
        "any",
        "What the scanner sends after a code: enter, tab, none, or any of these.",
        _among("any", "enter", "tab", "none"),
    ),
    Setting(
        "places",
        _DEFAULT_PLACES,
        "Where units rest; role: glue (clamps), coat (drying), ready (to hang).",
        _places,
    ),
)
assert [setting.name for setting in SETTINGS] == [field.name for field in fields(Settings)]


def load(text: str) -> tuple[Settings, tuple[str, ...]]:
    """Read settings from TOML text.

    Returns:
        The settings, with the default where a value is missing or wrong, and every problem.
    """
    problems = []
    try:
        data = tomllib.loads(text.removeprefix("\ufeff"))  # a mark some editors put first
    except (ValueError, RecursionError) as error:  # too many digits, too many brackets
        data = {}
        problems.append(f"settings.toml is not readable: {error}; the defaults are used")
    names = [setting.name for setting in SETTINGS]
    for key in data:
        if key not in names:
            near = difflib.get_close_matches(key, names, n=1)
            hint = f"; did you mean {near[0]}?" if near else ""
            problems.append(f"there is no setting {_said(key)}{hint}")
    values = {}
    for setting in SETTINGS:
        value = data.get(setting.name, setting.default)
        if problem := setting.check(value):
            used = "the usual ones are" if setting.name == "places" else f"{setting.default!r} is"
            problems.append(f"{setting.name} = {_said(value)} {problem}; {used} used")
            value = setting.default
        values[setting.name] = value
    values["places"] = tuple(
        PlaceSetting(place["name"], int(place["slots"]), place["role"])
        for place in values["places"]
    )
    return Settings(**values), tuple(problems)


def _said(value: Any) -> str:
    """Return a value as a person wrote it, cut to a length that can be read."""
    try:
        text = value if isinstance(value, str) and value.isidentifier() else repr(value)
    except (ValueError, RecursionError):  # more digits than Python prints
        return "this value"
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
    return Path(platformdirs.user_data_dir("cleatclock")) / "shop.db"
