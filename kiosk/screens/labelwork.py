"""Make labels on the shop's thread: to be handed to the printer, or as a PDF beside the file."""

from __future__ import annotations

import hashlib
import re
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from kiosk.actions import Order, Wanted
from kiosk.actions.printing import Chosen
from kiosk.rules.labelwords import say_drawing
from kiosk.screens.face import Problems, ShopFace
from kiosk.screens.flow import say_problems
from kiosk.store import StoreError
from labels import LabelError
from labels.artwork import PlaceText
from labels.printing import PDF, Sheet

FOLDER = "labels"  # beside the shop's file, as for the labels of recuts


@dataclass(frozen=True, slots=True)
class Made:
    """What became of labels asked for: an order for the printer, a file, or what was wrong.

    held are the keys of prints that have these labels already.
    """

    order: Order | None = None
    file: Path | None = None
    count: int = 0
    wrong: str = ""
    held: tuple[str, ...] = ()


def make(shop: ShopFace, wanted: Wanted, *, person: str, waiting: Mapping[str, str] | None) -> Made:
    """Make labels; what cannot be made is said in words.

    Args:
        shop: asked on its own thread.
        wanted: which labels; of no job: those of the shop's places.
        person: who asks.
        waiting: codes of labels that are being printed, with their keys; None without a printer.
    """
    try:
        if waiting is None:
            return _write(shop, wanted, person)
        if not wanted.job:
            return _order_places(shop, wanted, person, waiting)
        return _order(shop, wanted, person, waiting)
    except (LabelError, StoreError, OSError) as error:
        return Made(wrong=say_drawing(error) or type(error).__name__)


def _order(shop: ShopFace, wanted: Wanted, person: str, waiting: Mapping[str, str]) -> Made:
    order, problems = shop.order(wanted, person=person)
    if order is None:
        return _refused(problems)
    held = {row.label.code for row in order.rows if row.label.code in waiting}
    keys = tuple(dict.fromkeys(waiting[code] for code in held))
    if not held:
        return Made(order, count=len(order.rows))
    left = [row for row in order.rows if row.label.code not in held]
    if not left:
        return Made(count=len(order.rows), held=keys)
    # those that wait at the printer already are not asked for once more
    names = [row.unit if wanted.units else row.label.code for row in left]
    order, problems = shop.order(replace(wanted, only=names), person=person)
    return _refused(problems) if order is None else Made(order, count=len(order.rows))


def _order_places(shop: ShopFace, wanted: Wanted, person: str, waiting: Mapping[str, str]) -> Made:
    with tempfile.TemporaryDirectory(prefix="cleatclock-") as folder:
        out = Path(folder) / "places.pdf"
        run = shop.place_labels(out, stock=wanted.stock, person=person)
        if run.problems:
            return _refused(run.problems)
        data = out.read_bytes()
    if keys := {waiting[code] for code in run.codes if code in waiting}:
        return Made(count=len(run.codes), held=tuple(keys))
    settings = shop.settings
    stock = wanted.stock or settings.label_stock
    width, height = shop.stocks()[stock].page_mm
    sheet = Sheet(data, PDF, width, height, settings.label_dpi, "places")
    # no unit: it is logged nowhere that a place's label was printed
    rows = tuple(Chosen(PlaceText(code, ""), "", "") for code in run.codes)
    moment = shop.now().strftime("%Y%m%d%H%M%S")
    named = hashlib.sha256(",".join(run.codes).encode()).hexdigest()[:12]
    order = Order(f"{named}-{moment}", sheet, rows, stock)
    return Made(order, count=len(rows))


def _write(shop: ShopFace, wanted: Wanted, person: str) -> Made:
    folder = shop.store.folder / FOLDER
    folder.mkdir(exist_ok=True)
    at = shop.now().astimezone(shop.zone)
    out = free_path(folder, name_of(wanted), at)
    run = (
        shop.labels(wanted, out, person=person)
        if wanted.job
        else shop.place_labels(out, stock=wanted.stock, person=person)
    )
    if run.problems:
        return _refused(run.problems)
    return Made(file=run.files[0] if run.files else out, count=len(run.codes))


def _refused(problems: Problems) -> Made:
    return Made(wrong=say_problems(problems))


def name_of(wanted: Wanted) -> str:
    """Return what a file of these labels is called, without signs a file's name may not have."""
    what = "units" if wanted.units else "parts"
    words = (wanted.job, wanted.only[0] if len(wanted.only) == 1 else what)
    name = "-".join(words) if wanted.job else "places"
    return re.sub(r"[^\w-]+", "-", name)


def free_path(folder: Path, name: str, at: datetime) -> Path:
    """Return a PDF file that is not there yet: labels not printed yet are never overwritten."""
    stem = f"{name}-{at:%Y-%m-%d-%H%M}"
    path, number = folder / f"{stem}.pdf", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.pdf", number + 1
    return path
