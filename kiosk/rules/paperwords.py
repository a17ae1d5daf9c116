"""Say of a paper printer what `labels` says of printers: there it is all about labels and rolls."""

from __future__ import annotations

from typing import Final

from kiosk.rules.labelwords import say_print
from kiosk.rules.words import _

# what names labels, in words of sheets
_WORDS: Final = {
    "The roll is empty.": _("The printer is out of paper."),
    "The printer waits for labels.": _("The printer waits for paper."),
    "A label is stuck in the printer.": _("Paper is stuck in the printer."),
    "The ribbon or ink is used up.": _("Toner or ink is used up."),
    "The printer did not say whether it took the label.": _(
        "The printer did not say whether it took the sheets."
    ),
    "The printer did not take the label.": _("The printer did not take the sheets."),
    "The printer no longer knows of the label.": _("The printer no longer knows of the sheets."),
    "The printer takes none of the forms a label can be sent in.": _("The printer takes no PDF."),
    "The printer gave the label up.": _("The printer gave the sheets up."),
    "The label is held back in the printer's list.": _(
        "The sheets are held back in the printer's list."
    ),
    "The printer has the label but does not go on.": _(
        "The printer has the sheets but does not go on."
    ),
}
_NO_PAPER: Final = "The printer has no labels of "  # the size follows
_LOOK: Final = _("Look whether it is switched on and in the network.")
# what to do, by the key `labels` gives each trouble
_REMEDIES: Final = {
    "media-empty": _("Put paper in; it prints by itself then."),
    "media-needed": _("Put paper in; it prints by itself then."),
    "media-jam": _("Take the paper out; it prints by itself then."),
    "cover-open": _("Close it; it prints by itself then."),
    "door-open": _("Close it; it prints by itself then."),
    "interlock-open": _("Close it; it prints by itself then."),
    "input-tray-missing": _("Push it in; it prints by itself then."),
    "output-area-full": _("Take the paper out; it prints by itself then."),
    "marker-supply-empty": _("Put a new one in; it prints by itself then."),
    "toner-empty": _("Put a new one in; it prints by itself then."),
    "marker-waste-full": _("Change it; it prints by itself then."),
    "paused": _("Press its start key, or resume the queue; it prints by itself then."),
    "moving-to-paused": _("Resume the queue; it prints by itself then."),
    "offline": _("Look at its plug, cable and network; it prints by itself then."),
    "connecting-to-device": _("If it is off, switch it on."),
    "timed-out": _("Switch it on; it prints by itself then."),
    "shutdown": _("Switch it on; it prints by itself then."),
    "stopped": _("Look at it, or resume the queue; it prints by itself then."),
    "spool-area-full": _("Wait until some is printed."),
    "unreachable": _LOOK,
    "in-doubt": _("Look whether it comes out before you print again."),
    "wrong-size": _("Choose the paper that is in it: paper in the settings."),
    "busy": _("Print again in a minute."),
    "rejecting": _("Let its queue accept prints again, then print again."),
    "no-printer": _("Choose one of the list in the settings."),
    "forgotten": _("Look whether it came out; if not, print again."),
    "given-up": _("Look at its display, then print again."),
    "wrong-format": _("Set it up as a print queue of this computer and choose that."),
    "no-print-system": _("Install one (Debian: sudo apt install cups), or print the PDF."),
    "held": _("Release them there."),
    "not-allowed": _("Let this computer print without a password in the printer's own settings."),
}


def say_paper(words: str) -> str:
    """Return the words of a print state as they are said of sheets of paper."""
    if words in _WORDS:
        return _WORDS[words]
    if words.startswith(_NO_PAPER):
        return _("The printer has no paper of this size.")
    return say_print(words)


def paper_remedy(reason: str) -> str:
    """Return what to do about a trouble of a paper printer; reason is the key `labels` gives it.

    A key that is not known leads to the printer itself.
    """
    return _REMEDIES.get(reason) or _("Look at its display.")
