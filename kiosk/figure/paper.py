"""Write figures as pages of paper: one PDF, or a PNG picture a page."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from kiosk.figure.output import to_png
from kiosk.figure.shapes import INK, Figure, Words
from kiosk.language import shown
from labels.artwork.letters import fit, plain

# Units of a page are 1/100 inch.
SIZES: Final = {"a4": (827, 1169), "letter": (850, 1100)}
NAMES: Final = {"a4": "A4", "letter": "Letter"}  # what people call them
SCALE: Final = 2  # 200 dots per inch
_DPI: Final = 100 * SCALE


def write_pages(
    figures: Sequence[Figure], out: Path, *, title: str, made: datetime
) -> tuple[Path, ...]:
    """Write pages to a file and return the files; older ones of those names are replaced at once.

    Several pictures are numbered: `day-1.png`, `day-2.png`. If anything goes wrong, what was there
    before is kept.

    Args:
        figures: at least one; their units are 1/100 inch.
        out: the file, `.pdf` or `.png`; its folder must exist.
        title: of the document, and what its draft is called meanwhile.
        made: when it was made, aware.

    Raises:
        OSError: the disk refused.
    """
    pages = [to_png(figure, SCALE) for figure in figures]
    with tempfile.TemporaryDirectory(prefix=".pages-", dir=out.parent) as folder:
        if out.suffix.lower() == ".pdf":
            at = made.astimezone(UTC).timetuple()
            draft = Path(folder) / "pages.pdf"
            pages[0].save(
                draft, "PDF", save_all=True, append_images=pages[1:], resolution=_DPI, quality=92,
                title=title, creationDate=at, modDate=at,
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


def cell(  # noqa: PLR0913 - a cell has so many parts
    text: str,
    x: float,
    y: float,
    *,
    room: float,
    size: int,
    least: int,
    anchor: str = "start",
    colour: str = INK,
) -> Iterator[Words]:
    """Yield a text at a point, smaller where it must be, with an end where it is still too long."""
    if text:
        said, fitting = fit(plain(shown(text)), int(room), largest=size, least=least)
        yield Words(x, y, said, fitting, anchor, colour)
