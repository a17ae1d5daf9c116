"""Turn the sheets of a job into the JSON keys of docs/formats.md and into plain text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from kiosk.report import Json, count, iso, problem_json, problem_text
from kiosk.rules.lengths import System, mm
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.model import CutLine, Material, PlannedSheet
from kiosk.rules.sheets.views import Choice, CutDone, PartName, SheetsView, SheetView
from kiosk.sheetjson import material_json, settings_of, sheet_json
from kiosk.sheetlines import codes_of, cut_lines_text, material_text, sheet_head
from labels.codes import shown


def kept_json(view: SheetsView, zone: tzinfo) -> Json:
    """Return the plan a job is cut by, with progress."""
    plan = view.plan
    names = dict(view.names)
    bounds = dict(plan.bounds)
    return {
        "job": plan.job,
        "plan": plan.id,
        "kept_at": iso(plan.made, zone),
        **_totals(view.sheets, sum(bounds.values())),
        "sheets": [sheet_json(one, names) for one in view.sheets],
        "materials": [
            _material(material, _of(view.sheets, material), bounds.get(material))
            for material in _materials(view.sheets, bounds)
        ],
        "left_out": list(plan.left_out),
        "unplanned": list(view.unplanned),
        "faults": list(view.faults),
        "notes": list(view.notes),
        "problems": [],
    }


@dataclass(frozen=True, slots=True)
class Found:
    """Layouts that were found and are not kept: what was chosen, of which choices."""

    job: str
    chosen: tuple[Choice, ...]
    choices: tuple[Choice, ...]
    views: tuple[SheetView, ...]
    names: Mapping[str, PartName]
    problems: tuple[Problem, ...] = ()

    def others(self, one: Choice) -> list[Choice]:
        """Return the choices of a choice's material, itself among them."""
        return [choice for choice in self.choices if choice.material == one.material]

    @property
    def left_out(self) -> list[str]:
        """Return the codes of the parts for which there are not sheets enough."""
        return [code for one in self.chosen for code in one.left_out]


def uncut(planned: PlannedSheet, lines: tuple[CutLine, ...]) -> SheetView:
    """Return a sheet of which nothing is cut."""
    first = lines[0].number if lines else None
    return SheetView(planned=planned, lines=lines, next=first, parts=len(codes_of(planned)))


def found_json(found: Found) -> Json:
    """Return layouts that were found and not kept, with the alternatives of each material."""
    rows = []
    for one in found.chosen:
        row = _material(one.material, _of(found.views, one.material), one.bound)
        others = [_choice(choice) for choice in found.others(one)]
        rows.append(row | {"choice": one.number + 1, "alternatives": others})
    return {
        "job": found.job,
        "plan": None,
        "kept_at": None,
        **_totals(found.views, sum(one.bound for one in found.chosen)),
        "sheets": [sheet_json(one, found.names) for one in found.views],
        "materials": rows,
        "left_out": found.left_out,
        "unplanned": [],
        "faults": [],
        "notes": [],
        "problems": [problem_json(one) for one in found.problems],
    }


def _totals(views: Sequence[SheetView], bound: int) -> Json:
    lines = [len(view.lines) for view in views]
    return {
        "bound": bound,
        "new_sheets": sum(not view.planned.offcut for view in views),
        "cuts": sum(lines),
        "cuts_done": sum(len(view.done) for view in views),
        "parts_wanted": sum(view.parts for view in views),
        "parts_cut": sum(len(view.cut) for view in views),
        "settings": sum(settings_of(view.lines) for view in views),
    }


def _material(material: Material, views: Sequence[SheetView], bound: int | None) -> Json:
    new = sum(not view.planned.offcut for view in views)
    return {
        **material_json(material),
        "bound": bound,
        "new_sheets": new,
        "offcuts_used": len(views) - new,
        "cuts": sum(len(view.lines) for view in views),
        "settings": sum(settings_of(view.lines) for view in views),
    }


def _choice(one: Choice) -> Json:
    largest = one.largest_offcut
    return {
        "choice": one.number + 1,
        "new_sheets": one.sheets,
        "offcuts_used": one.offcuts,
        "cuts": one.cuts,
        "settings": one.settings,
        "largest_offcut_mm": None if largest is None else [mm(side) for side in largest],
        "left_out": list(one.left_out),
    }


def _materials(views: Iterable[SheetView], bounds: Iterable[Material]) -> list[Material]:
    """Return the materials of some sheets, and those that need none, each once."""
    return list(dict.fromkeys([*(view.planned.material for view in views), *bounds]))


