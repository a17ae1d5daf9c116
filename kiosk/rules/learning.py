"""Learn from what people find at the bench how long a coat takes in this shop; apply nothing.

A look at a coat says only on which side its true drying share lies: "still tacky" at share d means
it is more than d, "already dry" means it is d or less. A share is the clock's dose over its target,
so 1 is the clock's own time. The logarithm of the true share is taken as Normal(mu, sigma) over
the pieces of a shop: P(dry at d) = Phi((ln d - mu) / sigma), the probit on log dose of Finney,
Probit Analysis; such one-sided looks are the current-status data of Sun, The Statistical Analysis
of Interval-censored Failure Time Data (both from memory).

The fit is the maximum likelihood within bounds, a weak prior that keeps perfectly separated or
contradicting findings finite (choice): exp(mu) in 0.4..3, sigma in 0.05..0.7, flat between.
Every look counts as a piece of its own. Hand in the first look at each coat only: one looks again
because it was tacky, and counting those looks too draws the factor up by about a tenth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import erfc, exp, fsum, log, log1p, pi, sqrt
from typing import Final

from kiosk.rules.words import _, capital, join, known, number, say, say_n

SHARE_MOST: Final = 20.0  # shares above are slips: a coat forgotten, a clock never closed (choice)
ENOUGH: Final = 8  # findings below which nothing is proposed (choice)
ENOUGH_EACH: Final = 2  # of them dry at least, and tacky at least (choice)
FACTOR_LEAST: Final = 0.4  # bounds of exp(mu) (choice)
FACTOR_MOST: Final = 3.0
SPREAD_LEAST: Final = 0.05  # bounds of sigma: pieces within 5 %, or a factor of two apart (choice)
SPREAD_MOST: Final = 0.7
EIGHTY: Final = 1.2815515655446004  # the Normal's 90 % point: 80 % lie within -/+ this many sigma
SAME_MOMENT: Final = 0.05  # ln shares nearer than this tell nothing of the spread (choice)

_HALVINGS: Final = 24  # of the 2.0 between the bounds of mu: to 1.2e-7
_AS_GOOD: Final = 1e-7  # log-likelihoods nearer than this are one; above rounding, below meaning
_AT_BOUND: Final = 1e-3
_TAIL: Final = -30.0  # below, erfc nears the smallest number there is; the series is exact to 1e-9

_Look = tuple[float, float]  # ln share, and +1 for dry or -1 for tacky


@dataclass(frozen=True, slots=True)
class Finding:
    """What a person found of a coat; share is dose over target, both in equivalent minutes."""

    at: datetime
    product: str
    stage: str
    share: float
    dry: bool
    temperature_c: float | None
    humidity: float | None  # %
    person: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What the findings say of a product's stage; the factors multiply the clock's time.

    count is dry + tacky, without the findings left out. factor is the middle piece's, low..high the
    middle 80 % of pieces, sure_low..sure_high where the factor itself lies (80 % by profile
    likelihood); all None while findings are too few. doubt is what the numbers can't bear, or "".
    """

    product: str
    stage: str
    count: int
    dry: int
    tacky: int
    factor: float | None = None
    low: float | None = None
    high: float | None = None
    words: str = ""
    sure_low: float | None = None
    sure_high: float | None = None
    left_out: int = 0
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class _Fit:
    middle: float  # mu
    spread: float  # sigma
    sure_low: float
    sure_high: float


def propose(findings: Iterable[Finding], *, product: str, stage: str) -> Proposal:
    """Return what the findings of a product's stage propose; the order of findings is no matter.

    Findings of other products and stages are passed over; a share that is not above 0 and at most
    20 is left out and counted. Never raises; never applies anything.
    """
    about = [f for f in findings if f.product == product and f.stage == stage]
    # sorted, so that the same findings give the same digits in whichever order they arrived
    looks = sorted(
        (log(f.share), 1.0 if f.dry else -1.0) for f in about if 0.0 < f.share <= SHARE_MOST
    )
    left_out = len(about) - len(looks)
    dry = sum(1 for _, side in looks if side > 0)
    tacky = len(looks) - dry
    counts = _say_counts(dry, tacky, left_out)
    opening = say(
        "{product}, {stage}: {counts}",
        product=capital(product),
        stage=known(stage, "stage"),
        counts=counts,
    )
    missing = _say_missing(dry, tacky)
    bare = Proposal(product, stage, len(looks), dry, tacky, left_out=left_out)
    if missing:
        return replace(
            bare,
            words=say("{opening}; too few to tell, {missing}.", opening=opening, missing=missing),
        )
    return _with_fit(bare, looks, opening=opening)


