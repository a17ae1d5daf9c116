"""What happened in the shop: the entries of the append-only log and their order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any, TypeAlias

# A kiosk whose clock runs ahead must not push its entries before everybody's; a server stamps when
# it received them and more than this ahead of that is cut back. Choice, docs/rules.md "Order".
AHEAD_MS = 60_000
CHOOSING = "answers:"  # how the id of a question between two answers begins
Order: TypeAlias = tuple[int, int, int, str, int]
LATEST_MS = 4_102_444_800_000  # the year 2100; a later time is no time of a shop


class Kind(StrEnum):
    """The kinds of entry; docs/formats.md lists the body of each."""

    JOB_OPENED = "job_opened"
    JOB_CLOSED = "job_closed"
    LIST_TAKEN = "list_taken"
    UNIT_TAKEN = "unit_taken"
    UNIT_GONE = "unit_gone"
    LABELS_PRINTED = "labels_printed"
    STEP_DONE = "step_done"
    STRUCK = "struck"
    HOLD_PUT = "hold_put"
    HOLD_LIFTED = "hold_lifted"
    PART_SPOILED = "part_spoiled"
    ROUTES_SET = "routes_set"
    PRODUCTS_SET = "products_set"
    AIR_READ = "air_read"
    DRYNESS_FOUND = "dryness_found"
    RAGS_CLEARED = "rags_cleared"
    UNIT_CODED = "unit_coded"
    PLACE_CODED = "place_coded"
    PERSON_SET = "person_set"
    HOURS_SET = "hours_set"
    PIN_SET = "pin_set"
    PIN_REFUSED = "pin_refused"
    TOUCH_TIME_SET = "touch_time_set"
    DAY_PLANNED = "day_planned"
    QUESTION_ANSWERED = "question_answered"
    SHEETS_PLANNED = "sheets_planned"
    CUT_MADE = "cut_made"
    SHEET_USED = "sheet_used"
    OFFCUT_KEPT = "offcut_kept"
    OFFCUT_GONE = "offcut_gone"
    STOCK_COUNTED = "stock_counted"
    WALL_MEASURED = "wall_measured"
    UNIT_FITTED = "unit_fitted"
    HANGING_ALLOWED = "hanging_allowed"


# What is known of sheets and offcuts; a cut that frees a part is that part's STEP_DONE.
OF_SHEETS = (
    Kind.SHEETS_PLANNED,
    Kind.CUT_MADE,
    Kind.SHEET_USED,
    Kind.OFFCUT_KEPT,
    Kind.OFFCUT_GONE,
    Kind.STOCK_COUNTED,
)

# What Strike may void. A list is mended by revising it, a struck entry by recording it again.
STRIKABLE = (
    Kind.STEP_DONE,
    Kind.HOLD_PUT,
    Kind.HOLD_LIFTED,
    Kind.PART_SPOILED,
    Kind.DRYNESS_FOUND,
    Kind.AIR_READ,
    Kind.RAGS_CLEARED,
    Kind.QUESTION_ANSWERED,
    Kind.CUT_MADE,
    Kind.SHEET_USED,
    Kind.OFFCUT_KEPT,
    Kind.OFFCUT_GONE,
    Kind.STOCK_COUNTED,
    Kind.HANGING_ALLOWED,
)
# What a second tap on Strike last may void: not the air, which sensors write unasked.
STRIKABLE_LAST = tuple(kind for kind in STRIKABLE if kind != Kind.AIR_READ)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the log.

    l and c are the hybrid logical time (milliseconds since 1970 UTC, counter), wall_ms the kiosk's
    own clock, received_ms the server's clock or None, seq the kiosk's gapless sequence from 1. job
    and unit say what the entry is about; both empty: the whole shop.
    """

    id: str
    kiosk: str
    seq: int
    l: int  # noqa: E741 - the letter the hybrid logical clock's authors use
    c: int
    wall_ms: int
    person: str
    kind: str
    job: str
    unit: str
    body: Mapping[str, Any]  # Any: JSON
    received_ms: int | None = None

    @property
    def order(self) -> Order:
        """Return the key that puts entries of all kiosks into one order."""
        l = self.l  # noqa: E741
        if self.received_ms is not None:
            l = min(l, self.received_ms + AHEAD_MS)  # noqa: E741
        # of several cut back to one moment, those of one kiosk stay in the order it wrote them
        return (l, self.l, self.c, self.kiosk, self.seq)

    @property
    def answer(self) -> str:
        """Return the id of the answer this entry is an effect of, empty for none."""
        found = self.body.get("answer")
        return found if isinstance(found, str) and self.kind != Kind.QUESTION_ANSWERED else ""

    @property
    def at(self) -> datetime:
        """Return when it happened (aware, UTC): as stated for a late scan, else as recorded."""
        stated = self.body.get("at_ms")
        if not isinstance(stated, int) or not 0 <= stated < LATEST_MS:
            stated = min(max(self.wall_ms, 0), LATEST_MS)
            if self.received_ms is not None:
                stated = min(stated, self.received_ms + AHEAD_MS)
        return from_ms(stated)


