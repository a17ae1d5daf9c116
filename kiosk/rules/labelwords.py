"""Say anew what `labels` says of codes, prints and labels: it knows no languages, only English."""

from __future__ import annotations

from typing import Final

from kiosk.rules.words import _, heard

_OF_CODES: Final = (
    _("This can mean two codes. Compare them with the label."),
    _("Read as sent through a {name} keyboard layout."),
    _("Nothing was read. Scan the label again."),
    _("A part code has {most} letters, this has {n}. Read it again."),
    _("{letters} is in no part code. Look at the label again."),
    _("{n} letters are missing; the check letter makes up for one. Read it again."),
    _("The unreadable letter makes it {code}."),
    _("{code} has a letter wrong. Compare it with the label."),
)
_OF_PRINTERS: Final = (
    _("The roll is empty."),
    _("The printer waits for labels."),
    _("A label is stuck in the printer."),
    _("The printer's lid is open."),
    _("A door of the printer is open."),
    _("The tray is not in the printer."),
    _("The printer's output is full."),
    _("The ribbon or ink is used up."),
    _("The toner is used up."),
    _("The box for waste ink is full."),
    _("The printer is paused."),
    _("The printer is being paused."),
    _("The printer is offline."),
    _("The printer is being looked for."),
    _("The printer does not answer."),
    _("The printer is switched off."),
    _("The printer has stopped."),
    _("The printer has too much to print."),
    _("The roll is nearly empty."),
    _("The ribbon or ink is running low."),
    _("The toner is running low."),
    _("The box for waste ink is nearly full."),
    _("The printer is busy."),
    _("The printer takes no prints now."),
    _("The printer lets only people it knows print."),
    _("The printer did not say whether it took the label."),
    _("The printer did not take the label."),
    _("There is no printer of that name."),
    _("The printer does not say how it is."),
    _("The printer no longer knows of the label."),
    _("The printer takes none of the forms a label can be sent in."),
    _("The printer gave the label up."),
    _("This computer has no print system."),
    _("The print system of this computer does not answer."),
    _("No printer is set."),
    _("The printer has no labels of this size."),
    _("The printer is printing."),
    _("The printer is ready."),
    _("The label is printed."),
    _("The label is held back in the printer's list."),
    _("The print is being stopped; it may still come out."),
    _("The label waits for the printer."),
    _("The printer has the label but does not go on."),
    _("The label is being printed."),
    _("The print was cancelled."),
    _("The print was cancelled at the printer."),
    _("The print could not be cancelled."),
    _("The printer's answer cannot be understood."),
    _("The printer is paused: {message}."),
    _("The printer has stopped: {message}."),
    _("The printer reports: {word}."),
    _("The printer has no labels of {size}."),
    _("{name} is no name of a print queue."),
    _("The printer's address has a blank in it. {example}"),
    _("The printer's address {where} is not complete or its port is wrong. {example}"),
    _("{where} is no address of a printer. {example}"),
    _("What answers at {host} does not speak as a printer does."),
    _("What answers at {host} sends more than a printer would."),
    _("The printer at {host} cannot prove that it is the one it says."),
    _("No encrypted connection to the printer at {host} came about."),
    _("The printer at {host} does not answer."),
    _("The printer at {host} lets only people it knows print."),
    _("The printer at {host} wants an encrypted connection."),
    _("The printer at {host} has trouble of its own."),
    _("The printer's certificate in {file} cannot be read."),
    _("Something answers at {host}, but there is no printer at {path}."),
    _("The printer {where} does not answer."),
)
_REMEDIES: Final = (
    _("Put a new one in; the label prints by itself then."),
    _("Put the roll in that fits; the label prints by itself then."),
    _("Open it and take the label out; the label prints by itself then."),
    _("Close it; the label prints by itself then."),
    _("Push it in; the label prints by itself then."),
    _("Take the labels out; the label prints by itself then."),
    _("Change it; the label prints by itself then."),
    _("Press its start key, or resume the queue; the label prints by itself then."),
    _("Resume it; the label prints by itself then."),
    _("Look at its plug, cable and network; the label prints by itself then."),
    _("If it is off, switch it on."),
    _("Switch it on; the label prints by itself then."),
    _("Look at it, or resume the queue; the label prints by itself then."),
    _("Wait until some is printed."),
    _("Look at its display."),
    _("Have a new one at hand."),
    _("Look whether it is switched on and in the network; the label is kept."),
    _("It is asked again as soon as it answers; nothing is printed twice."),
    _("Put that roll in, or choose the label stock that is in the printer."),
    _("The label is kept and tried again."),
    _("Let its queue accept prints again, then retry."),
    _("Let its queue accept prints again."),
    _("Let this computer print without a password in the printer's own settings."),
    _("Look at its display, then retry. It answered with number {number}."),
    _("Choose one of the list in the settings."),
    _("Look at its display. It answered with number {number}."),
    _("Look whether it came out; if not, retry."),
    _("Set it up as a printer of this computer and choose that, or print the PDF."),
    _("Check that the roll in it has the label's size, then retry."),
    _(
        "Install one (Debian: sudo apt install cups), give a network printer's address as ipp://…, "
        "or print the PDF."
    ),
    _("Choose one in the settings, or print the PDF."),
    _("The label is kept."),
    _("Check the printer's address; switch the printer off and on again."),
    _("Check the printer's address."),
    _("Release it there, or cancel it and print again."),
    _("Look at the printer; cancel and print again if it shows nothing."),
    _("Cancel it at the printer itself."),
    _("Cancel it in this computer's list of prints."),
    _("Write it as ipp://192.168.1.40/ipp/print."),
    _("Save its certificate to a file and name it in the settings."),
    _("Look whether it takes ipps, or write ipp:// in your own network."),
    _("Save it there again, as PEM."),
    _("Write ipps:// in place of ipp://."),
    _("Switch it off and on again; the label is kept."),
    _("Check the address; most printers have /ipp/print at its end."),
    _("Restart it, or the computer; the label is kept."),
)
_OF_DRAWING: Final = (
    _(
        "The design {design} does not fit {stock} ({size} mm) at {dpi} dots per inch. "
        "Choose a larger label, or leave design out: {other} fits."
    ),
    _("{dpi} dots per inch are too coarse for a label. Use what the printer's maker says."),
    _(
        "A label of {size} mm is too small for its codes at {dpi} dots per inch. "
        "Use a larger label: {ways}."
    ),
    _(
        "The offset of {stock} pushes its labels over the edge of the page. offset_x_mm may be "
        "{across}, offset_y_mm {down}. If the printer is further out, set where it begins in its "
        "own menu."
    ),
    _(
        "The {symbols} of {code} cannot be read as drawn; no page was written. "
        "Choose a larger label stock or more dots per inch."
    ),
    _("{file} could not be written: {error}. Choose another folder, or make room on the disk."),
)


def say_code_reading(message: str) -> str:
    """Return what `labels.codes` says of a text that was scanned or typed."""
    return heard(message, _OF_CODES)


def say_print(words: str) -> str:
    """Return the words or the remedy of a print state, or both as one text."""
    return heard(words, (*_OF_PRINTERS, *_REMEDIES), wholly=True)


def say_drawing(error: object) -> str:
    """Return why a label could not be drawn or written."""
    return heard(str(error), _OF_DRAWING)
