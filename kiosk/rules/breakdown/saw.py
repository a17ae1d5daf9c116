"""Turn a cutting tree into the order of cuts a person follows at a track or panel saw.

Level by level: the edges are trimmed, then come all rips of the sheet, widest first and equal ones
in a row, then all crosscuts of all strips with equal measures together, and so on. That is allowed
because the pieces of a node may be cut off in any order; the fence is set once for each measure of
a level. What remains in the end is cut to measure only where something remains beside it; it is a
part only where no other piece is cut to that measure again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from kiosk.rules.breakdown.bench import Bench
from kiosk.rules.breakdown.model import Cut, Direction, Offcut, Part, Placed, Sheet, Stock, Task
from kiosk.rules.breakdown.tree import Board, Node, leaves


@dataclass(slots=True, eq=False)
class _Piece:
    """A piece without the kerf, at its place on the sheet; rest is what lies beside its kids."""

    node: Node
    x: int
    y: int
    length: int
    width: int
    name: str
    part: Part | None
    kids: list[_Piece] = field(default_factory=list)
    rest: Offcut | None = None

    @property
    def code(self) -> str:
        return self.part.code if self.part else ""

    def size(self, direction: Direction) -> int:
        return self.width if direction is Direction.RIP else self.length


def sheets_of(task: Task, bench: Bench) -> tuple[Sheet, ...]:
    """Return the sheets of a layout with their cuts: offcuts first, then the fullest ones.

    Parts of one size take their codes in the order of the task.
    """
    codes = [list(kind.parts) for kind in bench.kinds]
    used = [board for board in bench.boards if board.filled]
    used.sort(key=lambda board: (bench.is_new(board), board.stock, -board.filled))
    return tuple(
        _sheet(task, bench.stocks[board.stock], board, (f"S{number}", codes))
        for number, board in enumerate(used, 1)
    )


def effort(board: Board) -> tuple[int, int]:
    """Return how often the fence is set for a board, trims left out, and how many cuts it takes."""
    settings = cuts = 0
    level = [settled(board.root)]
    while level:
        sizes = set()
        for node in level:
            last = None if node.rest else _last(node)
            off = [_size(node, kid) for kid in node.kids if kid is not last]
            sizes.update(off)
            cuts += len(off)
        settings += len(sizes)
        level = [kid for node in level for kid in node.kids if kid.kind < 0]
    return settings, cuts


def _size(node: Node, kid: Node) -> int:
    return kid.width if node.rips else kid.length


def _last(node: Node) -> Node | None:
    """Return which piece of a node without a rest is what remains: it inherits every error.

    So one from which all is cut to this measure again, if there is one; else the smallest.
    """
    cut_again = [
        kid
        for kid in node.kids
        if kid.kind < 0 and all(_size(node, leaf) < _size(node, kid) for leaf in leaves(kid))
    ]
    return min(cut_again or node.kids, key=lambda kid: _size(node, kid), default=None)


def settled(node: Node) -> Node:
    """Return a copy of a tree without pieces that are as large as what they are cut from."""
    if node.kind >= 0:
        return node
    copy = Node(node.length, node.width, node.rips, node.level, None, node.rest)
    for kid in map(settled, node.kids):
        if kid.kind < 0 and kid.rips is node.rips:
            copy.kids.extend(kid.kids)
            copy.rest += kid.rest
        else:
            copy.kids.append(kid)
    return copy.kids[0] if len(copy.kids) == 1 and not copy.rest else copy


def _sheet(task: Task, stock: Stock, board: Board, names: tuple[str, list[list[Part]]]) -> Sheet:
    name, codes = names
    root = _piece(task, settled(board.root), (stock.trim, stock.trim, name), codes)
    pieces = list(_all(root))
    return Sheet(
        name=name,
        stock=stock,
        parts=tuple(_placed(piece, piece.part) for piece in pieces if piece.part),
        cuts=tuple(_numbered([*_trims(stock, root), *_cuts(task.kerf, root)])),
        offcuts=tuple(
            piece.rest
            for piece in pieces
            if piece.rest and min(piece.rest.length, piece.rest.width) >= task.least_offcut
        ),
        whole=root.code if not stock.trim else "",
    )


def _piece(task: Task, node: Node, place: tuple[int, int, str], codes: list[list[Part]]) -> _Piece:
    x, y, name = place
    length, width = node.length - task.kerf, node.width - task.kerf
    part = codes[node.kind].pop(0) if node.kind >= 0 else None
    piece = _Piece(node, x, y, length, width, name, part)
    last = None if node.rest else _last(node)
    kids = sorted(node.kids, key=lambda kid: (kid is last, -_size(node, kid), kid.kind))
    for number, kid in enumerate(kids, 1):
        piece.kids.append(_piece(task, kid, (x, y, f"{name}.{number}"), codes))
        x, y = (x, y + kid.width) if node.rips else (x + kid.length, y)
    if node.rest > task.kerf:
        beside = node.rest - task.kerf
        length, width = (length, beside) if node.rips else (beside, width)
        piece.rest = Offcut(piece=f"{name}.{len(kids) + 1}", x=x, y=y, length=length, width=width)
    return piece


def _all(piece: _Piece) -> Iterator[_Piece]:
    yield piece
    for kid in piece.kids:
        yield from _all(kid)


def _placed(piece: _Piece, part: Part) -> Placed:
    return Placed(
        code=part.code,
        x=piece.x,
        y=piece.y,
        length=piece.length,
        width=piece.width,
        is_turned=piece.length != part.length,
    )


def _trims(stock: Stock, root: _Piece) -> Iterator[Cut]:
    """Yield the cuts that take the edges off: two along the length, two along the width."""
    if not stock.trim:
        return
    for direction, size in ((Direction.RIP, stock.width), (Direction.CROSSCUT, stock.length)):
        for edge in (1, 2):
            is_last = direction is Direction.CROSSCUT and edge == 2
            yield Cut(
                number=0,
                piece_in=root.name,
                direction=direction,
                measure=size - edge * stock.trim,
                piece_out=root.name,
                part=root.code if is_last else "",
                is_trim=True,
            )


def _cuts(kerf: int, root: _Piece) -> Iterator[Cut]:
    level = [root]
    while level:
        direction = Direction.RIP if level[0].node.rips else Direction.CROSSCUT
        off = [
            (kid.size(direction), piece, number)
            for piece in level
            for number, kid in enumerate(piece.kids)
            if piece.node.rest or number < len(piece.kids) - 1
        ]
        for _size, piece, number in sorted(off, key=lambda one: -one[0]):
            yield _cut(kerf, direction, piece, number)
        level = [kid for piece in level for kid in piece.kids if kid.kids]


def _cut(kerf: int, direction: Direction, piece: _Piece, number: int) -> Cut:
    """Return the cut that takes one of its kids off a piece, after those before it."""
    out, behind = piece.kids[number], piece.kids[number + 1 :]
    gone = sum(kid.size(direction) + kerf for kid in piece.kids[: number + 1])
    remains = max(piece.size(direction) - gone, 0)
    rest, rest_part = piece.name, ""
    if not remains:
        rest = ""
    elif not behind:
        rest = f"{piece.name}.{number + 2}"
    elif len(behind) == 1 and not piece.node.rest:
        rest, rest_part = behind[0].name, behind[0].code
    is_rip = direction is Direction.RIP
    return Cut(
        number=0,
        piece_in=piece.name,
        direction=direction,
        measure=out.size(direction),
        piece_out=out.name,
        rest=rest,
        rest_length=(piece.length if is_rip else remains) if rest else 0,
        rest_width=(remains if is_rip else piece.width) if rest else 0,
        part=out.code,
        rest_part=rest_part,
    )


def _numbered(cuts: list[Cut]) -> Iterator[Cut]:
    for number, cut in enumerate(cuts, 1):
        yield replace(cut, number=number)
