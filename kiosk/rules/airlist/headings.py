"""Find the header row of a logger's file and which of its columns means what."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, timedelta, timezone, tzinfo
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

from kiosk.rules.columns import plain

NEEDED: Final = ("time", "temperature", "humidity")
MEASURED: Final = ("temperature", "humidity", "surface temperature", "air speed")
TOP_ROWS: Final = 40  # loggers put serial numbers, settings and remarks above

# English, German, French, Spanish and Dutch, small letters without accents.
_WORDS: Final = {
    "time": """date time|datetime|time date|timestamp|time stamp|date and time|recorded at
        |logged at|measured at|measurement time|sample time|date heure|date et heure|horodatage
        |datum zeit|datum uhrzeit|datum und zeit|datum und uhrzeit|zeitstempel|zeitpunkt|messzeit
        |messzeitpunkt|fecha hora|fecha y hora|marca de tiempo|datum tijd|datum en tijd|tijdstip
        |tijdstempel|unix time|epoch|unixtime|iso time""",
    "date": "date|day|datum|tag|messdatum|jour|fecha|dia|dag|local date",
    "clock": """time|clock|clock time|time of day|local time|zeit|uhrzeit|ortszeit|heure
        |heure locale|hora|hora local|tijd|kloktijd|lokale tijd""",
    "temperature": """temperature|temp|t|air temperature|air temp|t air|temp air|ambient
        |ambient temperature|ambient temp|room temperature|room temp|temperatur|lufttemperatur
        |raumtemperatur|t luft|umgebungstemperatur|temperature de l air|temperature air
        |temperature ambiante|temp ambiante|temperatura|temperatura del aire|temperatura ambiente
        |temperatuur|luchttemperatuur|kamertemperatuur|ruimtetemperatuur
        |omgevingstemperatuur""",
    "humidity": """humidity|hum|h|rh|r h|relative humidity|rel humidity|rel hum|relhum
        |air humidity|feuchte|feuchtigkeit|luftfeuchte|luftfeuchtigkeit|rel feuchte|relative feuchte
        |relative feuchtigkeit|rel feuchtigkeit|relative luftfeuchte|relative luftfeuchtigkeit
        |rel luftfeuchte|rel luftfeuchtigkeit|rf|r f|humidite|humidite relative|humidite rel
        |hum rel|humidite de l air|hr|h r|humedad|humedad relativa|humedad rel|hum relativa
        |vochtigheid|luchtvochtigheid|relatieve vochtigheid|relatieve luchtvochtigheid
        |rel vochtigheid|rel luchtvochtigheid|rv|r v|vocht""",
    "surface temperature": """surface temperature|surface temp|surface|t surface|panel temperature
        |panel temp|panel|board temperature|object temperature|material temperature
        |oberflachentemperatur|oberflaechentemperatur|oberflache|plattentemperatur
        |objekttemperatur|materialtemperatur|temperature de surface|temperature surface
        |temperature du panneau|temperatura de superficie|temperatura superficie
        |temperatura superficial|temperatura de la superficie|temperatura del panel
        |oppervlaktetemperatuur|paneeltemperatuur|plaattemperatuur|objecttemperatuur""",
    "air speed": """air speed|airspeed|air velocity|velocity|speed|wind speed|luftgeschwindigkeit
        |stromungsgeschwindigkeit|stroemungsgeschwindigkeit|windgeschwindigkeit|vitesse
        |vitesse d air|vitesse de l air|velocidad|velocidad del aire|luchtsnelheid|snelheid""",
}
_MEANINGS: Final = {
    " ".join(word.split()): column for column, words in _WORDS.items() for word in words.split("|")
}
_CELSIUS: Final = frozenset(("c", "degc", "celsius"))
_FAHRENHEIT: Final = frozenset(("f", "degf", "fahrenheit"))
_BESIDE: Final = "deg degree degrees grad utc gmt percent pct rh rf hr rv"
_NO_WORDS: Final = _CELSIUS | _FAHRENHEIT | frozenset(_BESIDE.split())
# metres a second in each; the foot is 0.3048 m and the mile 1609.344 m by definition
_SPEEDS: Final = {"fpm": 0.00508, "ft min": 0.00508, "km h": 1 / 3.6, "mph": 0.44704}
_BRACKETED: Final = re.compile(r"[(\[{<][^)\]}>]*[)\]}>]")
_ZONE: Final = re.compile(r"\b(?:utc|gmt)\b\s*(?:([+-])\s*([0-9]{1,2})(?::?([0-5][0-9]))?)?")
_DAY_FIRST: Final = re.compile(r"\bd{1,2}[-/. ]m{1,2}\b|\bt{1,2}[-/. ]m{1,2}\b|\bj{1,2}/m{1,2}\b")
_MONTH_FIRST: Final = re.compile(r"\bm{1,2}[-/. ]d{1,2}[-/. ][jy]")


@dataclass(frozen=True, slots=True)
class AirHeader:
    """The header row of a logger's file.

    row counts from 1; at maps our columns to their index from 0, heard to how they were written.
    date and clock stand in `at` only together, time then is their heading. fahrenheit holds only
    temperatures whose unit is named in or below a heading; speed_factor turns air speeds to m/s;
    zone and dates (day-first, month-first) are what the heading of the time says, else None.
    """

    row: int
    at: Mapping[str, int]
    heard: Mapping[str, str]
    ignored: tuple[str, ...]
    fahrenheit: Mapping[str, bool]
    speed_factor: float
    zone: tzinfo | None
    dates: str | None


def find_air_header(rows: Sequence[Sequence[str]]) -> AirHeader | None:
    """Find the header among the first 40 rows: the one with most columns understood, first of ties.

    A row counts as a header when at least two of time, temperature and humidity are in it.
    """
    best: AirHeader | None = None
    for number, row in enumerate(rows[:TOP_ROWS], start=1):
        at = _places(row)
        if len({*at} & {*NEEDED, "date"}) >= 2 and (best is None or len(at) > len(best.at)):
            below = rows[number] if number < len(rows) else ()
            best = _header(row, number, at, below)
    return best


def _places(row: Sequence[str]) -> dict[str, int]:
    """Return which of our columns stands where; of two that mean the same the first counts."""
    at: dict[str, int] = {}
    for place, cell in enumerate(row):
        column = _meaning(cell)
        if column:
            at.setdefault(column, place)
    if "time" in at:
        at.pop("date", None)
        at.pop("clock", None)
    elif "clock" not in at and "date" in at:
        at["time"] = at.pop("date")
    elif "date" not in at and "clock" in at:
        at["time"] = at.pop("clock")
    return at


def _header(
    row: Sequence[str], number: int, at: Mapping[str, int], below: Sequence[str]
) -> AirHeader:
    heard = {column: row[place].strip() for column, place in at.items()}
    ignored = tuple(
        cell.strip() for place, cell in enumerate(row) if cell.strip() and place not in at.values()
    )
    fahrenheit = {}
    for column in ("temperature", "surface temperature"):
        if column in at:
            units = (_unit(row[at[column]]), _unit("".join(below[at[column] : at[column] + 1])))
            named = next((unit for unit in units if unit is not None), None)
            fahrenheit.update({} if named is None else {column: named})
    if "temperature" in fahrenheit:
        fahrenheit.setdefault("surface temperature", fahrenheit["temperature"])
    speed = plain(heard.get("air speed", ""))
    factor = next((factor for unit, factor in _SPEEDS.items() if speed.endswith(unit)), 1.0)
    times = " ".join(_spelt(heard[column]) for column in ("time", "date", "clock") if column in at)
    if "date" in at:
        heard["time"] = f"{heard['date']} + {heard['clock']}"
    zone, dates = _named_zone(times), _named_order(times)
    return AirHeader(number, at, heard, ignored, fahrenheit, factor, zone, dates)


def _spelt(cell: str) -> str:
    """Bring the marks of a heading to their plain forms: ℃ to °c, − to -."""
    text = unicodedata.normalize("NFKC", cell.replace("º", "°").replace("−", "-"))
    return " ".join(text.lower().replace("_", " ").split())


@lru_cache(maxsize=1024)
def _meaning(cell: str) -> str:
    """Return which of our columns a heading names, '' for none."""
    text = _spelt(cell)
    if not text or len(text) > 120:
        return ""
    bare = plain(_BRACKETED.sub(" ", text))
    kept = " ".join(w for w in bare.split() if w not in _NO_WORDS and not w.isdigit())
    for unit in ("m s", *_SPEEDS):
        kept = kept.removesuffix(f" {unit}")
    for word in (plain(text), bare, kept):
        if word in _MEANINGS:
            return _MEANINGS[word]
    if not kept and _unit(text) is not None:
        return "temperature"
    close = get_close_matches(kept, _MEANINGS, n=1, cutoff=0.9) if len(kept) >= 5 else []
    return _MEANINGS[close[0]] if close else ""


def _unit(cell: str) -> bool | None:
    """Tell whether a heading, or the cell below it, names °F; None where it names no unit."""
    words = {*plain(_spelt(cell)).split()}
    if words & _FAHRENHEIT:
        return None if words & _CELSIUS else True
    return False if words & _CELSIUS else None


def _named_zone(text: str) -> tzinfo | None:
    found = _ZONE.search(text)
    if not found:
        return None
    away = timedelta(hours=int(found[2] or 0), minutes=int(found[3] or 0))
    if not timedelta(0) < away <= timedelta(hours=14):
        return UTC
    return timezone(-away if found[1] == "-" else away)


def _named_order(text: str) -> str | None:
    if _MONTH_FIRST.search(text):
        return "month-first"
    return "day-first" if _DAY_FIRST.search(text) else None
