"""Turn values into JSON bodies and back by a table of fields; a body is understood whole or not.

What is left out is the field's default. Keys not known are passed over, as a newer program may have
written them. Something known that is not understood makes the whole body not understood: half a
wall would be worse than none.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import StrEnum
from math import isfinite
from typing import Any, Final, TypeAlias

from kiosk.rules.lengths import LONGEST, Length

Read: TypeAlias = Callable[[object], Any]  # Any: whatever the field holds
Table: TypeAlias = Mapping[str, Read]
MOST_ROWS: Final = 2000  # of one list in a body; no wall has so many studs (choice)


class NotUnderstood(ValueError):
    """Something in a body is not what it must be."""


def written(value: Any) -> Any:
    """Return a value as JSON: data classes as objects without defaults, tuples as lists."""
    if is_dataclass(value):
        body = {one.name: getattr(value, one.name) for one in fields(value)}
        return {
            one.name: written(body[one.name])
            for one in fields(value)
            if body[one.name] != _default(one)
        }
    if isinstance(value, tuple):
        return [written(one) for one in value]
    return str(value) if isinstance(value, StrEnum) else value


def row_of(value: Any) -> list[Any]:
    """Return a data class as a list of its fields in order."""
    return [written(getattr(value, one.name)) for one in fields(value)]


def read_text(value: object) -> str:
    """Return a text.

    Raises:
        NotUnderstood: it is none.
    """
    if not isinstance(value, str):
        raise NotUnderstood
    return value


def read_flag(value: object) -> bool:
    """Return yes or no.

    Raises:
        NotUnderstood: it is neither.
    """
    if not isinstance(value, bool):
        raise NotUnderstood
    return value


def read_whole(value: object) -> int:
    """Return a whole number from 0 to a million.

    Raises:
        NotUnderstood: it is none.
    """
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1_000_000:
        raise NotUnderstood
    return value


def read_figure(value: object) -> float:
    """Return a number whose size is below a million.

    Raises:
        NotUnderstood: it is none.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise NotUnderstood
    if not isfinite(value) or abs(value) >= 1e6:
        raise NotUnderstood
    return float(value)


def read_level(value: object) -> Length:
    """Return a length above or below a line, within 20 m.

    Raises:
        NotUnderstood: it is none.
    """
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > LONGEST:
        raise NotUnderstood
    return Length(value)


def read_length(value: object) -> Length:
    """Return a length from 0 to 20 m.

    Raises:
        NotUnderstood: it is none.
    """
    length = read_level(value)
    if length < 0:
        raise NotUnderstood
    return length


def choice(kind: type[StrEnum]) -> Read:
    """Return what reads one of these words."""

    def read(value: object) -> StrEnum:
        try:
            return kind(read_text(value))
        except ValueError:
            raise NotUnderstood from None

    return read


def several(one: Read) -> Read:
    """Return what reads a list of these, as a tuple."""

    def read(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list | tuple) or len(value) > MOST_ROWS:
            raise NotUnderstood
        return tuple(one(row) for row in value)

    return read


def record(kind: type, table: Table) -> Read:
    """Return what reads an object as this data class; its fields are those of the table."""

    def read(value: object) -> Any:
        if not isinstance(value, Mapping):
            raise NotUnderstood
        given = {name: how(value[name]) for name, how in table.items() if name in value}
        return _made(kind, given)

    return read


def row(kind: type, table: Table) -> Read:
    """Return what reads a list as this data class, its fields in the order of the table."""

    def read(value: object) -> Any:
        if not isinstance(value, list | tuple):
            raise NotUnderstood
        # a newer program may have written more
        pairs = zip(table.items(), value, strict=False)
        return _made(kind, {name: how(cell) for (name, how), cell in pairs})

    return read


def _made(kind: type, given: Mapping[str, object]) -> Any:
    try:
        return kind(**given)
    except TypeError:  # something without a default is missing
        raise NotUnderstood from None


def _default(one: Any) -> Any:
    return one.default_factory() if one.default_factory is not MISSING else one.default
