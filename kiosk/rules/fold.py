"""Fold the entries about one unit into its state.

The same set of entries in any order, with doubles, gives the same state.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from kiosk.rules.entries import Entry, Kind, sift
from kiosk.rules.parts import Piece, UnitSpec, unit_from_body
from kiosk.rules.records import (
    Allowed,
    Answered,
    Hold,
    Recorded,
    Torn,
    Touched,
    allowed_of,
    answered_of,
    done_of,
    hold_of,
    is_answered,
    recorded_of,
    torn_of,
    touched_of,
)
from kiosk.rules.records import Done as Done


@dataclass(frozen=True, slots=True)
class PieceState:
    """A part with the steps recorded for it.

    spoiled holds the reason, or is empty. replaces is the code of the part it is a recut of. born
    is when a spoil or a later list asked for it, None for a part of the first list. wanted is False
    for a part the current list no longer has but that was cut. spoiled_by is the entry that counts.
    """

    piece: Piece
    done: Mapping[str, Done]
    spoiled: str = ""
    recut: str = ""
    replaces: str = ""
    born: datetime | None = None
    wanted: bool = True
    spoiled_by: str = ""

    @property
    def needed(self) -> bool:
        """Tell whether the unit waits for this part."""
        return self.wanted and not self.spoiled


@dataclass(frozen=True, slots=True)
class UnitState:
    """All that is known of a unit.

    again holds the records of a step recorded once more, struck those that were struck of a step
    that is not recorded otherwise. gone_by is the entry by which a list left the unit out, empty
    where it is wanted. torn are questions answered in two ways. codes are those of the unit's own
    labels. fitted is the body that last said how it hangs, allowed the last word for hanging it
    without a number; None for never.
    """

    spec: UnitSpec
    pieces: tuple[PieceState, ...]
    done: Mapping[str, Done]
    holds: tuple[Hold, ...] = ()
    again: tuple[Recorded, ...] = ()
    printed: Mapping[str, int] = field(default_factory=dict)
    gone_by: str = ""
    findings: tuple[Touched, ...] = ()
    codes: tuple[str, ...] = ()
    struck: tuple[Recorded, ...] = ()
    answers: tuple[Answered, ...] = ()
    torn: tuple[Torn, ...] = ()
    fitted: Mapping[str, object] | None = None
    allowed: Allowed | None = None

    @property
    def repeats(self) -> tuple[str, ...]:
        """Return the entries that recorded a step once more."""
        return tuple(one.done.entry for one in self.again)

    @property
    def gone(self) -> bool:
        """Tell whether a list left the unit out."""
        return bool(self.gone_by)

    @property
    def away(self) -> bool:
        """Tell whether nobody need see the unit: it is gone, and no work on it is asked about."""
        return self.gone and not self.left_over

    @property
    def left_over(self) -> tuple[str, ...]:
        """Return the entries of work on a unit that is gone, where nobody was asked about it."""
        if not self.gone:
            return ()
        found = [done.entry for done in self.done.values()]
        found += [done.entry for piece in self.pieces for done in piece.done.values()]
        return tuple(
            one for one in found if not is_answered(self.answers, "gone", self.gone_by, one)
        )

    @property
    def unlisted(self) -> tuple[PieceState, ...]:
        """Return the parts that were cut and that nothing waits for."""
        return tuple(one for one in self.pieces if one.done and not one.wanted and not one.spoiled)

    @property
    def may_ask(self) -> bool:
        """Tell whether anything about the unit may be a question to a person."""
        odd = self.again or self.struck or self.holds or self.gone or self.unlisted
        return bool(odd or self.torn)

    def is_struck(self, step: str, part: str = "") -> bool:
        """Tell whether a step was recorded, struck, and not recorded again."""
        return any(one.step == step and one.part == part for one in self.struck)

    def piece(self, code: str) -> PieceState | None:
        """Return the part with this code, or None."""
        return next((state for state in self.pieces if state.piece.code == code), None)

    @property
    def last(self) -> Done | None:
        """Return the step of the unit recorded last by the time it happened, or None."""
        return max(self.done.values(), key=lambda done: done.at, default=None)


def fold_unit(entries: Iterable[Entry]) -> UnitState | None:
    """Return the state of the unit the entries are about, or None if no list named it."""
    tally = _Tally()
    kept, void = sift(entries)
    for entry in kept:
        tally.take(entry)
    tally.torn = torn_of(kept, void)
    return tally.state(recorded_of(entry) for entry in void if entry.kind == Kind.STEP_DONE)


class _Tally:
    """Gathers what entries in order say; nothing of it leaves this module."""

    def __init__(self) -> None:
        self.spec: UnitSpec | None = None
        self.gone_by = ""
        self.known: dict[str, Piece] = {}
        self.born: dict[str, datetime] = {}
        self.listed: tuple[str, ...] = ()
        self.done: dict[str, Done] = {}
        self.piece_done: dict[str, dict[str, Done]] = {}
        self.spoils: list[Entry] = []
        self.holds: dict[str, Hold] = {}
        self.lifted: set[str] = set()
        self.again: list[Recorded] = []
        self.printed: dict[str, int] = {}
        self.findings: list[Touched] = []
        self.codes: list[str] = []
        self.answers: list[Answered] = []
        self.torn: tuple[Torn, ...] = ()
        self.fitted: Mapping[str, object] | None = None
        self.allowed: Allowed | None = None

    def take(self, entry: Entry) -> None:
        match entry.kind:
            case Kind.UNIT_TAKEN:
                self.take_list(entry)
            case Kind.UNIT_GONE:
                self.gone_by = entry.id
            case Kind.STEP_DONE:
                self.step(entry)
            case Kind.PART_SPOILED:
                self.spoils.append(entry)
            case Kind.HOLD_PUT:
                self.holds[entry.id] = hold_of(entry)
            case Kind.DRYNESS_FOUND:
                self.findings.append(touched_of(entry))
            case Kind.HOLD_LIFTED:
                self.lifted.add(str(entry.body.get("target", "")))
            case Kind.LABELS_PRINTED | Kind.UNIT_CODED:
                self.labelled(entry)
            case Kind.QUESTION_ANSWERED | Kind.UNIT_FITTED | Kind.HANGING_ALLOWED:
                self.said(entry)

    def said(self, entry: Entry) -> None:
        if entry.kind == Kind.QUESTION_ANSWERED:
            self.answers.append(answered_of(entry))
        elif entry.kind == Kind.UNIT_FITTED:
            self.fitted = entry.body
        else:
            self.allowed = allowed_of(entry)

    def labelled(self, entry: Entry) -> None:
        if entry.kind == Kind.UNIT_CODED:
            self.codes.append(str(entry.body.get("code", "")))
        codes = entry.body.get("codes")
        for code in codes if isinstance(codes, list) else ():
            self.printed[str(code)] = self.printed.get(str(code), 0) + 1

    def take_list(self, entry: Entry) -> None:
        first = self.spec is None
        self.spec = unit_from_body(entry.job, entry.unit, entry.body)
        self.gone_by = ""
        self.listed = tuple(piece.code for piece in self.spec.pieces)
        if not first:
            # what was glued up before a list added a part cannot have this part in it
            self.born |= {code: entry.at for code in self.listed if code not in self.known}
        self.known |= {piece.code: piece for piece in self.spec.pieces}

    def step(self, entry: Entry) -> None:
        step, code = str(entry.body.get("step", "")), str(entry.body.get("part", ""))
        done = self.piece_done.setdefault(code, {}) if code else self.done
        if step in done:
            self.again.append(recorded_of(entry, done[step].entry))
        else:
            done[step] = done_of(entry)

    def undone(self, struck: Iterable[Recorded]) -> tuple[Recorded, ...]:
        """Return the last struck record of each step that is not recorded otherwise."""
        last = {(one.part, one.step): one for one in struck}
        return tuple(
            one
            for (part, step), one in last.items()
            if step not in (self.piece_done.get(part, {}) if part else self.done)
        )

    def state(self, struck: Iterable[Recorded]) -> UnitState | None:
        if self.spec is None:
            return None
        listed = list(self.listed)
        # a part that was cut is never lost, even if another kiosk's revised list dropped it
        # nor one that was spoiled, for its recut may have been cut
        kept = {code for code, done in self.piece_done.items() if done}
        kept |= {str(entry.body.get("part", "")) for entry in self.spoils}
        dropped = [code for code in self.known if code not in listed and code in kept]
        pieces = {
            code: PieceState(
                self.known[code],
                self.piece_done.get(code, {}),
                born=self.born.get(code),
                wanted=code in self.listed,
            )
            for code in listed + dropped
        }
        waiting = self.spoils
        while waiting:
            # a recut may itself be spoiled by an entry that sorts before the one that made it
            left = [entry for entry in waiting if not self.spoil(pieces, entry)]
            waiting = left if len(left) < len(waiting) else []
        holds = tuple(hold for key, hold in self.holds.items() if key not in self.lifted)
        return UnitState(
            self.spec,
            tuple(pieces.values()),
            self.done,
            holds,
            tuple(self.again),
            self.printed,
            self.gone_by,
            tuple(self.findings),
            tuple(self.codes),
            self.undone(struck),
            tuple(self.answers),
            self.torn,
            self.fitted,
            self.allowed,
        )

    def spoil(self, pieces: dict[str, PieceState], entry: Entry) -> bool:
        code, recut = str(entry.body.get("part", "")), str(entry.body.get("recut", ""))
        state = pieces.get(code)
        if state is None:
            return False
        # two kiosks may spoil the same part: the first recut counts, the other stays known
        first = not state.spoiled
        if first:
            reason = str(entry.body.get("reason", "")) or "spoiled"
            pieces[code] = replace(state, spoiled=reason, recut=recut, spoiled_by=entry.id)
        known = pieces.get(recut)
        if known is not None and not known.replaces:
            # a revised list names the recut in place of the part it was made for
            pieces[recut] = replace(known, replaces=code, born=entry.at)
        elif recut and known is None:
            pieces[recut] = PieceState(
                replace(state.piece, code=recut),
                self.piece_done.get(recut, {}),
                replaces=code,
                born=entry.at,
                wanted=state.wanted and first,
            )
        return True
