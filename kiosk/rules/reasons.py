"""Know the reasons people give: the log keeps them in English, a screen says them anew."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.rules.words import Phrase, _, heard, join, known, say

# What a person may pick for going ahead against the clock, and what may be wrong with a part.
GO_AHEAD_REASONS: Final = (
    _("touch test is dry"),
    _("fast product, label says so"),
    _("not stressed, handled with care"),
    _("done earlier, not scanned"),
    _("other reason"),
)
# Why a unit goes up although the check of hanging gives no number for it.
HANG_REASONS: Final = (
    _("a licensed professional approved it"),
    _("nothing is put on it until it is mended"),
    _("held in another way, which was checked"),
    _("other reason"),
)


@dataclass(frozen=True, slots=True)
class Trouble:
    """What may be wrong with a part or unit: its key, in words, and what recording it does."""

    key: str
    words: str
    then: str


_HELD: Final = _("The unit is put on hold.")
PROBLEMS: Final = (
    Trouble(
        "spoiled",
        _("part spoiled"),
        _("The part is cut again; its recut gets its own label."),
    ),
    Trouble(
        "missing",
        _("part missing"),
        _("The unit is put on hold until the part is found."),
    ),
    Trouble("failed_coat", _("coat failed"), _HELD),
    Trouble("too_tacky", _("still too tacky"), _HELD),
    Trouble("other", _("something else"), _HELD),
)
_NOTED: Final = {
    "missing": _("part missing: {note}"),
    "failed_coat": _("coat failed: {note}"),
    "too_tacky": _("still too tacky: {note}"),
    "other": _("something else: {note}"),
}
_SPOILED: Final = _("{part} spoiled: put the recut in, strike what must be done again, then lift")
_UNLISTED: Final = _("cut, but no longer on the list: {parts}; revise the list, then lift")
# As entries keep them; the first that fits is taken.
_KEPT: Final = (
    *GO_AHEAD_REASONS,
    *HANG_REASONS,
    *(trouble.words for trouble in PROBLEMS),
    _("spoiled"),
    _("on hold"),
    _SPOILED,
    _UNLISTED,
    *_NOTED.values(),
    _("part missing {part}: {note}"),
    _("part missing {part}"),
)


def say_reason(kept: str) -> str:
    """Return a reason as a log keeps it, so that it can be said in another language."""
    return heard(kept, _KEPT)


def say_trouble(key: str, *, part: str = "", note: str = "") -> str:
    """Return why a unit is put on hold: what is wrong, of which part, and more words."""
    if part and note:
        return say("part missing {part}: {note}", part=part, note=note)
    if part:
        return say("part missing {part}", part=part)
    if note and key in _NOTED:
        return say(_NOTED[key], note=note)
    words = next((trouble.words for trouble in PROBLEMS if trouble.key == key), known(key))
    return join([words, note], ": ")


def say_spoiled(part: str) -> str:
    """Return why a unit is put on hold when a part is spoiled that is glued in or coated."""
    return say(_SPOILED, part=part)


def say_unlisted(parts: str) -> str:
    """Return why a unit is put on hold when parts are wanted that the list no longer has."""
    return say(_UNLISTED, parts=parts)


def say_step(name: str) -> str:
    """Return a step in words by its name alone, as an entry keeps it: `glue up`, `coat 2`."""
    plain = name.replace("-", " ")
    numbered = heard(plain, (_("coat {n}"), _("scuff {n}")))
    return numbered if isinstance(numbered, Phrase) else known(plain, "step")
