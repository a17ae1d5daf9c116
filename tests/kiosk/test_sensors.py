"""Sensors at a real broker are heard, however often it goes away."""

import gc
import json
import os
import queue
import shutil
import socket
import subprocess
import threading
from datetime import UTC, datetime, timedelta

import paho.mqtt.client as mqtt
import pytest
from paho.mqtt.enums import CallbackAPIVersion

from kiosk.clock import FixedClock
from kiosk.rules.air import Reading
from kiosk.sensors import Feed, check_broker

NOON = datetime(2026, 3, 5, 12, tzinfo=UTC)
PATIENCE_S = 20.0  # only a broken feed or broker takes so long
GOOD = {"temperature": 21.5, "humidity": 55}
GOOD_READING = Reading(NOON, 21.5, 55, source="sensor")


def find_broker():
    """Return the broker's program, or skip in words where a developer has none."""
    program = shutil.which("mosquitto") or shutil.which("mosquitto", path="/usr/sbin")
    if program is None:
        words = "there is no MQTT broker here; install one: sudo apt install mosquitto"
        if os.environ.get("CI") == "true":
            pytest.fail(words)
        pytest.skip(words)
    return program


class Broker:
    """A real broker on a free loopback port, with its log as a queue of lines."""

    def __init__(self, folder, *, anonymous=True):
        self.program = find_broker()
        with socket.socket() as found:
            found.bind(("127.0.0.1", 0))
            self.port = found.getsockname()[1]
        self.file = folder / "broker.conf"
        self.file.write_text(
            f"listener {self.port} 127.0.0.1\n"
            f"allow_anonymous {'true' if anonymous else 'false'}\n"
            "persistence false\nlog_dest stderr\nlog_type all\n"
        )
        self.running = None
        self.start()

    def start(self):
        self.lines = queue.Queue()
        self.running = subprocess.Popen(
            [self.program, "-c", str(self.file)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.reader = threading.Thread(target=self._drain, daemon=True)
        self.reader.start()
        self.wait_for("running")
        # it says so shortly before it heeds a signal; once it has let somebody in it does
        socket.create_connection(("127.0.0.1", self.port)).close()
        self.wait_for("New connection")

    def _drain(self):
        for line in self.running.stderr:
            self.lines.put(line)

    def wait_for(self, words):
        while words not in self.lines.get(timeout=PATIENCE_S):
            pass

    def stop(self):
        self.running.terminate()
        self.running.wait(timeout=PATIENCE_S)
        self.reader.join(timeout=PATIENCE_S)
        self.running.stderr.close()


class Watched(Feed):
    """A feed that says when it has noticed something."""

    def __init__(self, *args, **kwargs):
        self.lost, self.failed = threading.Event(), threading.Event()
        super().__init__(*args, **kwargs)

    def _on_disconnect(self, *args):
        super()._on_disconnect(*args)
        self.lost.set()

    def _on_connect_fail(self, *args):
        super()._on_connect_fail(*args)
        self.failed.set()


class Listener:
    """A feed with queues of what it took and told."""

    def __init__(self, port, topic="studio/#", **kwargs):
        self.taken, self.words = queue.Queue(), queue.Queue()
        kwargs = {"take": self.taken.put, "every": timedelta(0)} | kwargs
        clock = FixedClock(NOON)
        self.feed = Watched("127.0.0.1", port, topic, clock=clock, tell=self.words.put, **kwargs)

    def next_reading(self):
        return self.taken.get(timeout=PATIENCE_S)

    def next_words(self):
        return self.words.get(timeout=PATIENCE_S)


@pytest.fixture(params=[{}])
def broker(tmp_path, request):
    started = Broker(tmp_path, **request.param)
    yield started
    if started.running.poll() is None:
        started.stop()


@pytest.fixture
def listen(broker):
    """Start a listener whose subscription the broker has."""
    listeners = []

    def start(topic="studio/#", **kwargs):
        listener = Listener(broker.port, topic, **kwargs)
        listeners.append(listener)
        listener.feed.start()
        broker.wait_for("Sending SUBACK")
        return listener

    yield start
    for listener in listeners:
        listener.feed.stop()


def publish(port, *messages, retain=False):
    """Publish topics and payloads in order, as a sensor would, each acknowledged by the broker."""
    sensor = mqtt.Client(CallbackAPIVersion.VERSION2)
    sensor.connect("127.0.0.1", port)
    sensor.loop_start()
    for topic, payload in messages:
        data = json.dumps(payload) if isinstance(payload, dict) else payload
        sensor.publish(topic, data, qos=1, retain=retain).wait_for_publish(timeout=PATIENCE_S)
    sensor.disconnect()
    sensor.loop_stop()


def test_readings_arrive_whole_and_in_parts(broker, listen):
    listener = listen()

    publish(
        broker.port,
        ("studio/glaze store", GOOD),
        ("studio/kiln room/temperature", b"70 F"),
        ("studio/kiln room/humidity", b"40"),
    )

    assert listener.next_reading() == GOOD_READING
    assert listener.next_reading() == Reading(NOON, 21.111, 40, source="sensor")
    assert listener.feed.state == "connected"
    assert listener.feed.away_since is None
    assert listener.words.empty()


def test_only_the_topic_asked_for_is_heard(broker, listen):
    listener = listen("studio/+/climate")

    publish(
        broker.port,
        ("studio/kiln room/lamp", {"temperature": 40, "humidity": 10}),
        ("studio/kiln room/climate", GOOD),
    )

    assert listener.next_reading() == GOOD_READING


def test_the_feed_goes_on_after_the_broker_was_away(broker, listen):
    listener = listen()
    broker.stop()
    assert listener.feed.lost.wait(PATIENCE_S)
    away = listener.feed.state
    broker.start()
    broker.wait_for("Sending SUBACK")

    publish(broker.port, ("studio/glaze store", GOOD))

    assert away.startswith("away since 2026-03-05 12:00 UTC")
    assert listener.next_reading() == GOOD_READING
    assert listener.feed.state == "connected"
    assert listener.words.empty()


def test_a_broker_that_was_never_there_is_a_quiet_fact(broker):
    broker.stop()
    listener = Listener(broker.port)

    listener.feed.start()

    assert listener.feed.failed.wait(PATIENCE_S)
    assert listener.feed.state == "away since 2026-03-05 12:00 UTC: connection refused"
    assert listener.feed.away_since == NOON
    listener.feed.stop()
    assert listener.words.empty()


def test_rubbish_is_told_once_and_the_next_reading_is_taken(broker, listen):
    listener = listen()
    broken = ("studio/glaze store", b'{"temperature": 21')

    publish(broker.port, broken, broken, ("studio/glaze store", GOOD), broken)

    assert listener.next_reading() == GOOD_READING
    first, again = listener.next_words(), listener.next_words()
    assert first.startswith("studio/glaze store: The message is no sound JSON")
    assert again == first  # told again only because a good one came between
    assert listener.words.empty()


def test_another_problem_of_the_same_sensor_is_told(broker, listen):
    listener = listen()

    publish(broker.port, ("studio/kiln", b""), ("studio/kiln", b"\xff"), ("studio/kiln", GOOD))

    assert "empty" in listener.next_words()
    assert "UTF-8" in listener.next_words()
    assert listener.next_reading() == GOOD_READING
    assert listener.words.empty()


def test_only_so_many_problems_are_remembered(broker, listen, monkeypatch):
    monkeypatch.setattr("kiosk.sensors.MOST_TOLD", 1)
    listener = listen()

    publish(broker.port, *[(f"studio/{name}", b"") for name in ("kiln", "rack", "kiln")])

    told = [listener.next_words().partition(":")[0] for _ in range(3)]
    assert told == ["studio/kiln", "studio/rack", "studio/kiln"]


def test_an_impossible_reading_is_told_and_not_taken(broker, listen):
    listener = listen()

    publish(
        broker.port,
        ("studio/glaze store", {"temperature": 85, "humidity": 55}),
        ("studio/glaze store", {"temperature": 85.5, "humidity": 55}),
        ("studio/glaze store", GOOD),
    )

    assert listener.next_reading() == GOOD_READING
    assert listener.next_words().startswith("studio/glaze store: 85 °C is no temperature")
    assert listener.words.empty()


def test_what_the_broker_kept_from_before_is_no_reading_of_now(broker, listen):
    publish(broker.port, ("studio/glaze store", {"temperature": 5, "humidity": 90}), retain=True)
    listener = listen()

    publish(broker.port, ("studio/glaze store", GOOD))

    assert listener.next_reading() == GOOD_READING
    assert listener.taken.empty()


def test_a_taker_that_fails_does_not_end_the_listening(broker, listen):
    taken = queue.Queue()

    def take(reading):
        taken.put(reading)
        if taken.qsize() == 1:
            raise OSError("the disk is full")

    listener = listen(take=take)

    publish(broker.port, ("studio/glaze store", GOOD), ("studio/glaze store", GOOD))

    assert "the disk is full" in listener.next_words()
    assert taken.get(timeout=PATIENCE_S) == GOOD_READING
    assert taken.get(timeout=PATIENCE_S) == GOOD_READING


def test_a_topic_cannot_steer_the_terminal(broker, listen):
    listener = listen()

    publish(broker.port, ("studio/kiln\u202e", b""))

    assert listener.next_words().startswith("studio/kiln?: ")


@pytest.mark.parametrize("broker", [{"anonymous": False}], indirect=True, ids=["closed"])
def test_a_user_the_broker_does_not_know_is_told_once(broker):
    listener = Listener(broker.port, user="potter", password="clay")

    listener.feed.start()
    broker.wait_for("not authorised")
    broker.wait_for("not authorised")

    assert "mqtt_user" in listener.next_words()
    assert "not authorized" in listener.feed.state
    listener.feed.stop()
    assert listener.words.empty()


def answer_like_a_broker(server):
    """Accept a connection (3.2) and refuse its subscription (3.9, 0x80), as MQTT 3.1.1 has it."""
    link, _ = server.accept()
    with link, link.makefile("rb") as stream:
        for answer in (
            lambda _: b"\x20\x02\x00\x00",
            lambda body: b"\x90\x03" + body[:2] + b"\x80",
        ):
            _, length = stream.read(2)
            link.sendall(answer(stream.read(length)))
        stream.read(1)  # until the feed goes


def test_a_topic_the_broker_does_not_allow_is_told():
    with socket.create_server(("127.0.0.1", 0)) as server:
        broker = threading.Thread(target=answer_like_a_broker, args=(server,))
        broker.start()
        listener = Listener(server.getsockname()[1])

        listener.feed.start()

        assert "does not let this user read studio/#" in listener.next_words()
        listener.feed.stop()
        broker.join(timeout=PATIENCE_S)


# the library leaves a socket to the garbage collector when the handshake fails
@pytest.mark.filterwarnings(
    "ignore:Exception ignored in. <ssl.SSLSocket:pytest.PytestUnraisableExceptionWarning"
)
def test_a_connection_without_the_tls_asked_for_is_no_connection(broker):
    listener = Listener(broker.port, tls=True)

    listener.feed.start()

    assert listener.feed.failed.wait(PATIENCE_S)
    assert listener.feed.state.startswith("away since 2026-03-05 12:00 UTC: ")
    assert "[" not in listener.feed.state
    listener.feed.stop()
    gc.collect()  # here, so that no other test is blamed


def test_starting_and_stopping_twice_is_once(broker, listen):
    listener = listen()

    listener.feed.start()
    listener.feed.stop()
    listener.feed.stop()

    assert listener.feed.state == "not listening"


def test_a_stopped_feed_can_be_started_again(broker, listen):
    listener = listen()
    listener.feed.stop()
    listener.feed.start()
    broker.wait_for("Sending SUBACK")

    publish(broker.port, ("studio/glaze store", GOOD))

    assert listener.next_reading() == GOOD_READING


@pytest.mark.parametrize(
    ("host", "port", "topic", "setting"),
    [
        ("", 1883, "#", "mqtt_host"),
        ("broker..local", 1883, "#", "mqtt_host"),
        ("b" * 64 + ".local", 1883, "#", "mqtt_host"),
        ("bro\0ker", 1883, "#", "mqtt_host"),
        ("broker.local", 0, "#", "mqtt_port"),
        ("broker.local", 1883, "", "mqtt_topic"),
        ("broker.local", 1883, "studio/#/climate", "mqtt_topic"),
        ("broker.local", 1883, "studio#", "mqtt_topic"),
        ("broker.local", 1883, "studio/kiln+", "mqtt_topic"),
        ("broker.local", 1883, "kiln+/climate", "mqtt_topic"),
        ("broker.local", 1883, "studio\0", "mqtt_topic"),
    ],
)
def test_settings_that_can_never_work_are_told_with_their_name(host, port, topic, setting):
    told = []
    feed = Feed(host, port, topic, clock=FixedClock(NOON), take=told.append, tell=told.append)

    feed.start()

    assert len(told) == 1
    assert setting in told[0]
    assert feed.state == "not listening"


@pytest.mark.parametrize("topic", ["#", "+", "studio/#", "+/climate/#", "/studio", "studio/kiln"])
def test_every_topic_of_the_standard_is_allowed(topic):
    assert check_broker("127.0.0.1", 1883, topic) == ""
