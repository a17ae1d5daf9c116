"""Air, products, clocks and rags of a shop written by hand; the rules behind are the real ones."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo
from math import cos, pi

from kiosk.actions import AirNow
from kiosk.actions.airing import DrawnClock
from kiosk.actions.core import seed_text
from kiosk.rules.air import NO_AIR, Air, Reading, check_reading
from kiosk.rules.clockwords import look_at, say_air
from kiosk.rules.drying import recoat_windows, run_clock
from kiosk.rules.ends import Reached
from kiosk.rules.learning import Finding, propose
from kiosk.rules.problems import Problem
from kiosk.rules.productfile import parse_products
from kiosk.rules.products import Entered
from kiosk.rules.rags import Rags
from kiosk.rules.route import State, Step
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.vapour import deficit_pa, dew_point_c, wood_moisture

IN_USE = ("clear", "enamel", "filler-water", "oil", "pva-water-resistant")


def days_of_air(now: datetime, *, days: int = 3) -> list[Reading]:
    """A reading an hour: cool and damp by night, warm and dry by day; the last by hand."""
    found = []
    for hours in range(24 * days, 0, -1):
        at = now - timedelta(hours=hours, minutes=-12)
        share = cos(2 * pi * (at.hour - 15) / 24)
        found.append(Reading(at, 18 + 3 * share, 62 - 9 * share, source="sensor"))
    return [*found, Reading(now - timedelta(minutes=12), 20.5, 55, source="typed")]


class FakeMatters:
    """What a shop knows besides its work; `calls` remembers what was recorded."""

    at: datetime
    calls: list[tuple[object, ...]]

    def __init__(self) -> None:
        self.zone: tzinfo = UTC
        self.fahrenheit = False
        self.read: Air = NO_AIR
        self.known, _ = parse_products(seed_text("products.toml"))
        self.coated = datetime(2026, 3, 11, 14, 10, tzinfo=UTC)
        self.out: Rags | None = None
        self.odd_clock: Problem | None = None
        self.found: list[Finding] = []
        self.refusing: tuple = ()

    # -- the air ---------------------------------------------------------------------------------

    def air(self, job: str = "") -> Air:
        return self.read

    def air_now(self, now: datetime | None = None, *, job: str = "") -> AirNow | None:
        now = now or self.at
        node = self.read.at(now.timestamp() * 1000)
        if node is None:
            return None
        last, (_, warm, damp, panel, _) = self.read.readings[-1], node
        meant = dew_point_c(warm, damp), deficit_pa(warm, damp), wood_moisture(warm, damp)
        return AirNow(now, last, warm, damp, panel, *meant, now > last.at)

    def reader_of(self, at: datetime) -> str:
        return "Ida"

    def take_reading(self, reading: Reading, *, job: str = "", person: str = ""):
        self._may_break()
        problems = (*self.refusing, *check_reading(reading, now=self.at))
        if not problems:
            self.calls.append(("reading", reading, person))
            self.read = Air([*self.read.readings, reading])
        return problems

    def strike_reading(self, at: datetime, *, job: str = "", person: str = "") -> Answer:
        self.calls.append(("strike_reading", at, person))
        self.read = Air(one for one in self.read.readings if one.at != at)
        return Answer(Outcome.RECORDED, "Struck", "air 20 °C and 55 %, 15:28 by Ida")

    def supposing(self, temperature_c: float, humidity: float, now: datetime | None = None):
        other = type(self)()
        other.at, other.calls = self.at, []
        return other, f"if it is {say_air(temperature_c, humidity, fahrenheit=self.fahrenheit)}"

    # -- products and clocks ---------------------------------------------------------------------

    def products(self):
        return sorted(self.known.values(), key=lambda one: one.key not in IN_USE)

    def products_in_use(self):
        return IN_USE

    def unconfirmed(self) -> list[str]:
        return [key for key in IN_USE if self.known[key].seed]

    def confirm_product(self, key: str, *, person: str = "", permit=None):
        self.calls.append(("confirm", key, person))
        entered = dict.fromkeys(self.known[key].minutes, Entered(person, "2026-03-11"))
        self.known[key] = replace(self.known[key], entered=entered, seed=False)
        return self.refusing

    def set_figure(self, key: str, stage: str, minutes: float, *, person: str = "", permit=None):
        if self.refusing:
            return self.refusing
        self.calls.append(("figure", key, stage, minutes, person))
        one = self.known[key]
        entered = {**one.entered, stage: Entered(person, "2026-03-11")}
        self.known[key] = replace(one, minutes={**one.minutes, stage: minutes}, entered=entered)
        return ()

    def proposals(self):
        keys = dict.fromkeys((one.product, one.stage) for one in self.found)
        return [propose(self.found, product=product, stage=stage) for product, stage in keys]

    def accept_factor(self, key: str, stage: str, factor: float, *, person: str = "", permit=None):
        self.calls.append(("factor", key, stage, factor, person))
        factors = {**self.known[key].factors, stage: factor}
        self.known[key] = replace(self.known[key], factors=factors)
        return self.refusing

    def clocks(self, text: str, now: datetime | None = None) -> tuple[Reached, ...] | Answer:
        self._may_break()
        if not re.search(r"G05$", text):
            return Answer(Outcome.UNKNOWN, "No such unit")
        product, started, now = self.known["clear"], self.coated, now or self.at
        step = Step("coat-1", "coat 1", "coat 1 on", "finish", State.COAT_DUE, uses="finish")
        rows = []
        for stage in product.minutes:
            clock = run_clock(product, stage, started, air=self.read)
            look = look_at(clock, now=now, fahrenheit=self.fahrenheit)
            rows.append(Reached(step, product, clock, look, product.is_seed(stage)))
        return tuple(rows)

    def drawn_clock(self, text: str, now: datetime | None = None) -> DrawnClock | None:
        found = self.clocks(text, now)
        if isinstance(found, Answer):
            return None
        chosen = next(one for one in found if one.stage == "recoat")
        clock = chosen.clock
        return DrawnClock(chosen, recoat_windows(chosen.product, clock.started, air=self.read))

    # -- oily rags -------------------------------------------------------------------------------

    def rags(self, now: datetime | None = None) -> Rags | None:
        return self.out

    def clock_problem(self, now: datetime) -> Problem | None:
        return self.odd_clock

    def clear_rags(self, *, person: str = "") -> Answer:
        self._may_break()
        self.calls.append(("clear_rags", person))
        self.out = None
        return Answer(Outcome.RECORDED, "Oily rags are out", entry="e2")

    def _may_break(self) -> None:
        raise NotImplementedError


def rags_of(now: datetime, *, pressing: bool = False) -> Rags:
    """Rags of this afternoon."""
    return Rags(now - timedelta(hours=2), "Oil, wiped on", pressing)


def findings_of(now: datetime, *, stage: str = "recoat") -> list[Finding]:
    """Twelve looks at a clear coat: dry from about 1.3 times the clock's time on."""
    shares = [0.8, 0.9, 1.0, 1.05, 1.1, 1.2, 1.25, 1.3, 1.4, 1.5, 1.6, 1.8]
    return [
        Finding(now, "clear", stage, share, share > 1.22, 18.0, 60.0, "Ida", "G05")
        for share in shares
    ]
