"""Turn the offers of an answer into large buttons; a tap chooses, nothing chooses by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kiosk.rules.scanning import Answer
from kiosk.screens.face import Choice


@dataclass(frozen=True, slots=True)
class OfferActs:
    """What choosing an offer does."""

    go_ahead: Callable[[str, str], object]  # step, reason
    also: Callable[[str], object]  # step
    code: Callable[[str], object]
    lift: Callable[[str], object]
    dismiss: Callable[[], object]


def choices_for(
    answer: Answer, reasons: tuple[str, ...], acts: OfferActs
) -> tuple[str, tuple[Choice, ...]]:
    """Return the title and buttons beside an answer; no buttons where there is nothing to choose.

    Args:
        answer: as the shop gave it.
        reasons: what a person may pick for going ahead.
        acts: what each choice does.
    """
    kinds = {offer.kind for offer in answer.offers}
    if "go_ahead" in kinds:
        return _reasons(answer, reasons, acts)
    if "code" in kinds:
        codes = [
            Choice(offer.words, partial(acts.code, offer.value))
            for offer in answer.offers
            if offer.kind == "code"
        ]
        return "Is it one of these?", (*codes, Choice("None of these", acts.dismiss))
    choices = []
    for offer in answer.offers:
        if offer.kind == "also":
            choices.append(Choice(offer.words, partial(acts.also, offer.value), "tick"))
        elif offer.kind == "lift":
            choices.append(Choice(offer.words, partial(acts.lift, offer.value)))
    if not choices:
        return "", ()
    return "What now?", (*choices, Choice("Leave it", acts.dismiss))


def _reasons(
    answer: Answer, reasons: tuple[str, ...], acts: OfferActs
) -> tuple[str, tuple[Choice, ...]]:
    offer = next(offer for offer in answer.offers if offer.kind == "go_ahead")
    picks = [
        Choice(f"{reason[0].upper()}{reason[1:]}", partial(acts.go_ahead, offer.value, reason))
        for reason in reasons
    ]
    words = f"{offer.words[0].upper()}{offer.words[1:]}, because:"
    return words, (*picks, Choice("Wait", acts.dismiss))
