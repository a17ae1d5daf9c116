"""Real printers for the tests: a virtual IPP printer and a print system of our own, on loopback."""

import contextlib
import os
import shutil
import signal
import socket
import struct
import subprocess
import threading
import time
from pathlib import Path

import numpy as np
import pytest

from labels.artwork import LabelText
from labels.codes import code_for
from labels.pages import write_pdf
from labels.printing import PDF, Sheet
from labels.stocks import parse_stocks

STOCKS = parse_stocks((Path(__file__).parents[2] / "kiosk/data/stocks.toml").read_text("utf-8"))[0]

APT = "sudo apt install --no-install-recommends cups cups-filters cups-ipp-utils dbus"
PATIENCE_S = 30.0  # only a broken printer takes so long
PATHS = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"

_BUS = """<busconfig><listen>unix:path={folder}/bus</listen><auth>EXTERNAL</auth>
<policy context="default"><allow send_destination="*" eavesdrop="true"/><allow eavesdrop="true"/>
<allow own="*"/></policy></busconfig>
"""
_ROLL = """ATTR collection media-col-default {{
  MEMBER collection media-size {{ MEMBER integer x-dimension 5000 MEMBER integer y-dimension 2500 }}
  MEMBER integer media-top-margin 0 MEMBER integer media-bottom-margin 0
  MEMBER integer media-left-margin 0 MEMBER integer media-right-margin 0
  MEMBER keyword media-type labels }}
ATTR collection media-col-database {{
  MEMBER collection media-size {{ MEMBER integer x-dimension 5000 MEMBER integer y-dimension 2500 }}
  MEMBER integer media-top-margin 0 MEMBER integer media-bottom-margin 0
  MEMBER integer media-left-margin 0 MEMBER integer media-right-margin 0
  MEMBER keyword media-type labels }},{{
  MEMBER collection media-size {{
    MEMBER rangeOfInteger x-dimension 1500-10400 MEMBER rangeOfInteger y-dimension 1000-30000 }}
  MEMBER integer media-top-margin 0 MEMBER integer media-bottom-margin 0
  MEMBER integer media-left-margin 0 MEMBER integer media-right-margin 0
  MEMBER keyword media-type labels }}
ATTR collection media-size-supported {{
  MEMBER integer x-dimension 5000 MEMBER integer y-dimension 2500 }},{{
  MEMBER rangeOfInteger x-dimension 1500-10400 MEMBER rangeOfInteger y-dimension 1000-30000 }}
ATTR keyword media-default oe_label_50x25mm
ATTR keyword media-supported oe_label_50x25mm,custom_min_15x10mm,custom_max_104x300mm
ATTR integer media-top-margin-supported 0
ATTR integer media-bottom-margin-supported 0
ATTR integer media-left-margin-supported 0
ATTR integer media-right-margin-supported 0
ATTR keyword media-type-supported labels
ATTR mimeMediaType document-format-supported {formats}
ATTR resolution printer-resolution-default 203dpi
ATTR resolution printer-resolution-supported 203dpi
ATTR resolution pwg-raster-document-resolution-supported 203dpi
ATTR keyword pwg-raster-document-type-supported black_1
ATTR text printer-make-and-model "Label printer"
ATTR keyword print-color-mode-supported monochrome
ATTR keyword print-color-mode-default monochrome
ATTR keyword sides-supported one-sided
ATTR keyword sides-default one-sided
"""
# an everyday printer, which leaves 4.23 mm of each side white (an inch/6; common practice)
_SIDES = "".join(
    f"MEMBER integer media-{side}-margin 423 " for side in ("top", "bottom", "left", "right")
)
OFFICE = f"""ATTR collection media-col-default {{{{
  MEMBER collection media-size {{{{
    MEMBER integer x-dimension 21000 MEMBER integer y-dimension 29700 }}}}
  {_SIDES} }}}}
ATTR collection media-col-database {{{{
  MEMBER collection media-size {{{{
    MEMBER integer x-dimension 21000 MEMBER integer y-dimension 29700 }}}}
  {_SIDES} }}}},{{{{
  MEMBER collection media-size {{{{
    MEMBER integer x-dimension 21590 MEMBER integer y-dimension 27940 }}}}
  {_SIDES} }}}}
ATTR collection media-size-supported {{{{
  MEMBER integer x-dimension 21000 MEMBER integer y-dimension 29700 }}}},{{{{
  MEMBER integer x-dimension 21590 MEMBER integer y-dimension 27940 }}}}
ATTR keyword media-default iso_a4_210x297mm
ATTR keyword media-supported iso_a4_210x297mm,na_letter_8.5x11in
ATTR integer media-top-margin-supported 423
ATTR integer media-bottom-margin-supported 423
ATTR integer media-left-margin-supported 423
ATTR integer media-right-margin-supported 423
ATTR mimeMediaType document-format-supported {{formats}}
ATTR resolution printer-resolution-default 300dpi
ATTR resolution printer-resolution-supported 300dpi
ATTR resolution pwg-raster-document-resolution-supported 300dpi
ATTR keyword pwg-raster-document-type-supported sgray_8
ATTR text printer-make-and-model "Office printer"
ATTR keyword print-color-mode-supported monochrome
ATTR keyword print-color-mode-default monochrome
ATTR keyword sides-supported one-sided
ATTR keyword sides-default one-sided
"""
# The printer's works: says what the test tells it to say, and ends the job when told.
_WORKS = """#!/bin/sh
folder={folder}
if [ -p "$folder/gate" ]; then
  reasons=$(cat "$folder/reasons")
  for reason in $reasons; do echo "STATE: +$reason" >&2; done
  read -r answer < "$folder/gate"
  for reason in $reasons; do echo "STATE: -$reason" >&2; done
  [ "$answer" = fail ] && exit 1
fi
number=$((LABELS_SERIES + IPP_JOB_ID))
env | grep '^IPP_' > "$folder/$number.env"
cp "$1" "$folder/$number.part" && mv "$folder/$number.part" "$folder/$number.doc"
"""


