"""The print system of this computer: prints go in by its own commands, states are asked by IPP.

`lpstat` cannot tell a printed job from a dropped one (CUPS 2.4.2 lists both as completed, with the
same alert), so the scheduler it names is asked for the job's state.
"""

from __future__ import annotations

import getpass
import os
import re
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from labels.printing.device import gave_up
from labels.printing.following import Follower, put_off, silent
from labels.printing.ipp import IppClient, is_office
from labels.printing.post import NoAnswer, Place, parse_place
from labels.printing.raster import WrongForm, convert
from labels.printing.values import PDF, PrintRefused, PrintState, Sheet, Stage, Ticket
from labels.printing.words import (
    given_up,
    in_doubt,
    no_print_system,
    refused,
    unreachable,
    wrong_format,
)

_REQUEST: Final = re.compile(r"request id is (\S+)-(\d+)")
# a queue's name: CUPS allows all that prints but space, tab, / and # (lpadmin(8)), up to 127
_NAME: Final = re.compile(r"[^-\s/#?:\\'\"][^\s/#?:\\'\"]{0,126}")
_REJECTING, _MISSING, _OTHER = 0x0506, 0x0406, 0x0500  # RFC 8011, appendix B
_OFFICE_NAMES: Final = {297: "A4", 210: "A5", 279: "Letter", 356: "Legal"}


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a command ended and what it said."""

    code: int
    out: str
    err: str


Run = Callable[[Sequence[str], bytes], Outcome]


def run(line: Sequence[str], data: bytes = b"", *, limit: float = 15.0) -> Outcome:
    """Run a command without a shell, in the language of the machine, and return what it said.

    Args:
        line: program and arguments.
        data: what it reads.
        limit: seconds until it is ended.

    Raises:
        NoAnswer: it is not installed (reason `no-print-system`), or took too long.
    """
    try:
        done = subprocess.run(
            line, input=data, capture_output=True, timeout=limit, check=False,
            env=os.environ | {"LC_ALL": "C"},
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise NoAnswer(
            "The print system of this computer does not answer.",
            "Restart it, or the computer; the label is kept.",
            reason="unreachable",
        ) from error
    except OSError as error:
        state = no_print_system()
        raise NoAnswer(state.words, state.remedy, reason=state.reason) from error
    return Outcome(
        done.returncode, done.stdout.decode(errors="replace"), done.stderr.decode(errors="replace")
    )


def discover(*, command: Run = run) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the names of this computer's print queues, and problems in words."""
    try:
        said = command(("lpstat", "-e"), b"")
    except NoAnswer as error:
        return (), (str(error),)
    return tuple(line.split()[0] for line in said.out.splitlines() if line.strip()), ()


def is_queue_name(name: str) -> bool:
    """Return whether a queue can have this name."""
    return bool(_NAME.fullmatch(name)) and name.isprintable()


