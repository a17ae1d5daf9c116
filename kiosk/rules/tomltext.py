"""Read TOML text that people wrote, so that every value in it can be named in a problem."""

from __future__ import annotations

import tomllib
from typing import Any

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, known, say


def read_toml(text: str, what: str) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Read TOML text of which every value can be written out again in a problem."""
    try:
        data = tomllib.loads(text)
        # numbers of any length, tables of any depth: what cannot be said cannot be complained of;
        # some levels to spare, as problems are named from deeper in the program
        str([[[[[[[[data]]]]]]]])
    except (ValueError, RecursionError) as error:
        return {}, (
            Problem(
                say(
                    "The {what} file is not readable: {error}.",
                    what=known(what, "file"),
                    error=error,
                ),
                _("Mend the line it names."),
            ),
        )
    return data, ()