def labels_of(count, *, first=4_000):
    return [
        LabelText(
            code_for("K", first + number),
            "Glaze shelf",
            "G01",
            "603 × 400 mm",
            "assemble",
            "length",
        )
        for number in range(count)
    ]


def sheet_of(folder, labels, *, key="50x25", dpi=203):
    """Return labels as the sheet that goes to a printer."""
    written = write_pdf(labels, STOCKS[key], dpi=dpi, out=folder / "sheet.pdf")
    return Sheet(written.files[0].read_bytes(), PDF, *STOCKS[key].page_mm, dpi, title="G01")


def program(name):
    """Return a program's path, or skip in words where a developer has none; in CI fail."""
    found = shutil.which(name, path=PATHS)
    if found is None:
        words = f"{name} is not on this machine; install it: {APT}"
        if os.environ.get("CI") == "true":
            pytest.fail(words)
        pytest.skip(words)
    return found


def until(condition, what):
    """Return the first true answer of a condition; fail when none comes in time."""
    end = time.monotonic() + PATIENCE_S
    pause = threading.Event()
    while time.monotonic() < end:
        if answer := condition():
            return answer
        pause.wait(0.03)
    return pytest.fail(f"waited {PATIENCE_S:.0f} s in vain for {what}")


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


def _listens(port):
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
        return True
    return False


class _Process:
    """A program of the test's own, ended with all it started."""

    def __init__(self, line, log, **more):
        with log.open("ab") as out:
            self._process = subprocess.Popen(
                line, stdout=out, stderr=out, stdin=subprocess.DEVNULL, start_new_session=True,
                **more,
            )  # fmt: skip

    def stop(self, how=signal.SIGTERM):
        if self._process.poll() is None:
            os.killpg(self._process.pid, how)
        try:
            self._process.wait(5)
        except subprocess.TimeoutExpired:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()


class VirtualPrinter:
    """A real IPP printer without paper; what it prints lands in its folder."""

    def __init__(
        self, folder, *, formats="image/pwg-raster,image/png,application/pdf", attributes=_ROLL
    ):
        folder.mkdir()
        self.folder, self.port = folder, free_port()
        self.uri = f"ipp://localhost:{self.port}/ipp/print"
        (folder / "bus.conf").write_text(_BUS.format(folder=folder))
        (folder / "attributes").write_text(attributes.format(formats=formats))
        (folder / "works").write_text(_WORKS.format(folder=folder))
        (folder / "works").chmod(0o755)
        (folder / "spool").mkdir()
        (folder / "keys").mkdir()
        log = folder / "log"
        self._bus = _Process(
            [program("dbus-daemon"), f"--config-file={folder}/bus.conf", "--nofork"], log
        )
        until((folder / "bus").exists, "the message bus")
        self.start()

    def start(self):
        """Switch the printer on; it counts its jobs from one again, what it printed from 1001."""
        self._series = self._series + 1000 if hasattr(self, "_series") else 0
        self._printer = _Process(
            [
                program("ippeveprinter"), "-r", "off", "-n", "localhost", "-p", str(self.port),
                "-a", f"{self.folder}/attributes", "-c", f"{self.folder}/works",
                "-d", f"{self.folder}/spool", "-K", f"{self.folder}/keys", "Labels",
            ],
            self.folder / "log",
            env=os.environ
            | {
                "DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={self.folder}/bus",
                "LABELS_SERIES": str(self._series),
            },
        )  # fmt: skip
        until(lambda: _listens(self.port), "the virtual printer")

    def switch_off(self):
        self._printer.stop(signal.SIGKILL)

    def stop(self):
        self._printer.stop(signal.SIGKILL)
        self._bus.stop()

    def hold(self, *reasons):
        """Let jobs wait in the printer, with these reasons, until let go."""
        (self.folder / "reasons").write_text("\n".join(reasons))
        if not (self.folder / "gate").exists():
            os.mkfifo(self.folder / "gate")

    def let_go(self, answer="go"):
        """Take the reasons away and end the job that waits: "go" prints it, "fail" spoils it."""
        gate = os.open(self.folder / "gate", os.O_RDWR)
        with os.fdopen(gate, "w") as out:
            out.write(f"{answer}\n")
            out.flush()
            until(lambda: not _readable(gate), "the printer to take its orders")
        (self.folder / "gate").unlink()

    def printed(self):
        """Return the documents that came out, in order."""
        return sorted(self.folder.glob("*.doc"), key=lambda file: int(file.stem))

    def told(self, number):
        """Return what the printer was told with a job."""
        lines = (self.folder / f"{number}.env").read_text().splitlines()
        return dict(line.split("=", 1) for line in lines)