class QueuePrinter:
    """See `Printer`; name is the queue's."""

    def __init__(
        self,
        name: str,
        *,
        seconds: Callable[[], float],
        limit: float = 10.0,
        command: Run = run,
    ) -> None:
        self._name, self._seconds, self._limit, self._run = name, seconds, limit, command
        self._known: Follower | None = None

    @property
    def where(self) -> str:
        """Return the queue's name."""
        return self._name

    def check(self) -> PrintState:
        """Return how the queue and its printer are, asked now."""
        try:
            return self._follower().check()
        except NoAnswer as error:
            return silent(error, self._name)

    def dots(self) -> tuple[int, ...]:
        """Return the dots per inch the printer prints at; empty where it does not say."""
        try:
            return self._follower().dots()
        except NoAnswer:
            return ()

    def submit(self, sheet: Sheet, *, key: str) -> Ticket:
        """Hand a sheet over, unless the queue has this key already; see `Printer`."""
        try:
            number = self._follower().find(key)
            if number is not None:
                known = Ticket(key, number, self._name)
                # the queue may call done what its printer gave up
                if self.state(known).stage is not Stage.FAILED:
                    return known
            return Ticket(key, self._hand_over(sheet, key), self._name)
        except NoAnswer as error:
            raise put_off(error, self._name) from error

    def find(self, key: str) -> Ticket | None:
        """Return the ticket of a key the queue has; see `Printer`."""
        try:
            number = self._follower().find(key)
        except NoAnswer as error:
            raise put_off(error, self._name) from error
        return None if number is None else Ticket(key, number, self._name)

    def _hand_over(self, sheet: Sheet, key: str) -> int:
        try:
            data = convert(sheet, PDF)
        except WrongForm as error:
            raise PrintRefused(wrong_format()) from error
        try:
            said = self._run(("lp", "-d", self._name, "-t", key, *_options(sheet)), data)
        except NoAnswer as error:
            raise PrintRefused(in_doubt()) from error
        found = _REQUEST.search(said.out)
        if said.code == 0 and found:
            number = int(found[2])
            self._follower().begin(number)
            return number
        raise PrintRefused(self._why(said, sheet))

    def _why(self, said: Outcome, sheet: Sheet) -> PrintState:
        if "not accepting" in said.err:
            return refused(_REJECTING, sheet)
        if "does not exist" in said.err:
            return refused(_MISSING, sheet)
        if "connect" in said.err.lower() or "scheduler" in said.err.lower():
            return unreachable(self._name).at(Stage.WAITING)
        return refused(_OTHER, sheet)

    def state(self, ticket: Ticket) -> PrintState:
        """Return how a print is, asked now."""
        try:
            state = self._follower().state(ticket)
            if state.stage is Stage.DONE and gave_up(self._client(), ticket.key, reach=self._reach):
                return given_up()
        except NoAnswer as error:
            return silent(error, self._name)
        return state

    def cancel(self, ticket: Ticket) -> PrintState:
        """Ask for a print to be dropped, and return how it is then."""
        try:
            return self._follower().drop(ticket, self._drop)
        except NoAnswer as error:
            return silent(error, self._name)

    def _drop(self, number: int) -> str:
        said = self._run(("cancel", f"{self._name}-{number}"), b"")
        return "" if said.code == 0 else "Cancel it in this computer's list of prints."

    def retry(self, ticket: Ticket, sheet: Sheet) -> Ticket:
        """Hand a failed print over again; see `Printer`."""
        return self.submit(sheet, key=ticket.key)

    def _follower(self) -> Follower:
        """Return who asks the scheduler, found once."""
        if self._known is None:
            self._known = Follower(self._client(), seconds=self._seconds, where=self._name)
        return self._known

    def _client(self) -> IppClient:
        return self._reach(self._scheduler())

    def _reach(self, place: Place) -> IppClient:
        return IppClient(place, seconds=self._seconds, limit=self._limit, user=_user())

    def _scheduler(self) -> Place:
        """Return where the print system listens: a host and port, or a socket's file."""
        named = self._run(("lpstat", "-H"), b"").out.strip()
        path = f"/printers/{self._name}"
        if named.startswith("/"):
            return Place(f"ipp://localhost{path}", named, 631, path, tls=False)
        place, _ = parse_place(f"ipp://{named}{path}")
        if place is None:
            state = no_print_system()
            raise NoAnswer(state.words, state.remedy, reason=state.reason)
        return place


def _options(sheet: Sheet) -> tuple[str, ...]:
    """Return what tells the queue a sheet's size, and to leave its dots as they are."""
    media = f"Custom.{sheet.width_mm:g}x{sheet.height_mm:g}mm"
    if is_office(sheet):
        media = _OFFICE_NAMES[round(sheet.height_mm)]
    return ("-o", f"media={media}", "-o", "print-scaling=none")


def _user() -> str:
    """Return whose prints the commands hand over."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # no name for the user's number
        return "anonymous"
