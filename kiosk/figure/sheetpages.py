"""Lay out the paper a job is sawn by: what to fetch, then each sheet with its map and its cuts.

Units are 1/100 inch.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from kiosk.figure.paper import SIZES, cell, write_pages
from kiosk.figure.shapes import GREY, INK, Box, Figure, Line, Shape, Words
from kiosk.figure.sheetfirst import first_pages
from kiosk.figure.sheetmap import draw_map, moved
from kiosk.figure.sheetnames import WIDER
from kiosk.figure.sheetsay import Names, say_material, say_size
from kiosk.figure.sheetsketch import Look
from kiosk.figure.sheettable import (
    HEADING,
    Row,
    compose_rows,
    heading_shapes,
    height_of,
    row_shapes,
    say_count,
)
from kiosk.language import shown
from kiosk.rules.hangday import say_day
from kiosk.rules.lengths import Length, System, show, tape
from kiosk.rules.sheets.lines import bevel_words
from kiosk.rules.sheets.model import PlannedSheet
from kiosk.rules.sheets.views import SheetsView, SheetView
from kiosk.rules.words import _, join, say, say_n
from labels.artwork.letters import plain, wrap
from labels.codes import shown as grouped

_EDGE, _FOOT = 50.0, 26.0
_TITLE, _PLAIN, _LEAST = 26, 14, 9
_HEAD, _LATER = 92.0, 44.0  # what the head takes of a sheet's first page and of later ones
_TALLEST: Final = 0.56  # of a page that a map takes at most; its first cuts stand below it (choice)
_NOTE: Final = 17.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetHead:
    """What stands on all pages: the shop, the job and its name, and when this was printed.

    at is in the shop's zone; system is the one the shop reads lengths in. grained are the codes of
    parts whose grain is locked.
    """

    job: str
    at: datetime
    name: str = ""
    shop: str = ""
    system: System = System.MM
    grained: frozenset[str] = frozenset()


def names_of(view: SheetsView) -> Names:
    """Return name and unit of each part by its code."""
    return {code: (name.part, name.unit) for code, name in view.names.items()}


def draw_sheet_pages(
    view: SheetsView, path: Path, *, head: SheetHead, paper: str, only: Collection[str] = ()
) -> tuple[Path, ...]:
    """Write maps and cuts to a PDF, or to PNG pictures, one a page; return the files.

    Args:
        view: the plan as it is shown: only sheets that passed every check.
        path: the file, `.pdf` or `.png`; its folder must exist.
        head: what stands on all pages.
        paper: a4 or letter.
        only: names of sheets, such as S3, that alone are wanted; empty: all, and what to fetch.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    figures = lay_out_sheet_pages(view, head, size=SIZES[paper], only=only)
    return write_pages(figures, path, title="Sheets", made=head.at)


def lay_out_sheet_pages(
    view: SheetsView, head: SheetHead, *, size: tuple[int, int], only: Collection[str] = ()
) -> list[Figure]:
    """Return the pages: what to fetch, then each sheet; every cut stands on one of them.

    A sheet that is not begun and holds nothing that is asked for is left out.
    """
    needed = tuple(one for one in view.sheets if one.is_begun or not one.is_idle)
    view = replace(view, sheets=needed)
    room = Box(_EDGE, _EDGE + _LATER, size[0] - _EDGE, size[1] - _EDGE - _FOOT)
    first = () if only else first_pages(view, names_of(view), system=head.system, room=room)
    bodies = [[*_title(head, size), *body] for body in first]
    for number, sheet in enumerate(view.sheets, 1):
        if not only or sheet.planned.sheet.name in only:
            bodies += _sheet_pages(view, sheet, head, (number, len(view.sheets)), size)
    return [
        Figure(*size, (*body, *_foot(head, size, (number, len(bodies)))))
        for number, body in enumerate(bodies, start=1)
    ]


def _title(head: SheetHead, size: tuple[int, int]) -> Iterator[Shape]:
    room = size[0] - 2 * _EDGE
    words = join((head.shop, join((_("Cutting"), head.job))), ": ")
    yield from cell(join((words, head.name), ", "), _EDGE, _EDGE + 24, room=room * 0.68,
                    size=_TITLE, least=_LEAST)  # fmt: skip
    day = say("{day}, {time}", day=say_day(head.at.date()), time=f"{head.at:%H:%M}")
    yield from cell(day, size[0] - _EDGE, _EDGE + 24, room=room * 0.3, size=_PLAIN + 2,
                    least=_LEAST, anchor="end")  # fmt: skip
    yield Line(((_EDGE, _EDGE + 36), (size[0] - _EDGE, _EDGE + 36)), 2.0, INK)


def _foot(head: SheetHead, size: tuple[int, int], number: tuple[int, int]) -> Iterator[Shape]:
    page = say("page {number} of {all}", number=number[0], all=number[1])
    words = join((head.job, page), ", ")
    yield Words(size[0] / 2, size[1] - _EDGE + 12, shown(words), 12, "middle", GREY)


# -- one sheet -----------------------------------------------------------------------------------


