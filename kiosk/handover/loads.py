"""Say on the handover sheet what each unit may carry, and what a client must heed of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from kiosk.handover.words import NOTHING
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.hangviews import Checked, HangingView, UnitHanging
from kiosk.rules.hanging.pounds import say_expected
from kiosk.rules.lengths import System
from kiosk.rules.weights import say_most

UNMEASURED = "wall not measured"
EVENLY = "evenly spread"
_EACH = (
    "What a unit may carry is besides its own weight, and evenly spread over it. It holds for "
    "the unit as it was measured and hung."
)
_NOBODY = (
    "Nobody measured the wall of {units}: what these may carry was not checked. Load nothing on "
    "them before it is."
)


def compose_loads(view: HangingView, system: System = System.MM) -> Mapping[str, tuple[str, str]]:
    """Return of each unit what it may carry, and a smaller line below; only the rated have kg.

    In an inch job pounds stand beside.
    """
    return {one.unit: _load(one, system) for one in view.units} | dict.fromkeys(
        view.unmeasured, ("not checked", UNMEASURED)
    )


def _load(one: UnitHanging, system: System) -> tuple[str, str]:
    if one.checked is Checked.RATED and one.net_kg is not None and not one.refusals:
        below = EVENLY if one.fits is not False else "less than expected"
        return say_most(one.net_kg, system), below
    if one.checked is Checked.CARRIED and one.carried_by:
        return "", f"counts to {one.carried_by}"
    if one.checked is Checked.SCREWED and not one.refusals:
        return "", "holds other units"
    if one.checked is Checked.NOT_CHECKED:
        return "not checked", NOTHING
    return "NOT RATED", NOTHING


def load_advice(view: HangingView, system: System = System.MM) -> Iterator[str]:
    """Yield the paragraphs about loads: what was not checked, what stands against units, cautions.

    Sentences of the check are said as it made them, in English.
    """
    if view.unmeasured:
        yield _NOBODY.format(units=", ".join(view.unmeasured))
    if not view.walls:
        return
    for one in view.units:
        yield from _own_advice(one, system)
    yield _EACH
    yield from (str(words) for words in ALWAYS)
    yield from _cautions(view)


def _own_advice(one: UnitHanging, system: System) -> Iterator[str]:
    for refusal in one.refusals:
        yield f"{one.unit} is not rated: {refusal.message} {refusal.remedy}"
    if one.allowed is not None:
        who = one.allowed.person or "somebody"
        yield f"{one.unit} was let go ahead against the check by {who}: {one.allowed.reason}"
    if one.fits is False and one.net_kg is not None:
        yield f"{one.unit}: {say_expected(one, system)}"


def _cautions(view: HangingView) -> Iterator[str]:
    """Yield what is to be heeded of single units, each sentence once with their names."""
    own: dict[str, list[str]] = {}
    for one in view.units:
        for words in one.cautions:
            if words not in ALWAYS:
                own.setdefault(str(words), []).append(one.unit)
    for text, names in own.items():
        yield f"{', '.join(names)}: {text}"
