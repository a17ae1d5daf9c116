"""What every action stands on: the store, the setup, and where everything stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from functools import cache
from importlib import resources

from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.air import Air
from kiosk.rules.clockcheck import check_clock
from kiosk.rules.entries import Kind
from kiosk.rules.floor import Due, Floor, Rack, Seats, due_list, lay_out
from kiosk.rules.fold import UnitState
from kiosk.rules.hangword import HangWord
from kiosk.rules.lengths import System
from kiosk.rules.naming import Natural, natural
from kiosk.rules.problems import Problem
from kiosk.rules.productfile import parse_products
from kiosk.rules.route import State, parse_routes
from kiosk.rules.setup import Setup
from kiosk.rules.standing import Standing, stand
from kiosk.rules.steps import supports_of
from kiosk.settingstext import zone_of
from kiosk.store import Job, Key, Store


@cache
def seed_text(name: str) -> str:
    """Return a data file that ships with the program: routes.toml, products.toml or stocks.toml."""
    return resources.files("kiosk").joinpath("data", name).read_text("utf-8")


class Core:
    """One shop: its file, its settings, and the time."""

    def __init__(self, store: Store, settings: Settings, clock: Clock) -> None:
        self.store, self.settings, self.clock = store, settings, clock
        self.zone = zone_of(settings)
        self._setup: Setup | None = None
        self._airs: Mapping[str, Air] = {}
        self._standings: dict[Key, Standing] = {}
        self._asked: datetime | None = None
        self._seats: Seats = {}

    def use_settings(self, settings: Settings) -> None:
        """Work by these settings from now on; the kiosk's letter must be the one it began with."""
        if settings.places != self.settings.places:
            self._seats = {}
        self.settings, self.zone = settings, zone_of(settings)
        self._setup, self._standings, self._asked = None, {}, None

    def now(self) -> datetime:
        """Return the time, aware."""
        return self.clock.now()

    def job_system(self, job: str = "") -> System:
        """Return how lengths are shown: as a job's list has them, without one as the shop does."""
        known = self.jobs().get(job)
        units = known.units if known and known.units else self.settings.units
        return System.INCH if units == "inch" else System.MM

    def clock_problem(self, now: datetime) -> Problem | None:
        """Return what is odd about this computer's clock, or None."""
        return check_clock(now, last=self.store.last_at(), zone=self.zone)

    @property
    def setup(self) -> Setup:
        """Return the routes and products the shop works with now."""
        if self._setup is None or self.store.take_shop_changed():
            self._setup = self._read_setup()
            self._standings = {}
        if self.store.take_air_changed():
            known, found = self._airs, self.store.airs(self.now())
            self.set_airs({job: Air(rows, before=known.get(job)) for job, rows in found.items()})
        return self._setup

    def set_airs(self, airs: Mapping[str, Air]) -> None:
        """Work by this air from now on: the shop's under '', a site's under its job."""
        self._airs = airs
        self._setup = replace(self._setup or self._read_setup(), airs=airs)
        self._standings = {}

    @property
    def fahrenheit(self) -> bool:
        """Tell whether temperatures are shown in °F."""
        return self.settings.temperature == "F"

    def _read_setup(self) -> Setup:
        routes, wrong = parse_routes(self.text_of(Kind.ROUTES_SET))
        if wrong:  # set by another program; the shop goes on by what ships
            routes, _ = parse_routes(seed_text("routes.toml"))
        products, _ = parse_products(self.text_of(Kind.PRODUCTS_SET), seed_text("products.toml"))
        uses = {
            "glue": self.settings.glue,
            "filler": self.settings.filler,
            "wall_filler": self.settings.filler,
            "wall_paint": self.settings.wall_paint,
            "stripe": self.settings.stripe,
        }
        return Setup(routes, products, uses, self.zone, self._airs, fahrenheit=self.fahrenheit)

    def text_of(self, kind: Kind) -> str:
        """Return the TOML text of the shop's routes or products: its own, or what ships."""
        seeds = {Kind.ROUTES_SET: "routes.toml", Kind.PRODUCTS_SET: "products.toml"}
        body = self.store.last_body(kind)
        return str(body.get("text", "")) if body else seed_text(seeds[kind])

    def jobs(self) -> Mapping[str, Job]:
        """Return all jobs by code."""
        return self.store.jobs()

    def news(self) -> bool:
        """Take in what other processes wrote; tell whether there was anything."""
        return self.store.refresh()

    # -- where everything stands ---------------------------------------------------------------

    def standings(self, now: datetime | None = None) -> list[Standing]:
        """Return where every unit of the open jobs stands, computing only what may differ.

        By job and unit, as people count: every kiosk of the shop answers in the same order.
        """
        moment = now or self.now()
        setup, states = self.setup, self.store.states()
        stale = self._stale(moment, states)
        before = {key: self._is_up(key) for key in stale}
        new = stale - self._standings.keys()
        self._compute(stale, states, setup, moment)
        turned = {key for key in stale if self._is_up(key) != before[key]}
        if turned:
            above = {key for key in states if self._support_keys(states[key]) & turned}
            self._compute(above, states, setup, moment)
        if new:
            self._standings = dict(sorted(self._standings.items(), key=_as_counted))
        self._asked = moment
        return list(self._standings.values())

    def _stale(self, now: datetime, states: Mapping[Key, UnitState]) -> set[Key]:
        touched = self.store.take_touched()
        left = [key for key in self._standings if key not in states]
        for key in left:
            del self._standings[key]
        # what hung on a unit that left waits for it no more
        if left or self._asked is None or now < self._asked or len(self._standings) != len(states):
            return set(states)
        stale = {key for key in touched if key in states}
        for key, one in self._standings.items():
            if one.changes_at is not None and one.changes_at <= now:
                stale.add(key)
        return stale

    def _compute(
        self, keys: set[Key], states: Mapping[Key, UnitState], setup: Setup, now: datetime
    ) -> None:
        # supports first: what hangs on them asks whether they are up
        for key in sorted(keys, key=lambda key: self._depth(key, states)):
            missing = self._missing(states[key])
            hang = self.hang_word(states[key])
            self._standings[key] = stand(states[key], setup, now=now, missing=missing, hang=hang)

    def _depth(self, key: Key, states: Mapping[Key, UnitState]) -> int:
        depth, seen = 0, {key}
        while (below := self._support_keys(states[key])) and not below & seen:
            key = next(iter(below))
            seen.add(key)
            depth += 1
        return depth

    def _support_keys(self, state: UnitState) -> set[Key]:
        job, states = state.spec.job, self.store.states()
        candidates = {state.spec.hangs_on, state.spec.wall} - {""}
        known = {unit for unit in candidates if (job, unit) in states}
        return {(job, unit) for unit in supports_of(state.spec, known)}

    def _missing(self, state: UnitState) -> tuple[str, ...]:
        return tuple(
            unit for job, unit in self._support_keys(state) if not self._is_up((job, unit))
        )

    def _is_up(self, key: Key) -> bool:
        standing = self._standings.get(key)
        return standing is not None and standing.state == State.HUNG

    def standing(self, job: str, unit: str, now: datetime | None = None) -> Standing | None:
        """Return where one unit stands, folding no more than it and what it hangs on."""
        moment = now or self.now()
        return self._standing_of((job, unit), moment, ())

    def missing_of(self, state: UnitState, now: datetime) -> tuple[str, ...]:
        """Return the names of a unit's supports that are not up."""
        return self._missing_of(state, now, ())

    def _missing_of(
        self, state: UnitState, now: datetime, above: tuple[Key, ...]
    ) -> tuple[str, ...]:
        job = state.spec.job
        wanted = [unit for unit in (state.spec.hangs_on, state.spec.wall) if unit]
        known = {unit for unit in wanted if self.store.state(job, unit) is not None}
        missing = []
        for unit in supports_of(state.spec, known):
            below = None if (job, unit) in above else self._standing_of((job, unit), now, above)
            if below is not None and below.state != State.HUNG:
                missing.append(unit)
        return tuple(missing)

    def _standing_of(self, key: Key, now: datetime, above: tuple[Key, ...]) -> Standing | None:
        state = self.store.state(*key)
        if state is None:
            return None
        missing = self._missing_of(state, now, (*above, key))
        return stand(state, self.setup, now=now, missing=missing, hang=self.hang_word(state))

    def hang_word(self, _state: UnitState) -> HangWord | None:
        """Return what the check of hanging says of a unit; None: its job has no measured wall."""
        return None

    def hang_orders(self) -> Mapping[Key, tuple[int, str]]:
        """Return the place of units in the order of hanging of their jobs, and why, where known."""
        return {}

    # -- the board ---------------------------------------------------------------------------

    def floor(self, now: datetime | None = None) -> Floor:
        """Return the board."""
        moment = now or self.now()
        floor, self._seats = lay_out(
            self.standings(moment),
            now=moment,
            zone=self.zone,
            racks=self.racks(),
            seats=self._seats,
        )
        return floor

    def racks(self) -> tuple[Rack, ...]:
        """Return the shop's places."""
        return tuple(Rack(place.name, place.slots, place.role) for place in self.settings.places)

    def due(self, station: str, now: datetime | None = None) -> tuple[Due, ...]:
        """Return what a station has to do, most pressing first."""
        moment = now or self.now()
        days = {job.code: job.hang_day for job in self.jobs().values()}
        return due_list(self.standings(moment), station, now=moment, zone=self.zone, hang_days=days)


def _as_counted(item: tuple[Key, Standing]) -> tuple[Natural, Natural]:
    job, unit = item[0]
    return natural(job), natural(unit)
