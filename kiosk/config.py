"""The settings of one kiosk: one table gives the defaults, the checks and the commented file."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

from kiosk.language import LANGUAGES
from kiosk.palette import THEMES
from kiosk.rules.hanging.means import STOCK
from kiosk.rules.stations import STATIONS
from kiosk.rules.words import _, capital
from kiosk.settingkinds import (
    Address,
    Among,
    Check,
    FreeDays,
    Letter,
    Number,
    Places,
    Screws,
    Text,
    TimeOfDay,
    WeekDays,
    YesNo,
    Zone,
)
from labels.layouts import NAMES

PAPERS = ("a4", "letter")
PASSFILE = "server.pass"  # beside the shop's file: the password for the shop server


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
    opens_at: str
    break_starts: str
    break_minutes: int
    days_open: str
    closed_days: str
    saws: int
    assembly_benches: int
    finish_benches: int
    kerf_mm: float
    trim_mm: float
    least_offcut_mm: float
    sheet_length_mm: float
    sheet_width_mm: float
    buying_allowance_percent: int
    screws: str
    hang_factor: float
    cleat_pitch_mm: float
    load_minutes: int
    drive_minutes: int
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
    paper_printer: str
    sound: bool
    sound_volume: int
    left_handed: bool
    scanner_suffix: str
    copy_at: str
    second_folder: str
    server: str
    places: tuple[PlaceSetting, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting; its type is the default's, the check returns '' or what is wrong.

    title names it on a screen. restarts is True where a change counts from the next start only.
    """

    name: str
    default: Any  # Any: a TOML value
    sentence: str
    check: Check
    unit: str = ""
    title: str = ""
    restarts: bool = False

    @property
    def words(self) -> str:
        """Return what people call it."""
        return self.title or capital(self.name.replace("_", " "))


def _among(*words: object) -> Check:
    return Among(words)


def _number(low: float, high: float) -> Check:
    return Number(low, high)


def _whole(low: int, high: int) -> Check:
    return Number(low, high, is_whole=True)


_text, _yes_no, _zone, _clock, _letter = Text(), YesNo(), Zone(), TimeOfDay(), Letter()
_places = Places()

_DEFAULT_PLACES = [
    {"name": "Clamp bench", "slots": 4, "role": "glue"},
    {"name": "Rack", "slots": 6, "role": "coat"},
    {"name": "By the door", "slots": 4, "role": "ready"},
]

