"""Listen to air sensors that publish over MQTT, for as long as the kiosk runs."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Any

import paho.mqtt.client as mqtt
from paho.mqtt.enums import CallbackAPIVersion
from paho.mqtt.reasoncodes import ReasonCode

from kiosk.clock import Clock
from kiosk.rules.air import Reading, check_reading
from kiosk.rules.airmessages import EVERY, Gather, read_message
from kiosk.rules.words import join, say

# All choices: a broker that is away is asked again after 1, 2, 4 … seconds, then every minute; one
# that went without a word is missed after one and a half times KEEP_ALIVE_S (MQTT 3.1.1, 3.1.2.10).
FIRST_WAIT_S, LONGEST_WAIT_S = 1, 60
KEEP_ALIVE_S = 60
CONNECT_S = 3.0  # also the longest that stop() may wait for an attempt under way
MOST_TOLD = 500  # sensors whose last problem is remembered


class Feed:
    """Readings from an MQTT broker (version 3.1.1), handed over on the network's own thread.

    take gets every sound reading, tell every problem in words, each once until it changes. A broker
    that is away is no problem: state says so, and the feed tries again for ever.
    """

    def __init__(  # noqa: PLR0913 - a broker has so many settings
        self,
        host: str,
        port: int,
        topic: str,
        *,
        clock: Clock,
        take: Callable[[Reading], None],
        tell: Callable[[str], None],
        user: str = "",
        password: str = "",
        tls: bool = False,
        every: timedelta = EVERY,
    ) -> None:
        self._host, self._port, self._topic = host, port, topic
        self._user, self._password, self._tls = user, password, tls
        self._clock, self._take, self._tell = clock, take, tell
        self._gather = Gather(every=every)
        self._told: dict[tuple[str, str], Sequence[str]] = {}
        self._client: mqtt.Client | None = None
        self._away_since: datetime | None = None
        self._why = ""

    @property
    def away_since(self) -> datetime | None:
        """Return since when the broker is away; None while connected or not listening."""
        return self._away_since

    @property
    def state(self) -> str:
        """Return `connected`, `not listening` or `away since …` (UTC) with the cause if known."""
        since = self._away_since
        if since is None:
            return "connected" if self._client else "not listening"
        return f"away since {since:%Y-%m-%d %H:%M} UTC{self._why and f': {self._why}'}"

    def start(self) -> None:
        """Begin to listen in the background; settings that can never work are told in words."""
        if self._client is not None:
            return
        if problem := check_broker(self._host, self._port, self._topic):
            self._tell(problem)
            return
        client = mqtt.Client(CallbackAPIVersion.VERSION2, protocol=mqtt.MQTTv311)
        if self._user:
            client.username_pw_set(self._user, self._password or None)
        if self._tls:
            client.tls_set()  # the machine's own list of authorities; the name is checked
        client.connect_timeout = CONNECT_S
        client.suppress_exceptions = True  # a tell that fails must not end the listening either
        client.reconnect_delay_set(FIRST_WAIT_S, LONGEST_WAIT_S)
        client.on_connect, client.on_connect_fail = self._on_connect, self._on_connect_fail
        client.on_disconnect, client.on_subscribe = self._on_disconnect, self._on_subscribe
        client.on_message = self._on_message
        self._away_since, self._why = self._clock.now(), ""
        self._client = client
        client.connect_async(self._host, self._port, keepalive=KEEP_ALIVE_S)
        client.loop_start()

    def stop(self) -> None:
        """End listening; returns when the network's thread has ended. May be called twice."""
        client, self._client = self._client, None
        if client is not None:
            client.disconnect()
            client.loop_stop()
        self._away_since, self._why = None, ""

    def _on_connect(
        self, client: mqtt.Client, _data: Any, _flags: mqtt.ConnectFlags, code: ReasonCode, _: Any
    ) -> None:
        if code.is_failure:
            self._why = say("the broker answers {code}", code=str(code).lower())
            words = say(
                "{where}: {why}. Look at mqtt_user and mqtt_password.",
                where=self._where,
                why=self._why,
            )
            self._tell_new(("broker", ""), [words])
            return
        self._away_since, self._why = None, ""
        self._told.pop(("broker", ""), None)
        # at every connection: the broker forgets a subscription with the connection it was made in
        client.subscribe(self._topic, qos=1)

    def _on_connect_fail(self, _client: mqtt.Client, _data: Any) -> None:
        error = sys.exception()  # the callback runs while the network's error is handled
        words = str(getattr(error, "strerror", None) or error or "no answer")
        # TLS puts a code before its words and a place in its source behind them
        self._why = re.sub(r"^\[[^]]*\] |\s*\(_ssl[^)]*\)$", "", words).lower()

    def _on_disconnect(
        self, _client: mqtt.Client, _data: Any, _flags: Any, _code: ReasonCode, _: Any
    ) -> None:
        if self._client is not None and self._away_since is None:
            self._away_since = self._clock.now()

    def _on_subscribe(
        self, _client: mqtt.Client, _data: Any, _mid: int, codes: list[ReasonCode], _: Any
    ) -> None:
        refused = say(
            "{where} does not let this user read {topic}. Look at mqtt_topic.",
            where=self._where,
            topic=self._topic,
        )
        self._tell_new(("topic", ""), [refused for code in codes if code.is_failure])

    def _on_message(self, _client: mqtt.Client, _data: Any, sent: mqtt.MQTTMessage) -> None:
        try:
            self._read(sent)
        except Exception as error:  # noqa: BLE001 - the caller's own; it must not end the listening
            words = say(
                "A reading could not be kept: {error}. The next one is tried again.", error=error
            )
            self._tell_new(("keeping", ""), [words])

    def _read(self, sent: mqtt.MQTTMessage) -> None:
        now = self._clock.now()
        message = read_message(sent.topic, bytes(sent.payload))
        name = _printable(message.sensor or sent.topic)
        if message.problems or message.values:
            topic = _printable(sent.topic)
            words = [
                say("{sensor}: {problem}", sensor=topic, problem=one) for one in message.problems
            ]
            self._tell_new(("message", sent.topic), words)
        reading = self._gather.take(message, now=now, retained=sent.retain)
        if reading is None:
            return
        problems = check_reading(reading, now=now)
        words = [
            say("{sensor}: {problem}", sensor=name, problem=join((one.message, one.remedy)))
            for one in problems
        ]
        self._tell_new(("reading", message.sensor), words)
        if not problems:
            self._take(reading)
            self._told.pop(("keeping", ""), None)

    @property
    def _where(self) -> str:
        return say("The broker at {host}", host=self._host)

    def _tell_new(self, key: tuple[str, str], sentences: Sequence[str]) -> None:
        """Tell sentences that were not told last time; another number makes no new sentence."""
        alike = [re.sub(r"[\d.,+-]+", "", sentence) for sentence in sentences]
        before = self._told.pop(key, ())
        if alike:
            self._told[key] = alike
        if len(self._told) > MOST_TOLD:
            del self._told[next(iter(self._told))]
        for sentence, bare in zip(sentences, alike, strict=True):
            if bare not in before:
                self._tell(sentence)


def check_broker(host: str, port: int, topic: str) -> str:
    """Return what makes it impossible to listen at a broker, or nothing.

    A topic filter's `#` may only be its last level and `+` only a whole one (MQTT 3.1.1, 4.7.1).
    """
    try:
        sound = bool(host.encode("idna")) and host.isprintable()
    except UnicodeError:  # a name with two dots in a row, or with more than 63 letters between two
        sound = False
    if not sound:
        return say(
            "{host!r} is no name of a broker; write one such as broker.local in mqtt_host.",
            host=host,
        )
    if not 1 <= port <= 65535:
        return say("{port} is no port; write one from 1 to 65535 in mqtt_port.", port=port)
    *before, last = topic.split("/")
    whole = all(level == "+" or not {"+", "#"} & set(level) for level in before)
    if not topic.isprintable() or not topic or not whole:
        return say("{topic!r} is no topic; write one such as studio/# in mqtt_topic.", topic=topic)
    if last not in ("+", "#") and {"+", "#"} & set(last):
        return say("{topic!r} is no topic; write one such as studio/# in mqtt_topic.", topic=topic)
    return ""


def _printable(text: str) -> str:
    """Return a sensor's topic so that it cannot steer a terminal it is written to."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)[:80]
