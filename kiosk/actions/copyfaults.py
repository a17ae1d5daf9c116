"""Say in any language what the disk, the database or a folder said about a copy in English.

Notes and processes keep plain English; what SQLite itself found in a file stays as it said it.
"""

from __future__ import annotations

from kiosk.rules.words import _, heard

_SAID = (
    _(
        "the disk of {folder} has no room for a copy: {needed} MiB are needed, {free} MiB are "
        "free. Move older copies or other files elsewhere"
    ),
    _("{file} is not there; there is nothing to copy"),
    _("{file} is not there"),
    _("the copy is not whole: {why}"),
    _("{file} is not whole: {why}"),
    _("the folder {folder} is not there; make it first"),
    _("entry {place} is not as the shop has it"),
    _("it holds no log"),
    _("the disk is full: make room, then go on; {file} is as it was"),
    _("{file} cannot be written: give the kiosk's user the file and its folder"),
    _("the disk did not take {file}: look at its room, its cable and its health, then try again"),
    _("{file} is held by another program: close that one, or wait and try again"),
    _("{file} is damaged: bring back the latest copy with `cleatclock restore`"),
    _("{file} is no shop file: name the right one"),
    _("{file} cannot be opened: look whether it is a file, and whose"),
    _("{file} cannot keep or read this text: {why}"),
    _("it is the folder the copies are in already"),
    _("{file} does not read back as it was written"),
    _("it took too long"),
)


def say_fault(text: str) -> str:
    """Return what went wrong as a phrase where we wrote it, else as it is."""
    return heard(text, _SAID, wholly=True)
