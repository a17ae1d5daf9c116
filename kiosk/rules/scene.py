"""What a station's panel is made of: the shop at one moment, and the lines it is said in."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import TypeAlias

from kiosk.rules.floor import Place, Rack, name_units
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.naming import name_some
from kiosk.rules.route import State
from kiosk.rules.setup import Setup
from kiosk.rules.standing import Standing
from kiosk.rules.steps import missing_parts
from kiosk.rules.times import say_time
from kiosk.rules.viewlines import ViewLine
from labels.codes import shown

Key: TypeAlias = tuple[str, str]
NAMED = 2  # parts named in a line; more would not be legible beside the answer


@dataclass(frozen=True)  # no slots: the names are kept once they are worked out
class Scene:
    """The open units, where they stand, the shop's places, and `now`.

    about is the unit scanned last, ('', '') for none. inch names the jobs whose lengths are said
    in inches. order tells where a measured wall says so which place a unit has in the order of
    hanging of its job, from 1, and why.
    """

    states: Mapping[Key, UnitState]
    standings: Sequence[Standing]
    setup: Setup
    now: datetime
    racks: Sequence[Rack] = ()
    places: Sequence[Place] = ()
    about: Key = ("", "")
    inch: Collection[str] = field(default_factory=tuple)
    order: Mapping[Key, tuple[int, str]] = field(default_factory=dict)

    @cached_property
    def _names(self) -> Mapping[Key, str]:
        return name_units(one for one in self.standings if one.state != State.HUNG)

    def name(self, key: Key) -> str:
        """Return the short name a unit has on every screen."""
        return self._names.get(key, key[1])

    def time(self, at: datetime) -> str:
        """Return a time in the shop's zone."""
        return say_time(at, now=self.now, zone=self.setup.zone)

    @property
    def unit(self) -> UnitState | None:
        """Return the unit scanned last, None where there is none or its job is closed."""
        return self.states.get(self.about)


def lacking_at(state: UnitState, setup: Setup, station: str) -> tuple[PieceState, ...]:
    """Return the parts of a unit that lack a step recorded part by part at a station."""
    steps = setup.steps(state.spec)
    for place, step in enumerate(steps):
        if step.each and step.station == station:
            return missing_parts(state, step, steps[place + 1 :])
    return ()


def line_of_parts(words: str, pieces: Sequence[PieceState], state: str = "") -> ViewLine:
    """Return a line about parts by name and code: the first ones, and how many more there are."""
    names = [f"{one.piece.part} {shown(one.piece.code)}" for one in pieces]
    return ViewLine(words, name_some(names, most=NAMED), state, name_some(names, most=1))
