"""Fold the entries about one unit into its state.

The same set of entries in any order, with doubles, gives the same state.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from kiosk.rules.entries import Entry, Kind, standing_entries
from kiosk.rules.parts import Piece, UnitSpec, unit_from_body


@dataclass(frozen=True, slots=True)
class Done:
    """A step recorded: by which entry, when it happened, by whom; early holds the reason given."""

    entry: str
    at: datetime
    person: str
    kiosk: str
    early: str = ""


@dataclass(frozen=True, slots=True)
class PieceState:
    """A part with the steps recorded for it.

    spoiled holds the reason, or is empty. replaces is the code of the part it is a recut of. born
    is when a spoil or a later list asked for it, None for a part of the first list. wanted is False
    for a part the current list no longer has but that was cut.
    """

    piece: Piece
    done: Mapping[str, Done]
    spoiled: str = ""
    recut: str = ""
    replaces: str = ""
    born: datetime | None = None
    wanted: bool = True

    @property
    def needed(self) -> bool:
        """Tell whether the unit waits for this part."""
        return self.wanted and not self.spoiled


@dataclass(frozen=True, slots=True)
class Hold:
    """Why a unit can't go on, since when and by whose word."""

    entry: str
    reason: str
    at: datetime
    person: str


@dataclass(frozen=True, slots=True)
class Touched:
    """What a person found at the bench of something put on: dry, or still tacky, for a stage.

    share is how far its clock was, temperature_c and humidity the air, None where not known.
    """

    step: str
    stage: str
    dry: bool
    at: datetime
    person: str
    share: float | None = None
    temperature_c: float | None = None
    humidity: float | None = None


@dataclass(frozen=True, slots=True)
class UnitState:
    """All that is known of a unit.

    repeats are entries that recorded a step once more; codes are those of the unit's own labels.
    """

    spec: UnitSpec
    pieces: tuple[PieceState, ...]
    done: Mapping[str, Done]
    holds: tuple[Hold, ...] = ()
    repeats: tuple[str, ...] = ()
    printed: Mapping[str, int] = field(default_factory=dict)
    gone: bool = False
    findings: tuple[Touched, ...] = ()
    codes: tuple[str, ...] = ()

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
    for entry in standing_entries(entries):
        tally.take(entry)
    return tally.state()


class _Tally:
    """Gathers what entries in order say; nothing of it leaves this module."""

    def __init__(self) -> None:
        self.spec: UnitSpec | None = None
        self.gone = False
        self.known: dict[str, Piece] = {}
        self.born: dict[str, datetime] = {}
        self.listed: tuple[str, ...] = ()
        self.done: dict[str, Done] = {}
        self.piece_done: dict[str, dict[str, Done]] = {}
        self.spoils: list[Entry] = []
        self.holds: dict[str, Hold] = {}
        self.lifted: set[str] = set()
        self.repeats: list[str] = []
        self.printed: dict[str, int] = {}
        self.findings: list[Touched] = []
        self.codes: list[str] = []

    def take(self, entry: Entry) -> None:
        body = entry.body
        match entry.kind:
            case Kind.UNIT_TAKEN:
                self.take_list(entry)
            case Kind.UNIT_GONE:
                self.gone = True
            case Kind.STEP_DONE:
                self.step(entry)
            case Kind.PART_SPOILED:
                self.spoils.append(entry)
            case Kind.HOLD_PUT:
                self.holds[entry.id] = Hold(
                    entry.id, str(body.get("reason", "")), entry.at, entry.person
                )
            case Kind.DRYNESS_FOUND:
                step, stage = str(body.get("step", "")), str(body.get("stage", ""))
                dry = body.get("dry") is True
                figures = [_figure(body, name) for name in ("share", "temperature_c", "humidity")]
                self.findings.append(Touched(step, stage, dry, entry.at, entry.person, *figures))
            case Kind.HOLD_LIFTED:
                self.lifted.add(str(body.get("target", "")))
            case Kind.LABELS_PRINTED | Kind.UNIT_CODED:
                self.labelled(entry)

    def labelled(self, entry: Entry) -> None:
        if entry.kind == Kind.UNIT_CODED:
            self.codes.append(str(entry.body.get("code", "")))
        codes = entry.body.get("codes")
        for code in codes if isinstance(codes, list) else ():
            self.printed[str(code)] = self.printed.get(str(code), 0) + 1

    def take_list(self, entry: Entry) -> None:
        first = self.spec is None
        self.spec = unit_from_body(entry.job, entry.unit, entry.body)
        self.gone = False
        self.listed = tuple(piece.code for piece in self.spec.pieces)
        if not first:
            # what was glued up before a list added a part cannot have this part in it
            self.born |= {code: entry.at for code in self.listed if code not in self.known}
        self.known |= {piece.code: piece for piece in self.spec.pieces}

    def step(self, entry: Entry) -> None:
        step, code = str(entry.body.get("step", "")), str(entry.body.get("part", ""))
        done = self.piece_done.setdefault(code, {}) if code else self.done
        if step in done:
            self.repeats.append(entry.id)
            return
        early = str(entry.body.get("early", ""))
        done[step] = Done(entry.id, entry.at, entry.person, entry.kiosk, early)

    def state(self) -> UnitState | None:
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
            tuple(self.repeats),
            self.printed,
            self.gone,
            tuple(self.findings),
            tuple(self.codes),
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
            pieces[code] = replace(state, spoiled=reason, recut=recut)
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


def _figure(body: Mapping[str, object], name: str) -> float | None:
    value = body.get(name)
    sound = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if sound and abs(value) < 1e6 else None  # type: ignore[arg-type]