def _readable(gate):
    import select

    return bool(select.select([gate], [], [], 0)[0])


_CUPSD = """Listen localhost:{port}
Listen {folder}/run/sock
Browsing Off
WebInterface No
DefaultShared Yes
ErrorPolicy retry-job
PreserveJobHistory Yes
JobRetryInterval 2
LogLevel info
<Location />
Order deny,allow
</Location>
<Policy default>
<Limit All>
Order deny,allow
</Limit>
</Policy>
"""
_FILES = """ServerRoot {folder}
CacheDir {folder}/cache
StateDir {folder}/run
RequestRoot {folder}/spool
TempDir {folder}/spool/tmp
AccessLog {folder}/access_log
ErrorLog {folder}/error_log
PageLog {folder}/page_log
Printcap
"""


class PrintSystem:
    """A print system of the test's own, with its queues on a loopback port."""

    def __init__(self, folder):
        for name in ("", "cache", "run", "spool", "spool/tmp", "ppd"):
            (folder / name).mkdir()
        self.folder, self.port = folder, free_port()
        self.server = f"localhost:{self.port}"
        (folder / "cupsd.conf").write_text(_CUPSD.format(port=self.port, folder=folder))
        (folder / "cups-files.conf").write_text(_FILES.format(folder=folder))
        self._daemon = _Process(
            [program("cupsd"), "-f", "-c", f"{folder}/cupsd.conf",
             "-s", f"{folder}/cups-files.conf"],
            folder / "log",
        )  # fmt: skip
        until(lambda: _listens(self.port), "the print system")

    def run(self, name, *words):
        """Run a command of the print system against this one."""
        return subprocess.run(
            [program(name), *words], check=True, capture_output=True, text=True, timeout=PATIENCE_S,
            env=os.environ | {"CUPS_SERVER": self.server, "LC_ALL": "C"},
        ).stdout  # fmt: skip

    def add(self, queue, uri):
        """Set up a driverless queue to a printer."""
        self.run("lpadmin", "-p", queue, "-v", uri, "-m", "everywhere", "-E")
        return f"ipp://{self.server}/printers/{queue}"

    def stop(self):
        self._daemon.stop()


def read_raster(data):
    """Return the pages of a PWG raster file as arrays, True is black (PWG 5102.4-2012)."""
    assert data[:4] == b"RaS2"
    at, pages = 4, []
    while at < len(data):
        head = data[at : at + 1796]
        assert head[:10] == b"PwgRaster\0"
        width, height = struct.unpack(">2I", head[372:380])
        bits, line = struct.unpack(">2I", head[388:396])
        space = struct.unpack(">I", head[400:404])[0]
        at += 1796
        rows = []
        while len(rows) < height:
            repeat, at, row = data[at] + 1, at + 1, b""
            while len(row) < line:
                count, at = data[at], at + 1
                size = bits // 8 or 1
                if count < 128:
                    row, at = row + data[at : at + size] * (count + 1), at + size
                else:
                    literal = size * (257 - count)
                    row, at = row + data[at : at + literal], at + literal
            rows += [row] * repeat
        pages.append(_ink(np.frombuffer(b"".join(rows), np.uint8), height, width, (bits, space)))
    return pages


def _ink(raw, height, width, kind):
    bits, space = kind
    if bits == 1:
        return np.unpackbits(raw.reshape(height, -1), axis=1)[:, :width].astype(bool) ^ (space != 3)
    grey = raw.reshape(height, width, bits // 8)[:, :, 0] < 128
    return grey if space != 3 else ~grey


def runs(line):
    """Return the run lengths of a row of dots from its first black dot to its last."""
    black = np.flatnonzero(line)
    inner = line[black[0] : black[-1] + 1]
    edges = np.flatnonzero(np.diff(inner.astype(np.int8))) + 1
    return np.diff([0, *edges, len(inner)])


def short_folder():
    """Return a folder other users may enter, as the print system's helpers run as another one."""
    import tempfile

    folder = Path(tempfile.mkdtemp(prefix="labels-"))
    folder.chmod(0o755)
    return folder