def _with_fit(bare: Proposal, looks: Sequence[_Look], *, opening: str) -> Proposal:
    """Return the proposal with its numbers and words; a doubt stands in place of the spread."""
    fit = _fit(looks)
    factor, sure_low, sure_high = exp(fit.middle), exp(fit.sure_low), exp(fit.sure_high)
    low, high = factor * exp(-EIGHTY * fit.spread), factor * exp(EIGHTY * fit.spread)
    doubt = _doubt(fit, looks)
    spread = say("most between {low} and {high}", low=_say(low), high=_say(high))
    words = say(
        "{opening}; dry after about {factor} times the clock's time here, "
        "likely {low} to {high} ({spread}). Not applied.",
        opening=opening,
        factor=_say(factor),
        low=_say(sure_low),
        high=_say(sure_high),
        spread=doubt or spread,
    )
    filled = replace(bare, factor=factor, low=low, high=high, words=words, doubt=doubt)
    return replace(filled, sure_low=sure_low, sure_high=sure_high)


def _fit(looks: Sequence[_Look]) -> _Fit:
    """Return the likeliest middle and spread, and the 80 % profile interval of the middle.

    With a = mu / sigma and b = 1 / sigma the log-likelihood is concave, and the bounds are straight
    lines through that plane. So for one mu there is one best b, and the best over b has one peak
    and falls away on both sides: halving finds the peak and where it has fallen by so much.
    """

    def profile(middle: float) -> float:
        steepness = _steepness(looks, middle)
        return fsum(_log_phi(side * steepness * (x - middle)) for x, side in looks)

    def climb(middle: float) -> float:
        # the best b moves with mu, but at the best its move changes nothing: b counts as fixed
        steepness = _steepness(looks, middle)
        return fsum(-side * _mills(side * steepness * (x - middle)) for x, side in looks)

    bottom, top = log(FACTOR_LEAST), log(FACTOR_MOST)
    peak = _edge(climb, bottom, top, 0.0)
    best = profile(peak)
    # where the findings leave a range open (a gap between tacky and dry), its centre is taken
    left = _edge(profile, peak, bottom, best - _AS_GOOD)
    right = _edge(profile, peak, top, best - _AS_GOOD)
    middle = (left + right) / 2.0
    fallen = best - EIGHTY**2 / 2.0  # half the 80 % point of chi square with one degree
    return _Fit(
        middle=middle,
        spread=1.0 / _steepness(looks, middle),
        sure_low=_edge(profile, middle, bottom, fallen),
        sure_high=_edge(profile, middle, top, fallen),
    )


def _edge(height: Callable[[float], float], inside: float, outside: float, level: float) -> float:
    """Return where the height falls below the level on the way outside, or outside if nowhere."""
    if height(outside) >= level:
        return outside
    for _half in range(_HALVINGS):
        between = (inside + outside) / 2.0
        above = height(between) >= level
        inside, outside = (between, outside) if above else (inside, between)
    return inside


def _steepness(looks: Sequence[_Look], middle: float) -> float:
    """Return the likeliest 1 / sigma for one mu: Newton on the slope, kept between its bounds."""
    leans = [side * (x - middle) for x, side in looks]
    low, high = 1.0 / SPREAD_MOST, 1.0 / SPREAD_LEAST
    if _slope(leans, low)[0] <= 0.0:
        return low
    if _slope(leans, high)[0] >= 0.0:
        return high
    now, step = sqrt(low * high), high
    while abs(step) > 1e-7 * now:
        slope, bend = _slope(leans, now)
        low, high = (now, high) if slope > 0.0 else (low, now)
        # the slope falls; where rounding hides that, the step leaves the bounds and halves instead
        newton = now - slope / min(bend, -1e-300)
        following = newton if low <= newton <= high else (low + high) / 2.0
        now, step = following, following - now
    return now


