"""One kiosk of a kind for each shop file on a machine: a lock that ends with its process."""

from __future__ import annotations

import errno
import logging
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

LOG = logging.getLogger("cleatclock.appliance")
# Bytes that are locked lie behind what is written, so that the number of the process can still be
# read on Windows, where a locked byte cannot.
_LOCKED_AT = 1 << 20
_TAKEN = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}

if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int) -> None:
        os.lseek(handle, _LOCKED_AT, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class AlreadyOpen(Exception):
    """A kiosk of this kind is open for the shop's file; the text says what to do."""


def lock_file(shop: Path, home: str) -> Path:
    """Return the file that is locked while a bench or a board is open, beside the shop's file."""
    there = shop.resolve()
    return there.with_name(f"{there.name}.{home}.lock")


@contextmanager
def hold_alone(shop: Path, home: str) -> Iterator[None]:
    """Be the only bench, or the only board, of a shop's file on this machine.

    The system lets go of the lock when the process ends, however it ends: what a crash leaves
    behind is a file that nobody holds. Where a disk knows no locks, the kiosk opens all the same.

    Args:
        shop: the shop's file.
        home: bench or board; one of each may be open side by side.

    Raises:
        AlreadyOpen: there is one already.
    """
    handle = _take(lock_file(shop, home), shop, home)
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def is_open(shop: Path, home: str) -> bool:
    """Tell whether a bench, or a board, of a shop's file is open on this machine."""
    if not lock_file(shop, home).exists():
        return False
    try:
        with hold_alone(shop, home):
            return False
    except AlreadyOpen:
        return True


def _take(file: Path, shop: Path, home: str) -> int | None:
    try:
        # kept open until the end; what the kiosk starts does not inherit it (PEP 446)
        handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        LOG.warning("no lock can be made: %s", error)
        return None
    try:
        _lock(handle)
    except OSError as error:
        number = _number(handle)
        os.close(handle)
        if error.errno not in _TAKEN:
            LOG.warning("no lock can be taken: %s", error)
            return None
        raise AlreadyOpen(_words(shop, home, number)) from error
    os.ftruncate(handle, 0)
    os.lseek(handle, 0, os.SEEK_SET)
    os.write(handle, f"{os.getpid()}\n".encode())
    return handle


def _number(handle: int) -> str:
    os.lseek(handle, 0, os.SEEK_SET)
    text = os.read(handle, 20).decode("ascii", "replace").strip()
    return f" (process {text})" if text.isdigit() else ""


def _words(shop: Path, home: str, number: str) -> str:
    other = "board" if home == "bench" else "bench"
    return (
        f"A {home} for {shop} is open on this machine already{number}. Go on there, or end it with "
        f"Ctrl+Shift+Q and open it again. Beside it, a {other} may be open: "
        f"cleatclock open --{other}."
    )