SETTINGS: tuple[Setting, ...] = (
    Setting(
        "shop",
        "",
        _("The shop's name, said above the board's text."),
        _text,
        title=_("Shop's name"),
    ),
    Setting(
        "language",
        "en",
        _("The language the kiosk is read in."),
        _among(*LANGUAGES),
        title=_("Language"),
    ),
    Setting(
        "zone", "local", _("Time zone the shop's times are said in."), _zone, title=_("Time zone")
    ),
    Setting(
        "kiosk_letter",
        "K",
        _("First letter of this kiosk's part codes; one per kiosk."),
        _letter,
        title=_("Kiosk's letter"),
        restarts=True,
    ),
    Setting(
        "station",
        "cut",
        _("The station this kiosk stands at."),
        _among(*STATIONS),
        title=_("Station"),
    ),
    Setting(
        "person",
        "",
        _("Who works here when nobody says otherwise."),
        _text,
        title=_("Who works here"),
    ),
    Setting(
        "units",
        "mm",
        _("How new jobs show lengths: mm or inch."),
        _among("mm", "inch"),
        title=_("Lengths"),
    ),
    Setting(
        "label_stock", "50x25", _("The label stock in the printer."), _text, title=_("Label stock")
    ),
    Setting(
        "label_dpi",
        203,
        _("The printer's dots per inch."),
        _among(203, 300, 600),
        title=_("Dots per inch"),
    ),
    Setting(
        "printer",
        "",
        _("Where labels are printed: a print queue's name or ipp://…; empty: PDF."),
        _text,
        title=_("Printer"),
        restarts=True,
    ),
    Setting(
        "print_at_once",
        False,
        _("Print a part's label when it is cut, a unit's when it is glued up."),
        _yes_no,
        title=_("Print at once"),
    ),
    Setting(
        "camera",
        "",
        _("Camera that reads labels, by number, such as 0; empty: none."),
        _text,
        title=_("Camera"),
        restarts=True,
    ),
    Setting(
        "scanner_device",
        "",
        _("Scanner read directly, by its path below /dev/input (Linux)."),
        _text,
        title=_("Scanner's path"),
        restarts=True,
    ),
    Setting(
        "scanner_layout",
        "",
        _("Keyboard layout to undo, where it is not guessed, such as Dvorak."),
        _among("", *NAMES),
        title=_("Scanner's layout"),
        restarts=True,
    ),
    Setting(
        "glue",
        "pva-interior",
        _("The glue units are glued up with, a product's key."),
        _text,
        title=_("Glue"),
    ),
    Setting("filler", "filler-water", _("The filler, a product's key."), _text, title=_("Filler")),
    Setting(
        "wall_paint",
        "enamel",
        _("What walls are painted with, a product's key."),
        _text,
        title=_("Wall paint"),
    ),
    Setting(
        "stripe",
        "enamel",
        _("What accent stripes are painted with, a product's key."),
        _text,
        title=_("Accent stripes"),
    ),
    Setting(
        "temperature",
        "C",
        _("How temperatures are shown: C or F."),
        _among("C", "F"),
        title=_("Temperatures"),
    ),
    Setting(
        "closes_at",
        "17:00",
        _("When the shop closes; oily rags are asked for then."),
        _clock,
        title=_("Closing time"),
    ),
    Setting("opens_at", "07:30", _("When the shop opens."), _clock, title=_("Opening time")),
    Setting("break_starts", "12:00", _("When the break begins."), _clock, title=_("Break begins")),
    Setting(
        "break_minutes",
        45,
        _("How long the break is; 0: none."),
        _whole(0, 240),
        "min",
        title=_("Break"),
    ),
    Setting(
        "days_open",
        "Mon-Fri",
        _("The days the shop is open, such as Mon-Fri or Mon-Thu, Sat."),
        WeekDays(),
        title=_("Days open"),
    ),
    Setting(
        "closed_days",
        "",
        _("Days nobody works, such as 2026-05-01, 2026-12-24..2027-01-02."),
        FreeDays(),
        title=_("Closed days"),
    ),
    Setting("saws", 1, _("How many may cut at once."), _whole(1, 20), title=_("Places to cut")),
    Setting(
        "assembly_benches",
        2,
        _("How many may assemble at once."),
        _whole(1, 20),
        title=_("Places to assemble"),
    ),
    Setting(
        "finish_benches",
        2,
        _("How many may fill, sand and coat at once."),
        _whole(1, 20),
        title=_("Places to finish"),
    ),
    Setting(
        "kerf_mm",
        3.2,
        _("What the saw blade takes, in mm: measure the width of a cut."),
        _number(0, 20),
        "mm",
        title=_("Kerf"),
    ),
    Setting(
        "trim_mm",
        5.0,
        _("What each edge of a new sheet loses before anything is cut, in mm."),
        _number(0, 100),
        "mm",
        title=_("Trim"),
    ),
    Setting(
        "least_offcut_mm",
        150.0,
        _("What is left goes back to stock if its short side has so many mm."),
        _number(10, 2000),
        "mm",
        title=_("Least offcut"),
    ),
    Setting(
        "sheet_length_mm",
        2440.0,
        _("Sheets that nobody counted: how long, along the grain, in mm."),
        _number(300, 20000),
        "mm",
        title=_("Sheet's length"),
    ),
    Setting(
        "sheet_width_mm",
        1220.0,
        _("Sheets that nobody counted: how wide, in mm."),
        _number(300, 20000),
        "mm",
        title=_("Sheet's width"),
    ),
    Setting(
        "buying_allowance_percent",
        10,
        _("What to buy beyond the bare need, for what is spoiled or spilt."),
        _whole(0, 100),
        "%",
        title=_("Allowance"),
    ),
    Setting(
        "screws",
        STOCK,
        _("Wood screws in stock, number x length in mm: cleats are fixed with the best of them."),
        Screws(),
        title=_("Screws"),
    ),
    Setting(
        "hang_factor",
        0.8,
        _("The part of each check of hanging that a rating uses; 1 holds nothing back."),
        _number(0.1, 1),
        title=_("Hanging: part used"),
    ),
    Setting(
        "cleat_pitch_mm",
        300.0,
        _("From one row of cleats to the next, in mm; 200 to 400 are usual."),
        _number(100, 1000),
        "mm",
        title=_("Pitch of cleats"),
    ),
    Setting(
        "load_minutes",
        30,
        _("Minutes to load what is hung on one day."),
        _whole(0, 240),
        "min",
        title=_("Loading"),
    ),
    Setting(
        "drive_minutes",
        30,
        _("Minutes to drive to the site, one way."),
        _whole(0, 240),
        "min",
        title=_("Way to the site"),
    ),
    Setting(
        "mqtt_host",
        "",
        _("Host of an MQTT broker with air sensors; empty: no sensors."),
        _text,
        title=_("Sensors: host"),
        restarts=True,
    ),
    Setting(
        "mqtt_port",
        1883,
        _("The broker's port."),
        _whole(1, 65535),
        title=_("Sensors: port"),
        restarts=True,
    ),
    Setting(
        "mqtt_topic",
        "",
        _("Topic of the sensor in the shop; one place, one topic."),
        _text,
        title=_("Sensors: topic"),
        restarts=True,
    ),
    Setting(
        "mqtt_user",
        "",
        _("User at the broker, if it asks for one."),
        _text,
        title=_("Sensors: user"),
        restarts=True,
    ),
    Setting(
        "mqtt_password",
        "",
        _("Password at the broker."),
        _text,
        title=_("Sensors: password"),
        restarts=True,
    ),
    Setting(
        "mqtt_tls",
        False,
        _("Speak TLS with the broker."),
        _yes_no,
        title=_("Sensors: TLS"),
        restarts=True,
    ),
    Setting(
        "repeat_seconds",
        60,
        _("A second read of a label within this many seconds is taken for a repeat."),
        _whole(0, 3600),
        "s",
        title=_("Read twice"),
    ),
    Setting(
        "screen_diagonal_in",
        43.0,
        _("Diagonal of this screen in inches."),
        _number(5, 120),
        "in",
        title=_("Screen's diagonal"),
    ),
    Setting(
        "viewing_distance_m",
        4.0,
        _("From how far the board is read, in metres."),
        _number(0.3, 15),
        "m",
        title=_("Reading distance"),
    ),
    Setting(
        "board_diagonal_in",
        0.0,
        _("Diagonal of the screen that `open --board` fills, if it is another; 0: the same."),
        Number(5, 120, or_zero=True),
        "in",
        title=_("Board's screen, diagonal"),
        restarts=True,
    ),
    Setting(
        "board_distance_m",
        0.0,
        _("From how far that screen is read; 0: as viewing_distance_m."),
        Number(0.3, 15, or_zero=True),
        "m",
        title=_("Board's reading distance"),
        restarts=True,
    ),
    Setting(
        "theme",
        "light",
        _("Colours: light, or dark for a dim room; from the next start."),
        _among(*THEMES),
        title=_("Colours"),
        restarts=True,
    ),
    Setting(
        "paper",
        "a4",
        _("Paper that lists are printed on: a4 or letter."),
        _among(*PAPERS),
        title=_("Paper"),
    ),
    Setting(
        "paper_printer",
        "",
        _("Where day sheets are printed: a print queue's name; empty: PDF."),
        _text,
        title=_("Paper printer"),
    ),
    Setting(
        "sound", True, _("Say scan results by sound too."), _yes_no, title=_("Sound"), restarts=True
    ),
    Setting(
        "sound_volume",
        100,
        _("How loud the sounds are, 0 to 100."),
        _whole(0, 100),
        "%",
        title=_("Volume"),
        restarts=True,
    ),
    Setting(
        "left_handed", False, _("Put the buttons on the left."), _yes_no, title=_("Left-handed")
    ),
    Setting(
        "scanner_suffix",
        "any",
        _("What the scanner sends after a code: enter, tab, none, or any of these."),
        _among("any", "enter", "tab", "none"),
        title=_("Scanner's suffix"),
        restarts=True,
    ),
    Setting(
        "copy_at",
        "02:30",
        _("When the shop's file is copied each night; a night missed is made up for."),
        _clock,
        title=_("Nightly copy"),
    ),
    Setting(
        "second_folder",
        "",
        _("Second folder for the nightly copies, on a stick or another machine; empty: none."),
        Text(longest=250),
        title=_("Second folder"),
    ),
    Setting(
        "server",
        "",
        _("Address of the shop server; empty: alone. Set by `cleatclock exchange --join`."),
        Address(),
        title=_("Shop server"),
        restarts=True,
    ),
    Setting(
        "places",
        _DEFAULT_PLACES,
        _("Where units rest; role: glue (clamps), coat (drying), ready (to hang)."),
        _places,
        title=_("Places"),
    ),
)
assert [setting.name for setting in SETTINGS] == [field.name for field in fields(Settings)]


def running(kept: Settings, now: Settings) -> Settings:
    """Return the settings to work by, where `kept` was changed while a kiosk works by `now`."""
    waiting = {one.name: getattr(now, one.name) for one in SETTINGS if one.restarts}
    return replace(kept, **waiting)
