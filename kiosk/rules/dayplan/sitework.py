"""Make the chains of a job's units: through the shop, at its walls, on the way, and hung."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

from kiosk.rules.dayplan.left import Drafted, Left
from kiosk.rules.dayplan.means import Limits, Means
from kiosk.rules.dayplan.model import Hold, Lag, Minute, Work
from kiosk.rules.dayplan.visits import join_visits
from kiosk.rules.dayplan.works import UnitWorks
from kiosk.rules.fold import UnitState
from kiosk.rules.parts import KINDS
from kiosk.rules.route import State
from kiosk.rules.standing import Standing
from kiosk.rules.steps import supports_of
from kiosk.rules.words import _, say
from kiosk.rules.workday import minute_of, opening

Key = tuple[str, str]
LOAD: Final = "load"
DRIVE: Final = "drive"
BACK: Final = "drive-back"
# Whoever hung something within this time is at the site still (choice).
STAY: Final = timedelta(hours=2)


@dataclass(slots=True)
class Draft:
    """One chain while it is made; after names the chains that must be finished before its first."""

    role: str  # shop, wall, site, or a load or a way
    key: Key
    unit: str
    kind: str
    made: Drafted
    ends: tuple[Lag, ...] = ()
    held: Hold | None = None
    after: list[tuple[str, Key]] = field(default_factory=list)
    earliest: Minute | None = None

    @property
    def name(self) -> tuple[str, Key]:
        """Return what other chains call it."""
        return self.role, self.key


class JobWorks:
    """Makes the chains of one job."""

    def __init__(
        self,
        states: Mapping[Key, UnitState],
        standings: Mapping[Key, Standing],
        means: Means,
        limits: Limits,
    ) -> None:
        self.states, self.standings, self.means, self.limits = states, standings, means, limits
        self.drafts: dict[tuple[str, Key], Draft] = {}
        self.notes: list[str] = []
        self.units = {
            key: UnitWorks(state, standings[key], means, limits) for key, state in states.items()
        }

    def chains(
        self, names: Mapping[Key, str], held: Mapping[Key, Hold], hang_day: date | None
    ) -> list[Draft]:
        """Return the chains of the job; what is left out is among the notes.

        Args:
            names: short names of the units.
            held: what each takes up now.
            hang_day: before it nothing is loaded.
        """
        whole = [key for key in self.states if self.in_shop(key, names[key], held.get(key))]
        to_hang = [key for key in whole if self.site_left(key)]
        for key in sorted(to_hang, key=self.depth):
            self.at_site(key, names[key], held.get(key))
        sites = [draft for draft in self.drafts.values() if draft.role == "site"]
        if sites and not self.is_there([kind for kind in KINDS if kind != "wall"]):
            self.trip(sites, hang_day)
        if sites:
            after = [draft.name for draft in sites]
            self.way(sites, BACK, self.means.site.drive, _("drive back"), after=after)
        return list(self.drafts.values())

    # -- one unit ------------------------------------------------------------------------------

    def in_shop(self, key: Key, name: str, held: Hold | None) -> bool:
        """Make a unit's chain in the shop, a wall's at the site; tell whether it goes all the way.

        A unit that is up, on hold or cannot be planned to its end does not.
        """
        one, works = self.standings[key], self.units[key]
        if one.state == State.HUNG:
            return False
        if one.state == State.ON_HOLD:
            self.notes.append(say("{unit} is left out: {why}", unit=name, why=one.why))
            return False
        is_wall = one.kind == "wall"
        left = works.left if is_wall else self.shop_left(key)
        made = works.draft(left)
        ends = self.ends_of(works, made)
        if is_wall:
            made, ends = self.visited(made, ends)
        if made.works:
            role = "wall" if is_wall else "shop"
            draft = Draft(role, key, name, one.kind, made, ends, held)
            self.drafts[draft.name] = draft
        elif is_wall and not made.stopped:
            self.notes.append(say("{unit} needs no hands: {why}", unit=name, why=one.why))
        self.notes += [say("{unit}: {what}", unit=name, what=what) for what in made.notes]
        if made.stopped:
            words = _("{unit} is not planned to its end: {why}")
            self.notes.append(say(words, unit=name, why=made.stopped))
        return not made.stopped

    def visited(self, made: Drafted, ends: tuple[Lag, ...]) -> tuple[Drafted, tuple[Lag, ...]]:
        """Return a wall's works as visits with their ways, and its ends after these."""
        way = self.means.site.drive
        crew = max((work.crew for work in made.works), default=1)
        longest = self.limits.longest("install", crew)
        is_there = self.is_there(KINDS)
        return join_visits(made, ends, way=way, longest=longest, is_there=is_there)

    def ends_of(self, works: UnitWorks, made: Drafted) -> tuple[Lag, ...]:
        """Return the rests after which a unit is done in the shop, or a wall may be hung on."""
        if works.spec.kind == "wall":
            waits = list(self.means.setup.routes["wall"].ends)
        else:
            waits = [wait for one in self.site_left(_key(works)) for wait in one.step.waits]
        lags, _running, stopped = works.rests(
            made, [wait for wait in waits if wait.after in made.ends]
        )
        made.stopped = made.stopped or stopped
        return lags

    def shop_left(self, key: Key) -> tuple[Left, ...]:
        """Return a unit's steps before the first one at the site."""
        left = self.units[key].left
        first = next((n for n, one in enumerate(left) if one.step.station == "install"), len(left))
        return left[:first]

    def site_left(self, key: Key) -> tuple[Left, ...]:
        """Return a unit's steps from the first one at the site on; none of a wall."""
        if self.standings[key].kind == "wall":
            return ()
        return self.units[key].left[len(self.shop_left(key)) :]

    def at_site(self, key: Key, name: str, held: Hold | None) -> None:
        """Make the chain of a unit's steps at the site, or say what it waits for in vain."""
        state, one, works = self.states[key], self.standings[key], self.units[key]
        before = self.drafts.get(("shop", key))
        after = [before.name] if before else []
        earliest: Minute | None = None
        for support in supports_of(state.spec, [unit for _job, unit in self.states]):
            other = (key[0], support)
            found = [role for role in ("site", "wall") if (role, other) in self.drafts]
            below = self.standings[other]
            rests = below.resting and below.step is None  # a wall that dries, with nothing to do
            if found and not self.is_cut_short(other):
                after.append((found[0], other))
            elif rests and below.hands_at is not None:
                earliest = minute_of(below.hands_at)
            elif below.state != State.HUNG:
                words = _("{unit} cannot be hung yet: it hangs on {other}")
                self.notes.append(say(words, unit=name, other=support))
                return
        made = works.draft(self.site_left(key))
        if made.stopped:
            self.notes.append(say("{unit} is left out: {why}", unit=name, why=made.stopped))
            return
        draft = Draft("site", key, name, one.kind, made, after=after, earliest=earliest)
        draft.held = None if before else held
        self.drafts[draft.name] = draft

    def is_cut_short(self, key: Key) -> bool:
        """Tell whether a wall's chain was left out from some step on."""
        draft = self.drafts.get(("wall", key))
        return draft is not None and bool(draft.made.stopped)

    def depth(self, key: Key) -> int:
        """Return how many supports lie below a unit, so that they come first."""
        deep, seen, at = 0, set[Key](), key
        known = [unit for _job, unit in self.states]
        while (below := supports_of(self.states[at].spec, known)) and at not in seen:
            seen.add(at)
            at = (key[0], below[0])
            deep += 1
        return deep

    # -- the way -------------------------------------------------------------------------------

    def is_there(self, kinds: Collection[str]) -> bool:
        """Tell whether somebody works on such units at the site just now: then they are there."""
        since = self.means.now - STAY
        return any(
            since <= state.done[step.name].at
            for state in self.states.values()
            if state.spec.kind in kinds
            for step in self.means.setup.steps(state.spec)
            if step.station == "install" and step.name in state.done
        )

    def trip(self, sites: Sequence[Draft], hang_day: date | None) -> None:
        """Load once all that is to be hung is ready, on the hang day or after it, and drive there.

        A wall that still dries keeps nobody from loading, but from driving there.
        """
        site, setup = self.means.site, self.means.setup
        starts = [work.earliest for draft in sites for work in draft.made.works[:1]]
        if hang_day is not None:
            starts.append(opening(self.means.hours, hang_day, setup.zone))
        before = list(dict.fromkeys(name for draft in sites for name in draft.after))
        units = [name for name in before if name[0] == "shop"]
        walls = [name for name in before if name[0] == "wall"]
        load = self.way(sites, LOAD, site.load, _("load"), after=units, earliest=starts)
        dries = [*(draft.earliest for draft in sites), *([] if load else starts)]
        after = [*(load or units), *walls]
        there = self.way(sites, DRIVE, site.drive, _("drive there"), after=after, earliest=dries)
        for draft in sites:
            draft.after += there or load

    def way(
        self,
        sites: Sequence[Draft],
        step: str,
        minutes: int,
        title: str,
        *,
        after: Iterable[tuple[str, Key]],
        earliest: Iterable[Minute | None] = (),
    ) -> list[tuple[str, Key]]:
        """Make a chain of a load or a way; return its name, none where it takes no time."""
        if not minutes:
            return []
        job = sites[0].key[0]
        crew = max(work.crew for draft in sites for work in draft.made.works)
        starts = max((one for one in earliest if one is not None), default=None)
        crew = self.limits.crew("install", crew)
        made = Drafted()
        self.put(made, Work(step, "install", minutes, crew=crew, earliest=starts), title)
        draft = Draft(step, (job, ""), job, "", made, after=list(after))
        self.drafts[draft.name] = draft
        return [draft.name]

    def put(self, made: Drafted, work: Work, title: str) -> None:
        """Add a work of the way in pieces that fit."""
        next(iter(self.units.values())).put(made, work, title, "")


def _key(works: UnitWorks) -> Key:
    return works.spec.job, works.spec.unit
