"""Read the products a shop uses: for each stage of glue, filler or coat, the minutes it takes.

A figure is the product's own at its reference air. Seeds are marked until a person has confirmed
them from the label; where a label differs, the label wins.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kiosk.rules.problems import Problem

ROLES = ("glue", "filler", "coat")
# What each stage means; a product states those it has.
STAGES: Mapping[str, str] = {
    "open": "glue may still be closed",
    "clamp": "out of clamps, unstressed",
    "handling": "may be moved",
    "full": "full strength",
    "touch": "dry to touch",
    "recoat": "may be coated again",
    "sand": "may be sanded",
    "window": "too late to coat without scuffing",
    "tape": "may be taped over",
    "score": "tape edge must be scored first",
    "hang": "may hang in light service",
    "stack": "may stack face to face",
    "load": "may carry goods",
}
MAX_MINUTES = 60 * 24 * 90  # three months; longer is a slip of the pen (choice)


@dataclass(frozen=True, slots=True)
class Product:
    """One glue, filler or coat with its own figures.

    minutes maps a stage of STAGES to whole or part minutes at the reference air. seed is True until
    a person confirmed the figures from the label. caution is the usual caution in one sentence.
    """

    key: str
    title: str
    role: str
    minutes: Mapping[str, float]
    temperature_c: float = 23.0
    humidity: float = 50.0
    seed: bool = True
    source: str = ""
    caution: str = ""

    def stage(self, name: str) -> float | None:
        """Return the minutes of a stage, or None where the product has no such stage."""
        return self.minutes.get(name)


def parse_products(text: str) -> tuple[dict[str, Product], tuple[Problem, ...]]:
    """Read products from TOML text and name every mistake at once.

    Returns:
        The products without fault by key, and the problems; a faulty product is left out.
    """
    data, unreadable = read_toml(text, "products")
    if unreadable:
        return {}, unreadable
    products: dict[str, Product] = {}
    problems: list[Problem] = []
    for key, table in data.items():
        product, wrong = _product(key, table)
        problems.extend(wrong)
        if product is not None:
            products[key] = product
    return products, tuple(problems)


def read_toml(text: str, what: str) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Read TOML text of which every value can be written out again in a problem."""
    try:
        data = tomllib.loads(text)
        # numbers of any length, tables of any depth: what cannot be said cannot be complained of;
        # some levels to spare, as problems are named from deeper in the program
        str([[[[[[[[data]]]]]]]])
    except (ValueError, RecursionError) as error:
        return {}, (
            Problem(f"The {what} file is not readable: {error}.", "Mend the line it names."),
        )
    return data, ()


def confirm_in_text(text: str, key: str) -> str:
    """Return the products file with one product marked as read from its label.

    Everything else, comments too, stays as the shop wrote it.
    """
    lines, inside = [], False
    for line in text.splitlines(keepends=True):
        bare = line.partition("#")[0].strip()
        if bare.startswith("["):
            inside = bare.strip("[] \t\"'") == key
            lines.append(line)
            if inside:
                lines.append("seed = false\n")
        elif not (inside and bare.partition("=")[0].strip() == "seed"):
            lines.append(line)
    return "".join(lines)


def _product(key: str, table: Any) -> tuple[Product | None, list[Problem]]:  # Any: parsed TOML
    if not isinstance(table, dict):
        return None, [_wrong(key, key, table, "is not a table.", f"Write it as [{key}].")]
    problems = [*_minutes_problems(key, table.get("minutes"))]
    role = table.get("role")
    if role not in ROLES:
        words = ", ".join(ROLES)
        problems.append(_wrong(key, "role", role, "has no known role.", f"Use one of {words}."))
    reference = table.get("reference", {})
    air = _air(reference) if isinstance(reference, dict) else None
    if air is None:
        remedy = "Write reference = { temperature_c = 23, humidity = 50 } as on the label."
        problems.append(_wrong(key, "reference", reference, "has no sound reference air.", remedy))
    if problems or air is None:
        return None, problems
    product = Product(
        key,
        str(table.get("title", key)),
        str(role),
        {stage: float(value) for stage, value in table["minutes"].items()},
        temperature_c=air[0],
        humidity=air[1],
        seed=bool(table.get("seed", True)),
        source=str(table.get("source", "")),
        caution=str(table.get("caution", "")),
    )
    return product, []


def _wrong(key: str, column: str, value: object, message: str, remedy: str) -> Problem:
    return Problem(f"Product {key}: {message}", remedy, column=column, value=str(value))


def _minutes_problems(key: str, minutes: object) -> Iterator[Problem]:
    if not isinstance(minutes, dict) or not minutes:
        yield _wrong(key, "minutes", minutes, "states no minutes.", "Add minutes = { … }.")
        return
    for stage, value in minutes.items():
        if stage not in STAGES:
            words = f"stage {stage} is unknown."
            yield _wrong(key, "minutes", stage, words, f"Use {', '.join(STAGES)}.")
        elif isinstance(value, bool) or not isinstance(value, int | float):
            yield _wrong(key, stage, value, f"{stage} is not a number.", "Write minutes.")
        elif not 0 < value <= MAX_MINUTES:
            yield _wrong(key, stage, value, f"{stage} is out of range.", "Write up to 90 days.")


def _air(reference: Mapping[str, object]) -> tuple[float, float] | None:
    temperature, humidity = reference.get("temperature_c", 23), reference.get("humidity", 50)
    if isinstance(temperature, bool) or isinstance(humidity, bool):
        return None
    if not isinstance(temperature, int | float) or not isinstance(humidity, int | float):
        return None
    # the range any label's reference air lies in
    inside = 0 <= temperature <= 50 and 0 < humidity <= 100
    return (float(temperature), float(humidity)) if inside else None
