"""Carry one IPP message to a printer and its answer back, within a time and a size."""

from __future__ import annotations

import contextlib
import http.client
import io
import socket
import ssl
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from labels import LabelError

_PORTS: Final = {"ipp": 631, "ipps": 631, "http": 80, "https": 443}  # RFC 3510, 7472, 9110
_USUAL_PATH: Final = "/ipp/print"  # PWG 5100.14 section 4
_LARGEST: Final = 1_000_000  # bytes of an answer; choice, what we ask for has some 10 kB
_PIECE: Final = 65_536
_MIME: Final = "application/ipp"


class NoAnswer(LabelError):
    """The printer did not answer, or not as one; `reason` is a plain key for programs."""

    def __init__(self, words: str, remedy: str, *, reason: str) -> None:
        super().__init__(f"{words} {remedy}")
        self.words, self.remedy, self.reason = words, remedy, reason


@dataclass(frozen=True, slots=True)
class Place:
    """Where a printer listens.

    Attributes:
        uri: as IPP names it (`ipp://…` or `ipps://…`), sent with each request.
        host, port, path: where to go; a host beginning with `/` is a local socket's file.
        tls: whether the connection is encrypted.
    """

    uri: str
    host: str
    port: int
    path: str
    tls: bool


def parse_place(where: str) -> tuple[Place | None, str]:
    """Read `ipp://host[:port]/path`, `ipps://…` or `http://…`.

    Returns:
        The place, or None and what is wrong in words.
    """
    example = "Write it as ipp://192.168.1.40/ipp/print."
    if any(letter.isspace() or not letter.isprintable() for letter in where):
        return None, f"The printer's address has a blank in it. {example}"
    try:
        parts = urlsplit(where)
        host, port = parts.hostname, parts.port
    except ValueError:
        return (
            None,
            f"The printer's address {where} is not complete or its port is wrong. {example}",
        )
    usual = _PORTS.get(parts.scheme)
    if usual is None or not host or not where.isascii():
        return None, f"{where} is no address of a printer. {example}"
    tls = parts.scheme in ("ipps", "https")
    path = parts.path if parts.path.strip("/") else _USUAL_PATH
    named = f"[{host}]" if ":" in host else host
    number = port or usual
    uri = f"{'ipps' if tls else 'ipp'}://{named}:{number}{path}"
    return Place(uri, host, number, path, tls), ""


def post(
    place: Place,
    body: bytes,
    *,
    seconds: Callable[[], float],
    limit: float,
    trust: Path | None = None,
) -> bytes:
    """Send a message and return the answer.

    Args:
        place: where to.
        body: the message.
        seconds: a clock that only runs forward, in seconds.
        limit: seconds for all of it, however slowly the answer drips.
        trust: with TLS, a PEM file with the printer's own certificate: whoever holds it is taken
            for the printer, whatever its name. Without, the system's authorities decide.

    Raises:
        NoAnswer: whatever goes wrong.
    """
    end = seconds() + limit
    try:
        with _connect(place, limit, trust) as line:
            return _ask(place, body, _Patient(line, seconds, end))
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise _failure(place, error) from error


def _failure(place: Place, error: Exception) -> NoAnswer:
    if isinstance(error, ssl.SSLCertVerificationError):
        return NoAnswer(
            f"The printer at {place.host} cannot prove that it is the one it says.",
            "Save its certificate to a file and name it in the settings.",
            reason="certificate",
        )
    if isinstance(error, ssl.SSLError):
        return NoAnswer(
            f"No encrypted connection to the printer at {place.host} came about.",
            "Look whether it takes ipps, or write ipp:// in your own network.",
            reason="encryption",
        )
    return NoAnswer(
        f"The printer at {place.host} does not answer.",
        "Look whether it is switched on and in the network; the label is kept.",
        reason="unreachable",
    )


def _connect(place: Place, limit: float, trust: Path | None) -> socket.socket:
    if place.host.startswith("/"):
        line = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        line.settimeout(limit)
        line.connect(place.host)
        return line
    context = _trusting(trust) if place.tls else None
    plain = socket.create_connection((place.host, place.port), timeout=limit)
    if context is None:
        return plain
    try:
        return context.wrap_socket(plain, server_hostname=place.host)
    except BaseException:
        plain.close()
        raise


def _trusting(trust: Path | None) -> ssl.SSLContext:
    if trust is None:
        return ssl.create_default_context()
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    # printers name themselves at will in the certificates they make; the certificate itself is
    # what is known here, and it alone, not one that it may have signed
    context.check_hostname = False
    context.verify_flags |= ssl.VERIFY_X509_PARTIAL_CHAIN
    try:
        context.load_verify_locations(cafile=trust)
    except OSError as error:
        raise NoAnswer(
            f"The printer's certificate in {trust} cannot be read.",
            "Save it there again, as PEM.",
            reason="certificate-file",
        ) from error
    return context


class _Patient:
    """A socket that gives up when the time is over, not only when one read takes long."""

    def __init__(self, line: socket.socket, seconds: Callable[[], float], end: float) -> None:
        self._line, self._seconds, self._end = line, seconds, end

    def _hurry(self) -> socket.socket:
        left = self._end - self._seconds()
        if left <= 0:
            raise TimeoutError
        self._line.settimeout(left)
        return self._line

    def sendall(self, data: bytes) -> None:
        self._hurry().sendall(data)

    def recv_into(self, buffer: Any) -> int:
        return self._hurry().recv_into(buffer)

    def makefile(self, _mode: str) -> io.BufferedReader:
        return io.BufferedReader(_Stream(self), _PIECE)

    def close(self) -> None:
        """Leave closing to whoever opened the socket."""


class _Stream(io.RawIOBase):
    """What http.client reads from."""

    def __init__(self, line: _Patient) -> None:
        self._line = line

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        return self._line.recv_into(buffer)


def _ask(place: Place, body: bytes, line: _Patient) -> bytes:
    local = place.host.startswith("/")
    talk = http.client.HTTPConnection("localhost" if local else place.host, place.port)
    talk.sock = line
    # a printer may refuse before it has read all, and says why in its answer
    with contextlib.suppress(BrokenPipeError, ConnectionResetError):
        talk.request("POST", place.path, body, {"Content-Type": _MIME})
    answer = talk.getresponse()
    _check_status(place, answer.status)
    pieces, size = [], 0
    while piece := answer.read1(_PIECE):
        size += len(piece)
        if size > _LARGEST:
            raise NoAnswer(
                f"What answers at {place.host} sends more than a printer would.",
                "Check the printer's address.",
                reason="no-printer",
            )
        pieces.append(piece)
    return b"".join(pieces)


def _check_status(place: Place, status: int) -> None:
    if status == http.client.OK:
        return
    if status in (http.client.UNAUTHORIZED, http.client.FORBIDDEN):
        raise NoAnswer(
            f"The printer at {place.host} lets only people it knows print.",
            "Let this computer print without a password in the printer's own settings.",
            reason="not-allowed",
        )
    if status == http.client.UPGRADE_REQUIRED:
        raise NoAnswer(
            f"The printer at {place.host} wants an encrypted connection.",
            "Write ipps:// in place of ipp://.",
            reason="encryption",
        )
    if status >= http.client.INTERNAL_SERVER_ERROR:
        raise NoAnswer(
            f"The printer at {place.host} has trouble of its own.",
            "Switch it off and on again; the label is kept.",
            reason="unreachable",
        )
    raise NoAnswer(
        f"Something answers at {place.host}, but there is no printer at {place.path}.",
        "Check the address; most printers have /ipp/print at its end.",
        reason="no-printer",
    )
