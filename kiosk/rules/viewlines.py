"""The lines a station's panel is made of; knows nothing else, so that it loads at once."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ViewLine:
    """One line of a station's panel; state is a key of the theme's looks, empty: no mark.

    brief says the same as more where there is little room, empty: more is brief already.
    """

    words: str
    more: str = ""
    state: str = ""
    brief: str = ""


@dataclass(frozen=True, slots=True)
class StationView:
    """A station's panel: its title and its lines, what matters most first."""

    title: str = ""
    lines: tuple[ViewLine, ...] = ()
