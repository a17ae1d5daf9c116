"""Make the chains of a job's units: through the shop, at its walls, on the way, and hung."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

from kiosk.rules.dayplan.means import Limits, Means
from kiosk.rules.dayplan.model import Hold, Lag, Minute, Work
from kiosk.rules.dayplan.works import Drafted, Left, UnitWorks
from kiosk.rules.fold import UnitState
from kiosk.rules.route import State
from kiosk.rules.standing import Standing
from kiosk.rules.steps import supports_of
from kiosk.rules.words import _, join, say
from kiosk.rules.workday import minute_of, opening

Key = tuple[str, str]
LOAD: Final = "load"
DRIVE: Final = "drive"
# Whoever hung something within this time is at the site still (choice).
STAY: Final = timedelta(hours=2)


@dataclass(slots=True)
class Draft:
    """One chain while it is made; after names the chains that must be finished before its first."""

    role: str  # shop, wall, trip or site
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
        if sites and not self.is_there():
            self.trip(sites, hang_day)
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
        made = works.draft(left, visits=2 * self.means.site.drive if is_wall else 0)
        ends = self.ends_of(works, made)
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

    def is_there(self) -> bool:
        """Tell whether somebody hangs units of the job just now: then the way there was made."""
        since = self.means.now - STAY
        return any(
            since <= state.done[step.name].at
            for state in self.states.values()
            if state.spec.kind != "wall"
            for step in self.means.setup.steps(state.spec)
            if step.station == "install" and step.name in state.done
        )

    def trip(self, sites: Sequence[Draft], hang_day: date | None) -> None:
        """Load and drive once all that is to be hung is ready, on the hang day or after it."""
        job, means = sites[0].key[0], self.means
        wanted = max(work.crew for draft in sites for work in draft.made.works)
        crew = self.limits.crew("install", wanted)
        made = Drafted()
        ready = [draft.earliest for draft in sites if draft.earliest is not None]
        ready += [
            work.earliest for draft in sites for work in draft.made.works[:1] if work.earliest
        ]
        if hang_day is not None:
            ready.append(opening(means.hours, hang_day, means.setup.zone))
        ends = ((LOAD, means.site.load, _("load")), (DRIVE, means.site.drive, _("drive there")))
        for step, minutes, title in ends:
            if not minutes:
                continue
            first = max(ready, default=None) if not made.works else None
            work = Work(step, "install", minutes, crew=crew, earliest=first)
            self.put(made, work, title)
        if not made.works:
            return
        draft = Draft("trip", (job, ""), join((job, _("load")), ": "), "", made)
        draft.after = list(
            dict.fromkeys(name for site in sites for name in site.after if name[0] != "site")
        )
        self.drafts[draft.name] = draft
        for site in sites:
            site.after.append(draft.name)

    def put(self, made: Drafted, work: Work, title: str) -> None:
        """Add a work of the way in pieces that fit."""
        next(iter(self.units.values())).put(made, work, title, "")


def _key(works: UnitWorks) -> Key:
    return works.spec.job, works.spec.unit
