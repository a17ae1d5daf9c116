"""Print the board: for those who pin paper beside the rack."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from pathlib import Path

from kiosk.actions import Shop
from kiosk.boardsheet.pages import SCALE, SIZES, Head, lay_out_pages
from kiosk.boardsheet.rows import compose_sections
from kiosk.figure import to_png

__all__ = ["SUFFIXES", "write_board"]

SUFFIXES = (".pdf", ".png")
_DPI = 100 * SCALE  # the figure's units are 1/100 inch


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
    pages = [to_png(figure, SCALE) for figure in figures]
    with tempfile.TemporaryDirectory(prefix=".board-", dir=out.parent) as folder:
        if out.suffix.lower() == ".pdf":
            made = now.astimezone(UTC).timetuple()
            draft = Path(folder) / "pages.pdf"
            pages[0].save(
                draft, "PDF", save_all=True, append_images=pages[1:], resolution=_DPI, quality=92,
                title="Board", creationDate=made, modDate=made,
            )  # fmt: skip
            draft.replace(out)
            return (out,)
        drafts = [Path(folder) / f"{at}.png" for at in range(len(pages))]
        for draft, page in zip(drafts, pages, strict=True):
            page.save(draft, "PNG", dpi=(_DPI, _DPI))
        names = [out.with_name(f"{out.stem}-{at + 1}{out.suffix}") for at in range(len(pages))]
        files = (out,) if len(pages) == 1 else tuple(names)
        for draft, file in zip(drafts, files, strict=True):
            draft.replace(file)
        return files
