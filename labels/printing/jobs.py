"""Fold what a printer says of itself and of a job into one state."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from labels.printing.values import PrintState, Stage
from labels.printing.wire import Group
from labels.printing.words import (
    find_note,
    find_reason,
    given_up,
    is_lost,
    is_refused,
    unreachable,
    wrong_size,
)

PRINTER_KEYS: Final = (
    "printer-state",
    "printer-state-reasons",
    "printer-state-message",
    "printer-is-accepting-jobs",
)
JOB_KEYS: Final = (
    "job-id",
    "job-name",
    "job-uuid",
    "job-state",
    "job-state-reasons",
    "job-state-message",
    "job-printer-state-message",
    "job-impressions-completed",
)
_STOPPED: Final = 5  # RFC 8011 section 5.4.11
_HELD, _RUNNING, _JOB_STOPPED = 4, 5, 6  # RFC 8011 section 5.3.7
_CANCELLED, _ABORTED, _COMPLETED = 7, 8, 9
_QUIET_S: Final = 5.0  # seconds without progress before a message alone counts; labels.md section 6
_LONG_S: Final = 30.0  # the same without any message; choice


@dataclass(frozen=True, slots=True)
class Stillness:
    """How long a job has not moved, the mark by which the next look can tell, and whose it is."""

    mark: tuple[object, ...]
    since: float
    name: tuple[object, ...] = ()


def watch(job: Group, before: Stillness | None, *, now: float) -> Stillness | None:
    """Return since when a job has not moved; now in seconds of a clock that runs forward.

    None where another job has come to the number, as in a printer that has been switched off.
    """
    name = (job.values("job-name"), job.values("job-uuid"))
    if before is not None and before.name != name:
        return None
    mark = (
        job.values("job-state"),
        job.values("job-state-reasons"),
        job.values("job-impressions-completed"),
    )
    return before if before is not None and before.mark == mark else Stillness(mark, now, name)


def fold_printer(printer: Group) -> PrintState:
    """Return how a printer is: `done` ready, `printing` busy, `stopped` or `failed` with words."""
    state = next(iter(printer.numbers("printer-state")), 0)
    reasons = printer.words("printer-state-reasons")
    message = " ".join(printer.words("printer-state-message"))
    if stop := find_reason(reasons, message=message):
        return stop
    if False in printer.values("printer-is-accepting-jobs"):
        return PrintState(
            Stage.FAILED,
            "The printer takes no prints now.",
            "Let its queue accept prints again.",
            "rejecting",
        )
    if state == _STOPPED:
        return find_reason(("stopped",), message=message) or unreachable()
    if note := find_note(reasons):
        return note
    if state == 4:  # processing
        return PrintState(Stage.PRINTING, "The printer is printing.")
    return PrintState(Stage.DONE, "The printer is ready.")


def fold_job(job: Group, printer: Group, *, still: float, ours: bool) -> PrintState:
    """Return how a print is.

    Args:
        job: the job's attributes.
        printer: the printer's.
        still: seconds since the job last moved.
        ours: whether this program asked for it to be dropped.
    """
    state = next(iter(job.numbers("job-state")), 0)
    reasons = job.words("job-state-reasons")
    if state == _COMPLETED:
        return PrintState(Stage.DONE, "The label is printed.")
    if state in (_CANCELLED, _ABORTED):
        return _dropped(job, reasons, ours=ours)
    if state == _HELD:
        return PrintState(
            Stage.STOPPED,
            "The label is held back in the printer's list.",
            "Release it there, or cancel it and print again.",
            "held",
        )
    stop = find_reason(
        (*printer.words("printer-state-reasons"), *_jobs_own(reasons)),
        message=" ".join(printer.words("printer-state-message")),
    )
    if stop is None and _STOPPED in printer.numbers("printer-state"):
        stop = find_reason(("stopped",), message=" ".join(printer.words("printer-state-message")))
    return stop or _going(job, printer, still=still, ours=ours)


def _jobs_own(reasons: tuple[str, ...]) -> tuple[str, ...]:
    """Return what a job says of its printer (RFC 8011 section 5.3.8)."""
    return ("stopped",) if "printer-stopped" in reasons else ()


def _going(job: Group, printer: Group, *, still: float, ours: bool) -> PrintState:
    state = next(iter(job.numbers("job-state")), 0)
    messages = " ".join(
        (
            *job.words("job-printer-state-message"),
            *job.words("job-state-message"),
            *printer.words("printer-state-message"),
        )
    )
    if "processing-to-stop-point" in job.words("job-state-reasons") and ours:
        return PrintState(Stage.PRINTING, "The print is being stopped; it may still come out.")
    if state not in (_RUNNING, _JOB_STOPPED):
        return PrintState(Stage.WAITING, "The label waits for the printer.")
    if still >= _QUIET_S and is_lost(messages):
        return unreachable()
    if still >= _LONG_S or state == _JOB_STOPPED:
        return PrintState(
            Stage.STOPPED,
            "The printer has the label but does not go on.",
            "Look at the printer; cancel and print again if it shows nothing.",
            "still",
        )
    return PrintState(Stage.PRINTING, "The label is being printed.")


def _dropped(job: Group, reasons: tuple[str, ...], *, ours: bool) -> PrintState:
    messages = " ".join((*job.words("job-printer-state-message"), *job.words("job-state-message")))
    by_hand = any(word in reasons for word in ("job-canceled-by-user", "job-canceled-by-operator"))
    if ours:
        return PrintState(Stage.CANCELLED, "The print was cancelled.", "", "cancelled")
    if is_refused(messages) or "document-unprintable-error" in reasons:
        return wrong_size()
    if by_hand and not messages:
        return PrintState(
            Stage.CANCELLED, "The print was cancelled at the printer.", "", "cancelled"
        )
    return given_up()
