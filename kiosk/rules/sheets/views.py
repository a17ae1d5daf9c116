"""What a person is shown of a job's sheets, of a search for a layout, and of the stock.

Lengths are whole units of 1/1600 mm. Nothing here changes; each look makes them anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kiosk.rules.lengths import Length
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import (
    CutLine,
    KeptOffcut,
    Material,
    PlannedSheet,
    SheetPlan,
    SheetSize,
)


@dataclass(frozen=True, slots=True)
class PartName:
    """What a part of a plan is called: its name and unit, and its size in the job's units."""

    part: str
    unit: str
    size: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """One sheet of a kept plan, with all its lines and how far it is cut; every check passed.

    done are the numbers of the lines made, next that of the line to make now, None where all are.
    cut are the codes of its parts that are cut, of `parts` in all; spoiled those of parts that were
    spoiled since. unlisted are parts on it that no list asks for any more.
    """

    planned: PlannedSheet
    lines: tuple[CutLine, ...]
    done: frozenset[int] = frozenset()
    next: int | None = None
    parts: int = 0
    cut: frozenset[str] = frozenset()
    spoiled: frozenset[str] = frozenset()
    unlisted: frozenset[str] = frozenset()
    is_begun: bool = False

    @property
    def key(self) -> str:
        """Return what names the sheet in the log and in `make_cut`."""
        return self.planned.key

    @property
    def is_cut_up(self) -> bool:
        """Tell whether every line is made and every part recorded."""
        return self.next is None and len(self.cut) == self.parts


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetsView:
    """The plan a job's sheets are cut by, with progress.

    sheets are those that passed every check; faults say of each other one why it is not shown.
    names are those of all parts by code, cleats within strips among them. unplanned are parts that
    are neither cut nor on a sheet: left out for want of sheets, or new on the list. notes say what
    was assumed or done by itself, such as where a spoiled part found its place.
    """

    plan: SheetPlan
    sheets: tuple[SheetView, ...]
    names: Mapping[str, PartName] = field(default_factory=dict)
    faults: tuple[str, ...] = ()
    unplanned: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def next_sheet(self) -> SheetView | None:
        """Return the sheet to cut now: one that is begun before others, None where all are cut."""
        waiting = [one for one in self.sheets if not one.is_cut_up]
        return min(waiting, key=lambda one: not one.is_begun, default=None)

    def sheet(self, key: str) -> SheetView | None:
        """Return the sheet of a key, or None."""
        return next((one for one in self.sheets if one.key == key), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One way to break a material down; number is what `keep_sheets` takes, from 0.

    sheets are new ones, of which bound are needed at least; offcuts those used up. settings is how
    often the fence is set. largest_offcut is the length and width of the largest that remains,
    None where none does. left_out are codes of parts for which there are not sheets enough.
    """

    material: Material
    number: int
    planned: tuple[PlannedSheet, ...]
    sheets: int
    offcuts: int
    bound: int
    cuts: int
    settings: int
    levels: int | None = None
    largest_offcut: tuple[Length, Length] | None = None
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialSearch:
    """How far the search is with one material: the best so far, 0 sheets before the first."""

    material: Material
    parts: int
    sheets: int = 0
    offcuts: int = 0
    bound: int = 0
    settings: int = 0
    left_out: int = 0
    is_done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchView:
    """A search for a job's layouts, going on or ended.

    job is '' where none was begun. share is how much of it is done, 0 to 1; seconds since it began.
    problems are those of the list and the stock, and layouts that failed a check and are left out.
    has_choices says that `sheet_choices` has something to keep.
    """

    job: str = ""
    is_running: bool = False
    share: float = 0.0
    seconds: float = 0.0
    materials: tuple[MaterialSearch, ...] = ()
    problems: tuple[Problem, ...] = ()
    has_choices: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CutDone:
    """The answer to a cut: what was recorded, or why nothing was.

    outcome is that of a scan: recorded, already, elsewhere, unknown, too_early or on_hold. labels
    are the codes of the labels due now, of parts and then of the offcut. entry is what Strike takes
    back, '' where nothing was recorded. next is the number of the sheet's next line, None where it
    is cut up.
    """

    outcome: str
    message: str
    detail: str = ""
    labels: tuple[str, ...] = ()
    entry: str = ""
    next: int | None = None

    @property
    def is_recorded(self) -> bool:
        """Tell whether the cut was recorded just now."""
        return self.outcome == "recorded"


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeView:
    """Sheets of one size in stock: what was counted, what was begun since, and what is left.

    left is None where there are as many as it takes; planned are those of open jobs' plans that are
    not begun. is_assumed says that nobody counted any and the settings' size stands here.
    """

    size: SheetSize
    used: int = 0
    left: int | None = None
    planned: int = 0
    is_assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OffcutView:
    """An offcut in stock; reserved is the open job whose plan uses it, '' where it is free."""

    offcut: KeptOffcut
    reserved: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockView:
    """What there is to cut from, by material, thickness and size."""

    sizes: tuple[SizeView, ...] = ()
    offcuts: tuple[OffcutView, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockAnswer:
    """What became of a change to the stock; with problems nothing was recorded.

    code is that of an offcut that was added, its label is due.
    """

    message: str = ""
    detail: str = ""
    code: str = ""
    entry: str = ""
    problems: tuple[Problem, ...] = ()
