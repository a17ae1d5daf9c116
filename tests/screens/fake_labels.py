"""Labels of a shop written by hand: what the pictures of the screens need, and no more."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

from kiosk.actions import Kept, LabelRun, Ordered, PartHit, Unfinished
from kiosk.actions.lookup import Found
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.lengths import from_mm
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Outcome
from kiosk.store import Job
from labels.stocks import Stock

STOCKS = (
    Stock("50x25", "roll, 50 × 25 mm", 50, 25, ""),
    Stock("38x21", "roll, 38 × 21 mm", 38, 21, ""),
    Stock("tag", "hanging tag, 60 × 30 mm", 60, 30, ""),
)
NOTHING = (Problem("There is no label to print.", "All were printed before."),)


def unit_of(unit: str, *codes: str) -> UnitState:
    sides = {"length": from_mm(600), "width": from_mm(300), "thickness": from_mm(18)}
    pieces = tuple(Piece(code=code, part="Side", **sides) for code in codes)
    spec = UnitSpec(job="GLAZE", unit=unit, name="Tile panel", kind="panel", pieces=pieces)
    return UnitState(spec, tuple(PieceState(piece, {}) for piece in pieces), {})


class FakeLabels:
    """One job with one unit of two parts; nothing of it is to be printed."""

    def __init__(self) -> None:
        super().__init__()
        self.store = SimpleNamespace(
            folder=Path("/home/glaze/shop"), file=Path("/home/glaze/shop/shop.db")
        )
        self.units = [unit_of("G05", "K7F3Q97", "K7F4AC3")]
        self.came: list[object] = []
        self.kept: dict[str, Kept] = {}

    def jobs(self):
        return {"GLAZE": Job("GLAZE", "Glaze store")}

    def find_parts(self, words: str):
        return [PartHit(state, piece) for state in self.units for piece in state.pieces]

    def find_unit(self, text: str):
        found = [state for state in self.units if text == f"GLAZE/{state.spec.unit}"]
        return Found(found[0], None, "") if found else Answer(Outcome.UNKNOWN, "No such unit")

    def size_text(self, job: str, piece: Piece) -> str:
        return "600 × 300 × 18 mm"

    def stocks(self):
        return {one.key: one for one in STOCKS}

    def labels(self, wanted, out: Path, *, person: str = "") -> LabelRun:
        return LabelRun(problems=NOTHING)

    def orders(self, wanted, *, person: str = "", leave=()):
        return Ordered(problems=NOTHING)

    def order_at_once(self, answer: Answer, *, recut: bool = False, stock: str = ""):
        return None, ()

    def keep_print(self, kept) -> None:
        self.kept[kept.key] = kept

    def drop_print(self, key: str) -> None:
        self.kept.pop(key, None)

    def unfinished(self):
        return tuple(self.kept.values())

    def draw_kept(self, kept) -> Unfinished:
        return Unfinished(kept, wrong="There is no label to print.")

    def came_out(self, order, *, person: str = "") -> None:
        self.came.append(order)
