"""Look for a better plan by changing priorities: climbs, and kicks away from the best.

Random keys are from Bean, ORSA Journal on Computing 6 (1994) 154-160; a climb goes on from what is
worse than its best by no more than a share (record-to-record travel, Dueck, Journal of
Computational Physics 104 (1993) 86-92; from memory). Moves on whole jobs come first: they change a
plan most and save most. The shares are measured choices.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Final

from kiosk.rules.dayplan.decode import cost_of_run, decode, plan_of, run_again, run_of
from kiosk.rules.dayplan.flat import Flat, even, flatten, spread
from kiosk.rules.dayplan.model import Minute, Plan, Problem
from kiosk.rules.dayplan.moves import COARSE, MOVES, Change, Draw, Move, Spot, lateness
from kiosk.rules.dayplan.portfolio import ranked_starts

SLIPS: Final = 0.003  # a plan worse than the best of its climb by this share is gone on from, too
TIRED: Final = 150  # evaluations without gain after which a climb ends
KICKS: Final = 3  # up to so many moves lead away from the best to where the next climb begins
EVEN_ODDS: Final = 0.25  # share of the moves that go evenly to all kinds, the rest by their gains


@dataclass(slots=True)
class _Hunt:
    """What a search shares between its climbs; tried and gained count by kind of move."""

    flat: Flat
    draw: Draw
    left: int
    go_on: Callable[[], bool]
    heard: Callable[[Plan], None]
    best: Spot
    tried: list[float] = field(default_factory=lambda: [1.0] * len(MOVES))
    gained: list[float] = field(default_factory=lambda: [1.0] * len(MOVES))


def improve(
    problem: Problem,
    starts: Sequence[Plan],
    *,
    draw: Draw,
    evaluations: int,
    go_on: Callable[[], bool] | None = None,
    heard: Callable[[Plan], None] | None = None,
) -> Plan:
    """Return the best plan found from the given ones and the simple rules; never a worse one.

    draw gives random numbers from 0 up to 1; the same numbers and as many evaluations give the same
    plan. go_on is asked before each evaluation and ends the search; heard gets each better plan.
    """
    flat = flatten(problem)
    may, tell = go_on or (lambda: True), heard or (lambda _plan: None)
    best = _first(flat, starts)
    hunt = _Hunt(flat, draw, evaluations if flat.chain else 0, may, tell, best)
    _climb(hunt, hunt.best, COARSE)
    _climb(hunt, hunt.best, MOVES)
    while hunt.left > 0 and may():
        _climb(hunt, _kicked(hunt), MOVES)
    return plan_of(flat, even(hunt.best.row), hunt.best.delays)


def _first(flat: Flat, starts: Sequence[Plan]) -> Spot:
    """Return the best of what is known before the search."""
    given = []
    for plan in starts:
        delays = {flat.first[chain] + work: at for (chain, work), at in plan.delays.items()}
        given.append(_spot(flat, even(spread(flat, plan.keys)), delays))
    cost, row = ranked_starts(flat)[0]
    best = min(given, key=lambda spot: spot.cost, default=None)
    return best if best and best.cost <= cost else _spot(flat, row, {})


def _spot(flat: Flat, row: list[float], delays: dict[int, Minute]) -> Spot:
    run = run_of(flat, row, delays, keeps=True)
    return Spot(row, delays, cost_of_run(run), run, lateness(run))


def _kicked(hunt: _Hunt) -> Spot:
    """Return a spot some moves away from the best."""
    spot = hunt.best
    for _kick in range(1 + int(hunt.draw() * KICKS)):
        hunt.left -= 1
        spot = _tried(spot, _change(hunt, spot, MOVES)[1], inf) or spot
    return spot


def _climb(hunt: _Hunt, spot: Spot, moves: Sequence[Move]) -> None:
    """Climb until many evaluations in a row have brought no gain."""
    least, patience = spot.cost, TIRED
    while patience > 0 and hunt.left > 0 and hunt.go_on():
        hunt.left -= 1
        patience -= 1
        kind, change = _change(hunt, spot, moves)
        hunt.tried[kind] += 1
        found = _tried(spot, change, max(least * (1 + SLIPS), spot.cost))
        if found is None:
            continue
        spot = found
        if spot.cost < least:
            least, patience = spot.cost, TIRED
            hunt.gained[kind] += 1
        if spot.cost < hunt.best.cost:
            hunt.best = spot
            hunt.heard(plan_of(hunt.flat, even(spot.row), spot.delays))


def _change(hunt: _Hunt, spot: Spot, moves: Sequence[Move]) -> tuple[int, Change]:
    """Return a change, and its kind: those that have brought gains come oftener."""
    odds = [hunt.gained[kind] / hunt.tried[kind] for kind in range(len(moves))]
    whole = sum(odds)
    while True:
        kind = int(hunt.draw() * len(moves))
        if hunt.draw() >= EVEN_ODDS:
            at, kind = hunt.draw() * whole, 0
            while kind < len(moves) - 1 and at >= odds[kind]:
                at -= odds[kind]
                kind += 1
        if change := moves[kind](spot, hunt.draw):
            return kind, change


def _tried(spot: Spot, change: Change, most: float) -> Spot | None:
    """Return where a change leads, unless nowhere or to what costs more than most."""
    run = run_again(spot.run, change.row, change.delays, changed=change.steps, cutoff=most)
    cost = cost_of_run(run)
    if run is spot.run or cost > most:
        return None
    return Spot(change.row, change.delays, cost, run, lateness(run))


def drop_needless_delays(problem: Problem, plan: Plan) -> Plan:
    """Return a plan without the delays that gain nothing: hands are not left idle for them.

    Each delay is tried away, one after the other; the plan never costs more than before.
    """
    best = plan
    for held in sorted(plan.delays):
        left = {step: until for step, until in best.delays.items() if step != held}
        found = decode(problem, best.keys, delays=left)
        if found.cost <= best.cost:
            best = found
    return best
