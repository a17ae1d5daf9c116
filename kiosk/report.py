"""Turn answers into the JSON keys of docs/formats.md and into plain text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Any

from kiosk.actions import LabelRun, Order, PartHit, Shop, TakenIn
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.entries import Entry
from kiosk.rules.floor import Due
from kiosk.rules.lengths import System, mm, show
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.revision import Change, Size
from kiosk.rules.route import State
from kiosk.rules.scanning import Answer
from kiosk.rules.standing import Standing
from kiosk.rules.times import say_time
from labels.codes import shown
from labels.printing import Line, Stage

Json = dict[str, Any]  # Any: whatever JSON holds

STATE_WORDS: Mapping[State, str] = {
    State.TO_CUT: "to cut",
    State.TO_ASSEMBLE: "to assemble",
    State.GLUE_CURING: "glue curing",
    State.TO_PREPARE: "to prepare",
    State.COAT_DRYING: "coat drying",
    State.COAT_DUE: "coat due",
    State.SCUFF_FIRST: "scuff first",
    State.HARDENING: "hardening",
    State.READY_TO_HANG: "ready to hang",
    State.HUNG: "hung",
    State.ON_HOLD: "on hold",
}


def iso(at: datetime | None, zone: tzinfo) -> str | None:
    """Return an aware time as ISO 8601 with the shop's offset, or None."""
    return at.astimezone(zone).isoformat(timespec="seconds") if at else None


def board_json(shop: Shop, now: datetime) -> Json:
    """Return the board: counts by standing and one object per open unit."""
    standings = shop.standings(now)
    floor = shop.floor(now)
    sits = {
        tile.unit: place.name for place in floor.places for tile in place.slots if tile is not None
    }
    counts = Counter(one.state for one in standings)
    return {
        "at": iso(now, shop.zone),
        "counts": {str(state): counts.get(state, 0) for state in State},
        "next_hands": floor.next_hands,
        "units": [_unit_json(one, sits, shop.zone, now) for one in standings],
    }


def _unit_json(one: Standing, sits: Mapping[str, str], zone: tzinfo, now: datetime) -> Json:
    return {
        "job": one.job,
        "unit": one.unit,
        "name": one.name,
        "kind": one.kind,
        "standing": str(one.state),
        "next_step": one.step.name if one.step else None,
        "station": one.station or None,
        "place": None
        if one.state == State.HUNG
        else sits.get(one.unit) or sits.get(f"{one.job} {one.unit}"),
        "hands_at": iso(one.hands_at, zone),
        "earliest": iso(one.earliest, zone),
        "latest": iso(one.latest, zone),
        "window_closes_at": iso(one.window_closes_at, zone),
        "coats_done": one.coats_done,
        "coats_wanted": one.coats_wanted,
        "parts_done": one.parts_done,
        "parts_wanted": one.parts_wanted,
        "progress": round(one.progress(now), 4),
        "held": one.held,
        "estimated": one.estimated,
        "uncertain": one.uncertain,
        "risk": one.risk or None,
        "air": one.air or None,
        "why": one.why,
    }


def board_text(shop: Shop, now: datetime) -> str:
    """Return the board as text: the next hands, the counts, then the units by standing."""
    standings = shop.standings(now)
    floor = shop.floor(now)
    counts = ", ".join(f"{band.count} {band.title}" for band in floor.bands)
    shop_name = f"{shop.settings.shop}: " if shop.settings.shop else ""
    lines = [f"{floor.clock}  {shop_name}{counts}; {floor.next_hands}"]
    for state in State:
        found = sorted((one for one in standings if one.state == state), key=_by_hands)
        if not found:
            continue
        lines.append(f"\n{STATE_WORDS[state]} ({len(found)})")
        if state == State.HUNG:
            lines.append("  " + ", ".join(one.unit for one in found))
            continue
        for one in found:
            job = f"{one.job:8.8}"
            lines.append(f"  {one.unit:6} {one.name:28.28} {job} {one.why}")
    if unconfirmed := shop.unconfirmed():
        keys = ", ".join(unconfirmed)
        lines.append(f"\nTypical figures, not yet confirmed from the label: {keys}")
    if any(one.resting for one in standings):
        lines.append(
            "\nEnds of rests are estimates: the label first, then a touch on a hidden spot."
        )
        if not shop.air().readings:
            lines.append("No reading of the air yet: clocks run on the labels' own air")
    if rags := shop.rags(now):
        tick = "cleatclock rags --done"
        lines.append(f"\n{rags.product}: {HAZARDS['oily_rags']} Tick it off: {tick}")
    if not standings:
        lines.append("No open units. Take in a part list: cleatclock take-in FILE --job CODE")
    return "\n".join(lines)


