"""IPP messages: what we write others read, and whatever comes back gives one narrow error."""

import contextlib
import itertools
import socket
import struct
import threading
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.printing import PDF, Sheet, Stage, open_printer, wire
from labels.printing.ipp import IppClient, media_of
from labels.printing.post import NoAnswer, parse_place, post
from labels.printing.wire import AnswerGarbled, Attribute, Group, Message, decode, encode

# RFC 8010, appendix A.1: the start of the Print-Job request printed there, for another printer
RFC_HEAD = bytes.fromhex("0101 0002 00000001 01 47 0012") + b"attributes-charset" + (
    bytes.fromhex("0005") + b"utf-8" + bytes.fromhex("48 001b") + b"attributes-natural-language"
    + bytes.fromhex("0005") + b"en-us" + bytes.fromhex("45 000b") + b"printer-uri"
    + bytes.fromhex("002c") + b"ipp://printer.example.com/ipp/print/pinetree"
)  # fmt: skip
NAMES = st.text("abcdefghijklmnopqrstuvwxyz-", min_size=1, max_size=30)
NUMBERS = st.integers(-(2**31), 2**31 - 1)
PLAIN = st.one_of(
    st.tuples(st.sampled_from([wire.INTEGER, wire.ENUM]), st.lists(NUMBERS, min_size=1)),
    st.tuples(st.just(wire.BOOLEAN), st.lists(st.booleans(), min_size=1)),
    st.tuples(
        st.sampled_from([wire.KEYWORD, wire.NAME, wire.TEXT, wire.URI, wire.MIME]),
        st.lists(st.text(max_size=40).filter(lambda text: text.isprintable()), min_size=1),
    ),
    st.tuples(st.just(wire.RANGE), st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1)),
    st.tuples(
        st.just(wire.RESOLUTION),
        st.lists(st.tuples(NUMBERS, NUMBERS, st.sampled_from([3, 4])), min_size=1),
    ),
    st.tuples(st.just(0x31), st.lists(st.binary(min_size=11, max_size=11), min_size=1)),
)


def _attribute(name, kind):
    tag, values = kind
    return Attribute(name, tag, tuple(values))


LEAVES = st.builds(_attribute, NAMES, PLAIN)
NESTED = st.recursive(
    LEAVES,
    lambda inner: st.builds(
        lambda name, members: Attribute(name, wire.COLLECTION, (tuple(members),)),
        NAMES,
        st.lists(inner, min_size=1, max_size=3),
    ),
    max_leaves=6,
)
GROUPS = st.builds(
    lambda tag, attributes: Group(tag, tuple(attributes)),
    st.sampled_from([wire.OPERATION, wire.JOB, wire.PRINTER, wire.UNSUPPORTED]),
    st.lists(NESTED, max_size=4),
)


def test_a_request_begins_as_the_standard_shows_it():
    uri = "ipp://printer.example.com/ipp/print/pinetree"
    group = Group(
        wire.OPERATION,
        (
            Attribute("attributes-charset", wire.CHARSET, ("utf-8",)),
            Attribute("attributes-natural-language", wire.LANGUAGE, ("en-us",)),
            Attribute("printer-uri", wire.URI, (uri,)),
        ),
    )

    assert encode(Message(0x0002, 1, (group,), (1, 1))) == RFC_HEAD + b"\x03"


def test_a_size_is_written_as_the_standard_nests_collections():
    # RFC 8010 section 3.1.7: begin, member name, value, ..., end; 5000 is 0x1388, 2500 is 0x09C4
    media = media_of(Sheet(b"", PDF, 50.0, 25.0, 203), Group(wire.PRINTER, ()))[0]

    raw = encode(Message(2, 1, (Group(wire.JOB, (media,)),)))

    size = (
        b"\x34\x00\x00\x00\x00" + b"\x4a\x00\x00\x00\x0bx-dimension"
        b"\x21\x00\x00\x00\x04\x00\x00\x13\x88" + b"\x4a\x00\x00\x00\x0by-dimension"
        b"\x21\x00\x00\x00\x04\x00\x00\x09\xc4" + b"\x37\x00\x00\x00\x00"
    )
    assert b"\x34\x00\x09media-col\x00\x00\x4a\x00\x00\x00\x0amedia-size" + size in raw


@settings(max_examples=150, deadline=None)
@given(st.lists(GROUPS, max_size=4), st.binary(max_size=50), st.integers(0, 0xFFFF))
def test_what_is_written_is_read_back(groups, data, code):
    message = Message(code, 7, tuple(groups), (2, 0), data)

    assert decode(encode(message)) == message


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=300))
def test_garbage_is_read_or_refused_in_words(raw):
    with contextlib.suppress(AnswerGarbled):
        assert isinstance(decode(raw), Message)


