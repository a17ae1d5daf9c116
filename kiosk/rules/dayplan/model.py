"""Hold what a day plan is made from and what it is: values only, in whole minutes.

The model is a job shop with operators: an attended step needs a bench of its station *and* people;
rests between the steps are lags that run through break, night and weekend; clamps and rack slots
are held while a unit rests; supports go up before what hangs on them. The form follows Kreter,
Schutt and Stuckey, Constraints 22 (2017) 432-462 (generalised precedence and calendars), with
every maximum kept soft, so that there is always a plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeAlias

Minute: TypeAlias = int  # whole minutes since 1970 UTC
Keys: TypeAlias = Sequence[Sequence[float]]  # a priority for each step of each chain, low first


class HoursError(ValueError):
    """The hours of the people end before all is done; with hours known further ahead it may do."""


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of time, half-open: its last minute is ends - 1."""

    starts: Minute
    ends: Minute


@dataclass(frozen=True, slots=True)
class Worker:
    """Somebody of the shop: when they are there, and the stations they know; none named: all.

    spans are in order and apart; a break, a night or a day away lies between two of them.
    """

    name: str
    spans: tuple[Span, ...]
    stations: tuple[str, ...] = ()

    def can(self, station: str) -> bool:
        """Tell whether they work at a station."""
        return not self.stations or station in self.stations


@dataclass(frozen=True, slots=True)
class Bench:
    """A station and how many steps may go on at it at once."""

    station: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class Store:
    """A place where units rest, and its slots: clamps, rack."""

    place: str
    slots: int


class Frees(StrEnum):
    """When a hold ends: at the start or the end of the unit's next step, or with its rest."""

    START = "start"
    END = "end"
    REST = "rest"


@dataclass(frozen=True, slots=True)
class Hold:
    """What a unit takes up from a step's start on; minutes counts from the step's end, for REST.

    After the last step of a chain a hold that would wait for a next one ends as REST does.
    """

    place: str
    slots: int = 1
    frees: Frees = Frees.START
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class Lag:
    """Minutes from the end of an earlier step of the same chain, named by its index."""

    work: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Work:
    """One attended step of a chain.

    minutes is the expected touch time (1 or more); fits the time that must be left before a break
    of everybody who does it, as a glue-up cannot be left half done (0: minutes count). crew people
    do it together. It starts no earlier than earliest, than the end of the step before it in the
    chain, and than each of waits; after names chains that must be finished first. Started past
    any of closes, or past closes_at (at it is still in time), it takes extra minutes more: scuffing
    or scoring comes first.
    """

    step: str
    station: str
    minutes: int
    fits: int = 0
    crew: int = 1
    waits: tuple[Lag, ...] = ()
    after: tuple[int, ...] = ()
    earliest: Minute | None = None
    closes: tuple[Lag, ...] = ()
    closes_at: Minute | None = None
    extra: int = 0
    hold: Hold | None = None

    @property
    def room(self) -> int:
        """Return the minutes that must be left before a break, without the extra ones."""
        return max(self.minutes, self.fits)


@dataclass(frozen=True, slots=True)
class Chain:
    """The steps a unit still has to go through, in order; a load and a drive are chains too.

    job is an index into the problem's jobs. It is finished once its last step has ended and each
    lag of ends is over; one without steps is finished at `now`. held is what the unit takes up from
    `now` on, until its first step; its minutes, for REST, count from `now`.
    """

    job: int
    unit: str
    works: tuple[Work, ...]
    ends: tuple[Lag, ...] = ()
    held: Hold | None = None


@dataclass(frozen=True, slots=True)
class Due:
    """A job: when all its chains should be finished (None: some day), and what a minute weighs."""

    job: str
    due: Minute | None = None
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Pin:
    """A chain's first step that stays where it is: under way, or about to begin.

    It is taken as it is, whatever the hours, the skills and what should have come before; but the
    pins of one person must not overlap. Benches that pins alone overfill are no fault of a plan.
    """

    chain: int
    starts: Minute
    ends: Minute
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Aims:
    """What a plan is judged by, per minute: weighted lateness and finish of jobs, flow of chains.

    A job finishes with its last chain and is late past its due, each minute times its weight; its
    finish counts from `now`, without the weight. A chain flows from the start of its first step
    (the pin's, where it is pinned) until it is finished. The proportions are measured choices.
    """

    late: float = 100.0
    finish: float = 10.0
    flow: float = 1.0


@dataclass(frozen=True, slots=True)
class Problem:
    """All a plan is made from; `now` is the minute before which nothing starts but what is pinned.

    after and waits never form a ring. Somebody can do each step, and some span of theirs is long
    enough for it, extra minutes included; the spans reach on for all the work. Nothing asks for
    more slots than its place has.
    """

    now: Minute
    people: tuple[Worker, ...]
    benches: tuple[Bench, ...]
    stores: tuple[Store, ...]
    jobs: tuple[Due, ...]
    chains: tuple[Chain, ...]
    pins: tuple[Pin, ...] = ()
    aims: Aims = field(default_factory=Aims)


@dataclass(frozen=True, slots=True)
class Placed:
    """One step of a plan: who does it and when; extra of its minutes go to scuffing or scoring."""

    chain: int
    work: int
    starts: Minute
    ends: Minute
    people: tuple[int, ...]
    extra: int = 0


@dataclass(frozen=True, slots=True)
class Plan:
    """Every step of every chain, by start; cost is by the problem's aims.

    keys are the priorities it was decoded from, and delays the steps held back on purpose, so that
    the next plan can begin from them. over says by how many slots a place had to be exceeded
    where units would else have blocked each other for ever.
    """

    placed: tuple[Placed, ...]
    cost: float
    keys: Keys = ()
    delays: Mapping[tuple[int, int], Minute] = field(default_factory=dict)
    over: Mapping[str, int] = field(default_factory=dict)
