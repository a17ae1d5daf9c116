"""Ask a printer by IPP (RFC 8011): what it is, take this, how is that job, drop it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Final

from labels.printing import wire
from labels.printing.jobs import JOB_KEYS
from labels.printing.post import NoAnswer, Place, post
from labels.printing.values import Sheet
from labels.printing.wire import Attribute, Group, Message

_PRINT_JOB, _VALIDATE_JOB, _CANCEL_JOB = 0x0002, 0x0004, 0x0008  # RFC 8011 section 5.4.15
_GET_JOB, _GET_JOBS, _GET_PRINTER = 0x0009, 0x000A, 0x000B
_OLD_SPEECH: Final = 0x0503  # server-error-version-not-supported
_LATER: Final = frozenset({0x0502, 0x0505, 0x0507})  # unavailable, temporary-error, busy
_TITLE: Final = 60  # letters; RFC 8011 section 5.1.3 allows 255 bytes
_NEWEST: Final = 100  # how many ended jobs are looked through for a key; choice
# Sheets for everyday printers keep the printer's own margins; mm, ISO 216 and US sizes
_OFFICE: Final = frozenset({(210.0, 297.0), (148.0, 210.0), (215.9, 279.4), (215.9, 355.6)})


@dataclass(frozen=True, slots=True)
class Order:
    """What goes with a print besides its bytes."""

    key: str
    title: str
    mime: str
    job: tuple[Attribute, ...]


class IppClient:
    """A printer or queue spoken to by IPP.

    Args:
        place: where it listens.
        seconds: a clock that only runs forward, in seconds.
        limit: seconds for one question, answer included.
        trust: see `post`.
        user: the name prints belong to.

    Every method raises NoAnswer, and only that, when no sound answer comes.
    """

    def __init__(
        self,
        place: Place,
        *,
        seconds: Callable[[], float],
        limit: float = 10.0,
        trust: Path | None = None,
        user: str = "labels",
    ) -> None:
        self.place = place
        self._seconds, self._limit, self._trust, self._user = seconds, limit, trust, user
        self._numbers = count(1)
        self._version = (2, 0)

    def printer(self, keys: Sequence[str]) -> tuple[int, Group]:
        """Return the status and the printer's attributes of these names."""
        answer = self._ask(_GET_PRINTER, _wanted(keys))
        return answer.code, answer.first(wire.PRINTER)

    def job(self, number: int) -> tuple[int, Group]:
        """Return the status and what the printer knows of a job."""
        answer = self._ask(
            _GET_JOB, Attribute("job-id", wire.INTEGER, (number,)), _wanted(JOB_KEYS)
        )
        return answer.code, answer.first(wire.JOB)

    def jobs(self, which: str) -> tuple[Group, ...]:
        """Return our own jobs, `completed` or `not-completed`."""
        answer = self._ask(
            _GET_JOBS,
            Attribute("limit", wire.INTEGER, (_NEWEST,)),
            _wanted(JOB_KEYS),
            Attribute("which-jobs", wire.KEYWORD, (which,)),
            Attribute("my-jobs", wire.BOOLEAN, (True,)),
        )
        if answer.code in _LATER:  # no list is not an empty one: a print might go out twice
            raise NoAnswer("The printer is busy.", "The label is kept.", reason="busy")
        return tuple(group for group in answer.groups if group.tag == wire.JOB)

    def validate(self, order: Order) -> Message:
        """Ask whether a print would be taken."""
        return self._ask(_VALIDATE_JOB, *_about(order), job=order.job)

    def print(self, order: Order, data: bytes) -> tuple[Message, int]:
        """Hand a print over; return the answer and the job's number, 0 where there is none."""
        answer = self._ask(_PRINT_JOB, *_about(order), job=order.job, data=data)
        return answer, next(iter(answer.first(wire.JOB).numbers("job-id")), 0)

    def cancel(self, number: int) -> int:
        """Ask for a job to be dropped; return the status."""
        return self._ask(_CANCEL_JOB, Attribute("job-id", wire.INTEGER, (number,))).code

    def _ask(
        self,
        operation: int,
        *more: Attribute,
        job: tuple[Attribute, ...] = (),
        data: bytes = b"",
    ) -> Message:
        answer = self._once(operation, more, job, data)
        if answer.code == _OLD_SPEECH and self._version != (1, 1):
            self._version = (1, 1)
            answer = self._once(operation, more, job, data)
        return answer

    def _once(
        self, operation: int, more: tuple[Attribute, ...], job: tuple[Attribute, ...], data: bytes
    ) -> Message:
        # RFC 8011 section 4.1.4: charset, language, then the printer, in this order
        head = (
            Attribute("attributes-charset", wire.CHARSET, ("utf-8",)),
            Attribute("attributes-natural-language", wire.LANGUAGE, ("en",)),
            Attribute("printer-uri", wire.URI, (self.place.uri,)),
        )
        # a job's number stands before the name of who asks
        whose = (Attribute("requesting-user-name", wire.NAME, (self._user,)),)
        first, rest = (more[:1], more[1:]) if more[:1] and more[0].name == "job-id" else ((), more)
        groups = [Group(wire.OPERATION, (*head, *first, *whose, *rest))]
        if job:
            groups.append(Group(wire.JOB, job))
        number = next(self._numbers) & 0x7FFFFFFF
        asked = wire.encode(Message(operation, number, tuple(groups), self._version, data))
        raw = post(
            self.place, asked, seconds=self._seconds, limit=self._limit, trust=self._trust
        )  # fmt: skip
        try:
            answer = wire.decode(raw)
        except wire.AnswerGarbled as error:
            raise self._garbled() from error
        if answer.number != number:
            raise self._garbled()
        return answer

    def _garbled(self) -> NoAnswer:
        return NoAnswer(
            f"What answers at {self.place.host} does not speak as a printer does.",
            "Check the printer's address; switch the printer off and on again.",
            reason="garbled",
        )


