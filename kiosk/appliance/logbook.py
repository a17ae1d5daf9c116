"""The kiosk's own log: bounded in size, with tracebacks, and without names of people."""

from __future__ import annotations

import hashlib
import logging
import os
import sys
import threading
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from kiosk.appliance.scrub import Scrub

LOG = logging.getLogger("cleatclock.appliance")
MOST_BYTES = 1_000_000  # of one file (choice)
FILES = 5  # the one written to and the four before it (choice)


def log_folder() -> Path:
    """Return the folder logs are kept in, in the user's own."""
    import platformdirs

    return Path(platformdirs.user_log_dir("cleatclock", appauthor=False))


def log_file(shop: Path, home: str) -> Path:
    """Return the log of a shop's bench or board: each process writes a file of its own.

    Shops in different folders may have files of one name: the folder goes into the log's name. A
    log from before it did stays where it is and out of bundles, as it may be of several shops,
    and only the names of this one would be taken out.
    """
    there = shop.resolve()
    return log_folder() / f"{there.stem}-{_mark(there)}-{home}.log"


def _mark(there: Path) -> str:
    """Return a few letters that differ for each path; 24 bits are plenty for one machine."""
    return hashlib.sha256(os.fsencode(there)).hexdigest()[:6]


def log_files(shop: Path) -> list[Path]:
    """Return the logs there are of a shop, oldest first."""
    return sorted(
        (file for home in ("bench", "board") for file in _turned(log_file(shop, home))),
        key=lambda file: file.stat().st_mtime,
    )


def _turned(file: Path) -> list[Path]:
    names = [file, *(file.with_name(f"{file.name}.{turn}") for turn in range(1, FILES))]
    return [one for one in names if one.is_file()]


class _Format(logging.Formatter):
    """A line with its time and whence it comes, tracebacks below it, names taken out."""

    def __init__(self, scrub: Scrub) -> None:
        super().__init__(
            "%(asctime)s %(levelname)s %(name)s: %(message)s", datefmt="%Y-%m-%dT%H:%M:%S%z"
        )
        self._scrub = scrub

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        return self._scrub.clean(super().format(record))


def _ours_or_grave(record: logging.LogRecord) -> bool:
    """Keep all of ours, and of the libraries only what went wrong."""
    return record.name.partition(".")[0] == "cleatclock" or record.levelno >= logging.WARNING


def start_log(file: Path, scrub: Scrub) -> str:
    """Write what our code tells into a file from now on, and what nobody caught.

    Args:
        file: the log; older ones lie beside it with a number.
        scrub: names that must not get into it.

    Returns:
        What is wrong, in words, or nothing. A kiosk without a log still works.
    """
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(
            file, maxBytes=MOST_BYTES, backupCount=FILES - 1, encoding="utf-8", errors="replace"
        )
    except OSError as error:
        return f"No log is kept: {file} cannot be written: {error.strerror or error}"
    handler.setFormatter(_Format(scrub))
    handler.addFilter(_ours_or_grave)
    logging.getLogger("cleatclock").setLevel(logging.INFO)
    logging.getLogger().addHandler(handler)
    logging.captureWarnings(capture=True)
    sys.excepthook = _uncaught
    threading.excepthook = _uncaught_in_thread
    return ""


def _uncaught(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    if not issubclass(kind, KeyboardInterrupt):
        LOG.critical("ended by a fault", exc_info=(kind, error, trace))
    sys.__excepthook__(kind, error, trace)


def _uncaught_in_thread(args: threading.ExceptHookArgs) -> None:
    if args.exc_value is not None:
        fault = (args.exc_type, args.exc_value, args.exc_traceback)
        LOG.critical("a thread ended by a fault", exc_info=fault)
