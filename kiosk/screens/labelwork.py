"""Make labels on the shop's thread: to be handed to the printer, or as a PDF beside the file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from kiosk.actions import Order, Wanted
from kiosk.actions.labelfiles import FOLDER, free_path, name_of, say_lost
from kiosk.screens.face import Problems, ShopFace
from kiosk.screens.flow import say_problems
from kiosk.store import StoreError
from labels import LabelError


@dataclass(frozen=True, slots=True)
class Made:
    """What became of labels asked for: orders for the printer, a file, or what was wrong.

    held are the keys of prints that have these labels already; count says how many are made, or
    where all are held, how many those are.
    """

    orders: tuple[Order, ...] = ()
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
        return _order(shop, wanted, person, waiting)
    except (LabelError, StoreError, OSError) as error:
        return Made(wrong=say_lost(error))


def _order(shop: ShopFace, wanted: Wanted, person: str, waiting: Mapping[str, str]) -> Made:
    # those that wait at the printer already are not asked for once more
    found = shop.orders(wanted, person=person, leave=waiting)
    if found.problems:
        return _refused(found.problems)
    keys = tuple(dict.fromkeys(waiting[code] for code in found.held))
    made = sum(len(order.rows) for order in found.orders)
    return Made(found.orders, count=made or len(found.held), held=keys)


def _write(shop: ShopFace, wanted: Wanted, person: str) -> Made:
    folder = shop.store.folder / FOLDER
    folder.mkdir(exist_ok=True)
    out = free_path(folder, name_of(wanted), shop.now().astimezone(shop.zone))
    run = shop.labels(wanted, out, person=person)
    if run.problems:
        return _refused(run.problems)
    return Made(file=run.files[0] if run.files else out, count=len(run.codes))


def _refused(problems: Problems) -> Made:
    return Made(wrong=say_problems(problems))
