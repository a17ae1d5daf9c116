"""Follow prints at one place that speaks IPP: how is the printer, how is each job."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from labels.printing.ipp import IppClient
from labels.printing.jobs import PRINTER_KEYS, Stillness, fold_job, fold_printer, watch
from labels.printing.post import NoAnswer
from labels.printing.values import PrintRefused, PrintState, Stage, Ticket
from labels.printing.wire import Group
from labels.printing.words import gone, refused_ask, unreachable

_TAKEN: Final = frozenset({3, 4, 5, 6, 9})  # RFC 8011 section 5.3.7: not cancelled, not aborted
_DOTS_KEYS: Final = ("printer-resolution-supported", "pwg-raster-document-resolution-supported")
_DPI, _DPCM = 3, 4  # RFC 8011 section 5.1.16


class Follower:
    """Remembers how long each job stands still and which ones we dropped; safe with threads."""

    def __init__(self, client: IppClient, *, seconds: Callable[[], float], where: str) -> None:
        self._client, self._seconds, self._where = client, seconds, where
        self._lock = threading.Lock()
        self._still: dict[int, Stillness] = {}
        self._ours: set[int] = set()

    def check(self) -> PrintState:
        """Return how the printer is; never raises."""
        try:
            code, printer = self._client.printer(PRINTER_KEYS)
        except NoAnswer as error:
            return silent(error, self._where)
        return fold_printer(printer) if code < 0x0100 else refused_ask(code)

    def state(self, ticket: Ticket) -> PrintState:
        """Return how a print is; never raises."""
        try:
            code, job = self._client.job(ticket.job)
            if code >= 0x0100:
                return gone() if code in (0x0406, 0x0407) else refused_ask(code)
            printer = self._client.printer(PRINTER_KEYS)[1]
        except NoAnswer as error:
            return silent(error, self._where)
        return self._fold(ticket.job, job, printer)

    def _fold(self, number: int, job: Group, printer: Group) -> PrintState:
        now = self._seconds()
        with self._lock:
            still = watch(job, self._still.get(number), now=now)
            if still is None:
                return gone()
            self._still[number] = still
            ours = number in self._ours
            folded = fold_job(job, printer, still=now - still.since, ours=ours)
            if folded.ended:
                del self._still[number]
        return folded

    def begin(self, number: int) -> None:
        """Forget an older job of this number: a printer counts from one when switched on again."""
        with self._lock:
            self._still.pop(number, None)
            self._ours.discard(number)

    def find(self, key: str) -> int | None:
        """Return the number of the job with this key that waits, prints or has come out.

        Raises:
            NoAnswer: the printer does not answer.
        """
        for which in ("not-completed", "completed"):
            for job in self._client.jobs(which):
                numbers = job.numbers("job-id")
                state = job.numbers("job-state")
                if key in job.words("job-name") and numbers and _TAKEN.intersection(state):
                    return numbers[0]
        return None

    def drop(self, ticket: Ticket, cancel: Callable[[int], str]) -> PrintState:
        """Cancel a job by the way given, which returns what went wrong in words, or nothing."""
        before = self.state(ticket)
        if before.ended:
            return before
        with self._lock:
            if ticket.job in self._ours:
                return before
            self._ours.add(ticket.job)
        try:
            trouble = cancel(ticket.job)
        except NoAnswer as error:
            trouble = str(error)
        after = self.state(ticket)
        if trouble and not after.ended:
            with self._lock:
                self._ours.discard(ticket.job)
            return replace(
                after,
                words="The print could not be cancelled.",
                remedy=trouble,
                reason="not-cancelled",
            )
        return after

    def dots(self) -> tuple[int, ...]:
        """Return the dots per inch the printer prints at; empty where it does not say."""
        try:
            printer = self._client.printer(_DOTS_KEYS)[1]
        except NoAnswer:
            return ()
        return resolutions(printer)


def resolutions(printer: Group) -> tuple[int, ...]:
    """Return the dots per inch a printer names, the same in both directions."""
    found = set()
    for name in _DOTS_KEYS:
        for value in printer.values(name):
            if isinstance(value, tuple) and len(value) == 3:
                across, along, unit = value
                if isinstance(across, int) and across == along and unit in (_DPI, _DPCM):
                    found.add(across if unit == _DPI else round(across * 2.54))
    return tuple(sorted(found))


def silent(error: NoAnswer, where: str) -> PrintState:
    """Return the state of a printer that gave no sound answer.

    `stopped` where it may mend by itself, `failed` where somebody has to set something.
    """
    if error.reason == "unreachable":
        return unreachable(where)
    stage = Stage.STOPPED if error.reason in ("garbled", "busy") else Stage.FAILED
    return PrintState(stage, error.words, error.remedy, error.reason)


def put_off(error: NoAnswer, where: str) -> PrintRefused:
    """Return the refusal for a sheet that could not be handed over; `waiting` to try again."""
    state = silent(error, where)
    return PrintRefused(state.at(Stage.WAITING) if state.stage is Stage.STOPPED else state)
