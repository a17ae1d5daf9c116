"""Kinds of settings: each checks a value, and says what a screen must know to ask for it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from kiosk.rules.hanging.means import read_stock
from kiosk.rules.words import _, number, say
from kiosk.rules.workday import read_away, read_days
from labels.codes import ALPHABET

ROLES = ("glue", "coat", "ready")
MOST_SLOTS = 40

# Any: a TOML value. A check returns '' or what is wrong, to be read after the value.
Check = Callable[[Any], str]


@dataclass(frozen=True, slots=True)
class Among:
    """One of a few words or numbers."""

    words: tuple[object, ...]

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        sound = any(type(value) is type(word) and value == word for word in self.words)
        listed = ", ".join(map(str, self.words))
        return "" if sound else say("is none of {words}", words=listed)


@dataclass(frozen=True, slots=True)
class Number:
    """A number between two others, both included; or_zero: or 0, which stands for none."""

    low: float
    high: float
    is_whole: bool = False
    or_zero: bool = False

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        if self.is_whole and isinstance(value, float):
            return _("is no whole number")
        if isinstance(value, bool) or not isinstance(value, int | float):
            return _("is no number")
        if self.low <= value <= self.high or (self.or_zero and value == 0):
            return ""
        return say(
            "is not between {low} and {high}",
            low=number(f"{self.low:g}"),
            high=number(f"{self.high:g}"),
        )


@dataclass(frozen=True, slots=True)
class Text:
    """A short text."""

    longest: int = 80

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        sound = isinstance(value, str) and len(value) <= self.longest
        return "" if sound else _("is no short text")


@dataclass(frozen=True, slots=True)
class Address(Text):
    """The address of a PostgreSQL database without a password, or nothing."""

    longest: int = 500

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        if wrong := Text.__call__(self, value):
            return wrong
        try:
            sound = not value or urlsplit(value).scheme in ("postgresql", "postgres")
        except ValueError:  # brackets that are no address of version 6
            sound = False
        if not sound:
            return _("is no address; write one such as postgresql://NAME@HOST/DATABASE")
        if re.match(r"\w+://[^/@]*:[^/@]*@", value) or "password=" in value:
            return _("holds a password; join with: cleatclock exchange --join")
        return ""


@dataclass(frozen=True, slots=True)
class YesNo:
    """True or false."""

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        return "" if isinstance(value, bool) else _("is neither true nor false")


@dataclass(frozen=True, slots=True)
class Zone:
    """A time zone by its name, or that of the computer."""

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        if value == "local":
            return ""
        try:
            ZoneInfo(str(value))
        except (ZoneInfoNotFoundError, ValueError, OSError):
            return _("is no time zone; write one such as Europe/Dublin, or local")
        return ""


@dataclass(frozen=True, slots=True)
class TimeOfDay:
    """Hours and minutes such as 17:00."""

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        sound = isinstance(value, str) and re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", value)
        return "" if sound else _("is no time of day; write one such as 17:00")


@dataclass(frozen=True, slots=True)
class WeekDays(Text):
    """Days of the week such as Mon-Fri."""

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        sound = isinstance(value, str) and read_days(value)
        return "" if sound else _("names no days; write some such as Mon-Fri or Mon-Thu, Sat")


@dataclass(frozen=True, slots=True)
class FreeDays(Text):
    """Days nobody works, one or from one to another, parted by commas."""

    longest: int = 400

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        # not super(): a dataclass with slots is made anew
        sound = not Text.__call__(self, value) and read_away(value) is not None
        return "" if sound else _("names no days; write 2026-05-01, 2026-12-24..2027-01-02")


@dataclass(frozen=True, slots=True)
class Screws(Text):
    """Wood screws in stock, by number and length, parted by commas."""

    longest: int = 200

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        if wrong := Text.__call__(self, value):
            return wrong
        why = read_stock(value)[1]
        return say("names no screws: {why}", why=why) if why else ""


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter or digit a code may begin with."""

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        sound = isinstance(value, str) and len(value) == 1 and value in ALPHABET
        return "" if sound else say("is not one of {letters}", letters=ALPHABET)


@dataclass(frozen=True, slots=True)
class Places:
    """A list of places, each with a name of its own, slots and a role."""

    def __call__(self, value: Any) -> str:
        """Return what is wrong with a value."""
        if not isinstance(value, list):
            return _("is no list of places")
        names: set[str] = set()
        for place in value:
            if not isinstance(place, dict) or place.keys() != {"name", "slots", "role"}:
                example = '{ name = "Rack", slots = 6, role = "coat" }'
                return say("holds something other than {example}", example=example)
            if Text()(place["name"]) or not place["name"].strip():
                return _("holds a place without a short name")
            if place["name"] in names:
                return say("names {place} twice", place=place["name"])
            names.add(place["name"])
            if problem := Number(1, MOST_SLOTS, is_whole=True)(place["slots"]):
                return say("{place}: slots {wrong}", place=place["name"], wrong=problem)
            if problem := Among(ROLES)(place["role"]):
                return say("{place}: role {wrong}", place=place["name"], wrong=problem)
        return ""
