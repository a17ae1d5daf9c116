"""Read the routes of a shop and give each unit the steps it goes through.

A route is data: the shop copies routes.toml, changes it and sets it; every mistake is named before
it counts.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from kiosk.rules.cautions import HAZARDS
from kiosk.rules.parts import KINDS, UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.stages import STAGES
from kiosk.rules.stations import STATIONS as STATIONS
from kiosk.rules.tomltext import read_toml
from kiosk.rules.words import _, known, say

# What a step uses, and so whose clock runs after it.
USES = ("glue", "filler", "finish", "stripe", "wall_filler", "wall_paint")
# When a step belongs to a unit at all.
NEEDS = ("assembly", "finish", "accent", "parts")
LONGEST_STEP = 480  # minutes of touch time; longer is a day's work and several steps (choice)
LARGEST_CREW = 4  # people on one unit (choice)
_NAME = re.compile(r"[a-z]+(-[a-z]+)*(-\d+)?")


class State(StrEnum):
    """The standings a unit may have; exactly one at a time."""

    TO_CUT = "to_cut"
    TO_ASSEMBLE = "to_assemble"
    GLUE_CURING = "glue_curing"
    TO_PREPARE = "to_prepare"
    COAT_DRYING = "coat_drying"
    COAT_DUE = "coat_due"
    SCUFF_FIRST = "scuff_first"
    HARDENING = "hardening"
    READY_TO_HANG = "ready_to_hang"
    HUNG = "hung"
    ON_HOLD = "on_hold"


DUE_STATES = (
    State.TO_CUT,
    State.TO_ASSEMBLE,
    State.TO_PREPARE,
    State.COAT_DUE,
    State.READY_TO_HANG,
)


@dataclass(frozen=True, slots=True)
class Wait:
    """A rest: the step `after` must have reached `stage` of what it used."""

    after: str
    stage: str


@dataclass(frozen=True, slots=True)
class Step:
    """One hands-on step of a route.

    name is absolute ('coat-2'); done is how the shop says it is done ('coat 2 on'). each is True
    where every part is scanned, False where the unit is. waits must be over before the step, closes
    tells until when it may happen without scuffing (a coat) or scoring (a tape). hazards are
    keys of kiosk.rules.cautions. minutes is the usual touch time of one part (each) or the unit, 0
    where nobody said; crew people do it together; whole is True where it cannot be left half done.
    """

    name: str
    title: str
    done: str
    station: str
    standing: State
    each: bool = False
    uses: str = ""
    needs: str = ""
    waits: tuple[Wait, ...] = ()
    closes: tuple[Wait, ...] = ()
    supports: bool = False
    hazards: tuple[str, ...] = ()
    minutes: float = 0.0
    crew: int = 1
    whole: bool = False

    @property
    def where(self) -> str:
        """Return the step and the station it is done at, without saying cut twice."""
        if self.title == self.station:
            return self.title
        return say("{step} at {station}", step=self.title, station=known(self.station, "station"))

    @property
    def is_coat(self) -> bool:
        """Tell whether the step counts among the coats wanted."""
        return self.name.startswith("coat-")

    @property
    def number(self) -> int:
        """Return the number in the name, 0 where it has none."""
        tail = self.name.rpartition("-")[2]
        return int(tail) if tail.isdigit() else 0


@dataclass(frozen=True, slots=True)
class Route:
    """The steps of one kind of unit, and the rests that must be over before it counts as up."""

    kind: str
    title: str
    steps: tuple[Step, ...]
    ends: tuple[Wait, ...] = ()


def steps_for(route: Route, spec: UnitSpec) -> tuple[Step, ...]:
    """Return the steps a unit goes through, leaving out what it does not need.

    A unit of one part needs no gathering and no glue; one without a finish no filler and no coat;
    one without an accent stripe no tape.
    """
    has = {
        "": True,
        "assembly": len(spec.pieces) > 1,
        "finish": bool(spec.finish),
        "accent": spec.accent,
        "parts": bool(spec.pieces),
    }
    return tuple(step for step in route.steps if has[step.needs])


def scuff_before(coat: Step) -> Step:
    """Return the scuff that a coat needs once its window has closed and the route has none."""
    return Step(
        f"scuff-{coat.number}",
        say("scuff before {coat}", coat=coat.title),
        say("scuffed for {coat}", coat=coat.title),
        coat.station,
        State.COAT_DUE,
    )


def parse_routes(text: str) -> tuple[dict[str, Route], tuple[Problem, ...]]:
    """Read routes from TOML text and name every mistake at once.

    Returns:
        The routes by kind, and the problems; with any problem the routes are not to be used.
    """
    data, unreadable = read_toml(text, "routes")
    if unreadable:
        return {}, unreadable
    reader = _Reader()
    routes = {kind: reader.route(kind, table, data) for kind, table in data.items()}
    for kind in KINDS:
        if kind not in data:
            reader.wrong(
                kind, "", "", _("there is no route for this kind."), say("Add [{kind}].", kind=kind)
            )
    return routes, tuple(reader.problems)


class _Reader:
    """Collects problems while routes are read."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def wrong(self, kind: str, column: str, value: object, message: str, remedy: str) -> None:
        self.problems.append(
            Problem(
                say("Route {kind}: {message}", kind=kind, message=message),
                remedy,
                column=column or None,
                value=str(value),
            )
        )

    def route(self, kind: str, table: Any, data: Mapping[str, Any]) -> Route:  # Any: parsed TOML
        if kind not in KINDS:
            self.wrong(
                kind,
                "",
                kind,
                _("is no kind of unit."),
                say("Use {names}.", names=", ".join(KINDS)),
            )
        if not isinstance(table, dict):
            self.wrong(
                kind, "", table, _("is not a table."), say("Write it as [{kind}].", kind=kind)
            )
            return Route(kind, kind, ())
        source = table
        if like := table.get("like"):
            if "step" in table:
                words = _("is like another route and has steps of its own.")
                self.wrong(kind, "like", like, words, _("Keep the one or the other."))
            source = data.get(str(like), {})
            if not isinstance(source, dict) or "step" not in source:
                self.wrong(kind, "like", like, _("is like a route without steps."), _("Name one."))
                source = {}
        rows = source.get("step", [])
        rows = [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
        if not rows and not like:
            self.wrong(
                kind, "step", "", _("has no steps."), say("Add [[{kind}.step]] tables.", kind=kind)
            )
        # faults of another route's steps are named once, where the steps stand
        reader = _Reader() if like else self
        steps: list[Step] = []
        for row in rows:
            steps.append(reader.step(kind, row, {step.name for step in steps}))
        names = {step.name for step in steps}
        steps = self.crews(kind, table, steps)
        if "ends" in table:
            ends = self.waits(kind, "ends", table["ends"], names)
        else:
            ends = reader.waits(kind, "ends", source.get("ends", []), names)
        if not like:
            self.last_coat(kind, steps, ends)
        return Route(
            kind, known(str(table.get("title", kind.capitalize())), "kind"), tuple(steps), ends
        )

    def crews(self, kind: str, table: Mapping[str, Any], steps: list[Step]) -> list[Step]:
        """Return the steps with the crews that a kind has of its own."""
        said = table.get("crew", {})
        if not isinstance(said, dict):
            words = _("the crews are no table.")
            self.wrong(kind, "crew", said, words, _("Write them like crew = { hang = 2 }."))
            return steps
        for name in sorted(said.keys() - {step.name for step in steps}):
            words = say("there is no step {name} to have a crew.", name=name)
            self.wrong(kind, "crew", name, words, _("Name a step of this route."))
        own = {
            step.name: self.number(kind, step.name, {"crew": said[step.name]}, "crew", LARGEST_CREW)
            for step in steps
            if step.name in said
        }
        return [replace(step, crew=int(own.get(step.name) or step.crew)) for step in steps]

    def last_coat(self, kind: str, steps: list[Step], ends: tuple[Wait, ...]) -> None:
        """Find a rest before hanging that counts from a coat with another one on top of it."""
        coats = [step for step in steps if step.is_coat]
        waits = [wait for step in steps for wait in step.waits] + list(ends)
        hardening = {wait.after for wait in waits if wait.stage == "hang"}
        for coat in coats[:-1]:
            if coat.name in hardening and coats[-1].name not in hardening:
                words = say(
                    "hardens from {name} on, but {name2} comes after it.",
                    name=coat.name,
                    name2=coats[-1].name,
                )
                remedy = say('Wait for ["{name}", "hang"] instead.', name=coats[-1].name)
                self.wrong(kind, "waits", coat.name, words, remedy)

    def step(self, kind: str, row: Mapping[str, Any], before: set[str]) -> Step:
        name = str(row.get("name", ""))
        if not _NAME.fullmatch(name):
            self.wrong(
                kind, "name", name, _("a step has no sound name."), _("Write it like coat-1.")
            )
        if name in before:
            self.wrong(
                kind,
                "name",
                name,
                say("step {name} stands twice.", name=name),
                _("Number them apart."),
            )
        state = self.choice(kind, name, row, "standing", tuple(map(str, DUE_STATES)))
        title = known(str(row.get("title") or name), "step")
        for column in sorted(row.keys() - set(Step.__slots__)):
            words = say(
                "step {name} has a line {column} that means nothing.", name=name, column=column
            )
            self.wrong(
                kind,
                column,
                row[column],
                words,
                say("Use {names}.", names=", ".join(Step.__slots__)),
            )
        return Step(
            name,
            title,
            known(str(row["done"]), "done") if row.get("done") else say("{step} done", step=title),
            self.choice(kind, name, row, "station", STATIONS),
            State(state or State.TO_PREPARE),
            each=row.get("each") == "part",
            uses=self.choice(kind, name, row, "uses", ("", *USES)),
            needs=self.choice(kind, name, row, "needs", ("", *NEEDS)),
            waits=self.waits(kind, f"{name} waits", row.get("waits", []), before),
            closes=self.waits(kind, f"{name} closes", row.get("closes", []), before),
            supports=row.get("supports") is True,
            hazards=self.hazards(kind, name, row.get("hazards", [])),
            minutes=self.number(kind, name, row, "minutes", LONGEST_STEP) or 0.0,
            crew=int(self.number(kind, name, row, "crew", LARGEST_CREW) or 1),
            whole=row.get("whole") is True,
        )

    def number(
        self, kind: str, name: str, row: Mapping[str, Any], column: str, most: int
    ) -> float | None:
        """Return a number of a step, None where there is none or it is none; crew is whole."""
        value = row.get(column)
        kinds = (int,) if column == "crew" else (int, float)
        if value is None or (type(value) in kinds and 0 < value <= most):
            return value
        words = say("step {name} has no sound {column}.", name=name, column=column)
        self.wrong(kind, column, value, words, say("Write a number up to {n}.", n=most))
        return None

    def hazards(self, kind: str, name: str, rows: Any) -> tuple[str, ...]:
        rows = rows if isinstance(rows, list) else [rows]
        known = list(HAZARDS)
        for row in rows:
            if row not in known:
                words = say("step {name} names no known hazard.", name=name)
                self.wrong(kind, "hazards", row, words, say("Use {names}.", names=", ".join(known)))
        return tuple(row for row in rows if row in known)

    def choice(
        self, kind: str, name: str, row: Mapping[str, Any], column: str, words: tuple[str, ...]
    ) -> str:
        value = str(row.get(column, ""))
        if value in words:
            return value
        named = ", ".join(word for word in words if word)
        self.wrong(
            kind,
            column,
            value,
            say("step {name} has no known {column}.", name=name, column=column),
            say("Use {named}.", named=named),
        )
        return ""

    def waits(self, kind: str, column: str, rows: Any, before: set[str]) -> tuple[Wait, ...]:
        found = []
        for row in rows if isinstance(rows, list) else [rows]:
            if not (isinstance(row, list) and len(row) == 2):
                self.wrong(
                    kind,
                    column,
                    row,
                    say("{column} is not a pair.", column=column),
                    _('Write ["coat-1", "recoat"].'),
                )
            elif str(row[0]) not in before:
                self.wrong(
                    kind,
                    column,
                    row[0],
                    say("{column} names no earlier step.", column=column),
                    _("Name one above it."),
                )
            elif str(row[1]) not in STAGES:
                self.wrong(
                    kind,
                    column,
                    row[1],
                    say("{column} names no stage.", column=column),
                    say("Use {names}.", names=", ".join(STAGES)),
                )
            else:
                found.append(Wait(str(row[0]), str(row[1])))
        return tuple(found)
