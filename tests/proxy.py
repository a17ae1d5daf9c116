"""A network that fails on purpose: everything between kiosks and a server goes through it.

What goes wrong is told to it; until then it hands on every byte.
"""

from __future__ import annotations

import socket
import struct
import threading
import time
from contextlib import suppress
from enum import StrEnum

_CHUNK = 65_536


class Fault(StrEnum):
    """What goes wrong."""

    NONE = "none"
    SWALLOW = "swallow"  # the bytes are taken and go nowhere: a server that hangs
    REFUSE = "refuse"  # nobody listens
    DELAY = "delay"  # each piece comes later
    AFTER_REQUEST = "cut after request"  # the next request is handed on, then the line is cut
    BEFORE_REPLY = "cut before reply"  # the server answers, and the answer is lost


class Proxy:
    """Listens on a port of its own and hands on to a server's; a thread for each line."""

    def __init__(self, port: int, *, delay_s: float = 0.05) -> None:
        """Take the server's port on this machine."""
        self._to, self._delay_s = port, delay_s
        self._fault, self._marker = Fault.NONE, b""
        self.cuts = 0
        self._lines: set[socket.socket] = set()
        self._lock = threading.Lock()
        self._listener: socket.socket | None = None
        self.port = 0
        self._listen()

    def url(self, address: str) -> str:
        """Return a server's address that leads through here."""
        return address.replace(f":{self._to}/", f":{self.port}/")

    def do(self, fault: Fault, *, at: bytes = b"") -> None:
        """Let something go wrong from now on; cuts happen once, at a request that holds `at`."""
        if fault == Fault.REFUSE:
            self._end_listening()
            self.reset()
        elif self._listener is None:
            self._listen()
        with self._lock:
            self._fault, self._marker = fault, at

    def mend(self) -> None:
        """Let everything go on; lines whose bytes were swallowed are reset, as they have holes."""
        was = self._fault
        self.do(Fault.NONE)
        if was == Fault.SWALLOW:
            self.reset()

    def reset(self) -> None:
        """Break all lines with a reset, as a cable box that is switched off and on."""
        with self._lock:
            lines, self._lines = self._lines, set()
        for line in lines:
            _break(line)

    def close(self) -> None:
        """End."""
        self._end_listening()
        self.reset()

    def _listen(self) -> None:
        listener = socket.socket()
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", self.port))
        listener.listen(64)
        self.port, self._listener = listener.getsockname()[1], listener
        threading.Thread(target=self._accept, args=(listener,), daemon=True).start()

    def _end_listening(self) -> None:
        listener, self._listener = self._listener, None
        if listener is not None:
            with suppress(OSError):
                listener.shutdown(socket.SHUT_RDWR)
            listener.close()

    def _accept(self, listener: socket.socket) -> None:
        while True:
            try:
                near, _where = listener.accept()
            except OSError:
                return
            try:
                far = socket.create_connection(("127.0.0.1", self._to), timeout=5)
            except OSError:
                _break(near)
                continue
            far.settimeout(None)
            with self._lock:
                self._lines |= {near, far}
            line = _Line(self, near, far)
            for way in (line.out, line.back):
                threading.Thread(target=way, daemon=True).start()

    def fault_at(self, data: bytes) -> Fault:
        """Return what is to go wrong with a request; a cut is taken by the first that fits."""
        with self._lock:
            fault = self._fault
            if fault in (Fault.AFTER_REQUEST, Fault.BEFORE_REPLY):
                if self._marker not in data:
                    return Fault.NONE
                self._fault = Fault.NONE
                self.cuts += 1
            return fault

    @property
    def swallows(self) -> bool:
        """Whether bytes go nowhere just now."""
        return self._fault == Fault.SWALLOW

    def slow(self) -> None:
        """Wait where everything is to come later."""
        if self._fault == Fault.DELAY:
            time.sleep(self._delay_s)


class _Line:
    """One line from a kiosk to the server."""

    def __init__(self, proxy: Proxy, near: socket.socket, far: socket.socket) -> None:
        self._proxy, self._near, self._far = proxy, near, far
        self._loses_reply = False

    def out(self) -> None:
        """Hand on requests."""
        with suppress(OSError):
            while data := self._near.recv(_CHUNK):
                fault = self._proxy.fault_at(data)
                if fault == Fault.SWALLOW:
                    continue
                self._loses_reply |= fault == Fault.BEFORE_REPLY
                self._proxy.slow()
                self._far.sendall(data)
                if fault == Fault.AFTER_REQUEST:
                    break
        self._end()

    def back(self) -> None:
        """Hand on answers."""
        with suppress(OSError):
            while data := self._far.recv(_CHUNK):
                if self._loses_reply:
                    break
                if self._proxy.swallows:
                    continue
                self._proxy.slow()
                self._near.sendall(data)
        self._end()
        self._far.close()

    def _end(self) -> None:
        _break(self._near)
        # in order, so that the server still reads what was handed on
        with suppress(OSError):
            self._far.shutdown(socket.SHUT_WR)


def _break(line: socket.socket) -> None:
    """Close with a reset."""
    with suppress(OSError):
        line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    with suppress(OSError):
        line.shutdown(socket.SHUT_RDWR)
    with suppress(OSError):
        line.close()
