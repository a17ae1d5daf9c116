"""See the shop's air on the shop's thread: figures, words and a curve for the screen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from kiosk.actions import AirNow
from kiosk.airreport import AHEAD_WORDS
from kiosk.rules.air import Ahead, Air, Reading
from kiosk.rules.airwords import show_temperature
from kiosk.rules.times import say_span, say_time
from kiosk.rules.words import _, known, number, say
from kiosk.screens.face import ShopFace

BACK, AHEAD = timedelta(hours=24), timedelta(hours=12)
STEP = timedelta(minutes=15)
# At least so far apart are the ends of a curve's scale, so that a calm day looks calm. Choice.
LEAST_C, LEAST_PERCENT = 4.0, 20.0
NONE_READ = _("No reading yet: clocks run on the labels' own air")


@dataclass(frozen=True, slots=True)
class Figure:
    """One large figure: what it is, and its value with its unit."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Strip:
    """One curve: its values at even steps, the ends of its scale, and those ends in words."""

    name: str
    values: tuple[float, ...]
    low: float
    high: float
    low_words: str
    high_words: str


@dataclass(frozen=True, slots=True)
class Day:
    """The curves of the last hours and the next: shares of the width, and words below them.

    now is where the present is, read_until where the last reading is (after it all is foreseen),
    ticks are shares with the words of their times.
    """

    strips: tuple[Strip, ...]
    now: float
    read_until: float
    ticks: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class AirView:
    """What the air screen shows; strike_at is the moment of the last reading typed."""

    figures: tuple[Figure, ...] = ()
    estimated: bool = False
    source: str = NONE_READ
    after: str = ""
    day: Day | None = None
    strike_at: datetime | None = None
    strike_words: str = ""


def see_air(shop: ShopFace) -> AirView:
    """Return the air of now; to be called on the shop's thread."""
    now, air = shop.now(), shop.air()
    found = shop.air_now(now)
    if found is None or found.last is None:
        return AirView()
    typed = next((one for one in reversed(air.readings) if one.source == "typed"), None)
    return AirView(
        _figures(found, fahrenheit=shop.fahrenheit),
        found.estimated,
        say(
            "Last reading: {source}",
            source=_say_source(found.last, shop.reader_of(found.last.at), now),
        ),
        AHEAD_WORDS[air.ahead],
        _day(air, now, shop),
        typed.at if typed else None,
        _say_typed(typed, now, shop) if typed else "",
    )


def _figures(found: AirNow, *, fahrenheit: bool) -> tuple[Figure, ...]:
    return (
        Figure(
            _("Temperature"), show_temperature(round(found.temperature_c, 1), fahrenheit=fahrenheit)
        ),
        Figure(_("Humidity"), f"{found.humidity:.0f} %"),
        Figure(
            _("Dew point"), show_temperature(round(found.dew_point_c, 1), fahrenheit=fahrenheit)
        ),
        Figure(_("Vapour pressure deficit"), number(f"{found.deficit_pa / 1000:.2f} kPa")),
        Figure(_("Wood moisture"), number(f"{found.wood_moisture:.1f} %")),
    )


def _say_source(reading: Reading, person: str, now: datetime) -> str:
    age = now - reading.at
    old = say("{span} ago", span=say_span(_whole(age)))
    if age < timedelta(minutes=1):
        old = _("just now")
    source = known(reading.source, "source")
    if person and reading.source == "typed":
        return say("{source} by {person} {ago}", source=source, person=person, ago=old)
    return say("{source} {ago}", source=source, ago=old)


def _whole(age: timedelta) -> timedelta:
    """Return an age in full minutes: what is 12 minutes and some seconds old is 12 minutes old."""
    return age - age % timedelta(minutes=1)


def _say_typed(typed: Reading, now: datetime, shop: ShopFace) -> str:
    warm = show_temperature(typed.temperature_c, fahrenheit=shop.fahrenheit)
    when = say_time(typed.at, now=now, zone=shop.zone)
    who = shop.reader_of(typed.at)
    given = {"temperature": warm, "humidity": typed.humidity, "time": when}
    if who:
        return say(
            "{temperature} and {humidity:g} %, typed {time} by {person}", **given, person=who
        )
    return say("{temperature} and {humidity:g} %, typed {time}", **given)


def _day(air: Air, now: datetime, shop: ShopFace) -> Day | None:
    start, end = now - BACK, now + AHEAD
    first = air.readings[0].at
    # before the first reading there is nothing to be drawn
    start = min(max(start, first), now - timedelta(hours=1)) if first > start else start
    steps = max(2, round((end - start) / STEP))
    times = [start + (end - start) * (at / steps) for at in range(steps + 1)]
    nodes = [node for at in times if (node := air.at(at.timestamp() * 1000)) is not None]
    if len(nodes) != len(times):
        return None
    unit, times_c, plus = ("°F", 1.8, 32.0) if shop.fahrenheit else ("°C", 1.0, 0.0)
    degrees = [node[1] * times_c + plus for node in nodes]
    warm = _scale(_("Temperature"), degrees, LEAST_C * times_c)
    damp = _scale(_("Humidity"), [node[2] for node in nodes], LEAST_PERCENT)

    def share(at: datetime) -> float:
        return min(max((at - start) / (end - start), 0.0), 1.0)

    strips = (
        Strip(*warm, f"{warm[2]:.0f} {unit}", f"{warm[3]:.0f} {unit}"),
        Strip(*damp, f"{damp[2]:.0f} %", f"{damp[3]:.0f} %"),
    )
    last = air.readings[-1].at if air.ahead != Ahead.SUPPOSED else now
    return Day(strips, share(now), share(min(last, now)), _ticks(start, end, now=now, shop=shop))


def _scale(
    name: str, values: list[float], least: float
) -> tuple[str, tuple[float, ...], float, float]:
    middle = (min(values) + max(values)) / 2
    half = max(max(values) - min(values), least) / 2
    return name, tuple(values), round(middle - half), round(middle + half)


def _ticks(
    start: datetime, end: datetime, *, now: datetime, shop: ShopFace
) -> tuple[tuple[float, str], ...]:
    """Return every sixth full hour of the shop's zone with its words."""
    at = start.astimezone(shop.zone).replace(minute=0, second=0, microsecond=0)
    found = []
    for _hour in range(48):
        at = (at.astimezone(start.tzinfo) + timedelta(hours=1)).astimezone(shop.zone)
        if at >= end:
            break
        if at.hour % 6 == 0:
            found.append(((at - start) / (end - start), say_time(at, now=now, zone=shop.zone)))
    return tuple(found)
