"""Write the sheet a client is handed: from when each unit may be hung, wiped and loaded."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from datetime import UTC, datetime, tzinfo
from pathlib import Path

from kiosk.handover.loads import compose_loads, load_advice
from kiosk.handover.pages import DPI, PAPERS, TITLE, Head, draw_pages
from kiosk.handover.words import Row, compose_rows, say_date
from kiosk.rules.ends import Ends
from kiosk.rules.hanging.hangviews import HangingView
from kiosk.rules.lengths import System

__all__ = ["PAPERS", "Row", "compose_rows", "write_handover"]


def write_handover(  # noqa: PLR0913 - a sheet has so many parts
    path: Path,
    *,
    job_name: str,
    site: str,
    shop_name: str,
    ends: Sequence[Ends],
    now: datetime,
    zone: tzinfo,
    notes: Sequence[str] = (),
    paper: str = "a4",
    hanging: HangingView | None = None,
    system: System = System.MM,
) -> int:
    """Write the handover sheet as a PDF and return how many pages it has.

    An older file of that name is replaced at once, or kept if anything goes wrong.

    Args:
        path: the file; its folder must exist.
        job_name: the job, in the shop's words.
        site: where it hangs; may be empty.
        shop_name: who made it; may be empty.
        ends: the units, in the order they are listed.
        now: aware; the date of the sheet.
        zone: the shop's.
        notes: what the shop wants to add, a paragraph each.
        paper: a4 or letter.
        hanging: the check of how the job's units hang: what each may carry stands beside the dates,
            and that nobody measured a wall where it is so; None: nothing is said of loads.
        system: how the job reads lengths; in inches loads are in pounds too.

    Raises:
        OSError: the disk refused.
        KeyError: paper is neither a4 nor letter.
    """
    head = Head(job_name, site, shop_name, say_date(now, zone))
    loads = None if hanging is None else compose_loads(hanging, system)
    rows = compose_rows(ends, now=now, zone=zone, loads=loads)
    notes = [*(load_advice(hanging, system) if hanging is not None else ()), *notes]
    pages = list(draw_pages(head, rows, notes=notes, size=PAPERS[paper]))
    made = now.astimezone(UTC).timetuple()
    with tempfile.TemporaryDirectory(prefix=".handover-", dir=path.parent) as folder:
        draft = Path(folder) / "pages.pdf"
        pages[0].save(
            draft, "PDF", save_all=True, append_images=pages[1:], resolution=DPI, quality=90,
            title=TITLE, creationDate=made, modDate=made,
        )  # fmt: skip
        draft.replace(path)
    return len(pages)
