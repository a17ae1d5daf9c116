"""Say how times vary from day to day, by numbers that depend on the seed and the step alone.

A run of chance numbers taken in order would give each way of working its own days: the tenth number
would fall to another step. Here each number is a function of a seed and of what it is for, so that
every policy meets the same days.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from hashlib import blake2b
from math import exp, log
from statistics import NormalDist
from typing import TypeAlias

from kiosk.rules.touchtimes import ENOUGH, TouchTime

Part: TypeAlias = str | int
_NORMAL = NormalDist()
P80 = _NORMAL.inv_cdf(0.8)  # 0.8416: the 80th percentile, in standard deviations from the median


@dataclass(frozen=True, slots=True)
class Spread:
    """How far times scatter, each as the standard deviation of the logarithm of the time.

    touch is that of attended steps, steps the shop's own by the step's name; day is common to all
    rests that begin on one day, own to each rest by itself. The defaults are choices: 0.22 puts 90
    of 100 steps between 0.70 and 1.44 of their time; 0.18 is a day a fifth damper or drier.
    """

    touch: float = 0.22
    steps: Mapping[str, float] = field(default_factory=dict)
    day: float = 0.18
    own: float = 0.05

    def of(self, step: str) -> float:
        """Return how far the touch times of a step scatter."""
        return self.steps.get(step, self.touch)


CERTAIN = Spread(touch=0.0, day=0.0, own=0.0)  # all goes as expected


def scatter(median: float, percentile_80: float) -> float:
    """Return how far times scatter of which the median and the 80th percentile are known.

    Of a lognormal the 80th percentile is the median times exp(0.8416 sigma). Both in minutes, the
    median above 0; an 80th percentile that is not above the median gives 0.
    """
    return max(0.0, log(max(percentile_80, median) / median) / P80)


def learned_spread(times: Iterable[TouchTime]) -> Spread:
    """Return how far a shop's steps scatter, of each step by the times it has taken.

    A kind's scatter counts fully from ENOUGH samples on, below that the rest is the usual one:
    linear, a choice. Kinds weigh by their samples.
    """
    usual = Spread()
    sums: dict[str, tuple[float, int]] = {}
    for one in times:
        if not one.count or not one.learned or one.eighty is None:
            continue
        share = min(1.0, one.count / ENOUGH)
        own = share * scatter(one.learned, one.eighty) + (1 - share) * usual.touch
        total, count = sums.get(one.step, (0.0, 0))
        sums[one.step] = total + own * one.count, count + one.count
    return Spread(steps={step: total / count for step, (total, count) in sums.items()})


def even(seed: int, *parts: Part) -> float:
    """Return a number between 0 and 1, all alike likely, the same for the same seed and parts.

    It is the digest of BLAKE2b (RFC 7693), of which 53 bits fill a float; never 0 or 1.
    """
    text = "\x1f".join(map(str, (seed, *parts)))
    digest = blake2b(text.encode(), digest_size=8).digest()
    return ((int.from_bytes(digest, "big") >> 11) + 0.5) / 2**53


def factor(sigma: float, at: float) -> float:
    """Return what a time with median 1 is multiplied by at a place 0..1 of its lognormal."""
    return exp(sigma * _NORMAL.inv_cdf(at)) if sigma else 1.0


def place(sigma: float, times: float) -> float:
    """Return the place 0..1 of a factor in its lognormal; 0.5 without scatter."""
    return _NORMAL.cdf(log(times) / sigma) if sigma else 0.5


def beyond(sigma: float, at: float, *, least: float) -> float:
    """Return such a factor out of those above least only: of a step that has lasted that long.

    at is the place 0..1 among what is left of the lognormal. Without scatter it is 1, or least
    where that is more.
    """
    if least <= 0 or not sigma:
        return max(factor(sigma, at), least)
    gone = place(sigma, least)
    left = gone + at * (1 - gone)
    return max(factor(sigma, left), least) if left < 1 else least