@settings(max_examples=200, deadline=None)
@given(st.lists(GROUPS, min_size=1, max_size=2), st.data())
def test_an_answer_cut_short_or_with_a_changed_byte_is_read_or_refused(groups, data):
    raw = bytearray(encode(Message(0, 1, tuple(groups))))
    at = data.draw(st.integers(0, len(raw) - 1))
    with pytest.raises(AnswerGarbled):
        decode(bytes(raw[: len(raw) - 1 - at % len(raw)]))
    raw[at] = data.draw(st.integers(0, 255))
    with contextlib.suppress(AnswerGarbled):
        assert isinstance(decode(bytes(raw)), Message)


def test_collections_without_end_are_refused():
    deep = b"\x34\x00\x01a\x00\x00" + b"\x4a\x00\x00\x00\x01b\x34\x00\x00\x00\x00" * 5000

    with pytest.raises(AnswerGarbled):
        decode(struct.pack(">BBHI", 2, 0, 0, 1) + b"\x04" + deep)


@pytest.mark.parametrize("tag", [0, wire.JOB, wire.PRINTER, 0x21, 0x34, 0x4A])
def test_a_long_answer_of_nothing_is_refused(tag):
    with pytest.raises(AnswerGarbled):
        decode(struct.pack(">BBHI", 2, 0, 0, 1) + bytes([tag]) * 1_000_000)


def test_the_first_of_two_values_of_a_name_counts():
    twice = Group(
        wire.PRINTER,
        (
            Attribute("document-format-supported", wire.MIME, ("image/png",)),
            Attribute("document-format-supported", wire.MIME, ("image/urf",)),
        ),
    )

    assert twice.words("document-format-supported") == ("image/png",)


def test_a_text_with_language_is_read_without_it():
    value = b"\x00\x02en\x00\x05Ready"
    raw = b"\x02\x00\x00\x00\x00\x00\x00\x01\x04\x35\x00\x01a" + struct.pack(">H", len(value))

    assert decode(raw + value + b"\x03").first(wire.PRINTER).words("a") == ("Ready",)


@pytest.mark.parametrize(
    ("where", "host", "port", "uri", "tls"),
    [
        ("ipp://192.168.1.40", "192.168.1.40", 631, "ipp://192.168.1.40:631/ipp/print", False),
        ("ipp://kiln:8631/ipp/p", "kiln", 8631, "ipp://kiln:8631/ipp/p", False),
        ("ipps://kiln/ipp/print", "kiln", 631, "ipps://kiln:631/ipp/print", True),
        ("http://kiln:631/printers/Q", "kiln", 631, "ipp://kiln:631/printers/Q", False),
        ("https://kiln/ipp", "kiln", 443, "ipps://kiln:443/ipp", True),
        ("ipp://[::1]/ipp/print", "::1", 631, "ipp://[::1]:631/ipp/print", False),
    ],
)
def test_an_address_is_read(where, host, port, uri, tls):
    place, problem = parse_place(where)

    assert problem == ""
    assert (place.host, place.port, place.uri, place.tls) == (host, port, uri, tls)


@given(st.one_of(st.text(max_size=40), st.text(max_size=20).map("ipp://".__add__)))
def test_no_address_raises(where):
    place, problem = parse_place(where)

    assert (place is None) == bool(problem)


@pytest.mark.parametrize(
    "where", ["", " ", "ipp://", "ipp://kiln:99999/", "ftp://kiln/", "a/b", "-d", "ipp://ki ln/"]
)
def test_what_is_no_printer_says_so(where):
    state = open_printer(where, seconds=time.monotonic).check()

    assert (state.stage, state.reason) == (Stage.FAILED, "no-printer")
    assert state.words


def read_request(line):
    """Return the body of a request once all of it is there."""
    with line.makefile("rb") as file:
        size = 0
        while (head := file.readline().strip().lower()) != b"":
            if head.startswith(b"content-length:"):
                size = int(head.split(b":")[1])
        return file.read(size)


class Server:
    """Answers one connection with whatever the test gives."""

    def __init__(self, *pieces, close=True):
        self._pieces, self._close = pieces, close
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = self._listener.getsockname()[1]
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._over = threading.Event()
        self._thread.start()

    def _serve(self):
        with contextlib.suppress(OSError):
            line, _ = self._listener.accept()
            with line:
                read_request(line)
                for piece in self._pieces:
                    line.sendall(piece)
                if not self._close:
                    self._over.wait(20)

    def __enter__(self):
        return parse_place(f"ipp://127.0.0.1:{self.port}/ipp/print")[0]

    def __exit__(self, *_):
        self._over.set()
        self._listener.close()
        self._thread.join(20)