def _slope(leans: Sequence[float], steepness: float) -> tuple[float, float]:
    """Return the first and second derivative of the log-likelihood by the steepness."""
    slope = bend = 0.0
    for lean in leans:
        z = steepness * lean
        mills = _mills(z)
        slope += lean * mills
        bend -= lean * lean * mills * (mills + z)
    return slope, bend


def _mills(z: float) -> float:
    """Return the slope of ln Phi at z: the Normal's density over Phi(z)."""
    return exp(-0.5 * z * z - _log_phi(z)) / sqrt(2.0 * pi)


def _log_phi(z: float) -> float:
    """Return ln Phi(z) for any z, to 1e-9 of itself also where Phi(z) is no longer a number."""
    if z > 0.0:
        return log1p(-0.5 * erfc(z / sqrt(2.0)))
    if z > _TAIL:
        return log(0.5 * erfc(-z / sqrt(2.0)))
    # Abramowitz & Stegun 26.2.12, the first terms (from memory)
    series = -1.0 / z**2 + 3.0 / z**4
    return -0.5 * z * z - log(-z * sqrt(2.0 * pi)) + log1p(series)


def _doubt(fit: _Fit, looks: Sequence[_Look]) -> str:
    """Return what the findings leave open, "" for nothing; bounds reached are never passed over."""
    doubts = []
    if looks[-1][0] - looks[0][0] < SAME_MOMENT:
        doubts.append(_("all were looked at about the same moment, look earlier and later too"))
    elif fit.spread > SPREAD_MOST - _AT_BOUND:
        doubts.append(_("the findings contradict one another"))
    elif fit.spread < SPREAD_LEAST + _AT_BOUND:
        doubts.append(_("how far pieces differ can't be told yet"))
    if fit.sure_low < log(FACTOR_LEAST) + _AT_BOUND:
        doubts.append(say("it may also be less than {factor}", factor=_say(FACTOR_LEAST)))
    if fit.sure_high > log(FACTOR_MOST) - _AT_BOUND:
        doubts.append(say("it may also be more than {factor}", factor=_say(FACTOR_MOST)))
    return join(doubts, ", ")


def _say_counts(dry: int, tacky: int, left_out: int) -> str:
    """Return `12 findings (7 dry, 5 tacky)`, and how many were left out."""
    total = dry + tacky
    counts = say_n(
        "{n} finding ({dry} dry, {tacky} tacky)",
        "{n} findings ({dry} dry, {tacky} tacky)",
        total,
        dry=dry,
        tacky=tacky,
    )
    if not left_out:
        return counts
    return say(
        "{counts}, {left_out} left out for an impossible share of the time",
        counts=counts,
        left_out=left_out,
    )


def _say_missing(dry: int, tacky: int) -> str:
    """Return how many findings more are needed and of which kind, "" for enough."""
    no_dry, no_tacky = max(0, ENOUGH_EACH - dry), max(0, ENOUGH_EACH - tacky)
    more = max(ENOUGH - dry - tacky, no_dry + no_tacky)
    if more <= 0:
        return ""
    wanted = [
        say("{n} already dry", n=no_dry) if no_dry else "",
        say("{n} still tacky", n=no_tacky) if no_tacky else "",
    ]
    if not any(wanted):
        return say("{n} more needed", n=more)
    return say("{n} more needed, at least {kinds}", n=more, kinds=join(wanted, _(" and ")))


def _say(factor: float) -> str:
    """Return a factor to two digits: `1.3`, `0.85`."""
    return number(f"{factor:.1f}" if factor >= 0.995 else f"{factor:.2f}")
