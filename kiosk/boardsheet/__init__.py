"""Print the board: for those who pin paper beside the rack."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from kiosk.actions import Shop
from kiosk.boardsheet.pages import Head, lay_out_pages
from kiosk.boardsheet.rows import compose_sections
from kiosk.figure.paper import SIZES, write_pages

__all__ = ["SUFFIXES", "write_board"]

SUFFIXES = (".pdf", ".png")


def write_board(shop: Shop, now: datetime, *, out: Path, paper: str) -> tuple[Path, ...]:
    """Write the board as of a moment to a PDF, or to PNG pictures, one a page; return the files.

    Several pictures are numbered: `board-1.png`, `board-2.png`. Older files of those names are
    replaced at once, or kept if anything goes wrong.

    Args:
        shop: the shop.
        now: the moment shown, aware.
        out: the file, `.pdf` or `.png`; its folder must exist.
        paper: a4 or letter.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    floor = shop.floor(now)
    sections = compose_sections(floor, shop.standings(now), now=now, zone=shop.zone)
    head = Head(shop.settings.shop, now.astimezone(shop.zone), floor)
    figures = lay_out_pages(head, sections, size=SIZES[paper])
    return write_pages(figures, out, title="Board", made=now)
