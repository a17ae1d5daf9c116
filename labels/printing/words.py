"""Say in words of the shop what printers report with keywords and numbers."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from labels.printing.values import PrintState, Sheet, Stage

_COMES = "the label prints by itself then"
# RFC 8011 section 5.4.12 and PWG 5100.9: keywords end in -error, -warning or -report, or in
# nothing at all, as the printer likes; so only their beginnings count. What stops a print first.
_REASONS: Final = (
    ("media-empty", "The roll is empty", f"Put a new one in; {_COMES}."),
    ("media-needed", "The printer waits for labels", f"Put the roll in that fits; {_COMES}."),
    ("media-jam", "A label is stuck in the printer", f"Open it and take the label out; {_COMES}."),
    ("cover-open", "The printer's lid is open", f"Close it; {_COMES}."),
    ("door-open", "A door of the printer is open", f"Close it; {_COMES}."),
    ("interlock-open", "A door of the printer is open", f"Close it; {_COMES}."),
    ("input-tray-missing", "The tray is not in the printer", f"Push it in; {_COMES}."),
    ("output-area-full", "The printer's output is full", f"Take the labels out; {_COMES}."),
    ("marker-supply-empty", "The ribbon or ink is used up", f"Put a new one in; {_COMES}."),
    ("toner-empty", "The toner is used up", f"Put a new one in; {_COMES}."),
    ("marker-waste-full", "The box for waste ink is full", f"Change it; {_COMES}."),
    ("paused", "The printer is paused", f"Press its start key, or resume the queue; {_COMES}."),
    ("moving-to-paused", "The printer is being paused", f"Resume it; {_COMES}."),
    ("offline", "The printer is offline", f"Look at its plug, cable and network; {_COMES}."),
    ("connecting-to-device", "The printer is being looked for", "If it is off, switch it on."),
    ("timed-out", "The printer does not answer", f"Switch it on; {_COMES}."),
    ("shutdown", "The printer is switched off", f"Switch it on; {_COMES}."),
    ("stopped", "The printer has stopped", f"Look at it, or resume the queue; {_COMES}."),
    ("spool-area-full", "The printer has too much to print", "Wait until some is printed."),
)  # fmt: skip
# These let a print go on; people only want to know.
_NOTES: Final = (
    ("media-low", "The roll is nearly empty", "Have a new one at hand."),
    ("marker-supply", "The ribbon or ink is running low", "Have a new one at hand."),
    ("toner-low", "The toner is running low", "Have a new one at hand."),
    ("marker-waste", "The box for waste ink is nearly full", "Have a new one at hand."),
)
# What print systems write where the keywords stay "none"; found with CUPS 2.4.2.
_LOST: Final = (
    "unavailable", "may not exist", "not responding", "unreachable", "unable to connect",
    "unable to locate", "looking for printer", "connecting to printer", "offline",
)  # fmt: skip
_REFUSED: Final = ("cannot print with supplied options", "unsupported")


def find_reason(keywords: Iterable[str], *, message: str = "") -> PrintState | None:
    """Return what stops a printer, the gravest first; None where nothing does.

    Args:
        keywords: of printer-state-reasons.
        message: what the printer or whoever paused it wrote.
    """
    said = tuple(keywords)
    for start, words, remedy in _REASONS:
        if any(word.startswith(start) for word in said):
            told = _told(message) if start in ("paused", "stopped") else ""
            return PrintState(Stage.STOPPED, f"{words}{told}.", remedy, start)
    for word in said:
        if word.endswith("-error"):  # one we have no words for
            plain = word.removesuffix("-error").replace("-", " ")
            return PrintState(
                Stage.STOPPED, f"The printer reports: {plain}.", "Look at its display.", word
            )
    return None


def find_note(keywords: Iterable[str]) -> PrintState | None:
    """Return what will soon stop a printer that still prints; None where nothing will."""
    said = tuple(keywords)
    for start, words, remedy in _NOTES:
        if any(word.startswith(start) for word in said):
            return PrintState(Stage.DONE, f"{words}.", remedy, start)
    return None


def _told(message: str) -> str:
    """Return what the one who paused the printer wrote; the print system's own words say less."""
    text = " ".join(message.split()).rstrip(".")
    return f": {text}" if text and text.lower() not in ("paused", "idle", "printing") else ""


def is_lost(message: str) -> bool:
    """Return whether a message says that the printer is not there."""
    return any(part in message.lower() for part in _LOST)


