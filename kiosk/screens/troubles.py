"""Which prints are in trouble, and how that is said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kiosk.rules.labelwords import say_print
from kiosk.rules.words import join, say

if TYPE_CHECKING:
    from kiosk.actions import Order
    from labels.printing import Line


@dataclass(frozen=True, slots=True)
class Trouble:
    """Labels that are not printed: which, why, and what to do.

    codes are to be written by hand where they are of parts or units. may_retry is False where the
    printer has it and prints it by itself once it is put right; may_be_out is True where the
    printer does not say whether it came out.
    """

    key: str
    title: str
    codes: tuple[str, ...]
    words: str
    remedy: str = ""
    may_retry: bool = True
    may_be_out: bool = False
    by_hand: bool = True

    @property
    def said(self) -> str:
        """Return which labels are not printed, in words."""
        return say("{labels} not printed", labels=self.title)


def see_trouble(order: Order, line: Line) -> Trouble | None:
    """Return what is wrong with a print: it waits with a reason, is stopped or failed; else None.

    What a person has cancelled is no trouble any more, unless it cannot be cancelled.
    """
    from labels.printing import Stage  # what prints is no part of the first frame

    state = line.state
    wrong = state.stage in (Stage.STOPPED, Stage.FAILED)
    held = state.stage is Stage.WAITING and state.reason != ""
    if state.reason != "not-cancelled" if line.unwanted else not (wrong or held):
        return None
    title = say("Label {code}", code=order.title) if len(order.rows) == 1 else order.title
    return Trouble(
        line.key,
        title,
        order.codes,
        say_print(state.words),
        say_print(state.remedy),
        may_retry=not (line.is_with_printer or line.unwanted),
        may_be_out=state.reason == "forgotten",
        by_hand=any(row.unit for row in order.rows),
    )


def say_troubles(troubles: Sequence[Trouble]) -> str:
    """Return the first trouble in words, and how many more there are."""
    if not troubles:
        return ""
    first, more = troubles[0], len(troubles) - 1
    what = say("{labels}: {trouble}", labels=first.said, trouble=first.words)
    words = join((what, first.remedy))
    return say("{words} And {n} more.", words=words, n=more) if more else words