def _by_hands(one: Standing) -> tuple[float, str]:
    return (one.hands_at.timestamp() if one.hands_at else float("inf"), one.unit)


def due_text(due: Sequence[Due], station: str) -> str:
    """Return a station's list as text."""
    if not due:
        return f"Nothing for {station}."
    return "\n".join(f"{one.unit:6} {one.words:40.40} {one.name:24.24} {one.why}" for one in due)


def due_json(due: Sequence[Due], station: str, zone: tzinfo) -> Json:
    """Return a station's list."""
    rows = [
        {
            "unit": one.unit,
            "name": one.name,
            "step": one.step,
            "hands_at": iso(one.hands_at, zone),
            "resting": one.state == "resting",
            "why": one.why,
        }
        for one in due
    ]
    return {"station": station, "steps": rows}


def problem_json(problem: Problem) -> Json:
    """Return a problem with where, what and the way out."""
    return {
        "row": problem.row,
        "column": problem.column,
        "value": problem.value,
        "message": problem.message,
        "remedy": problem.remedy,
    }


def problem_text(problem: Problem) -> str:
    """Return a problem as one line."""
    where = f"row {problem.row}" if problem.row is not None else ""
    if problem.column:
        where = f"{where}, {problem.column}" if where else problem.column
    return f"{where + ': ' if where else ''}{problem.message} {problem.remedy}"


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
        lines.append(f"{_count(len(taken.problems), 'problem')}; nothing was taken in.")
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
    counts = f"{_count(taken.pieces, 'piece')} in {_count(len(taken.units), 'unit')}"
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


def answer_json(answer: Answer, zone: tzinfo) -> Json:
    """Return what became of a scan or a correction."""
    return {
        "outcome": str(answer.outcome),
        "entry": answer.entry or None,
        "job": answer.job or None,
        "unit": answer.unit or None,
        "part": answer.part or None,
        "code": answer.code or None,
        "step": answer.step or None,
        "message": answer.message,
        "detail": answer.detail,
        "next": answer.next,
        "ready_at": iso(answer.ready_at, zone),
        "offers": [
            {"kind": offer.kind, "value": offer.value, "words": offer.words}
            for offer in answer.offers
        ],
    }


def answer_text(answer: Answer) -> str:
    """Return an answer as text: the line that matters first."""
    about = " ".join(filter(None, (answer.unit, answer.unit_name, answer.part, answer.size)))
    lines = [f"{answer.message}{f'  ({about})' if about else ''}"]
    lines += [line for line in (answer.detail, answer.next) if line]
    for offer in answer.offers:
        if offer.kind == "code":
            lines.append(f"  perhaps {offer.words}")
        elif offer.kind == "go_ahead":
            lines.append(f'  to go ahead: --step {offer.value} --reason "…"')
        elif offer.kind == "also":
            lines.append(f"  if that is done too: --step {offer.value}")
    return "\n".join(lines)


def labels_json(run: LabelRun) -> Json:
    """Return what a label run made."""
    return {
        "labels": len(run.codes),
        "pages": run.pages,
        "file": str(run.files[0]) if run.files else None,
        "files": [str(file) for file in run.files],
        "codes": list(run.codes),
        "reprints": run.reprints,
        "void": list(run.void),
        "problems": [problem_json(problem) for problem in run.problems],
    }


