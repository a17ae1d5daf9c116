"""Read the products a shop uses: for each stage of glue, filler or coat, the minutes it takes.

A figure is the product's own at its reference air. Seeds are marked until a person has confirmed
them from the label; where a label differs, the label wins.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
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
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return {}, (
            Problem(f"The products file is not readable: {error}.", "Mend the line it names."),
        )
    products: dict[str, Product] = {}
    problems: list[Problem] = []
    for key, table in data.items():
        product, wrong = _product(key, table)
        problems.extend(wrong)
        if product is not None:
            products[key] = product
    return products, tuple(problems)


def confirmed(product: Product) -> Product:
    """Return the product with its figures marked as read from the label."""
    return replace(product, seed=False)


def _product(key: str, table: Any) -> tuple[Product | None, list[Problem]]:  # Any: parsed TOML
    def wrong(column: str, value: object, message: str, remedy: str) -> Problem:
        return Problem(f"Product {key}: {message}", remedy, column=column, value=str(value))

    if not isinstance(table, dict):
        return None, [wrong(key, table, "is not a table.", f"Write it as [{key}].")]
    problems: list[Problem] = []
    role = table.get("role")
    if role not in ROLES:
        problems.append(
            wrong("role", role, "has no known role.", f"Use one of {', '.join(ROLES)}.")
        )
    minutes = table.get("minutes")
    if not isinstance(minutes, dict) or not minutes:
        problems.append(wrong("minutes", minutes, "states no minutes.", "Add minutes = { … }."))
        minutes = {}
    for stage, value in minutes.items():
        if stage not in STAGES:
            problems.append(
                wrong("minutes", stage, f"stage {stage} is unknown.", f"Use {', '.join(STAGES)}.")
            )
        elif isinstance(value, bool) or not isinstance(value, int | float):
            problems.append(wrong(stage, value, f"{stage} is not a number.", "Write minutes."))
        elif not 0 < value <= MAX_MINUTES:
            problems.append(
                wrong(stage, value, f"{stage} is out of range.", "Write minutes, up to 90 days.")
            )
    reference = table.get("reference", {})
    air = _air(reference) if isinstance(reference, dict) else None
    if air is None:
        problems.append(
            wrong(
                "reference",
                reference,
                "has no sound reference air.",
                "Write reference = { temperature_c = 23, humidity = 50 } as on the label.",
            )
        )
    if problems or air is None:
        return None, problems
    return (
        Product(
            key,
            str(table.get("title", key)),
            str(role),
            {stage: float(value) for stage, value in minutes.items()},
            temperature_c=air[0],
            humidity=air[1],
            seed=bool(table.get("seed", True)),
            source=str(table.get("source", "")),
            caution=str(table.get("caution", "")),
        ),
        [],
    )


def _air(reference: Mapping[str, object]) -> tuple[float, float] | None:
    temperature, humidity = reference.get("temperature_c", 23), reference.get("humidity", 50)
    if isinstance(temperature, int | float) and isinstance(humidity, int | float):
        # the range any label's reference air lies in
        if 0 <= temperature <= 50 and 0 < humidity <= 100:
            return float(temperature), float(humidity)
    return None
