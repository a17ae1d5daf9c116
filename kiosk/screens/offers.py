"""Turn the offers of an answer into large buttons; a tap chooses, nothing chooses by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kiosk.rules.cards import BACK, YES
from kiosk.rules.scanning import Answer
from kiosk.rules.words import _, capital, say
from kiosk.screens.face import Choice


@dataclass(frozen=True, slots=True)
class OfferActs:
    """What choosing an offer does."""

    go_ahead: Callable[[str, str], object]  # step, reason
    also: Callable[[str], object]  # step
    code: Callable[[str], object]
    lift: Callable[[str], object]
    again: Callable[[str], object]  # the entry to be struck
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
        none = Choice(_("None of these"), acts.dismiss, card=BACK)
        return _("Is it one of these?"), (*codes, none)
    choices = []
    for offer in answer.offers:
        if offer.kind == "also":
            choices.append(Choice(offer.words, partial(acts.also, offer.value), "tick", YES))
        elif offer.kind == "lift":
            choices.append(Choice(offer.words, partial(acts.lift, offer.value), card=YES))
        elif offer.kind == "again":
            choices.append(Choice(offer.words, partial(acts.again, offer.value), "cross", YES))
    if not choices:
        return "", ()
    return _("What now?"), (*choices, Choice(_("Leave it"), acts.dismiss, card=BACK))


def _reasons(
    answer: Answer, reasons: tuple[str, ...], acts: OfferActs
) -> tuple[str, tuple[Choice, ...]]:
    offer = next(offer for offer in answer.offers if offer.kind == "go_ahead")
    picks = [
        Choice(capital(reason), partial(acts.go_ahead, offer.value, reason))
        for reason in offer.reasons or reasons
    ]
    words = say("{step}, because:", step=capital(offer.words))
    # waiting mends no fitting
    wait = _("Leave it") if offer.reasons else _("Wait")
    return words, (*picks, Choice(wait, acts.dismiss, card=BACK))