def from_ms(ms: int) -> datetime:
    """Return whole milliseconds since 1970 as an aware UTC time."""
    return datetime.fromtimestamp(ms / 1000, UTC)


def to_ms(at: datetime) -> int:
    """Return an aware time as whole milliseconds since 1970."""
    return round(at.timestamp() * 1000)


def standing_entries(entries: Iterable[Entry]) -> list[Entry]:
    """Return the entries that count, once each and in order: without doubles and struck ones.

    A struck entry is void whatever arrived first; a strike itself cannot be struck. With an answer
    to a question goes all it brought about, its strikes too. Of two answers to one question, given
    without knowing of each other, the first counts.
    """
    return sift(entries)[0]


def sift(entries: Iterable[Entry]) -> tuple[list[Entry], list[Entry]]:
    """Return the entries that count and those that are void, once each and in order."""
    unique: dict[str, Entry] = {}
    for entry in entries:
        known = unique.get(entry.id)
        # one copy may carry the server's stamp and another not yet: the same one must count always
        if known is None or _copy(entry) < _copy(known):
            unique[entry.id] = entry
    void = void_ids(unique.values())
    kept: list[Entry] = []
    left: list[Entry] = []
    for entry in sorted(unique.values(), key=lambda entry: entry.order):
        (left if entry.id in void else kept).append(entry)
    return kept, left


def _copy(entry: Entry) -> tuple[Order, bool, int]:
    return (entry.order, entry.received_ms is None, entry.received_ms or 0)


def void_ids(entries: Iterable[Entry]) -> frozenset[str]:
    """Return the ids of the entries that are void, in any order; what is struck may be unknown."""
    listed = list(entries)
    strikes = [entry for entry in listed if entry.kind == Kind.STRUCK]
    given = [entry for entry in listed if entry.kind == Kind.QUESTION_ANSWERED]
    if not strikes and len(given) < 2:
        return frozenset()
    # No strike hangs on itself: first those of their own, then those by which a person chose
    # between two answers, then those of answers.
    back = {_target(one) for one in strikes if not one.answer}
    choosing = [one for one in given if _asked(one).startswith(CHOOSING)]
    chosen = {one.id for one in choosing} | {one.answer for one in strikes if one.body.get("back")}
    lost = (chosen & back) | _overruled(one for one in choosing if one.id not in back)
    back |= {_target(one) for one in strikes if one.answer in chosen - lost}
    lost |= back | _overruled(one for one in given if one.id not in back and one.id not in chosen)
    struck = back | {_target(one) for one in strikes if one.answer and one.answer not in lost}
    return frozenset(
        entry.id
        for entry in listed
        if (entry.id in struck and entry.kind in STRIKABLE)
        or (entry.kind == Kind.QUESTION_ANSWERED and entry.id in lost)
        or (entry.answer and entry.answer in lost)
    )


def _overruled(given: Iterable[Entry]) -> set[str]:
    """Return the answers given without knowing of an earlier one to the same question.

    Two kiosks may answer one question while they are apart; then the first answer counts alone.
    """
    counted: dict[str, set[str]] = {}
    lost = set()
    for one in sorted(given, key=lambda entry: entry.order):
        before, known = counted.setdefault(_asked(one), set()), one.body.get("after")
        if before <= set(map(str, known if isinstance(known, list) else ())):
            before.add(one.id)
        else:
            lost.add(one.id)
    return lost


def _target(strike: Entry) -> str:
    return str(strike.body.get("target"))


def _asked(answer: Entry) -> str:
    return str(answer.body.get("question", ""))