def _sheet_pages(
    view: SheetsView,
    sheet: SheetView,
    head: SheetHead,
    number: tuple[int, int],
    size: tuple[int, int],
) -> Iterator[list[Shape]]:
    """Yield the pages of one sheet: the map and as many cuts as fit, then the other cuts."""
    width, bottom = size[0] - 2 * _EDGE, size[1] - _EDGE - _FOOT
    names = names_of(view)
    shapes = list(_sheet_head(view, sheet, head, number, size))
    look = Look(
        lines=sheet.lines, done=sheet.done, cut=sheet.cut, spoiled=sheet.spoiled,
        grained=head.grained, system=head.system,
    )  # fmt: skip
    picture = draw_map(sheet.planned, names, look, room=(width, (bottom - _EDGE) * _TALLEST))
    y = _EDGE + _HEAD
    shapes += moved(picture.figure.shapes, _EDGE, y)
    y += picture.figure.height + 6
    for words in bevel_words(sheet.planned, system=head.system):
        for text in wrap(plain(shown(words)), int(width / WIDER), _PLAIN - 1):
            shapes.append(Words(_EDGE, y + 12, text, _PLAIN - 1))
            y += _NOTE
    trim = sheet.planned.sheet.stock.trim
    rows = compose_rows(sheet.lines, names, system=head.system, done=sheet.done, trim=trim)
    if not rows:
        words = _("This sheet is a part as it is: nothing is cut.")
        shapes += cell(words, _EDGE, y + 20, room=width, size=_PLAIN, least=_LEAST)
        yield shapes
        return
    again = list(_later_head(sheet, head, size))
    yield from _with_rows(shapes, rows, again, system=head.system, edges=(y, width, bottom))


def _with_rows(
    shapes: list[Shape],
    rows: Sequence[Row],
    again: Sequence[Shape],
    *,
    system: System,
    edges: tuple[float, float, float],
) -> Iterator[list[Shape]]:
    """Yield a page with the rows that fit below what stands on it, and pages for the others.

    again is the head of these; edges are where the rows begin, how wide they are and where they
    end.
    """
    y, width, bottom = edges
    page, has_names = list(shapes), False
    for row in rows:
        tall = height_of(row, width, system)
        # the names of the columns stand with two rows at least
        if y + (tall if has_names else HEADING + 2 * tall) > bottom and page != again:
            yield page
            page, y, has_names = list(again), _EDGE + _LATER, False
        is_top = not has_names
        if is_top:
            page += heading_shapes(_EDGE, y, width)
            y, has_names = y + HEADING, True
        page += row_shapes(row, _EDGE, y, width, system=system, is_top=is_top)
        y += tall
    yield page


def _sheet_head(
    view: SheetsView,
    sheet: SheetView,
    head: SheetHead,
    number: tuple[int, int],
    size: tuple[int, int],
) -> Iterator[Shape]:
    """Yield the head of a sheet's first page: which it is, of what, and what the saw must know."""
    planned, right = sheet.planned, size[0] - _EDGE
    title = join((planned.sheet.name, say_material(planned.material, head.system)), ": ")
    which = say("sheet {number} of {all}", number=number[0], all=number[1])
    day = say("{day}, {time}", day=say_day(head.at.date()), time=f"{head.at:%H:%M}")
    lines = (
        (title, join((head.job, which), ", "), 24, (_TITLE, _PLAIN + 2), INK),
        (_stock_words(planned, head.system), say_count(sheet.lines), 56, (_PLAIN, _PLAIN), INK),
        (_bound_words(view, planned), day, 76, (_PLAIN - 1, _PLAIN - 1), GREY),
    )
    for words, end, base, (large, small), colour in lines:
        room = size[0] - 2 * _EDGE
        yield from cell(words, _EDGE, _EDGE + base, room=room * 0.62, size=large, least=_LEAST,
                        colour=colour)  # fmt: skip
        yield from cell(end, right, _EDGE + base, room=room * 0.36, size=small, least=_LEAST,
                        anchor="end", colour=colour)  # fmt: skip
    yield Line(((_EDGE, _EDGE + 36), (right, _EDGE + 36)), 2.0, INK)


def _stock_words(planned: PlannedSheet, system: System) -> str:
    """Return what is laid on the saw: its size or its offcut's code, its trim and the kerf."""
    stock = planned.sheet.stock
    whole = say_size(stock.length, stock.width, system)
    if planned.offcut:
        whole = say("offcut {code}, {size}", code=grouped(planned.offcut), size=whole)
    off = tape(Length(stock.trim), system)
    trim = say("{trim} off each edge", trim=off) if stock.trim else _("no trim")
    return join((whole, trim, say("kerf {kerf}", kerf=show(planned.kerf, system))), "; ")


def _bound_words(view: SheetsView, planned: PlannedSheet) -> str:
    """Return how many sheets of a material are taken and how many it takes at least."""
    bound = dict(view.plan.bounds).get(planned.material)
    alike = [one.planned for one in view.sheets if one.planned.material == planned.material]
    new = sum(not one.offcut for one in alike)
    if bound is None:
        return ""
    return say_n(
        "{n} new sheet of this for the job; fewer than {bound} cannot do",
        "{n} new sheets of this for the job; fewer than {bound} cannot do",
        new,
        bound=bound,
    )


def _later_head(sheet: SheetView, head: SheetHead, size: tuple[int, int]) -> Iterator[Shape]:
    planned, room = sheet.planned, size[0] - 2 * _EDGE
    title = join((planned.sheet.name, say_material(planned.material, head.system)), ": ")
    words = join((title, _("(continued)")))
    yield from cell(words, _EDGE, _EDGE + 22, room=room * 0.7, size=20, least=_LEAST)
    yield from cell(head.job, size[0] - _EDGE, _EDGE + 22, room=room * 0.28, size=_PLAIN + 2,
                    least=_LEAST, anchor="end")  # fmt: skip