def is_refused(message: str) -> bool:
    """Return whether a message says that the printer cannot print such a label."""
    return any(part in message.lower() for part in _REFUSED)


def unreachable(where: str = "") -> PrintState:
    """Return the words for a printer that does not answer."""
    return PrintState(
        Stage.STOPPED,
        f"The printer {where} does not answer." if where else "The printer does not answer.",
        "Look whether it is switched on and in the network; the label is kept.",
        "unreachable",
    )


def in_doubt() -> PrintState:
    """Return the words for a print that was sent while the answer was lost."""
    return PrintState(
        Stage.WAITING,
        "The printer did not say whether it took the label.",
        "It is asked again as soon as it answers; nothing is printed twice.",
        "in-doubt",
    )


def wrong_size(size: str = "") -> PrintState:
    """Return the words for a label size that the printer cannot take; size as people read it."""
    named = f" of {size}" if size else " of this size"
    return PrintState(
        Stage.FAILED,
        f"The printer has no labels{named}.",
        "Put that roll in, or choose the label stock that is in the printer.",
        "wrong-size",
    )


def size_of(sheet: Sheet) -> str:
    """Return a sheet's size as people read it."""
    return f"{sheet.width_mm:g} × {sheet.height_mm:g} mm"


# Status codes of RFC 8011, appendix B. Stage `waiting` says that it is worth another try.
_BUSY: Final = PrintState(
    Stage.WAITING, "The printer is busy.", "The label is kept and tried again.", "busy"
)
_REJECTING: Final = PrintState(
    Stage.FAILED,
    "The printer takes no prints now.",
    "Let its queue accept prints again, then retry.",
    "rejecting",
)
_NOT_ALLOWED: Final = PrintState(
    Stage.FAILED,
    "The printer lets only people it knows print.",
    "Let this computer print without a password in the printer's own settings.",
    "not-allowed",
)
_REFUSALS: Final = {
    0x0401: _NOT_ALLOWED,  # forbidden
    0x0402: _NOT_ALLOWED,  # not-authenticated
    0x0403: _NOT_ALLOWED,  # not-authorized
    0x0505: _BUSY,  # temporary-error
    0x0506: _REJECTING,  # not-accepting-jobs
    0x0507: _BUSY,  # busy
}


def refused(code: int, sheet: Sheet) -> PrintState:
    """Return the words for an answer that takes no print, `waiting` where to try again."""
    if code == 0x040B:  # attributes-or-values-not-supported
        return wrong_size(size_of(sheet))
    if code == 0x0406:  # not-found
        return refused_ask(code)
    if code == 0x040A:  # document-format-not-supported
        return wrong_format()
    return _REFUSALS.get(code) or PrintState(
        Stage.FAILED,
        "The printer did not take the label.",
        f"Look at its display, then retry. It answered with number 0x{code:04X}.",
        "refused",
    )


def refused_ask(code: int) -> PrintState:
    """Return the words for a printer that does not say how it is."""
    if code == 0x0406:  # not-found
        return PrintState(
            Stage.FAILED,
            "There is no printer of that name.",
            "Choose one of the list in the settings.",
            "no-printer",
        )
    return PrintState(
        Stage.STOPPED,
        "The printer does not say how it is.",
        f"Look at its display. It answered with number 0x{code:04X}.",
        "refused",
    )


def gone() -> PrintState:
    """Return the words for a job the printer no longer knows; small ones forget what has ended."""
    return PrintState(
        Stage.FAILED,
        "The printer no longer knows of the label.",
        "Look whether it came out; if not, retry.",
        "forgotten",
    )


def wrong_format() -> PrintState:
    """Return the words for a printer that takes none of the forms a label can have."""
    return PrintState(
        Stage.FAILED,
        "The printer takes none of the forms a label can be sent in.",
        "Set it up as a printer of this computer and choose that, or print the PDF.",
        "wrong-format",
    )


def given_up() -> PrintState:
    """Return the words for a print the printer dropped without saying why."""
    return PrintState(
        Stage.FAILED,
        "The printer gave the label up.",
        "Check that the roll in it has the label's size, then retry.",
        "given-up",
    )


def no_print_system() -> PrintState:
    """Return the words for a computer without a print system."""
    return PrintState(
        Stage.FAILED,
        "This computer has no print system.",
        "Install one (Debian: sudo apt install cups), give a network printer's address as "
        "ipp://…, or print the PDF.",
        "no-print-system",
    )
