"""A second route to what a unit may carry: balance, limit analysis and bisection."""

from __future__ import annotations

from math import atan2, cos, hypot, sin

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import lil_matrix

PIVOT = 2.0


def limit_load(made, cells=400):
    """The most a dowel carries: lower-bound limit analysis by linear programme.

    Unknown pressure in each cell, shear and moment at each node; no pressure in the gap.
    """
    lengths = [made.side / cells] * cells + [made.main / cells] * cells
    hard = [made.side_bearing * made.diameter] * cells + [made.main_bearing * made.diameter] * cells
    n = len(lengths)
    q, v, m = 0, n, n + (n + 2)  # a node more at the gap's far side
    size = n + 2 * (n + 2)
    rows = lil_matrix((2 * n + 2, size))
    bent = made.yielding * made.diameter**3 / 6

    def step(row, node, length, cell):
        rows[row, v + node + 1], rows[row, v + node] = 1, -1
        rows[row + 1, m + node + 1], rows[row + 1, m + node] = 1, -1
        rows[row + 1, v + node] = -length
        if cell is not None:
            rows[row, q + cell], rows[row + 1, q + cell] = -length, -(length**2) / 2

    node = 0
    for cell, length in enumerate(lengths):
        if cell == cells:
            step(2 * node, node, made.gap, None)
            node += 1
        step(2 * node, node, length, cell)
        node += 1
    shear = [(None, None)] * (n + 2)
    moment = [(-bent, bent)] * (n + 2)
    for ends in (shear, moment):
        ends[0] = ends[-1] = (0, 0)
    goal = np.zeros(size)
    goal[v + cells] = -1
    bounds = [(-one, one) for one in hard] + shear + moment
    found = linprog(goal, A_eq=rows.tocsr(), b_eq=np.zeros(2 * n + 2), bounds=bounds)
    assert found.status == 0
    return -found.fun


def solved(load, out, thick, height, drop, rows, above=0.0):
    """Six equations of balance for unit and cleat.

    Unknown: up and across at the bevel, stop, top (or lock), pull of the screws in parts of their
    height above the pivot, toe pressure. Rows pull as far as they are above the pivot.
    """
    contact, bevel_at = thick / 2, height - thick / 2
    hooks = drop >= out - contact
    own = 1.0 if drop < bevel_at else 0.0
    arms = np.array(rows) - PIVOT
    a = np.zeros((6, 6))
    a[0, 0] = 1  # up on the unit
    a[1, :4] = (0, -1, 1, 1 if hooks else -1)  # across on the unit
    a[2, 2], a[2, 3] = drop, -above if hooks else 0  # turning the unit about the bevel
    a[3, 0], a[3, 1] = 1, -1  # the bevel pushes at right angles to itself, at 45°
    lock = 0 if hooks else 1
    a[4] = (0, 1, -own, lock, -arms.sum(), 1)  # across on the cleat
    lever = bevel_at - PIVOT
    a[5] = (contact, lever, -own * (lever - drop), lock * lever, -(arms**2).sum(), 0)
    b = np.array([load, 0, load * (out - contact), 0, 0, 0])
    x = np.linalg.solve(a, b)
    return x[4] * arms, x[5]


def formula(pull, shear, t, v):
    """NDS 2018, equation 12.4-1, as transcribed by others."""
    a = atan2(t, v)
    return pull * shear / (pull * cos(a) ** 2 + shear * sin(a) ** 2)


def holds(pull, shear, t, v):
    return hypot(t, v) <= formula(pull, shear, t, v) and t <= pull and v <= shear


def most_by_bisection(pull, shear, t, v):
    """The most load of which a screw takes t as pull and v as shear."""
    low, high = 0.0, 1e8
    for _turn in range(120):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(pull, shear, t * middle, v * middle) else (low, middle)
    return low