def labels_text(run: LabelRun) -> str:
    """Return what a label run made, as text."""
    if run.problems:
        return "\n".join(problem_text(problem) for problem in run.problems)
    again = f", {run.reprints} of them again" if run.reprints else ""
    files = ", ".join(str(file) for file in run.files)
    labels = _count(len(run.codes), "label")
    old = "".join(f"\nAn old page is left over: {file}; delete it." for file in run.left_over)
    void = "".join(f"\n{left_out(code)}" for code in run.void)
    pages = _count(run.pages, "page")
    return f"{labels} on {pages}{again}; each was read back. {files}{void}{old}"


def left_out(code: str) -> str:
    """Return that a label was left out, since it is void."""
    return f"Left out, its part was spoiled: {shown(code)}."


def prints_text(orders: Sequence[Order], lines: Sequence[Line]) -> str:
    """Return how many labels of some prints are printed."""
    sizes = {order.key: len(order.rows) for order in orders}
    done = sum(sizes[line.key] for line in lines if line.state.stage is Stage.DONE)
    left = sum(sizes.values()) - done
    name = orders[0].title if sum(sizes.values()) == 1 else f"{done + left} labels"
    if done and left:
        return f"{name}: {done} printed, {left} not printed yet."
    return f"{name}: {'not printed yet' if left else 'printed'}."


def print_json(orders: Sequence[Order], lines: Sequence[Line]) -> Json:
    """Return how prints stand; print_job is the first that is not out, or the last."""
    jobs = [
        {
            "key": line.key,
            "stage": str(line.state.stage),
            "words": line.state.words,
            "remedy": line.state.remedy or None,
        }
        for line in lines
    ]
    codes = [code for order in orders for code in order.codes]
    first = next((job for job in jobs if job["stage"] != str(Stage.DONE)), jobs[-1])
    return {"labels": len(codes), "codes": codes, "print_job": first, "print_jobs": jobs}


def parts_json(hits: Sequence[PartHit], shop: Shop) -> Json:
    """Return parts that were found."""
    return {"parts": [_hit(hit, shop) for hit in hits]}


def _hit(hit: PartHit, shop: Shop) -> Json:
    spec, part = hit.state.spec, hit.piece.piece
    return {
        "job": spec.job,
        "unit": spec.unit,
        "part": part.part,
        "size": shop.size_text(spec.job, part),
        "material": part.material or None,
        "code": part.code,
        "done": list(hit.piece.done),
        "printed": hit.state.printed.get(part.code, 0),
    }


def parts_text(hits: Sequence[PartHit], shop: Shop) -> str:
    """Return parts that were found as text, with how to print a label again."""
    if not hits:
        return "No part fits all of these words."
    lines = []
    for hit in hits:
        row = _hit(hit, shop)
        done = ", ".join(row["done"]) or "not cut"
        where = f"{row['job']} {row['unit']}"
        lines.append(f"{shown(row['code'])}  {where:14} {row['part']:20} {row['size']}  {done}")
    first = hits[0]
    again = f"cleatclock labels {first.state.spec.job} --part {first.piece.piece.code}"
    return "\n".join([*lines, f'Again: {again} --reason "label lost"'])


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def history_rows(entries: Iterable[Entry], shop: Shop, now: datetime) -> list[Json]:
    """Return the entries about a unit, oldest first, with what was struck."""
    listed = list(entries)
    struck = {str(one.body.get("target")) for one in listed if one.kind == "struck"}
    return [
        {
            "entry": one.id,
            "at": iso(one.at, shop.zone),
            "kind": one.kind,
            "kiosk": one.kiosk,
            "person": one.person or None,
            "struck": one.id in struck,
            "code": one.body.get("part"),
            "words": shop.say_entry(one),
            "when": say_time(one.at, now=now, zone=shop.zone),
        }
        for one in listed
    ]


def history_text(rows: Sequence[Json]) -> str:
    """Return a unit's history as text."""
    lines = []
    for row in rows:
        code = f" {shown(row['code'])}" if row["code"] else ""
        mark = " (struck)" if row["struck"] else ""
        lines.append(f"{row['at']}  {row['words']}{code}{mark}  {row['entry']}")
    return "\n".join(lines)