def _of(views: Iterable[SheetView], material: Material) -> list[SheetView]:
    return [view for view in views if view.planned.material == material]


# -- text ----------------------------------------------------------------------------------------


def sums_text(view: SheetsView) -> str:
    """Return in a few words what a plan takes: sheets against their bound, cuts, settings."""
    row = _totals(view.sheets, sum(bound for _material, bound in view.plan.bounds))
    offcuts = len(view.sheets) - row["new_sheets"]
    beside = f" and {count(offcuts, 'offcut')}" if offcuts else ""
    work = f"{count(row['cuts'], 'cut')}, {count(row['settings'], 'fence setting')}"
    return f"{count(row['new_sheets'], 'sheet')} (at least {row['bound']}){beside}, {work}"


def heads_text(view: SheetsView, system: System) -> str:
    """Return how far each sheet of a plan is cut, a line for each."""
    return "\n".join(sheet_head(one, system) for one in view.sheets)


def kept_text(view: SheetsView, system: System, when: str) -> str:
    """Return the plan a job is cut by: how far it is, then each sheet with its cuts."""
    head = f"{view.plan.job}: sheets as kept {when}"
    bounds = dict(view.plan.bounds)
    totals = [
        _sum_text(material, _of(view.sheets, material), bounds.get(material), system)
        for material in _materials(view.sheets, bounds)
    ]
    blocks = ["\n".join([head, *totals]), *sheet_blocks(view.sheets, view.names, system)]
    told = [*view.faults, *view.notes]
    if view.unplanned:
        told.append(f"On no sheet yet: {_codes(view.unplanned)}")
    return "\n\n".join([*blocks, *(["\n".join(told)] if told else [])])


def found_text(found: Found, system: System) -> str:
    """Return layouts that were found and not kept: what may be chosen, then each sheet."""
    lines = [f"{found.job}: sheets broken down for this answer; with --keep they are cut by"]
    for one in found.chosen:
        views = _of(found.views, one.material)
        lines.append(_sum_text(one.material, views, one.bound, system))
        others = found.others(one)
        if len(others) > 1:
            lines += [f"  {_choice_text(choice, one.number)}" for choice in others]
    told = [problem_text(problem) for problem in found.problems]
    if found.left_out:
        told.append(f"There are not sheets enough for: {_codes(found.left_out)}")
    blocks = ["\n".join(lines), *sheet_blocks(found.views, found.names, system)]
    return "\n\n".join([*blocks, *(["\n".join(told)] if told else [])])


def sheet_blocks(
    views: Iterable[SheetView], names: Mapping[str, PartName], system: System
) -> list[str]:
    """Return each sheet with its cuts."""
    return [
        "\n".join([sheet_head(view, system), *cut_lines_text(view, names, system)])
        for view in views
    ]


def _sum_text(
    material: Material, views: Sequence[SheetView], bound: int | None, system: System
) -> str:
    row = _material(material, views, bound)
    least = "" if bound is None else f" (at least {bound})"
    offcuts = f" and {count(row['offcuts_used'], 'offcut')}" if row["offcuts_used"] else ""
    work = f"{count(row['cuts'], 'cut')}, {count(row['settings'], 'fence setting')}"
    sheets = count(row["new_sheets"], "sheet")
    return f"{material_text(material, system)}: {sheets}{least}{offcuts}, {work}"


def _choice_text(one: Choice, number: int) -> str:
    mark = "*" if one.number == number else " "
    sheets = count(one.sheets, "sheet")
    return f"{mark} --choice {one.number + 1}: {sheets}, {count(one.settings, 'fence setting')}"


def _codes(codes: Iterable[str]) -> str:
    return ", ".join(shown(code) for code in codes)


# -- a cut that was made -------------------------------------------------------------------------


def cut_json(done: CutDone) -> Json:
    """Return what became of a cut."""
    return {
        "outcome": done.outcome,
        "message": done.message,
        "detail": done.detail,
        "labels": list(done.labels),
        "entry": done.entry or None,
        "next_cut": done.next,
    }


def cut_text(done: CutDone) -> str:
    """Return what became of a cut, with the labels that are due."""
    lines = [done.message, done.detail]
    if done.labels:
        lines.append(f"Stick on: {_codes(done.labels)}")
    if done.next is not None:
        lines.append(f"Next: cut {done.next}")
    return "\n".join(line for line in lines if line)
