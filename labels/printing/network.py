"""A network printer spoken to directly by IPP."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from labels.printing import wire
from labels.printing.following import Follower, put_off, resolutions
from labels.printing.ipp import IppClient, Order, media_of
from labels.printing.post import NoAnswer, Place
from labels.printing.raster import WrongForm, convert
from labels.printing.values import (
    PDF,
    PNG,
    PWG_RASTER,
    PrintRefused,
    PrintState,
    Sheet,
    Ticket,
)
from labels.printing.wire import Group, Message
from labels.printing.words import in_doubt, refused, refused_ask, size_of, wrong_format, wrong_size

_KEYS: Final = (
    "cups-version",
    "document-format-supported",
    "pwg-raster-document-type-supported",
    "pwg-raster-document-resolution-supported",
    "printer-resolution-supported",
    "media-type-supported",
    "media-bottom-margin-supported",
    "media-left-margin-supported",
    "media-right-margin-supported",
    "media-top-margin-supported",
    "print-scaling-supported",
)
_NO_SUCH_QUESTION: Final = 0x0501  # server-error-operation-not-supported
_UNSUPPORTED, _OTHER = 0x040B, 0x0500  # RFC 8011, appendix B
_NOT_POSSIBLE: Final = 0x0404  # of Cancel-Job: it has ended by now


class NetworkPrinter:
    """See `Printer`; where is the address as people wrote it, the rest as for IppClient."""

    def __init__(
        self,
        place: Place,
        *,
        where: str,
        seconds: Callable[[], float],
        limit: float = 10.0,
        trust: Path | None = None,
    ) -> None:
        self._where = where
        self._client = IppClient(place, seconds=seconds, limit=limit, trust=trust)
        self._follower = Follower(self._client, seconds=seconds, where=where)

    @property
    def where(self) -> str:
        """Return the printer's address."""
        return self._where

    def check(self) -> PrintState:
        """Return how the printer itself is, asked now."""
        return self._follower.check()

    def dots(self) -> tuple[int, ...]:
        """Return the dots per inch the printer prints at; empty where it does not say."""
        return self._follower.dots()

    def submit(self, sheet: Sheet, *, key: str) -> Ticket:
        """Hand a sheet over, unless the printer has this key already; see `Printer`."""
        try:
            # an answer may have been lost on the way, or the power: the printer knows best
            number = self._follower.find(key) or self._hand_over(sheet, key)
        except NoAnswer as error:
            raise put_off(error, self._where) from error
        return Ticket(key, number, self._where)

    def find(self, key: str) -> Ticket | None:
        """Return the ticket of a key the printer has; see `Printer`."""
        try:
            number = self._follower.find(key)
        except NoAnswer as error:
            raise put_off(error, self._where) from error
        return None if number is None else Ticket(key, number, self._where)

    def _hand_over(self, sheet: Sheet, key: str) -> int:
        code, printer = self._client.printer(_KEYS)
        if code >= 0x0100:
            raise PrintRefused(refused_ask(code))
        mime, data = _form(sheet, printer)
        order = Order(key, sheet.title, mime, media_of(sheet, printer))
        asked = self._client.validate(order)
        if asked.code != _NO_SUCH_QUESTION:
            _check_taken(asked, sheet)
        try:
            answer, number = self._client.print(order, data)
        except NoAnswer as error:
            raise PrintRefused(in_doubt()) from error
        _check_taken(answer, sheet)
        if number <= 0:
            raise PrintRefused(refused(answer.code, sheet))
        self._follower.begin(number)
        return number

    def state(self, ticket: Ticket) -> PrintState:
        """Return how a print is, asked now."""
        return self._follower.state(ticket)

    def cancel(self, ticket: Ticket) -> PrintState:
        """Ask for a print to be dropped, and return how it is then."""
        return self._follower.drop(ticket, self._drop)

    def _drop(self, number: int) -> str:
        code = self._client.cancel(number)
        return "" if code < 0x0100 or code == _NOT_POSSIBLE else "Cancel it at the printer itself."

    def retry(self, ticket: Ticket, sheet: Sheet) -> Ticket:
        """Hand a failed print over again; see `Printer`."""
        return self.submit(sheet, key=ticket.key)


def _form(sheet: Sheet, printer: Group) -> tuple[str, bytes]:
    """Return the form a printer gets: PWG raster, whose dots no printer scales, where it fits.

    Raises:
        PrintRefused: there is none both sides know.
    """
    formats = printer.words("document-format-supported")
    kinds = printer.words("pwg-raster-document-type-supported") or ("sgray_8",)
    named = resolutions(printer)
    exact = (PWG_RASTER,) if not named or sheet.dpi in named else ()
    # a print system draws pages anew; of what it takes, the one-bit PDF came out dot for dot
    queue = (PDF,) if printer.values("cups-version") else ()
    for mime in (*queue, *exact, PNG, PDF):
        if mime in formats:
            try:
                return mime, convert(sheet, mime, kinds=kinds)
            except WrongForm:
                continue  # another form may do
    raise PrintRefused(wrong_format())


def _check_taken(answer: Message, sheet: Sheet) -> None:
    """Look whether an answer takes a print; one that leaves out the size would print it wrong.

    Raises:
        PrintRefused: it does not.
    """
    named = [each.name for each in answer.first(wire.UNSUPPORTED).attributes]
    if any(name.startswith("media") for name in named):
        raise PrintRefused(wrong_size(size_of(sheet)))
    if answer.code >= 0x0100:
        # something else than the size may be what it does not support
        code = _OTHER if named and answer.code == _UNSUPPORTED else answer.code
        raise PrintRefused(refused(code, sheet))
