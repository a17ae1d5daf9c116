"""Read the products file of a shop: every mistake is named before any of it counts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Final

from kiosk.rules.cautions import HAZARDS
from kiosk.rules.problems import Problem
from kiosk.rules.products import ACTIONS, ROLES, Entered, Interval, Product
from kiosk.rules.rates import Law
from kiosk.rules.stages import MAX_MINUTES, STAGES
from kiosk.rules.tomltext import read_toml
from kiosk.rules.words import _, known, say

Table = Mapping[str, Any]  # Any: parsed TOML
_TEXTS: Final = ("title", "source", "caution")
# where each number stands in the file, the field it fills, and the range it must lie in
_NUMBERS: Final[Mapping[tuple[str, str], tuple[str, float, float]]] = {
    ("reference", "temperature_c"): ("temperature_c", 0, 50),
    ("reference", "humidity"): ("humidity", 1, 95),
    ("laws", "energy_kj"): ("energy_kj", 1, 200),
    ("limits", "least_c"): ("least_c", -20, 40),
    ("limits", "most_humidity"): ("most_humidity", 1, 100),
    ("limits", "dew_margin_c"): ("dew_margin_c", 0, 10),
    ("coverage", "label_m2_l"): ("coverage_m2_l", 0.5, 100),
    ("coverage", "own_m2_l"): ("own_coverage_m2_l", 0.5, 100),
    ("coverage", "solids"): ("solids", 1, 100),
    ("depth", "label_mm"): ("depth_mm", 0.1, 10),
    # more at once dries on top and stays soft below: further lifts instead (choice)
    ("depth", "own_mm"): ("own_depth_mm", 0.1, 3),
}
# What comes before what on every label; further order is not forced (ISO 9117-5).
ORDERED: Final = (("touch", "recoat"), ("recoat", "window"), ("clamp", "full"))
INHERITED: Final = ("laws", "limits", "hazards", "coverage", "depth")
_LAWS: Final = ("early", "late", "close")
_GROUPS: Final = ("reference", "laws", "limits", "coverage", "depth")
_KNOWN: Final = (*_TEXTS, "role", *_GROUPS, "minutes", "windows", "entered", "factors", "seed",
                 "hazards")  # fmt: skip
STAMPED: Final = ("reference", "factors")  # what is entered besides figures
LEAST_FACTOR, MOST_FACTOR = 0.67, 3.0  # no more than a third off the label's time, as for the cap


def parse_products(text: str, shipped: str = "") -> tuple[dict[str, Product], tuple[Problem, ...]]:
    """Read products from TOML text and name every mistake at once.

    Args:
        text: of the shop.
        shipped: what ships; its laws, limits and hazards stand where a product of the same key
            says nothing of them, as in files from before there were any.

    Returns:
        The products without fault by key, and the problems; a faulty product is left out.
    """
    data, unreadable = read_toml(text, "products")
    if unreadable:
        return {}, unreadable
    seeds = read_toml(shipped, "products")[0]
    products: dict[str, Product] = {}
    problems: list[Problem] = []
    for key, table in data.items():
        reader = _Reader(key)
        seed = seeds.get(key, {}) if isinstance(table, dict) else {}
        kept = {name: seed[name] for name in INHERITED if name in seed}
        product = reader.product({**kept, **table} if kept else table)
        problems.extend(reader.problems)
        if not reader.problems:
            products[key] = product
    return products, tuple(problems)


def is_number(value: object, low: float, high: float) -> bool:
    """Tell whether a parsed value is a number within a range."""
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


class _Reader:
    """Reads one product and collects what is wrong with it."""

    def __init__(self, key: str) -> None:
        self.key = key
        self.problems: list[Problem] = []

    def wrong(self, column: str, value: object, message: str, remedy: str) -> None:
        words = say("Product {key}: {message}", key=self.key, message=message)
        self.problems.append(Problem(words, remedy, column=column, value=str(value)))

    def product(self, table: Any) -> Product:
        if not isinstance(table, dict):
            self.wrong(
                self.key, table, _("is not a table."), say("Write it as [{key}].", key=self.key)
            )
            table = {"role": "glue", "minutes": {"clamp": 1}}
        for column in sorted(table.keys() - set(_KNOWN)):
            words = say("has a line {column} that means nothing.", column=column)
            self.wrong(column, table[column], words, say("Use {names}.", names=", ".join(_KNOWN)))
        role = table.get("role")
        if role not in ROLES:
            names = ", ".join(ROLES)
            self.wrong(
                "role", role, _("has no known role."), say("Use one of {names}.", names=names)
            )
        groups = {name: self.group(table, name) for name in _GROUPS}
        minutes = self.minutes(table.get("minutes"))
        return Product(
            self.key,
            known(str(table.get("title", self.key)), "product"),
            str(role),
            minutes,
            **self.numbers(groups),
            **self.laws(groups["laws"]),
            windows=self.windows(table.get("windows", [])),
            factors=self.factors(table.get("factors", {})),
            entered=self.entered(table.get("entered", {}), table.get("minutes")),
            seed=table.get("seed", True) is not False,
            source=str(table.get("source", "")),
            hazards=self.hazards(table.get("hazards", [])),
            caution=known(str(table.get("caution", "")), "caution"),
        )

    def group(self, table: Table, name: str) -> Table:
        found = table.get(name, {})
        known = [key for group, key in _NUMBERS if group == name]
        known += _LAWS if name == "laws" else ()
        if not isinstance(found, dict):
            self.wrong(
                name,
                found,
                say("{name} is not a group.", name=name),
                say("Write {name} = {{ … }}.", name=name),
            )
            return {}
        for column in sorted(found.keys() - set(known)):
            words = say("{name} has a {column} that means nothing.", name=name, column=column)
            self.wrong(column, found[column], words, say("Use {names}.", names=", ".join(known)))
        return found

    def numbers(self, groups: Mapping[str, Table]) -> dict[str, Any]:
        found = {}
        for (group, column), (name, low, high) in _NUMBERS.items():
            if column not in groups[group]:
                continue
            value = groups[group][column]
            if is_number(value, low, high):
                found[name] = float(value)
            else:
                words = say("{group} has no sound {column}.", group=group, column=column)
                self.wrong(
                    column,
                    value,
                    words,
                    say("Write a number from {low:g} to {high:g}.", low=low, high=high),
                )
        return found

    def laws(self, group: Table) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for pace in _LAWS:
            value = group.get(pace)
            if value in list(Law):
                found[pace] = Law(value)
            elif value is not None:
                words = say("the {pace} law is unknown.", pace=pace)
                self.wrong(pace, value, words, say("Use one of {names}.", names=", ".join(Law)))
        return found

    def minutes(self, table: Any) -> dict[str, float]:
        if not isinstance(table, dict) or not table:
            self.wrong("minutes", table, _("states no minutes."), _("Add minutes = { … }."))
            return {}
        found = {}
        for stage, value in table.items():
            if stage not in STAGES:
                words = say("stage {stage} is unknown.", stage=stage)
                self.wrong("minutes", stage, words, say("Use {names}.", names=", ".join(STAGES)))
            elif not is_number(value, float("-inf"), float("inf")):
                self.wrong(
                    stage, value, say("{stage} is not a number.", stage=stage), _("Write minutes.")
                )
            elif not 0 < value <= MAX_MINUTES:
                self.wrong(
                    stage,
                    value,
                    say("{stage} is out of range.", stage=stage),
                    _("Write up to 90 days."),
                )
            else:
                found[stage] = float(value)
        for first, then in ORDERED:
            if first in found and then in found and found[first] > found[then]:
                words = say("{first} takes longer than {then}.", first=first, then=then)
                self.wrong(first, found[first], words, _("Look at the label again."))
        return found

    def windows(self, rows: Any) -> tuple[Interval, ...]:
        remedy = _('Write { opens = 120, closes = 720, action = "none" }, one after the other.')
        found: list[Interval] = []
        for row in rows if isinstance(rows, list) else [rows]:
            interval = _interval(row)
            before = found[-1].closes if found else 0.0
            if interval is None or before is None or interval.opens < before:
                self.wrong("windows", row, _("a window is not sound."), remedy)
            else:
                found.append(interval)
        if found and all(interval.action == "wait" for interval in found):
            words = _("its windows never let it be coated.")
            self.wrong("windows", rows, words, _('Add one with action = "none" or "scuff".'))
        return tuple(found)

    def entered(self, table: Any, minutes: Any) -> dict[str, Entered]:
        if not isinstance(table, dict):
            table = {"entered": table}
        found = {}
        for stage, stamp in table.items():
            by, on = _stamp(stamp)
            if on is None or not isinstance(minutes, dict) or stage not in (*minutes, *STAMPED):
                remedy = _(
                    'Write recoat = { by = "who", on = "2026-03-05" } of a figure in minutes.'
                )
                self.wrong(
                    "entered", stage, say("entered has no sound {stage}.", stage=stage), remedy
                )
            else:
                found[stage] = Entered(by, on)
        return found

    def factors(self, table: Any) -> dict[str, float]:
        found = {}
        for stage, value in table.items() if isinstance(table, dict) else [("factors", table)]:
            if stage in STAGES and is_number(value, LEAST_FACTOR, MOST_FACTOR):
                found[stage] = float(value)
            else:
                remedy = say(
                    "Write a stage and {least_factor:g} to {most_factor:g}: {{ sand = 1.2 }}.",
                    least_factor=LEAST_FACTOR,
                    most_factor=MOST_FACTOR,
                )
                self.wrong(
                    "factors", stage, say("factors has no sound {stage}.", stage=stage), remedy
                )
        return found

    def hazards(self, rows: Any) -> tuple[str, ...]:
        rows = rows if isinstance(rows, list) else [rows]
        for row in rows:
            if row not in list(HAZARDS):
                self.wrong(
                    "hazards",
                    row,
                    _("names no known hazard."),
                    say("Use {names}.", names=", ".join(HAZARDS)),
                )
        return tuple(row for row in rows if row in list(HAZARDS))


def _interval(row: Any) -> Interval | None:
    if not isinstance(row, dict) or row.keys() - {"opens", "closes", "action"}:
        return None
    opens, closes = row.get("opens", -1), row.get("closes")
    if not is_number(opens, 0, MAX_MINUTES) or row.get("action") not in ACTIONS:
        return None
    if closes is not None and not (is_number(closes, 0, MAX_MINUTES) and closes > opens):
        return None
    return Interval(float(opens), None if closes is None else float(closes), str(row["action"]))


def _stamp(stamp: Any) -> tuple[str, str | None]:
    if not isinstance(stamp, dict):
        return "", None
    on = stamp.get("on")
    try:
        day = on if isinstance(on, date) else date.fromisoformat(str(on))
    except ValueError:
        return "", None
    return str(stamp.get("by", "")), f"{day:%Y-%m-%d}"
