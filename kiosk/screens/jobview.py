"""What the screens of jobs and units show, read on the shop's thread."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from kiosk.actions import JobSum, Past
from kiosk.rules.hangday import read_day, say_day, say_left
from kiosk.rules.naming import natural
from kiosk.rules.route import State
from kiosk.rules.scanning import Answer
from kiosk.rules.standing import Standing
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.face import ShopFace
from kiosk.store import Job
from labels.codes import shown

# How each standing is shown: a shape of its kind, and a word. Never the shape alone.
LOOKS: Mapping[State, tuple[str, Phrase]] = {
    State.TO_CUT: ("dot", _("to cut")),
    State.TO_ASSEMBLE: ("dot", _("to assemble")),
    State.GLUE_CURING: ("clock", _("glue curing")),
    State.TO_PREPARE: ("dot", _("to prepare")),
    State.COAT_DRYING: ("clock", _("coat drying")),
    State.COAT_DUE: ("drop", _("coat due")),
    State.SCUFF_FIRST: ("drop", _("scuff first")),
    State.HARDENING: ("clock", _("hardening")),
    State.READY_TO_HANG: ("bracket", _("ready to hang")),
    State.HUNG: ("tick", _("hung")),
    State.ON_HOLD: ("bars", _("on hold")),
}


@dataclass(frozen=True, slots=True)
class JobsView:
    """The open jobs and the day it is; the closed ones, by code."""

    sums: tuple[JobSum, ...]
    today: date
    closed: tuple[Job, ...] = ()


@dataclass(frozen=True, slots=True)
class UnitLine:
    """One unit of a list: where it stands and why."""

    job: str
    unit: str
    name: str
    state: State
    why: str


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part of a unit; how and its shape say whether it is cut, or that it was spoiled."""

    part: str
    size: str
    code: str
    how: Phrase
    shape: str
    printed: int = 0


@dataclass(frozen=True, slots=True)
class UnitView:
    """A unit: where it stands, its parts, what happened to it, newest first."""

    line: UnitLine
    next: str
    parts: tuple[PartRow, ...]
    past: tuple[Past, ...]
    share: float = 0.0

    @property
    def cut(self) -> int:
        """Return how many parts are cut."""
        return sum(part.shape == "tick" for part in self.parts)


def see_jobs(shop: ShopFace) -> JobsView:
    """Return the open jobs, and those that were closed."""
    closed = [job for job in shop.jobs().values() if not job.open]
    closed.sort(key=lambda job: natural(job.code))
    return JobsView(shop.job_sums(), shop.today(), tuple(closed))


def see_units(shop: ShopFace, job: str = "") -> tuple[UnitLine, ...]:
    """Return the units of a job, of all open jobs without one, by job and name."""
    lines = [_line(one) for one in shop.standings() if job in ("", one.job)]
    return tuple(sorted(lines, key=lambda one: (natural(one.job), natural(one.unit))))


def see_unit(shop: ShopFace, job: str, unit: str) -> UnitView | Answer:
    """Return one unit, or the answer that there is none."""
    found = shop.find_unit(f"{job}/{unit}")
    if isinstance(found, Answer):
        return found
    state, now = found.state, shop.now()
    one = next(one for one in shop.standings() if (one.job, one.unit) == (job, state.spec.unit))
    uncut = shop.uncut(state)
    parts = []
    for piece in state.pieces:
        code, part = piece.piece.code, piece.piece
        if not (piece.needed or piece.spoiled):
            continue
        is_cut = piece.needed and code not in uncut
        how = _("cut") if is_cut else _("spoiled") if piece.spoiled else _("not cut")
        shape = "tick" if is_cut else "cross" if piece.spoiled else "dot"
        size, times = shop.size_text(job, part), state.printed.get(code, 0)
        parts.append(PartRow(part.part, size, code, how, shape, times))
    following = one.step.where if one.step else ""
    past = shop.past(job, state.spec.unit)
    return UnitView(_line(one), following, tuple(parts), past, one.progress(now))


def _line(one: Standing) -> UnitLine:
    return UnitLine(one.job, one.unit, one.name, one.state, one.why)


# -- in words ------------------------------------------------------------------------------------


def say_name(*parts: str) -> str:
    """Return a code and a name, one after the other; a unit named as its code is said once."""
    return join(dict.fromkeys(parts), "  ")


def say_hang_day(text: str, today: date) -> Phrase:
    """Return a job's hang day and how far off it is."""
    day = read_day(text)
    if day is None:
        return _("no hang day set")
    return join((say_day(day), say_left(day, today)), ", ")


def say_progress(one: JobSum) -> Phrase:
    """Return how far a job is."""
    units = say_n("{hung} of {n} unit hung", "{hung} of {n} units hung", one.units, hung=one.hung)
    parts = say_n("{cut} of {n} part cut", "{cut} of {n} parts cut", one.parts, cut=one.cut)
    return join((units, parts), ", ")


def say_standing(line: UnitLine) -> str:
    """Return where a unit stands and why, saying nothing twice."""
    word = LOOKS[line.state][1]
    if line.why.startswith(word):
        return line.why
    return say("{standing}: {why}", standing=word, why=line.why)


def say_past(one: Past) -> Phrase:
    """Return when and by whom an entry was made, and that it was struck or is a double."""
    what = _("struck") if one.is_struck else _("recorded twice") if one.is_double else ""
    return join((one.when, one.person, what), ", ")


def say_part(row: PartRow) -> Phrase:
    """Return a part's size and code, and how it is."""
    return join((row.how, row.size.replace(" ", "\u00a0"), shown(row.code)), ", ")
