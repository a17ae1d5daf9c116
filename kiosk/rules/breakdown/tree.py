"""Keep the cutting tree of a sheet: pieces cut side by side from a piece, and what is left of it.

The kerf is in the sizes: each part and each sheet is one kerf longer and wider than it is, so that
sizes add up without it. The pieces of a node may lie in any order, so all that is left of a node is
one rectangle. Nodes divide the width (rips) and the length (crosscuts) by turns.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field


@dataclass(slots=True, eq=False)
class Node:
    """A piece with the kerf in its size; kind is the part it is, -1 for one that is cut further."""

    length: int
    width: int
    rips: bool
    level: int
    parent: Node | None
    rest: int = 0
    kind: int = -1
    kids: list[Node] = field(default_factory=list)


Opening = tuple[Node, bool, int, int, int, float]
"""What is left of a node: rips, level, size along its cuts' measure, across it, share squared."""

Spot = tuple[float, Node, int, int, bool]
"""Where a part would go: loss, node, length and width, and whether the rest is divided first."""


@dataclass(slots=True, eq=False)
class Board:
    """A sheet that is being laid out; unit turns areas into shares of the largest sheet.

    best remembers for each kind of part where it would go, until something changes.
    """

    stock: int
    root: Node
    unit: float
    openings: list[Opening] = field(default_factory=list)
    squares: float = 0.0
    filled: int = 0
    best: dict[int, Spot | None] = field(default_factory=dict)

    @property
    def area(self) -> int:
        """Return the area of the sheet, kerf included."""
        return self.root.length * self.root.width


def new_board(stock: int, length: int, width: int, unit: float) -> Board:
    """Return an empty sheet; length and width are what is left inside the trim, plus a kerf."""
    board = Board(stock, Node(length, width, rips=True, level=0, parent=None, rest=width), unit)
    refresh(board)
    return board


def place(board: Board, spot: Spot, kind: int) -> None:
    """Put a part at a spot that was found on this board as it is."""
    _loss, node, length, width, divides = spot
    if divides:
        node = cut_off(node, node.rest)
        node = cut_off(node, length if node.rips is False else width)
    elif (length if node.rips else width) < (node.length if node.rips else node.width):
        node = cut_off(node, width if node.rips else length)
    leaf = cut_off(node, width if node.rips else length)
    leaf.kind, leaf.rest = kind, 0
    board.filled += length * width
    # what found no place before finds none now; all else may lie better, or be in the way
    nowhere = [one for one, spot in board.best.items() if spot is None]
    refresh(board)
    board.best = dict.fromkeys(nowhere)


def remove(board: Board, node: Node) -> list[int]:
    """Take a piece off a board, and return which parts were in it; what is left melts together.

    The board must be refreshed before the next part is placed.
    """
    parts = list(leaves(node))
    board.filled -= sum(leaf.length * leaf.width for leaf in parts)
    parent = node.parent
    while parent is not None:
        parent.kids.remove(node)
        parent.rest += node.width if parent.rips else node.length
        if parent.kids:
            break
        node, parent = parent, parent.parent
    return [leaf.kind for leaf in parts]


def clone(board: Board) -> Board:
    """Return a copy that shares nothing with the board."""
    copy = Board(board.stock, _clone(board.root, None, {}), board.unit, filled=board.filled)
    refresh(copy)
    return copy


def twin(board: Board, spot: Spot | None) -> tuple[Board, Spot | None]:
    """Return a copy of a board, not refreshed, and a spot of the board on it."""
    twins: dict[int, Node] = {}
    copy = Board(board.stock, _clone(board.root, None, twins), board.unit, filled=board.filled)
    if spot is None:
        return copy, None
    copy.best = dict.fromkeys(one for one, place in board.best.items() if place is None)
    return copy, (spot[0], twins[id(spot[1])], *spot[2:])


def refresh(board: Board) -> None:
    """Write down anew what is left of each node."""
    board.best.clear()
    openings: list[Opening] = []
    squares = 0.0
    stack = [board.root]
    while stack:
        node = stack.pop()
        if node.rest:
            across = node.length if node.rips else node.width
            share = node.rest * across * board.unit
            openings.append((node, node.rips, node.level, node.rest, across, share * share))
            squares += share * share
        stack.extend(kid for kid in node.kids if kid.kind < 0)
    board.openings, board.squares = openings, squares


def nodes(board: Board) -> list[Node]:
    """Return all pieces of a board, save for itself."""
    found = list(board.root.kids)
    for node in found:
        found.extend(node.kids)
    return found


def leaves(node: Node) -> Iterator[Node]:
    """Yield the parts within a piece."""
    if node.kind >= 0:
        yield node
    for kid in node.kids:
        yield from leaves(kid)


def cut_off(node: Node, size: int) -> Node:
    """Cut a piece of so much off what is left of a node."""
    length, width = (node.length, size) if node.rips else (size, node.width)
    kid = Node(length, width, not node.rips, node.level + 1, node)
    kid.rest = kid.width if kid.rips else kid.length
    node.rest -= size
    node.kids.append(kid)
    return kid


def _clone(node: Node, parent: Node | None, twins: dict[int, Node]) -> Node:
    copy = Node(node.length, node.width, node.rips, node.level, parent, node.rest, node.kind)
    twins[id(node)] = copy
    kids = copy.kids
    for kid in node.kids:
        if kid.kind < 0:
            kids.append(_clone(kid, copy, twins))
        else:
            kids.append(Node(kid.length, kid.width, kid.rips, kid.level, copy, 0, kid.kind))
    return copy
