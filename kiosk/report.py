"""Turn answers into the JSON keys of docs/formats.md and into plain text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Any

from kiosk.actions import Shop
from kiosk.askreport import asked_lines, questions_json
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.entries import Entry, void_ids
from kiosk.rules.floor import Due
from kiosk.rules.problems import Problem
from kiosk.rules.route import State
from kiosk.rules.scanning import Answer
from kiosk.rules.standing import Standing
from kiosk.rules.times import say_time
from labels.codes import shown

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
        "questions": questions_json(shop.questions(now)),
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
    lines += asked_lines(shop.questions(now))
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
    if problem.column and not problem.message.startswith(f"{problem.column}:"):
        where = f"{where}, {problem.column}" if where else problem.column
    return f"{where + ': ' if where else ''}{problem.message} {problem.remedy}"


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


def count(number: int, noun: str) -> str:
    """Return a number with its noun, which takes an s for more than one."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def history_rows(entries: Iterable[Entry], shop: Shop, now: datetime) -> list[Json]:
    """Return the entries about a unit, oldest first, with what was struck."""
    listed = list(entries)
    struck = void_ids(listed)
    return [
        {
            "entry": one.id,
            "at": iso(one.at, shop.zone),
            "kind": one.kind,
            "kiosk": one.kiosk,
            "person": one.person or None,
            "struck": one.id in struck,
            "code": one.body.get("part"),
            "allowed_by": one.body.get("allowed_by"),
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
