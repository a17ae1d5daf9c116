"""Lay cleats in pairs into strips, so that one bevel cut serves two of them.

Cleats of one length lie two to a strip, first those of one width, then any two. What is left over
is of different lengths: the longest is one lane of a strip, and what fits beside it the other lane,
where that takes less of a sheet than strips of their own. So no strip is longer than a cleat
(choice): a long strip of many short cleats would fit no offcut.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from kiosk.rules.breakdown.model import Part
from kiosk.rules.lengths import Length
from kiosk.rules.parts import Piece
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.cleats import MOST_TILT, short_face, strip_width
from kiosk.rules.sheets.model import NOTHING, Strip
from kiosk.rules.words import Phrase, _, join, say

PLAIN: Final = _("Until then it is laid out square, as wide as its long face.")

_Lane = list[Piece]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Saw:
    """What holds for all strips of one bevel."""

    thickness: Length
    tilt: float
    kerf: Length
    widest: Length | None


def pair_cleats(
    pieces: Sequence[Piece],
    *,
    kerf: Length,
    longest: Length,
    thickness: Length | None = None,
    widest: Length | None = None,
) -> tuple[tuple[Strip, ...], tuple[Problem, ...]]:
    """Return the strips that hold the bevelled pieces of one material, and what keeps some out.

    Square pieces are passed over. A piece with a problem is in no strip: `plain` returns those.
    The same pieces in the same order give the same strips.

    Args:
        pieces: with codes of their own; width is the long face.
        kerf: what the blade takes, measured across it.
        longest: the longest sheet inside its trim.
        thickness: of the sheets, for pieces that do not say theirs.
        widest: the widest sheet inside its trim; None where that is not looked at.
    """
    problems: list[Problem] = []
    groups: dict[tuple[float, Length], list[Piece]] = defaultdict(list)
    for piece in pieces:
        if not piece.bevel:
            continue
        thick = piece.thickness or thickness or NOTHING
        problem = _why_not(piece, thick, longest, widest)
        if problem:
            problems.append(problem)
        else:
            groups[piece.bevel, thick].append(piece)
    strips = [
        strip
        for (tilt, thick), group in sorted(groups.items(), key=lambda one: one[0])
        for strip in _strips(group, _Saw(thickness=thick, tilt=tilt, kerf=kerf, widest=widest))
    ]
    return tuple(strips), tuple(problems)


def plain(pieces: Iterable[Piece], strips: Iterable[Strip]) -> tuple[Piece, ...]:
    """Return the pieces that lie in no strip, in their order: they are laid out as they are."""
    held = {code for strip in strips for lane in strip.lanes for code, _length in lane}
    return tuple(piece for piece in pieces if piece.code not in held)


def as_part(strip: Strip) -> Part:
    """Return a strip as what is laid out in the breakdown; its length runs with the grain."""
    return Part(code=strip.code, length=strip.length, width=strip.width, is_locked=True)


def _why_not(
    piece: Piece, thickness: Length, longest: Length, widest: Length | None
) -> Problem | None:
    """Return what keeps a piece out of every strip, None where nothing does."""
    found = _unsawable(piece, thickness) or _too_large(piece, longest, widest)
    if not found:
        return None
    message, remedy = found
    return Problem(message, join([remedy, PLAIN]))


def _unsawable(piece: Piece, thickness: Length) -> tuple[Phrase, Phrase] | None:
    if not 0 < piece.bevel <= MOST_TILT:
        return (
            say("Part {code}: no blade tilts by {tilt:g} degrees.", code=piece.code,
                tilt=piece.bevel),
            say("Give its bevel from a square cut, up to {most:g} degrees.", most=MOST_TILT),
        )  # fmt: skip
    if not thickness:
        return (
            say("Part {code}: it has a bevel, but its thickness is not known.", code=piece.code),
            _("Give its thickness in the part list."),
        )
    if short_face(piece.width, thickness=thickness, tilt=piece.bevel) <= 0:
        return (
            say("Part {code}: so narrow, its bevel leaves no short face.", code=piece.code),
            _("Check its width, its thickness and its bevel."),
        )
    if piece.grain == "width":
        return (
            say("Part {code}: its grain runs across its bevelled edge.", code=piece.code),
            _("Let its grain run along its length, or cut its bevel by itself."),
        )
    return None


def _too_large(
    piece: Piece, longest: Length, widest: Length | None
) -> tuple[Phrase, Phrase] | None:
    if piece.length > longest:
        return (
            say("Part {code}: it is longer than any sheet.", code=piece.code),
            _("Take larger sheets, or join it from two."),
        )
    if widest is not None and piece.width > widest:
        return (
            say("Part {code}: it is wider than any sheet.", code=piece.code),
            _("Take larger sheets, or check its width."),
        )
    return None


def _strips(group: Iterable[Piece], saw: _Saw) -> list[Strip]:
    """Return the strips of one bevel, the longest first."""
    rest = sorted(group, key=lambda piece: (-piece.length, -piece.width))
    sides: list[tuple[_Lane, _Lane]] = []
    alike: tuple[Callable[[Piece], tuple[int, ...]], ...] = (
        lambda piece: (piece.length, piece.width),
        lambda piece: (piece.length,),
    )
    for key in alike:
        found, rest = _pairs(rest, key, saw)
        sides += found
    while rest:
        head, *others = rest
        beside = _beside(head, others, saw)
        sides.append(([head], beside))
        rest = [piece for piece in others if piece not in beside]
    strips = (_strip(first, second, saw) for first, second in sides)
    return sorted(strips, key=lambda strip: (-strip.length, -strip.width))


def _pairs(
    pieces: Sequence[Piece], key: Callable[[Piece], tuple[int, ...]], saw: _Saw
) -> tuple[list[tuple[_Lane, _Lane]], list[Piece]]:
    """Pair pieces that are alike by a key; return the pairs and what is left, in their order."""
    pairs: list[tuple[_Lane, _Lane]] = []
    waiting: list[Piece] = []
    for piece in pieces:
        mate = next(
            (one for one in waiting if key(one) == key(piece) and _fits(one, piece, saw)), None
        )
        if mate is None:
            waiting.append(piece)
        else:
            waiting.remove(mate)
            pairs.append(([mate], [piece]))
    return pairs, waiting


def _beside(head: Piece, others: Sequence[Piece], saw: _Saw) -> _Lane:
    """Return what takes least of a sheet as the lane beside a piece, all of one width.

    Nothing where strips of their own take no more. Each piece is tried as the first of the lane,
    and after it the longest that fit.
    """
    best: _Lane = []
    for number, first in enumerate(others):
        if not _fits(head, first, saw):
            continue
        lane, left = [first], head.length - first.length
        for piece in others[number + 1 :]:
            if piece.width == first.width and piece.length + saw.kerf <= left:
                lane.append(piece)
                left -= piece.length + saw.kerf
        best = max(best, lane, key=lambda one: _gain(head, one, saw))
    return best


def _gain(head: Piece, lane: _Lane, saw: _Saw) -> int:
    """Return the area a shared strip takes less than a strip for each, cuts around included."""
    if not lane:
        return 0
    kerf = saw.kerf
    apart = sum((one.length + kerf) * (one.width + kerf) for one in (head, *lane))
    return apart - (head.length + kerf) * (_width(head, lane[0], saw) + kerf)


def _fits(first: Piece, second: Piece, saw: _Saw) -> bool:
    return saw.widest is None or _width(first, second, saw) <= saw.widest


def _width(first: Piece, second: Piece, saw: _Saw) -> Length:
    return strip_width(
        first.width, second.width, thickness=saw.thickness, tilt=saw.tilt, kerf=saw.kerf
    )


def _strip(first: _Lane, second: _Lane, saw: _Saw) -> Strip:
    """Return the strip of two lanes, or of one where the second is empty."""
    head = first[0]
    lanes = [lane for lane in (first, second) if lane]
    # a code of its own: it holds a stroke, which no part's code does
    code = "/".join(lane[0].code for lane in lanes) if second else f"{head.code}/"
    return Strip(
        code=code,
        length=head.length,
        width=_width(head, second[0], saw) if second else head.width,
        thickness=saw.thickness,
        tilt=saw.tilt,
        long_faces=(head.width, second[0].width if second else NOTHING),
        setting=short_face(head.width, thickness=saw.thickness, tilt=saw.tilt),
        lanes=tuple(tuple((one.code, one.length) for one in lane) for lane in lanes),
    )
