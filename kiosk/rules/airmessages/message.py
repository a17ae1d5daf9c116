"""Read one message of a sensor: JSON with common names, or a plain number on a named topic."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final

from kiosk.rules.airmessages.spelling import SPELT, Found, named, plain, settle
from kiosk.rules.words import _, say

# Both limits are choices: a sensor's message is some hundred bytes with a handful of brackets.
LONGEST: Final = 64 * 1024  # bytes
MOST_BRACKETS: Final = 100
FIRST_S, LAST_S = 946_684_800, 4_102_444_800  # the years 2000 and 2100; other times are no shop's

_SAMPLE = '{"temperature": 21.5, "humidity": 55}'
_TIME_KEYS = ("time", "timestamp", "ts", "at", "datetime", "measuredat", "lastseen", "epoch")
# what stands under these is not the air: the sensor's own electronics, or what somebody wishes
_NOT_AIR = ("device", "chip", "cpu", "battery", "target", "setpoint")
# ON, "offline", 42: another device's, not a sensor's
_STATUS = re.compile(r'"?[\w.:+-]{1,40}"?')


@dataclass(frozen=True, slots=True)
class Message:
    """What one message says.

    values has keys among temperature_c (°C), humidity (%), surface_c (°C) and speed_m_s (m/s); at
    is aware, None where the message carries no sound time with a zone; sensor is the topic without
    the last word that names a quantity; problems are sentences.
    """

    values: Mapping[str, float]
    at: datetime | None
    sensor: str
    problems: tuple[str, ...]


def read_message(topic: str, payload: bytes) -> Message:
    """Read a message: a JSON object with common names, or a plain number on a topic that names one.

    A message that says nothing of the air, such as a battery's state, has no values and no problem.
    """
    sensor, word = _split(topic)
    text, problem = _text(payload)
    if problem:
        return Message({}, None, sensor, (problem,))
    if not text.startswith("{"):
        return _read_plain(text, sensor=sensor, word=word)
    try:
        # as floats, for Python refuses to make whole numbers of thousands of digits
        data = json.loads(text, parse_int=float)
    except json.JSONDecodeError as error:
        place = error.pos + 1
        problem = say(
            "The message is no sound JSON from letter {place} on; send such as {sample}.",
            place=place,
            sample=_SAMPLE,
        )
        return Message({}, None, sensor, (problem,))
    values, problems = settle(_found(data, word))
    times = (_time(below) for below in (data, *data.values()) if isinstance(below, dict))
    return Message(values, next((at for at in times if at), None), sensor, tuple(problems))


def _found(data: Mapping[str, Any], word: str) -> list[Found]:
    """Return the values of an object, and those one level down of what it does not say itself."""
    outer = list(named(data, word))
    above = {found.quantity for found in outer}
    inner = (
        found
        for key, below in data.items()
        if isinstance(below, dict) and plain(key) not in _NOT_AIR
        for found in named(below, plain(key))
    )
    return [*outer, *(found for found in inner if found.quantity not in above)]


def _text(payload: bytes) -> tuple[str, str]:
    """Return a payload as text, and what is wrong with it or nothing."""
    if len(payload) > LONGEST:
        return "", say(
            "The message is {n} bytes long; a sensor's has at most {longest}.",
            n=len(payload),
            longest=LONGEST,
        )
    try:
        text = payload.decode("utf-8-sig").strip()
    except UnicodeDecodeError:
        return "", _("The message is not written in UTF-8; let the sensor send UTF-8.")
    if not text:
        return "", say("The message is empty; send such as {sample}.", sample=_SAMPLE)
    if text.count("{") + text.count("[") > MOST_BRACKETS:
        return "", say(
            "The message is nested too deep or too long; send such as {sample}.", sample=_SAMPLE
        )
    return text, ""


def _split(topic: str) -> tuple[str, str]:
    """Return the sensor a topic is about and the plain word of the quantity, or nothing."""
    levels = topic.split("/")
    if len(levels) > 1 and levels[-1].casefold() in ("state", "value"):
        levels.pop()
    words = re.split(r"([ _.-])", levels[-1])  # with what stands between them
    for start in range(0, len(words), 2):
        word = plain("".join(words[start:]))
        if word in SPELT:
            before = "".join(words[: max(start - 1, 0)])
            return "/".join([*levels[:-1], before] if before else levels[:-1]), word
    return topic, ""


def _read_plain(text: str, *, sensor: str, word: str) -> Message:
    if word:
        quantity, unit = SPELT[word]
        values, problems = settle([Found(quantity, text.strip('"'), unit)])
        return Message(values, None, sensor, tuple(problems))
    if _STATUS.fullmatch(text):
        return Message({}, None, sensor, ())
    problem = say("The message is no JSON object; send such as {sample}.", sample=_SAMPLE)
    return Message({}, None, sensor, (problem,))


def _time(data: Mapping[str, Any]) -> datetime | None:
    """Return the time an object carries; one without a zone, or before 2000, is none."""
    sound = (_one_time(value) for key, value in data.items() if plain(key) in _TIME_KEYS)
    return next((at for at in sound if at is not None), None)


def _one_time(value: Any) -> datetime | None:
    """Return ISO 8601 text with a zone, or a number since 1970, as a time.

    Numbers are seconds or milliseconds (common practice, no source).
    """
    if isinstance(value, float):
        seconds = value / 1000 if value > LAST_S else value
        return datetime.fromtimestamp(seconds, UTC) if FIRST_S <= seconds < LAST_S else None
    if not isinstance(value, str):
        return None
    try:
        at = datetime.fromisoformat(value.strip())
    except ValueError:
        return None
    # a local time could be any zone's, and a clock that was never set says 1970
    known = at.tzinfo is not None and 2000 <= at.year < 2100
    return at.astimezone(UTC) if known else None
