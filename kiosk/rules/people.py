"""Know the people of a shop by their badges, folded from the log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kiosk.rules.entries import Entry, Kind
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

LONGEST = 24  # letters that can be read on a badge and in the head of a bench; choice


@dataclass(frozen=True, slots=True)
class Person:
    """One person: name, the code on the badge, and whether they are off the list."""

    name: str
    code: str
    away: bool = False


def people_of(entries: Iterable[Entry]) -> tuple[Person, ...]:
    """Return everybody in the order they were first named; the last word on each badge counts.

    Args:
        entries: of kind person_set, in the log's order.
    """
    found: dict[str, Person] = {}
    for entry in entries:
        name, code = entry.body.get("name"), entry.body.get("code")
        if entry.kind != Kind.PERSON_SET or not _is_text(name) or not _is_text(code):
            continue
        found[str(code)] = Person(str(name), str(code), entry.body.get("away") is True)
    return tuple(found.values())


def find_person(people: Iterable[Person], name: str) -> Person | None:
    """Return the person of a name, whatever its capitals; who is there goes before who is off."""
    wanted = tidy_name(name).casefold()
    named = [one for one in people if one.name.casefold() == wanted]
    return min(named, key=lambda one: one.away, default=None)


def tidy_name(name: str) -> str:
    """Return a name with single spaces."""
    return " ".join(name.split())


def check_name(name: str) -> tuple[Problem, ...]:
    """Return what is wrong with a name to be put on a badge."""
    if not name:
        return (Problem(_("A person needs a name."), _("Write it.")),)
    if len(name) > LONGEST:
        words = say("{name} is too long for a badge.", name=name)
        return (Problem(words, say("Use up to {n} letters.", n=LONGEST), value=name),)
    return ()


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value)
