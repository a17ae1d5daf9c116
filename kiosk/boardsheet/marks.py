"""The marks of the states on paper: the same shapes as on the screen, in one ink."""

from __future__ import annotations

from math import cos, pi, sin

from kiosk.figure.shapes import INK, PAPER, Area, Dot, Shape


def mark(state: str, share: float, at: Dot, side: float) -> tuple[Shape, ...]:
    """Return the mark of a state in a square whose left upper corner is at a point.

    Args:
        state: resting, coat, hang, late, other; none is drawn for any other.
        share: of a rest that has passed, 0 to 1.
        at: left and upper edge.
        side: of the square.
    """
    x, y = at

    def area(*points: Dot) -> Area:
        return Area(tuple((x + across * side, y + down * side) for across, down in points), INK)

    if state == "resting":
        return _clock(share, (x + side / 2, y + side / 2), side * 0.46)
    if state == "coat":
        round_part = _ring((x + side / 2, y + side * 0.64), side * 0.28)
        return (Area(round_part, INK), area((0.5, 0.04), (0.255, 0.5), (0.745, 0.5)))
    if state == "hang":
        post = area((0.16, 0.1), (0.3, 0.1), (0.3, 0.9), (0.16, 0.9))
        board = area((0.16, 0.1), (0.88, 0.1), (0.88, 0.24), (0.16, 0.24))
        return (post, board, area((0.26, 0.74), (0.7, 0.2), (0.78, 0.26), (0.34, 0.8)))
    if state == "late":
        stroke = area((0.36, 0.05), (0.64, 0.05), (0.57, 0.66), (0.43, 0.66))
        return (stroke, Area(_ring((x + side / 2, y + side * 0.84), side * 0.12), INK))
    if state == "other":
        return (Area(_ring((x + side / 2, y + side / 2), side * 0.14), INK),)
    return ()


def _clock(share: float, at: Dot, radius: float) -> tuple[Shape, ...]:
    shapes: list[Shape] = [Area(_ring(at, radius), INK), Area(_ring(at, radius * 0.84), PAPER)]
    turn = min(max(share, 0.0), 1.0)
    if turn > 0:
        steps = max(2, round(48 * turn))
        pie = [
            (
                at[0] + radius * 0.7 * sin(2 * pi * turn * one / steps),
                at[1] - radius * 0.7 * cos(2 * pi * turn * one / steps),
            )
            for one in range(steps + 1)
        ]
        shapes.append(Area((at, *pie), INK))
    return tuple(shapes)


def _ring(at: Dot, radius: float) -> tuple[Dot, ...]:
    turns = [2 * pi * one / 32 for one in range(32)]
    return tuple((at[0] + radius * cos(turn), at[1] + radius * sin(turn)) for turn in turns)
