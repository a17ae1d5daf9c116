"""Judge what needs a supervisor, who is one, and whether a permit is good for an act.

Sources: docs/rules.md, "Supervisors".
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from enum import StrEnum
from typing import Final

from kiosk.rules.entries import Entry, Kind
from kiosk.rules.lockout import Tries, free_tries, say_wait, wait_of
from kiosk.rules.people import Person, tidy_name
from kiosk.rules.problems import Problem
from kiosk.rules.words import Phrase, _, join, say, say_n

SHORTEST_PIN: Final = 6  # docs/rules.md, "Supervisors"
LONGEST_PIN: Final = 12  # what a person still types at a pad without a slip; choice
_DIGITS: Final = "0123456789"
_RUNS: Final = (_DIGITS * 3, (_DIGITS * 3)[::-1])


class Act(StrEnum):
    """What needs a supervisor once there is one; the words are those of docs/formats.md."""

    REVISE = "revise"
    GO_AHEAD = "go_ahead"
    CLOSE = "close"
    REOPEN = "reopen"
    PRODUCTS = "products"
    ROUTES = "routes"
    SUPERVISORS = "supervisors"


ACT_WORDS: Mapping[Act, Phrase] = {
    Act.REVISE: _("Revising a list"),
    Act.GO_AHEAD: _("Going ahead against a refusal"),
    Act.CLOSE: _("Closing a job that is not all hung"),
    Act.REOPEN: _("Opening a closed job again"),
    Act.PRODUCTS: _("Changing products and their figures"),
    Act.ROUTES: _("Changing routes"),
    Act.SUPERVISORS: _("Changing who is a supervisor"),
}


class How(StrEnum):
    """How somebody came to a PIN: their first, their own new one, by another, by who has the file.

    The words are those of docs/formats.md.
    """

    SET = "set"
    CHANGED = "changed"
    RESET = "reset"
    BY_FILE = "by_file"


@dataclass(frozen=True, slots=True)
class Supervisor:
    """Somebody on the list who has a PIN: name, the code on the badge, the hash of the PIN."""

    name: str
    code: str
    hash: str = field(default="", repr=False)


@dataclass(frozen=True, slots=True)
class Permit:
    """A supervisor's word for one kind of act, given by a PIN that was right."""

    name: str
    code: str
    act: Act


def supervisors_of(people: Iterable[Person], entries: Iterable[Entry]) -> tuple[Supervisor, ...]:
    """Return who on the list is a supervisor; the last word on each badge counts.

    Args:
        people: everybody, those off the list too, who are none.
        entries: of kind pin_set, in the log's order.
    """
    held: dict[str, str] = {}
    for entry in entries:
        code, kept = entry.body.get("code"), entry.body.get("hash")
        if entry.kind == Kind.PIN_SET and isinstance(code, str):
            held[code] = kept if isinstance(kept, str) else ""
    return tuple(
        Supervisor(one.name, one.code, held[one.code])
        for one in people
        if not one.away and held.get(one.code)
    )


def find_supervisor(supervisors: Iterable[Supervisor], name: str) -> Supervisor | None:
    """Return the supervisor of a name, whatever its capitals, or of a badge's code."""
    wanted = tidy_name(name).casefold()
    return next(
        (one for one in supervisors if wanted in (one.name.casefold(), one.code.casefold())), None
    )


def refuse(
    act: Act, permit: Permit | None, supervisors: Sequence[Supervisor]
) -> tuple[Problem, ...]:
    """Return what stands against an act; nothing where no supervisor has a PIN.

    A permit is good for its own act alone, and only while who gave it is a supervisor.
    """
    codes = {one.code for one in supervisors}
    if not codes or (permit is not None and permit.act == act and permit.code in codes):
        return ()
    names = ", ".join(one.name for one in supervisors)
    words = say("{act} needs a supervisor.", act=ACT_WORDS[act])
    return (
        Problem(
            words, say("The PIN of one of these allows it (--supervisor): {names}.", names=names)
        ),
    )


def mark_of(permit: Permit | None, supervisors: Sequence[Supervisor]) -> dict[str, str]:
    """Return what the entry of an act says of who allowed it: the key allowed_by, or nothing."""
    return {"allowed_by": permit.name} if permit is not None and supervisors else {}


def is_pin(text: str) -> bool:
    """Tell whether a text can be a PIN at all: digits, neither too few nor too many."""
    return SHORTEST_PIN <= len(text) <= LONGEST_PIN and not set(text) - set(_DIGITS)


def check_pin(pin: str) -> tuple[Problem, ...]:
    """Return what is wrong with a PIN to be set: its length, and what is guessed first."""
    if not is_pin(pin):
        words = say("A PIN has {least} to {most} digits.", least=SHORTEST_PIN, most=LONGEST_PIN)
        return (Problem(words, _("Type another one.")),)
    if len(set(pin)) == 1 or any(pin in run for run in _RUNS):
        words = _("The same digit again and again, or digits in a row, are guessed first.")
        return (Problem(words, _("Type another one.")),)
    return ()


def how_set(code: str, permit: Permit | None, supervisors: Iterable[Supervisor]) -> How:
    """Return how the badge of this code comes to a PIN by this permit."""
    if code not in {one.code for one in supervisors}:
        return How.SET
    return How.CHANGED if permit is not None and permit.code == code else How.RESET


def is_last_way(codes: Collection[str], supervisors: Iterable[Supervisor]) -> bool:
    """Tell whether nobody is left to ask when the PINs of these badges are forgotten."""
    return {one.code for one in supervisors} <= set(codes)


def say_wrong(tries: Tries) -> Problem:
    """Return that a PIN was wrong, and how many tries are left or how long to wait."""
    wait = wait_of(tries.wrong)
    if wait:
        return Problem(_("The PIN is wrong."), say_locked(wait))
    left = free_tries(tries.wrong)
    return Problem(_("The PIN is wrong."), say_n("{n} try left.", "{n} tries left.", left))


def say_locked(wait: timedelta) -> str:
    """Return that nobody may try for a while."""
    words = say("After wrong tries nobody may try this PIN for {wait}.", wait=say_wait(wait))
    return join((words, _("Another supervisor's PIN does as well.")))