def _wanted(keys: Sequence[str]) -> Attribute:
    return Attribute("requested-attributes", wire.KEYWORD, tuple(keys))


def _about(order: Order) -> tuple[Attribute, ...]:
    return (
        Attribute("job-name", wire.NAME, (order.key,)),
        Attribute("document-name", wire.NAME, ((order.title or order.key)[:_TITLE],)),
        Attribute("document-format", wire.MIME, (order.mime,)),
    )


def media_of(sheet: Sheet, printer: Group) -> tuple[Attribute, ...]:
    """Return the job attributes that say a sheet's size (PWG 5100.7 section 6.3, in 1/100 mm).

    Margins, kind of media and scaling are only asked for where the printer can do so.
    """
    size = (
        Attribute("x-dimension", wire.INTEGER, (round(sheet.width_mm * 100),)),
        Attribute("y-dimension", wire.INTEGER, (round(sheet.height_mm * 100),)),
    )
    members = [Attribute("media-size", wire.COLLECTION, (size,))]
    if not is_office(sheet):
        for side in ("bottom", "left", "right", "top"):
            can = printer.numbers(f"media-{side}-margin-supported")
            if not can or 0 in can:
                members.append(Attribute(f"media-{side}-margin", wire.INTEGER, (0,)))
        if "labels" in printer.words("media-type-supported"):
            members.append(Attribute("media-type", wire.KEYWORD, ("labels",)))
    job = [Attribute("media-col", wire.COLLECTION, (tuple(members),))]
    if "none" in printer.words("print-scaling-supported"):
        job.append(Attribute("print-scaling", wire.KEYWORD, ("none",)))
    return tuple(job)


def is_office(sheet: Sheet) -> bool:
    """Return whether a sheet has the size of everyday paper."""
    return (round(sheet.width_mm, 1), round(sheet.height_mm, 1)) in _OFFICE
