"""Hold a problem together with what its chains and steps are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TypeAlias

from kiosk.rules.dayplan.model import Minute, Problem

StepName: TypeAlias = tuple[str, str, str]  # job, unit, step; a load and a drive have the unit ''


@dataclass(frozen=True, slots=True)
class ChainNames:
    """What people call a chain: unit is its short name on every screen, titles those of its steps.

    key is (job, unit id) as the log has it; a load and a drive have the id ''. cautions hold the
    usual caution of each step, '' for none.
    """

    key: tuple[str, str]
    unit: str
    kind: str
    titles: tuple[str, ...]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Passed:
    """How many minutes of a step that nobody scans count as done, and when the last was over."""

    minutes: int
    at: Minute


@dataclass(frozen=True, slots=True)
class Built:
    """A problem, the names of its chains in the same order, and the hang days by job code.

    notes say what could not be planned, such as units on hold, and where the plan bends. over tells
    what counts as done though nobody scanned it, and so has no work in the problem.
    """

    problem: Problem
    names: tuple[ChainNames, ...]
    hang_days: Mapping[str, date | None] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    over: Mapping[StepName, Passed] = field(default_factory=dict)
