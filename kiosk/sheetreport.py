"""Turn the sheets of a job into the JSON keys of docs/formats.md and into plain text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import tzinfo

from kiosk.report import Json, count, iso, problem_json, problem_text
from kiosk.rules.lengths import System, mm
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.lines import count_settings, cut_lines
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.views import Choice, CutDone, SheetsView
from kiosk.sheetjson import material_json, sheet_json
from kiosk.sheetlines import cut_lines_text, material_text, sheet_head
from labels.codes import shown


def kept_json(view: SheetsView, zone: tzinfo) -> Json:
    """Return the plan a job is cut by, with progress."""
    plan = view.plan
    return {
        "job": plan.job,
        "plan": plan.id,
        "kept_at": iso(plan.made, zone),
        **_totals(view),
        "sheets": [sheet_json(one, view.names) for one in view.sheets],
        "materials": [_material(view, material) for material in _materials(view)],
        "left_out": list(plan.left_out),
        "unplanned": list(view.unplanned),
        "faults": list(view.faults),
        "notes": list(view.notes),
        "problems": [],
    }


@dataclass(frozen=True, slots=True)
class Found:
    """Layouts that were found and are not kept: what was chosen, of which choices.

    view holds the chosen ones as a plan would, without an id.
    """

    view: SheetsView
    chosen: tuple[Choice, ...]
    choices: tuple[Choice, ...]
    problems: tuple[Problem, ...] = ()

    def others(self, material: Material) -> list[Choice]:
        """Return the choices of a material."""
        return [choice for choice in self.choices if choice.material == material]

    def number(self, material: Material) -> int:
        """Return which choice of a material was taken, counted from 0."""
        return next(one.number for one in self.chosen if one.material == material)


def found_json(found: Found, zone: tzinfo) -> Json:
    """Return layouts that were found and not kept, with the choices of each material."""
    answer = kept_json(found.view, zone)
    rows = [
        row
        | {
            "choice": found.number(material) + 1,
            "alternatives": [*map(_choice, found.others(material))],
        }
        for material, row in zip(_materials(found.view), answer["materials"], strict=True)
    ]
    problems = [problem_json(one) for one in found.problems]
    return answer | {"plan": None, "kept_at": None, "materials": rows, "problems": problems}


def _totals(view: SheetsView) -> Json:
    sheets = view.sheets
    return {
        "bound": sum(bound for _material, bound in view.plan.bounds),
        "new_sheets": sum(not one.planned.offcut for one in sheets),
        "cuts": sum(len(one.lines) for one in sheets),
        "cuts_done": sum(len(one.done) for one in sheets),
        "parts_wanted": sum(one.parts for one in sheets),
        "parts_cut": sum(len(one.cut) for one in sheets),
        "settings": sum(count_settings(one.lines) for one in sheets),
    }


def _material(view: SheetsView, material: Material) -> Json:
    sheets = [one for one in view.sheets if one.planned.material == material]
    new = sum(not one.planned.offcut for one in sheets)
    return {
        **material_json(material),
        "bound": dict(view.plan.bounds).get(material),
        "new_sheets": new,
        "offcuts_used": len(sheets) - new,
        "cuts": sum(len(one.lines) for one in sheets),
        "settings": sum(count_settings(one.lines) for one in sheets),
    }


def _choice(one: Choice) -> Json:
    largest, lines = one.largest_offcut, [cut_lines(planned) for planned in one.planned]
    return {
        "choice": one.number + 1,
        "new_sheets": one.sheets,
        "offcuts_used": one.offcuts,
        "cuts": sum(map(len, lines)),
        "settings": sum(map(count_settings, lines)),
        "largest_offcut_mm": None if largest is None else [mm(side) for side in largest],
        "left_out": list(one.left_out),
    }


def _materials(view: SheetsView) -> list[Material]:
    """Return the materials of a plan, those that need no sheet among them, each once."""
    bounds = (material for material, _bound in view.plan.bounds)
    return list(dict.fromkeys([*(one.planned.material for one in view.sheets), *bounds]))


# -- text ----------------------------------------------------------------------------------------


def sums_text(view: SheetsView) -> str:
    """Return in a few words what a plan takes: sheets against their bound, cuts, settings."""
    row = _totals(view)
    offcuts = len(view.sheets) - row["new_sheets"]
    beside = f" and {count(offcuts, 'offcut')}" if offcuts else ""
    work = f"{count(row['cuts'], 'cut')}, {count(row['settings'], 'fence setting')}"
    return f"{count(row['new_sheets'], 'sheet')} (at least {row['bound']}){beside}, {work}"


def heads_text(view: SheetsView, system: System) -> str:
    """Return how many sheets of a plan are cut, and how far each other one is, a line for each."""
    left = [sheet_head(one, system) for one in view.sheets if not one.is_cut_up]
    cut = f"{len(view.sheets) - len(left)} of {count(len(view.sheets), 'sheet')} cut up"
    return "\n".join([cut, *left])


def kept_text(view: SheetsView, system: System, when: str) -> str:
    """Return the plan a job is cut by: how far it is, then each sheet with its cuts."""
    head = f"{view.plan.job}: sheets as kept {when}"
    totals = [_sum_text(view, material, system) for material in _materials(view)]
    told = [*view.faults, *view.notes]
    if view.unplanned:
        told.append(f"On no sheet yet: {_codes(view.unplanned)}")
    blocks = ["\n".join([head, *totals]), *_sheet_blocks(view, system)]
    return "\n\n".join([*blocks, *(["\n".join(told)] if told else [])])


def found_text(found: Found, system: System) -> str:
    """Return layouts that were found and not kept: what may be chosen, then each sheet."""
    view = found.view
    lines = [f"{view.plan.job}: sheets broken down for this answer; with --keep they are cut by"]
    for material in _materials(view):
        lines.append(_sum_text(view, material, system))
        others, number = found.others(material), found.number(material)
        if len(others) > 1:
            lines += [f"  {_choice_text(choice, number)}" for choice in others]
    told = [*view.notes, *(problem_text(problem) for problem in found.problems)]
    if view.plan.left_out:
        told.append(f"There are not sheets enough for: {_codes(view.plan.left_out)}")
    blocks = ["\n".join(lines), *_sheet_blocks(view, system)]
    return "\n\n".join([*blocks, *(["\n".join(told)] if told else [])])


def _sheet_blocks(view: SheetsView, system: System) -> list[str]:
    """Return each sheet with its cuts."""
    return [
        "\n".join([sheet_head(one, system), *cut_lines_text(one, view.names, system)])
        for one in view.sheets
    ]


def _sum_text(view: SheetsView, material: Material, system: System) -> str:
    row = _material(view, material)
    least = "" if row["bound"] is None else f" (at least {row['bound']})"
    offcuts = f" and {count(row['offcuts_used'], 'offcut')}" if row["offcuts_used"] else ""
    work = f"{count(row['cuts'], 'cut')}, {count(row['settings'], 'fence setting')}"
    sheets = count(row["new_sheets"], "sheet")
    return f"{material_text(material, system)}: {sheets}{least}{offcuts}, {work}"


def _choice_text(one: Choice, number: int) -> str:
    mark = "*" if one.number == number else " "
    sheets, row = count(one.sheets, "sheet"), _choice(one)
    return f"{mark} --choice {one.number + 1}: {sheets}, {count(row['settings'], 'fence setting')}"


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
