"""Keep every print until it has come out: once each, in order, none lost."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

from labels.printing.values import Printer, PrintRefused, PrintState, Sheet, Stage, Ticket
from labels.printing.words import size_of, wrong_size

_AGAIN: Final = timedelta(seconds=5)  # until a busy or silent printer is tried again; choice
_WAITS: Final = PrintState(Stage.WAITING, "The label waits for the printer.")
_SEEN: Final = PrintState(Stage.DONE, "The label is printed.")
_CANCELLED: Final = PrintState(Stage.CANCELLED, "The print was cancelled.", "", "cancelled")


@dataclass(frozen=True, slots=True)
class Line:
    """One print asked for.

    Attributes:
        key: the caller's, of one sheet printed once, the same when asked for again; at most 40
            letters, digits and hyphens, as printers cut longer names short.
        state: how it is, with words and remedy.
        asked_at: when it was asked for, an aware time.
        sheet: what to print; None once it is printed or cancelled.
        ticket: the printer's receipt; None before it took the print.
        next_at: not handed over before this time.
        unwanted: it is to be cancelled as soon as the printer can be asked.
        doubtful: it was sent, and the answer was lost.
    """

    key: str
    state: PrintState
    asked_at: datetime
    sheet: Sheet | None
    ticket: Ticket | None = None
    next_at: datetime | None = None
    unwanted: bool = False
    doubtful: bool = False

    @property
    def settled(self) -> bool:
        """Return whether it is printed or cancelled; a failed print is not settled."""
        return self.state.stage in (Stage.DONE, Stage.CANCELLED)

    @property
    def is_with_printer(self) -> bool:
        """Return whether the printer has it; a retry has the old ticket and a time to go at."""
        failed = self.state.stage is Stage.FAILED
        return self.ticket is not None and self.next_at is None and not failed


class Spool:
    """Prints by key, at one printer; safe to use from several threads.

    submit, cancel, retry and came_out only note what is wanted and return at once; `step` alone
    speaks with the printer, so it belongs on a thread that may wait. A key is printed once: asked
    for again, it answers with the line there is. Keys outlive a restart where the printer still
    knows them:
    submit what is not known to be printed, and its job is found again, not printed twice.

    Args:
        printer: where to print.
        tell: called with each line that has changed, on the thread that changed it.
        again: how long to wait before a busy or silent printer is tried again.
    """

    def __init__(
        self,
        printer: Printer,
        *,
        tell: Callable[[Line], None] = lambda _line: None,
        again: timedelta = _AGAIN,
    ) -> None:
        self._printer, self._tell, self._again = printer, tell, again
        self._lines: dict[str, Line] = {}
        self._lock = threading.Lock()
        self._work = threading.Lock()

    def submit(self, sheet: Sheet, *, key: str, now: datetime) -> Line:
        """Ask for a print; a key that waits, prints, is printed or cancelled changes nothing.

        A key whose print failed is tried again.
        """
        with self._lock:
            line = self._lines.get(key)
            if line is None:
                line = self._lines[key] = Line(key, _WAITS, now, sheet)
            elif line.state.stage is not Stage.FAILED:
                return line
        return self.retry(key, now=now) or line

    def retry(self, key: str, *, now: datetime) -> Line | None:
        """Try a failed or waiting print again, under its key; None for a key unknown."""
        with self._lock:
            line = self._lines.get(key)
            if line is None or line.settled or line.unwanted:
                return line
            if line.state.stage is not Stage.FAILED and line.ticket is not None:
                return line  # it is with the printer
            state = _WAITS if line.state.stage is Stage.FAILED else line.state
            line = self._lines[key] = replace(line, state=state, next_at=now)
        self._tell(line)
        return line

    def cancel(self, key: str) -> Line | None:
        """Ask for a print to be dropped; None for a key unknown. Print it again under a new key."""
        with self._lock:
            line = self._lines.get(key)
            if line is None or line.settled:
                return line
            line = self._lines[key] = replace(line, unwanted=True)
        self._tell(line)
        return line

    def came_out(self, key: str) -> Line | None:
        """Note that a failed print has come out, as somebody saw; None for a key unknown."""
        line = self.line(key)
        if line is not None and line.state.stage is Stage.FAILED:
            self._note(key, state=_SEEN)
        return self.line(key)

    def lines(self) -> tuple[Line, ...]:
        """Return what is neither printed nor cancelled, in the order asked for."""
        with self._lock:
            return tuple(line for line in self._lines.values() if not line.settled)

    def line(self, key: str) -> Line | None:
        """Return the line of a key, settled ones too."""
        with self._lock:
            return self._lines.get(key)

    def step(self, now: datetime) -> int:
        """Follow what the printer has, hand over what waits, and return how many are not settled.

        Waits for the printer, at most some of its time limits. Never raises for the printer's sake.
        """
        with self._work:
            for line in self.lines():
                if line.unwanted:
                    self._drop(line)
                elif line.ticket is not None and line.is_with_printer:
                    self._follow(line, line.ticket, now)
            self._hand_over_all(now)
        return len(self.lines())

    def _follow(self, line: Line, ticket: Ticket, now: datetime) -> None:
        state = self._printer.state(ticket)
        if state.reason == "wrong-size" and line.sheet is not None:
            state = wrong_size(size_of(line.sheet))
        self._note(line.key, state=state)
        if state.ended:
            self._hurry(now)

    def _hurry(self, now: datetime) -> None:
        """Let those who met a busy printer try at once: it has just finished one."""
        with self._lock:
            for key, line in self._lines.items():
                if line.ticket is None and line.state.reason == "busy":
                    self._lines[key] = replace(line, next_at=now)

    def _drop(self, line: Line) -> None:
        ticket = line.ticket
        try:
            if ticket is None and line.doubtful:
                ticket = self._printer.find(line.key)
        except PrintRefused as refusal:
            self._note(line.key, state=refusal.state, next_at=line.next_at)
            return
        if ticket is None or line.state.stage is Stage.FAILED:
            self._note(line.key, state=_CANCELLED)
            return
        state = self._printer.cancel(ticket)
        gone = state.stage is Stage.FAILED  # it cannot come out any more, which is what was wanted
        self._note(line.key, state=_CANCELLED if gone else state, ticket=ticket)

    def _hand_over_all(self, now: datetime) -> None:
        """Hand over in the order asked for; a busy or silent printer holds all that follow."""
        for line in self.lines():
            waits = line.state.stage is Stage.WAITING and not line.is_with_printer
            if not waits or line.unwanted:
                continue
            if line.next_at is not None and line.next_at > now:
                return
            if not self._hand_over(line, now):
                return

    def _hand_over(self, line: Line, now: datetime) -> bool:
        """Return whether the next one may follow."""
        if line.sheet is None:
            return True
        try:
            if line.ticket is None:
                ticket = self._printer.submit(line.sheet, key=line.key)
            else:
                ticket = self._printer.retry(line.ticket, line.sheet)
        except PrintRefused as refusal:
            waits = refusal.state.stage is Stage.WAITING
            self._note(line.key, state=refusal.state, next_at=now + self._again if waits else None)
            return not waits
        self._note(line.key, state=_WAITS, ticket=ticket)
        return True

    def _note(
        self,
        key: str,
        *,
        state: PrintState,
        ticket: Ticket | None = None,
        next_at: datetime | None = None,
    ) -> None:
        with self._lock:
            old = self._lines[key]
            doubt = ticket is None and (old.doubtful or state.reason == "in-doubt")
            new = replace(
                old, state=state, ticket=ticket or old.ticket, next_at=next_at, doubtful=doubt
            )
            if new.settled:
                new = replace(new, sheet=None, unwanted=False)
            self._lines[key] = new
        if new != old:
            self._tell(new)
