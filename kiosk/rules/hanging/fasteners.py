"""What one screw of a cleat holds: pull and shear, each with what decides it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from kiosk.rules.hanging.combined import most
from kiosk.rules.hanging.kinds import Board, Head
from kiosk.rules.hanging.model import Cleat, Screw, Wall
from kiosk.rules.hanging.pulling import pull_through, steel, withdrawal
from kiosk.rules.hanging.screws import SIZES, bending_yield, reduction, thread_in
from kiosk.rules.hanging.shearing import Joint, Mode, bearing, contact_loads, gap_loads, weakest
from kiosk.rules.hanging.species import PLYWOOD_GRAVITY, UNKNOWN_GRAVITY, stud_gravity
from kiosk.rules.lengths import from_mm, mm


class Pull(StrEnum):
    """What decides how hard a screw can be pulled."""

    WITHDRAWAL = "withdrawal"
    HEAD = "head"
    STEEL = "steel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layers:
    """What a screw passes before the stud, mm: the wood it bears in, what bears nothing, all."""

    side: float
    gap: float
    passed: float


@dataclass(frozen=True, slots=True)
class Capacity:
    """What one screw holds, N, factors included, and how it was found; lengths in mm."""

    pulls: dict[Pull, float]
    shear: float
    mode: Mode
    penetration: float
    thread: float
    layers: Layers

    @property
    def pull(self) -> float:
        """Return the least of what it holds against pull."""
        return min(self.pulls.values())

    def most(self, *, pull_share: float, shear_share: float) -> float:
        """Return the most load of which this screw takes these shares, N."""
        return most(self.pull, self.shear, pull_share=pull_share, shear_share=shear_share)


def layers(cleat: Cleat, wall: Wall) -> Layers:
    """Return what a cleat's screws pass before the stud.

    A cleat glued to its panel bears with both; a loose one alone, and its panel then counts as gap
    (a safe lower bound). Gypsum and hollow space bear nothing (choice, to the safe side).
    """
    nothing = mm(wall.gypsum) + mm(wall.void)
    board, panel = mm(cleat.thickness), mm(wall.panel)
    if cleat.is_glued:
        return Layers(side=board + panel, gap=nothing, passed=board + panel + nothing)
    return Layers(side=board, gap=panel + nothing, passed=board + panel + nothing)


def capacity(screw: Screw, cleat: Cleat, *, wall: Wall, factor: float) -> Capacity:
    """Return what one screw through this cleat into a stud holds; factor is `service.factor`.

    The screw must reach into the stud by more than its own diameter; `refusing` asks for six.

    Raises:
        KeyError: the screw's number is not in the size table.
    """
    size = SIZES[screw.gauge]
    between = layers(cleat, wall)
    penetration = mm(screw.length) - between.passed
    gravity = stud_gravity(wall.species, measured=wall.gravity)
    bending = bending_yield(size.shank)
    joint = Joint(
        diameter=size.root,
        side=between.side,
        main=penetration - size.shank,  # a tip is two diameters long and counts half
        side_bearing=bearing(cleat_gravity(cleat.board)),
        main_bearing=bearing(gravity),
        yielding=bending,
        gap=between.gap,
    )
    mode, load = weakest(gap_loads(joint) if between.gap else contact_loads(joint))
    held = _thread(screw, penetration)
    pulls = {
        Pull.WITHDRAWAL: withdrawal(gravity, size.shank) * held * factor,
        Pull.HEAD: head_hold(screw, cleat) * factor,
        Pull.STEEL: steel(size.root, bending),
    }
    return Capacity(pulls, load / reduction(size.root) * factor, mode, penetration, held, between)


def _thread(screw: Screw, penetration: float) -> float:
    """Return how much thread holds in the stud, mm: as measured, else as usual."""
    usual = thread_in(penetration, mm(screw.length), shank=SIZES[screw.gauge].shank)
    return usual if screw.thread is None else min(usual, mm(screw.thread))


def cleat_gravity(board: Board) -> float:
    """Return the specific gravity to reckon with in a cleat; lumber's kind is not asked for.

    It is at most that of a plywood panel behind it, so it holds for both where they are glued.
    """
    return PLYWOOD_GRAVITY if board is Board.PLYWOOD else UNKNOWN_GRAVITY


def head_hold(screw: Screw, cleat: Cleat) -> float:
    """Return what the head holds in a cleat, N, before factors; the panel behind is not counted.

    A washer nobody measured counts as no more than the head itself.
    """
    across = SIZES[screw.gauge].head
    if screw.head_across is not None:
        across = mm(screw.head_across)
    gravity = cleat_gravity(cleat.board)
    return pull_through(gravity, across, thickness=mm(cleat.thickness), shape=screw.head)


def on_washers(screw: Screw, across: float) -> Screw:
    """Return the screw on washers this wide, mm."""
    return replace(screw, head=Head.WASHER, head_across=from_mm(across))