def _http(body, head=b"Content-Length: %d"):
    size = head % len(body) if b"%d" in head else head
    return b"HTTP/1.1 200 OK\r\n" + size + b"\r\n\r\n" + body


GOOD = encode(Message(0, 1, (Group(wire.PRINTER, (Attribute("a", wire.INTEGER, (1,)),)),)))


@pytest.mark.parametrize(
    ("answer", "reason"),
    [
        (b"", "unreachable"),
        (b"SSH-2.0-server\r\n", "unreachable"),
        (b"HTTP/1.1 200 OK\r\nContent-Length: 900\r\n\r\nshort", "garbled"),
        (b"HTTP/1.1 200 OK\r\nContent-Length: -5\r\n\r\n", "garbled"),
        (b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", "unreachable"),
        (b"HTTP/1.1 200 OK\r\n" + b"X: y\r\n" * 5000 + b"\r\n", "unreachable"),
        (b"HTTP/1.1 200 OK\r\nX: " + b"y" * 200_000 + b"\r\n\r\n", "unreachable"),
        (_http(b"<html>hello</html>"), "garbled"),
        (_http(GOOD[:-1]), "garbled"),
        (_http(b""), "garbled"),
        (_http(encode(Message(0, 999))), "garbled"),
        (b"HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\n\r\n", "no-printer"),
        (b"HTTP/1.1 302 Found\r\nLocation: http://elsewhere/\r\n\r\n", "no-printer"),
        (b"HTTP/1.1 401 Who\r\nContent-Length: 0\r\n\r\n", "not-allowed"),
        (b"HTTP/1.1 426 Upgrade Required\r\nContent-Length: 0\r\n\r\n", "encryption"),
        (b"HTTP/1.1 500 Oh\r\nContent-Length: 0\r\n\r\n", "unreachable"),
        (b"HTTP/9.9 xyz\r\n\r\n", "unreachable"),
    ],
)
def test_a_strange_answer_gives_one_error_with_words(answer, reason):
    with Server(answer) as place, pytest.raises(NoAnswer) as error:
        IppClient(place, seconds=time.monotonic).printer(("printer-state",))

    assert error.value.reason == reason
    assert error.value.words
    assert error.value.remedy


def test_an_answer_without_end_is_not_read_to_its_end():
    head = b"HTTP/1.1 200 OK\r\nContent-Length: 100000000\r\n\r\n"
    pieces = (head, *(bytes(1_000_000) for _ in range(100)))

    with Server(*pieces) as place, pytest.raises(NoAnswer) as error:
        IppClient(place, seconds=time.monotonic).printer(("printer-state",))

    assert error.value.reason == "no-printer"


def test_an_answer_that_drips_is_given_up_when_the_time_is_over():
    ticks = itertools.count(step=0.5)  # each look at the clock finds half a second gone
    drip = (b"HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n", b"drip")

    with Server(*drip, close=False) as place, pytest.raises(NoAnswer) as error:
        post(place, b"", seconds=lambda: next(ticks), limit=2.0)

    assert error.value.reason == "unreachable"


def test_a_server_that_never_answers_is_given_up():
    with Server(close=False) as place, pytest.raises(NoAnswer) as error:
        post(place, b"hello", seconds=time.monotonic, limit=0.2)

    assert error.value.reason == "unreachable"


def test_a_good_answer_is_read():
    with Server(_http(GOOD)) as place:
        code, printer = IppClient(place, seconds=time.monotonic).printer(("a",))

    assert (code, printer.numbers("a")) == (0, (1,))


def test_a_printer_of_the_older_kind_is_asked_again_in_its_way():
    first = encode(Message(0x0503, 1, version=(1, 1)))
    heard = []
    listener = socket.create_server(("127.0.0.1", 0))

    def serve():
        for answer in (first, encode(Message(0, 2, version=(1, 1)))):
            line, _ = listener.accept()
            with line:
                heard.append(read_request(line))
                line.sendall(_http(answer))

    server = threading.Thread(target=serve, daemon=True)
    server.start()
    place, _ = parse_place(f"ipp://127.0.0.1:{listener.getsockname()[1]}/")
    with listener:
        code, _ = IppClient(place, seconds=time.monotonic).printer(("a",))
        server.join(20)

    assert code == 0
    assert [request[:2] for request in heard] == [b"\x02\x00", b"\x01\x01"]
