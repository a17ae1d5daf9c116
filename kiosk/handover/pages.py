"""Lay the handover sheet out on pages and draw them in greys."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from PIL import Image, ImageDraw

from kiosk.handover.words import ADVICE, HEADINGS, LOADED, Row
from labels.artwork.letters import ABOVE, fit, font, plain, width_of

DPI: Final = 200
PAPERS: Final = {"a4": (1654, 2339), "letter": (1700, 2200)}  # dots; 210 x 297 mm, 8.5 x 11 in
TITLE: Final = "Handover"

_INK, _GREY, _RULE, _PAPER = 0, 80, 170, 255
# Sizes in dots of 1/200 inch; a sheet is read at arm's length (choices).
_EDGE, _LARGE, _PLAIN, _SMALL, _LEAST = 140, 64, 32, 27, 22
_PITCH: Final = 40.0  # from line to line of the words below the table
_ROW: Final = 96.0  # two lines and the room around them
_HEADING: Final = 60.0
_FOOT: Final = 60.0  # for the page's number
_FIRST_TOP, _LATER_TOP = 330.0, 100.0  # what the head takes of the first page and the others
# Of the table's width: the unit, each use, and what it may carry where that is said (choices).
_SHARES: Final = (0.31, 0.23, 0.23, 0.23)
_WITH_LOADS: Final = (0.25, 0.2, 0.2, 0.2, 0.15)
_INSET: Final = 14

Item = Row | str  # a row of the table, or a line of the words below it


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top of the sheet."""

    job: str
    site: str
    shop: str
    date: str


def draw_pages(
    head: Head, rows: Sequence[Row], *, notes: Sequence[str], size: tuple[int, int]
) -> Iterator[Image.Image]:
    """Yield the pages of the sheet.

    Args:
        head: what stands at the top.
        rows: the table.
        notes: paragraphs of the shop's own, below the usual advice.
        size: of the paper, in dots.
    """
    pages = paginate([*rows, *_lines([*ADVICE, *notes], size[0] - 2 * _EDGE)], height=size[1])
    for number, items in enumerate(pages, start=1):
        page = Image.new("L", size, _PAPER)
        pen = ImageDraw.Draw(page)
        y = _draw_head(pen, head, size[0], first=number == 1)
        if items and isinstance(items[0], Row):
            names = (*HEADINGS, LOADED)[: len(items[0].cells)]
            y = _draw_cells(pen, tuple((text, "") for text in names), y, size[0], grey=True)
        for item in items:
            if isinstance(item, str):
                _write(pen, (_EDGE, y), item, _SMALL)
                y += _PITCH
            else:
                y = _draw_cells(pen, item.cells, y, size[0])
        words = f"page {number} of {len(pages)}"
        x = (size[0] - width_of(words, _SMALL)) / 2
        _write(pen, (x, size[1] - _EDGE + 10), words, _SMALL, grey=True)
        yield page


def paginate(items: Sequence[Item], *, height: int) -> list[list[Item]]:
    """Return items page by page, in order, none lost but empty lines at the top of a page."""
    room = height - 2 * _EDGE - _FOOT
    pages: list[list[Item]] = [[]]
    left = room - _FIRST_TOP - _HEADING
    for item in items:
        needed = _PITCH if isinstance(item, str) else _ROW
        if needed > left:
            pages.append([])
            left = room - _LATER_TOP - _HEADING
        if item or pages[-1]:
            pages[-1].append(item)
            left -= needed
    return pages


def _lines(paragraphs: Sequence[str], width: int) -> Iterator[str]:
    for paragraph in paragraphs:
        yield ""
        yield from wrap(paragraph, width, size=_SMALL)


def wrap(text: str, width: int, *, size: int) -> list[str]:
    """Return a text in lines no wider than width; a word that is wider is cut."""
    lines: list[str] = []
    for word in plain(text).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(fit(word, width, largest=size, least=size)[0])
    return lines


def _draw_head(pen: ImageDraw.ImageDraw, head: Head, width: int, *, first: bool) -> float:
    """Draw the head of a page and return where what follows begins."""
    room = width - 2 * _EDGE
    if not first:
        words = " · ".join(part for part in (TITLE, head.job, head.site, head.date) if part)
        _write(pen, (_EDGE, _EDGE), fit(words, room, largest=_SMALL, least=_SMALL)[0], _SMALL)
        return _EDGE + _LATER_TOP
    _write(pen, (_EDGE, _EDGE), TITLE, _LARGE)
    y = _EDGE + 1.3 * _LARGE
    for name, value in (("job", head.job), ("site", head.site), ("made by", head.shop),
                        ("date", head.date)):  # fmt: skip
        if value:
            _write(pen, (_EDGE, y), name, _PLAIN, grey=True)
            text, size = fit(plain(value), room - 150, largest=_PLAIN, least=_LEAST)
            _write(pen, (_EDGE + 150, y), text, size)
            y += 1.4 * _PLAIN
    return _EDGE + _FIRST_TOP


def _draw_cells(
    pen: ImageDraw.ImageDraw,
    cells: Sequence[tuple[str, str]],
    y: float,
    width: int,
    *,
    grey: bool = False,
) -> float:
    """Draw one row of the table with a rule below it, and return where the next begins."""
    table = width - 2 * _EDGE
    shares = _SHARES if len(cells) == len(_SHARES) else _WITH_LOADS
    tall = _HEADING if grey else _ROW
    x = float(_EDGE)
    for (text, below), share in zip(cells, shares, strict=True):
        room = round(table * share - _INSET)
        _draw_cell(pen, (x, y + 8), (plain(text), plain(below)), room, grey=grey)
        x += table * share
    pen.line([(_EDGE, y + tall), (width - _EDGE, y + tall)], fill=_RULE, width=2)
    return y + tall


def _draw_cell(
    pen: ImageDraw.ImageDraw,
    at: tuple[float, float],
    texts: tuple[str, str],
    room: int,
    *,
    grey: bool,
) -> None:
    """Write a line and a smaller one below it; without the first, the other may take two."""
    x, y = at
    text, below = texts
    if text:
        line, size = fit(text, room, largest=_SMALL if grey else _PLAIN, least=_SMALL - 1)
        _write(pen, (x, y + ABOVE * (_PLAIN - size)), line, size, grey=grey)
        line, size = fit(below, room, largest=_SMALL - 3, least=_LEAST)
        _write(pen, (x, y + 42), line, size, grey=True)
        return
    lines = wrap(below, room, size=_SMALL)
    for number, line in enumerate([lines[0], " ".join(lines[1:])] if lines else []):
        short, size = fit(line, room, largest=_SMALL, least=_LEAST)
        _write(pen, (x, y + number * 38), short, size, grey=True)


def _write(
    pen: ImageDraw.ImageDraw, at: tuple[float, float], text: str, size: int, *, grey: bool = False
) -> None:
    """Write a text with the top of its line at a point."""
    x, y = at
    fill = _GREY if grey else _INK
    pen.text((x, y + ABOVE * size), text, font=font(size), fill=fill, anchor="ls")
