"""Put together what somebody who helps needs to see, without names of people, jobs or machines."""

from __future__ import annotations

import getpass
import json
import platform
import socket
import zipfile
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from kiosk.actions.census import Census, take_census
from kiosk.appliance import Scrub, log_file, log_files
from kiosk.check import Check
from kiosk.config import PASSFILE, PlaceSetting, Settings
from kiosk.store import SQLITE_VERSION, Store, StoreError

# Settings whose value says nothing of the shop, its people or its machines. A setting that is not
# named here is left out, so that a new one is never given away by mistake.
_HARMLESS = frozenset(
    (
        *("language", "zone", "kiosk_letter", "station", "units", "label_stock", "label_dpi"),
        *("print_at_once", "scanner_layout", "scanner_suffix", "glue", "filler", "wall_paint"),
        *("stripe", "temperature", "closes_at", "mqtt_port", "mqtt_tls", "repeat_seconds"),
        *("screen_diagonal_in", "viewing_distance_m", "sound", "left_handed"),
    )
)
_PACKAGES = ("cleatclock", "kivy", "peewee", "pillow", "zxing-cpp", "paho-mqtt", "platformdirs")
_LAST_BYTES = 500_000  # of each log file
_LOG_LEFT_OUT = "the shop's file cannot be read, so its names are not known and logs are left out"


@dataclass(frozen=True, slots=True)
class Bundle:
    """The files of a bundle by name, and in words what was left out."""

    files: Mapping[str, str]
    left_out: str = ""


def gather(path: Path, settings: Settings, checks: Sequence[Check]) -> Bundle:
    """Return checks, versions, settings, counts and logs of a shop, with all names taken out.

    Args:
        path: the shop's file; it need not exist.
        settings: as read from beside it.
        checks: what was found out about this machine.
    """
    census = _census(path, settings)
    scrub = Scrub({**_machine(path, settings), **(census.names if census else {})})
    clean = _cleaner(scrub, path)
    counts = {"entries": census.kinds} if census else {"entries": {}, "problem": _LOG_LEFT_OUT}
    files = {
        "checks.json": [_check_json(check, clean) for check in checks],
        "versions.json": _versions(),
        "settings.json": _settings_json(settings),
        "counts.json": counts,
    }
    texts = {name: json.dumps(what, ensure_ascii=False, indent=2) for name, what in files.items()}
    if census is not None:
        texts |= {f"logs/{name}": clean(text) for name, text in _logs(path)}
    return Bundle(texts, "" if census else _LOG_LEFT_OUT)


def write_bundle(bundle: Bundle, out: Path) -> None:
    """Write a bundle as one ZIP file.

    Raises:
        OSError: it could not be written.
    """
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as into:
        for name, text in bundle.files.items():
            into.writestr(name, text)


def _census(path: Path, settings: Settings) -> Census | None:
    if not path.is_file():
        return _nothing_yet(settings)
    try:
        store = Store.open(path, settings.kiosk_letter)
    except (StoreError, OSError):
        return None
    try:
        return take_census(store, settings)
    except (StoreError, OSError):
        return None
    finally:
        store.close()


def _nothing_yet(settings: Settings) -> Census:
    """Return the census of a shop that has no file yet: what its settings name."""
    names = {
        "shop": frozenset({settings.shop}),
        "person": frozenset({settings.person}),
        "place": frozenset(place.name for place in settings.places),
    }
    return Census({}, names)


def _machine(path: Path, settings: Settings) -> dict[str, list[str]]:
    """Return the names of this machine, of its user, and of what it is connected with."""
    user = ""
    with suppress(OSError, KeyError, ImportError):  # a login that has no name
        user = getpass.getuser()
    # a login named like what is in every path and traceback tells nothing, and scrubs too much
    server = urlsplit(settings.server)
    hosts = [socket.gethostname(), socket.getfqdn(), settings.mqtt_host, server.hostname or ""]
    return {
        "host": [host for host in hosts if host not in ("localhost", "localhost.localdomain")],
        "login": [user] if user not in ("root", "kiosk", "user") else [],
        "secret": [
            *(settings.mqtt_user, settings.mqtt_password, *_passwords(path)),
            *(server.username or "", server.path.strip("/")),
        ],
        "topic": [settings.mqtt_topic],
        "printer": [settings.printer, settings.paper_printer],
        "device": [settings.scanner_device],
    }


def _passwords(path: Path) -> list[str]:
    """Return the password for the shop server; no log should hold it, and a bundle never may."""
    try:
        lines = path.with_name(PASSFILE).read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return []
    return [line.rpartition(":")[2] for line in lines]


def _cleaner(scrub: Scrub, path: Path) -> Callable[[str], str]:
    """Return what takes paths and names out of a text."""
    folders = {
        str(path.resolve().parent): "(shop's folder)",
        str(path.parent): "(shop's folder)",
        str(Path.home()): "~",
    }
    # the deepest first; what every path begins with is no folder to hide
    known = [one for one in sorted(folders, key=len, reverse=True) if len(Path(one).parts) > 1]

    def clean(text: str) -> str:
        for folder in known:
            text = text.replace(folder, folders[folder])
        return scrub.clean(text.replace(path.name, "(shop's file)"))

    return clean


def _check_json(check: Check, clean: Callable[[str], str]) -> dict[str, Any]:
    # these are told in the shop's own words: only whether they are well is said
    is_own = check.name in ("settings", "printer", "paper", "stocks", "log", "exchange")
    detail = ("well" if check.ok else "not well") if is_own else clean(check.detail)
    return {"name": check.name, "ok": check.ok, "detail": detail, "remedy": clean(check.remedy)}


def _versions() -> dict[str, str]:
    found = {}
    for package in _PACKAGES:
        try:
            found[package] = version(package)
        except PackageNotFoundError:
            found[package] = "not installed"
    return {
        **found,
        "python": platform.python_version(),
        "sqlite": SQLITE_VERSION,
        "system": f"{platform.system()} {platform.release()}",
        "machine": platform.machine(),
    }


def _settings_json(settings: Settings) -> dict[str, Any]:
    """Return the settings; of what may name somebody or something only whether it is set."""
    found: dict[str, Any] = {}
    for field in fields(settings):
        value = getattr(settings, field.name)
        if field.name == "places":
            found["places"] = [_place_json(place) for place in value]
        elif field.name in _HARMLESS:
            found[field.name] = value
        else:
            found[field.name] = "(set)" if value else ""
    return found


def _place_json(place: PlaceSetting) -> dict[str, Any]:
    return {"slots": place.slots, "role": place.role}


def _logs(path: Path) -> list[tuple[str, str]]:
    """Return the last of each log, named without the shop's file."""
    found, shop = [], log_file(path, "").name.removesuffix(".log")
    for file in log_files(path):
        text = file.read_bytes()[-_LAST_BYTES:].decode("utf-8", "replace")
        found.append((file.name.removeprefix(shop), text))
    return found
