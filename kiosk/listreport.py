"""Turn what a part list brought into JSON and into plain text."""

from __future__ import annotations

from collections.abc import Iterable

from kiosk.actions import TakenIn
from kiosk.report import Json, count, problem_json, problem_text
from kiosk.rules.lengths import System, mm, show
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.revision import Change, Size


def taken_json(taken: TakenIn) -> Json:
    """Return what a part list brought."""
    answer: Json = {
        "job": taken.job,
        "taken": taken.taken,
        "pieces": taken.pieces,
        "parts": [row for unit in taken.units for row in _part_rows(unit)],
        "problems": [problem_json(problem) for problem in taken.problems],
        "skipped": [{"row": skip.row, "why": skip.why} for skip in taken.skipped],
        "notes": list(taken.notes),
        "columns": [
            {"heading": one.name, "meaning": one.meaning or None}
            for one in (taken.listed.headings if taken.listed else ())
        ],
    }
    if taken.revision is not None:
        for name in ("added", "gone", "changed", "protected"):
            rows = getattr(taken.revision, name)
            answer[name] = [_change_json(row) for row in rows]
    return answer


def _part_rows(unit: UnitSpec) -> Iterable[Json]:
    """Group alike pieces that follow one another into one row with all their codes."""
    groups: dict[tuple[object, ...], list[Piece]] = {}
    for piece in unit.pieces:
        key = (piece.part, piece.length, piece.width, piece.thickness, piece.material, piece.grain)
        groups.setdefault(key, []).append(piece)
    for pieces in groups.values():
        first = pieces[0]
        yield {
            "unit": unit.unit,
            "part": first.part,
            "quantity": len(pieces),
            "length_mm": mm(first.length),
            "width_mm": mm(first.width),
            "thickness_mm": mm(first.thickness) if first.thickness else None,
            "material": first.material or None,
            "grain": first.grain or None,
            "codes": [piece.code for piece in pieces if piece.code],
        }


def _change_json(change: Change) -> Json:
    return {
        "unit": change.unit,
        "part": change.part,
        "quantity_before": change.quantity_before,
        "quantity_after": change.quantity_after,
        "size_before_mm": _size_mm(change.size_before),
        "size_after_mm": _size_mm(change.size_after),
        "codes": list(change.codes),
    }


def _size_mm(size: Size | None) -> list[float | None] | None:
    return [mm(side) if side is not None else None for side in size] if size else None


def _change_text(fate: str, change: Change) -> str:
    before, after = _size_text(change.size_before), _size_text(change.size_after)
    about = f"{change.unit} {change.part}"
    match fate:
        case "added":
            return f"added: {change.quantity_after} × {about}, {after}"
        case "gone":
            return f"gone: {change.quantity_before} × {about}, {before}"
        case "changed":
            return f"changed: {change.quantity_after} × {about}, {before} to {after}"
    wanted = f"list wants {after}" if after else "list has it no more"
    kept = f"{change.quantity_before} × {about}, {before}"
    return f"protected: {kept}, is cut and stays; the {wanted}"


def _size_text(size: Size | None) -> str:
    if size is None:
        return ""
    return " × ".join(f"{round(mm(side), 2):g}" for side in size if side is not None) + " mm"


def taken_text(taken: TakenIn) -> str:
    """Return what a part list brought, as text."""
    lines = [f"skipped row {skip.row}: {skip.why}" for skip in taken.skipped]
    lines += [problem_text(problem) for problem in taken.problems]
    if taken.problems:
        lines.append(f"{count(len(taken.problems), 'problem')}; nothing was taken in.")
        return "\n".join(lines)
    if taken.revision is not None:
        for name in ("added", "gone", "changed", "protected"):
            for change in getattr(taken.revision, name):
                lines.append(_change_text(name, change))
        for other in taken.revision.unit_changes:
            lines.append(
                f"{other.unit}: {other.what} {other.before or '-'} to {other.after or '-'}"
            )
        lines += [f"{unit}: no longer on the list" for unit in taken.revision.units_gone]
    lines += [f"note: {note}" for note in taken.notes]
    word = "taken in" if taken.taken else "would come in"
    counts = f"{count(taken.pieces, 'piece')} in {count(len(taken.units), 'unit')}"
    lines.append(f"{counts} {word} for {taken.job}; {_extent(taken)}.")
    if taken.taken:
        new = " --new" if taken.revision else ""
        out = f"{taken.job.lower()}-labels.pdf"
        lines.append(f"Next: cleatclock labels {taken.job}{new} --out {out}")
    return "\n".join(lines)


def _extent(taken: TakenIn) -> str:
    """Say how large the largest piece is, so that a list read in the wrong unit shows at once."""
    pieces = [piece for unit in taken.units if unit.kind != "wall" for piece in unit.pieces]
    if not pieces:
        return "no piece to cut"
    longest = max(pieces, key=lambda piece: (piece.length, piece.width))
    sides = (longest.length, longest.width)
    metric, inch = (" × ".join(show(side, system) for side in sides) for system in System)
    return f"the longest is {metric} ({inch})"
