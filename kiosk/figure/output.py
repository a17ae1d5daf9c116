"""Write a picture as SVG text or as dots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import cycle, pairwise
from math import hypot
from typing import Final
from xml.sax.saxutils import escape

from PIL import Image, ImageDraw

from kiosk.figure.shapes import PAPER, Area, Box, Dot, Figure, Line, Shape, Words
from labels.artwork.letters import font, plain

_FINER: Final = 2  # drawn so much finer and shrunk, for Pillow's own lines are jagged
_ANCHORS: Final = {"start": "ls", "middle": "ms", "end": "rs"}
_AS_DRAWN: Final[Mapping[str, str]] = {}
_FACE: Final = "'Source Sans Pro', 'Source Sans 3', sans-serif"


def to_svg(figure: Figure) -> str:
    """Return the picture as SVG.

    Letters are set to the width they were laid out for, so that another face cuts nothing off.
    """
    size = f"{figure.width} {figure.height}"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{figure.width}" '
        f'height="{figure.height}" font-family="{_FACE}" font-weight="600">'
    )
    paper = f'<rect width="{figure.width}" height="{figure.height}" fill="{PAPER}"/>'
    return "\n".join([head, paper, *(_tag(shape) for shape in _in_order(figure)), "</svg>", ""])


def _in_order(figure: Figure) -> Iterator[Shape]:
    yield from (shape for shape in figure.shapes if not isinstance(shape, Words))
    yield from figure.words


def _tag(shape: Shape) -> str:
    match shape:
        case Line():
            dash = f' stroke-dasharray="{" ".join(map(_n, shape.dash))}"' if shape.dash else ""
            return (
                f'<polyline points="{_dots(shape.points)}" fill="none" stroke="{shape.colour}" '
                f'stroke-width="{_n(shape.width)}"{dash}/>'
            )
        case Area():
            return f'<polygon points="{_dots(shape.points)}" fill="{shape.colour}"/>'
        case Box():
            return (
                f'<rect x="{_n(shape.left)}" y="{_n(shape.top)}" '
                f'width="{_n(shape.right - shape.left)}" height="{_n(shape.bottom - shape.top)}" '
                f'fill="{shape.fill or "none"}" stroke="{shape.edge or "none"}"/>'
            )
        case Words():
            return (
                f'<text x="{_n(shape.x)}" y="{_n(shape.y)}" font-size="{shape.size}" '
                f'text-anchor="{shape.anchor}" fill="{shape.colour}" textLength="{shape.width}" '
                f'lengthAdjust="spacingAndGlyphs">{escape(plain(shape.text))}</text>'
            )


def _n(value: float) -> str:
    return f"{round(value, 1):g}"


def _dots(points: Sequence[Dot]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def to_png(
    figure: Figure, scale: float = 1.0, *, tints: Mapping[str, str] = _AS_DRAWN
) -> Image.Image:
    """Return the picture in colour, scale dots for each of its units (0.5 or more).

    tints are colours to draw in place of those it has, such as `shapes.DARK`.
    """
    size = round(figure.width * scale), round(figure.height * scale)
    finer = scale * _FINER
    picture = Image.new("RGB", (size[0] * _FINER, size[1] * _FINER), tints.get(PAPER, PAPER))
    pen = ImageDraw.Draw(picture)
    for shape in figure.shapes:
        _draw(pen, shape, finer, tints)
    picture = picture.resize(size, Image.Resampling.BOX)
    pen = ImageDraw.Draw(picture)
    for words in figure.words:
        face = font(max(1, round(words.size * scale)))
        at = (words.x * scale, words.y * scale)
        fill, anchor = tints.get(words.colour, words.colour), _ANCHORS[words.anchor]
        pen.text(at, plain(words.text), fill=fill, font=face, anchor=anchor)
    return picture


def _draw(pen: ImageDraw.ImageDraw, shape: Shape, scale: float, tints: Mapping[str, str]) -> None:
    """Draw a shape that is not words."""

    def tint(colour: str) -> str:
        return tints.get(colour, colour)

    match shape:
        case Line():
            points = [(x * scale, y * scale) for x, y in shape.points]
            width = max(1, round(shape.width * scale))
            dashes = _dashed(points, [part * scale for part in shape.dash])
            for run in dashes if shape.dash else [points]:
                pen.line(run, fill=tint(shape.colour), width=width, joint="curve")
        case Area():
            pen.polygon([(x * scale, y * scale) for x, y in shape.points], fill=tint(shape.colour))
        case Box():
            edges = [side * scale for side in (shape.left, shape.top, shape.right, shape.bottom)]
            width = max(1, round(scale))
            fill, edge = tint(shape.fill) or None, tint(shape.edge) or None
            pen.rectangle(edges, fill=fill, outline=edge, width=width)


def _dashed(points: Sequence[Dot], dash: Sequence[float]) -> Iterator[list[Dot]]:
    """Yield the runs of a line that are drawn."""
    parts = cycle(dash)
    left, drawn = next(parts, 0.0), True
    run = list(points[:1])
    for (x, y), (to_x, to_y) in pairwise(points):
        length, done = hypot(to_x - x, to_y - y), 0.0
        while length - done > left:
            done += left
            turn = (x + (to_x - x) * done / length, y + (to_y - y) * done / length)
            if drawn:
                yield [*run, turn]
            run, drawn, left = [turn], not drawn, next(parts)
        left -= length - done
        run.append((to_x, to_y))
    if drawn and len(run) > 1:
        yield run
