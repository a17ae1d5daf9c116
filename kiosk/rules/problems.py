"""Say what is wrong with something a person gave us, where, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that keeps an input from being taken in.

    row counts from 1 as in the file a person has open; column is the header as they wrote it
    (or our word where there is none); value is what stood there. None where it does not apply.
    """

    message: str
    remedy: str
    row: int | None = None
    column: str | None = None
    value: str | None = None


@dataclass(frozen=True, slots=True)
class Skip:
    """One row that was left out on purpose; row counts from 1 as in the file."""

    row: int
    why: str
