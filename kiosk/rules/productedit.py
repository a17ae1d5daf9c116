"""Change a products file as a person would: only what is meant, comments and order kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AbstractTable

from kiosk.rules.products import Entered


def confirm_in_text(text: str, key: str, *, entered: Entered) -> str:
    """Return the products file with every figure of a product marked as read off its label."""
    return _changed(text, key, lambda table: _stamp(table, table.get("minutes", {}), entered))


def figure_in_text(text: str, key: str, stage: str, *, minutes: float, entered: Entered) -> str:
    """Return the products file with one figure of a product as its label has it."""

    def change(table: AbstractTable) -> None:
        _group(table, "minutes")[stage] = int(minutes) if minutes == int(minutes) else minutes
        _stamp(table, [stage], entered)

    return _changed(text, key, change)


def reference_in_text(
    text: str, key: str, *, temperature_c: float, humidity: float, entered: Entered
) -> str:
    """Return the products file with the air a product's figures are for."""

    def change(table: AbstractTable) -> None:
        group = _group(table, "reference")
        group["temperature_c"], group["humidity"] = temperature_c, humidity
        _stamp(table, ["reference"], entered)

    return _changed(text, key, change)


def factor_in_text(text: str, key: str, stage: str, factor: float, *, entered: Entered) -> str:
    """Return the products file with the shop's own factor of a stage."""

    def change(table: AbstractTable) -> None:
        _group(table, "factors")[stage] = round(factor, 2)
        _stamp(table, ["factors"], entered)

    return _changed(text, key, change)


def _changed(text: str, key: str, change: Any) -> str:  # Any: a function of the table
    """Return the text changed, or as it was where it does not hold the product."""
    try:
        data = tomlkit.parse(text)
    except TOMLKitError:
        return text
    table = data.get(key)
    if not isinstance(table, AbstractTable):
        return text
    change(table)
    return tomlkit.dumps(data)


def _group(table: AbstractTable, name: str) -> Any:
    if not isinstance(table.get(name), Mapping):
        table[name] = tomlkit.inline_table()
    return table[name]


def _stamp(table: AbstractTable, stages: Iterable[str], entered: Entered) -> None:
    group = _group(table, "entered")
    for stage in list(stages):
        stamp = tomlkit.inline_table()
        stamp.update({"by": entered.by, "on": entered.on})
        group[stage] = stamp
    minutes = table.get("minutes", {})
    if all(stage in group for stage in minutes):
        table["seed"] = False
