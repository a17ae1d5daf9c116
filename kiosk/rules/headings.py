"""Say what each column of a part list was read as, and let a person say otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from kiosk.rules.columns import TOP_ROWS, Header, names_of
from kiosk.rules.drafts import Heading
from kiosk.rules.problems import Problem
from kiosk.rules.words import Phrase, _, say

# What a column can mean, in the order people look for it, and how it is said on a screen.
MEANINGS: Final[Mapping[str, Phrase]] = {
    "part": _("part"),
    "length": _("length"),
    "width": _("width"),
    "quantity": _("quantity"),
    "thickness": _("thickness"),
    "material": _("material"),
    "unit": _("unit"),
    "unit_name": _("unit name"),
    "kind": _("kind"),
    "finish": _("finish"),
    "grain": _("grain"),
    "edge": _("edge"),
    "bevel": _("bevel"),
    "wall": _("wall"),
    "position": _("position"),
    "hangs_on": _("hangs on"),
    "note": _("note"),
    "measure": _("unit of measure"),
}
NOTHING: Final = "none"  # how a person says that a column is to be left out
SAMPLES: Final = 3  # cells shown to recognise a column by (choice)


def read_meaning(text: str) -> str | None:
    """Read what a column is said to mean: our word, empty for none, None for no word of ours."""
    word = "_".join(text.casefold().split())
    word = {"unit_of_measure": "measure", "": NOTHING}.get(word, word)
    return "" if word == NOTHING else word if word in MEANINGS else None


def check_columns(
    rows: Sequence[Sequence[str]], said: Mapping[str, str]
) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """Return headings with the column each is said to mean, and what is wrong with it.

    said maps headings as a person writes them, whatever their capitals, to words of ours.
    """
    names: dict[str, str] = {}
    for row in rows[:TOP_ROWS]:
        for one in names_of(row):
            names.setdefault(one.casefold(), one)
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for heading, word in said.items():
        name = names.get(" ".join(heading.split()).casefold())
        meaning = read_meaning(word)
        if name is None:
            problems.append(_no_heading(heading, found_headings(rows)))
        elif meaning is None:
            problems.append(_no_meaning(name, word))
        elif meaning and meaning in found.values():
            other = next(one for one, column in found.items() if column == meaning)
            problems.append(_both(name, other, meaning))
        else:
            found[name] = meaning
    return found, tuple(problems)


def found_headings(rows: Sequence[Sequence[str]]) -> tuple[Heading, ...]:
    """Return the headings of a list none were understood of: of its first row of four words."""
    for number, row in enumerate(rows[:TOP_ROWS], start=1):
        words = [cell for cell in row if cell.strip()]
        if len(words) >= 4 and not any(cell.strip()[0].isdigit() for cell in words):
            return _listed(row, {}, rows[number:])
    return ()


def list_headings(rows: Sequence[Sequence[str]], header: Header) -> tuple[Heading, ...]:
    """Return the columns of a list in order, each with what it was read as and a few cells."""
    return _listed(
        rows[header.row - 1],
        {place: column for column, place in header.at.items()},
        rows[header.row :],
    )


def _listed(
    head: Sequence[str], at: Mapping[int, str], body: Sequence[Sequence[str]]
) -> tuple[Heading, ...]:
    width = max(len(head), *(place + 1 for place in at), *(len(row) for row in body[:SAMPLES]))
    names = names_of([*head, *[""] * (width - len(head))])
    shown = [
        Heading(name, at.get(place, ""), _cells(body, place)) for place, name in enumerate(names)
    ]
    return tuple(one for one in shown if one.samples or one.meaning or one.name in head)


def _cells(body: Iterable[Sequence[str]], place: int) -> tuple[str, ...]:
    found: list[str] = []
    for row in body:
        if place < len(row) and (cell := row[place].strip()) and cell not in found:
            found.append(cell)
        if len(found) == SAMPLES:
            break
    return tuple(found)


def _no_heading(heading: str, have: Sequence[Heading]) -> Problem:
    names = ", ".join(one.name for one in have)
    return Problem(
        say("The list has no column headed “{heading}”.", heading=heading),
        say("Write the heading as it stands in the list: {names}.", names=names)
        if names
        else _("Write the heading as it stands in the list."),
        column=heading,
    )


def _no_meaning(heading: str, word: str) -> Problem:
    words = ", ".join(MEANINGS).replace("_", " ")
    return Problem(
        say("“{word}” is nothing a column can mean.", word=word),
        say("Use one of {words}, or none.", words=words),
        column=heading,
        value=word,
    )


def _both(heading: str, other: str, meaning: str) -> Problem:
    return Problem(
        say(
            "Both “{other}” and “{heading}” are said to be the {meaning}.",
            other=other,
            heading=heading,
            meaning=MEANINGS[meaning],
        ),
        _("Let one of them mean something else, or none."),
        column=heading,
    )
