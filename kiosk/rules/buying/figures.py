"""Name the figures a list of what to buy is reckoned by; a shop may set its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from kiosk.rules.problems import Problem
from kiosk.rules.tomltext import read_toml
from kiosk.rules.words import _, join, number, say


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure with its usual value, the least and the most it may be, and where it is from."""

    name: str
    usual: int
    least: int
    most: int
    unit: str
    sentence: str
    source: str


_CHOICE: Final = _("choice")
_PRACTICE: Final = _("common practice, no source")

FIGURES: Final = (
    Figure("glue_g_m2", 200, 50, 1000, "g/m²", _("Glue on a joint, spread on one of its faces."),
           _("secondary: 120 to 250 g/m²")),
    Figure("joined_edge_percent", 50, 0, 100, "%",
           _("How much of a part's edges is joined to other parts, all but the unit's largest."),
           _CHOICE),
    Figure("screw_pitch_mm", 150, 20, 1000, "mm", _("From screw to screw along a joint."),
           _PRACTICE),
    Figure("edging_spare_mm", 50, 0, 500, "mm", _("Edging beyond the two ends of an edge."),
           _PRACTICE),
    Figure("filler_ml_m", 3, 0, 100, "ml/m", _("Filler for holes and edges, by metre of edge."),
           _CHOICE),
    Figure("wall_filled_percent", 50, 0, 100, "%",
           _("How much of a wall one filling covers: a patch little, a skim all of it."), _CHOICE),
    Figure("stripe_mm", 100, 5, 2000, "mm",
           _("How wide an accent stripe is; it runs along the unit's longest part."), _CHOICE),
    Figure("disc_m2", 2, 1, 50, "m²", _("What an abrasive disc of 150 mm sands before it is worn."),
           _PRACTICE),
)  # fmt: skip
USUAL: Final[Mapping[str, Fraction]] = {one.name: Fraction(one.usual) for one in FIGURES}


def parse_figures(text: str) -> tuple[Mapping[str, Fraction], tuple[Problem, ...]]:
    """Read a shop's own figures from TOML text: `glue_g_m2 = 180`.

    Returns:
        All figures by name, the usual one where the shop says nothing or something wrong; and the
        problems.
    """
    data, problems = read_toml(text, "buying")
    found, wrong = dict(USUAL), list(problems)
    known = {one.name: one for one in FIGURES}
    for name, value in data.items():
        figure = known.get(name)
        if figure is None:
            words = say("buying.toml has a line {name} that means nothing.", name=name)
            names = ", ".join(known)
            wrong.append(Problem(words, say("Use {names}.", names=names), column=name))
        elif _is_sound(figure, value):
            found[name] = Fraction(str(value))
        else:
            wrong.append(_out_of_range(figure, value))
    return found, tuple(wrong)


def say_figure(figure: Figure, value: Fraction) -> str:
    """Return what a figure says, its value and where that is from, in one line."""
    own = value != figure.usual
    return join(
        (
            figure.sentence,
            say(
                "{value} {unit} ({source}).",
                value=number(f"{float(value):g}"),
                unit=figure.unit,
                source=_("the shop's own") if own else figure.source,
            ),
        )
    )


def _is_sound(figure: Figure, value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return figure.least <= value <= figure.most


def _out_of_range(figure: Figure, value: object) -> Problem:
    return Problem(
        say("buying.toml: {name} is no figure that can be used.", name=figure.name),
        say(
            "Write a number from {least} to {most}; {usual} {unit} is used meanwhile.",
            least=figure.least,
            most=figure.most,
            usual=figure.usual,
            unit=figure.unit,
        ),
        column=figure.name,
        value=str(value),
    )
