"""Say the day and the touch times as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, tzinfo
from typing import Any

from kiosk.actions import PaperSent, say_sent
from kiosk.rules.dayplan.chance import say_chance
from kiosk.rules.dayplan.day import DayPlan, DayStep, LateJob, say_begin_by, say_held_up
from kiosk.rules.times import say_time
from kiosk.rules.touchtimes import TouchTime

STATES = {"done": "done", "now": "NOW", "next": "next", "later": ""}


def day_text(day: DayPlan, zone: tzinfo) -> str:
    """Return the day by person, with why; then what is to rest overnight, and who will be late."""
    local = day.at.astimezone(zone)
    blocks = [f"{local:%A %d %B %Y, %H:%M}"]
    by_person: dict[str, list[DayStep]] = {}
    for step in day.steps:
        for name in step.people or ("",):
            by_person.setdefault(name, []).append(step)
    for name in sorted(by_person):
        lines = [_step_line(step, zone, name) for step in by_person[name]]
        blocks += _block(name or "nobody named", lines)
    if day.closed:
        blocks.append(day.closed)
    elif not day.steps:
        blocks.append("Nothing is to be done today.")
    closing = [_closing_line(step, zone) for step in day.before_closing]
    blocks += _block("Before closing, so that it rests overnight", closing)
    blocks += _block("Late", [_late_line(job, day, zone) for job in day.late_jobs])
    blocks += _block("At risk", [_late_line(job, day, zone) for job in day.at_risk])
    if day.change:
        blocks.append(f"What would help most: {day.change}")
    blocks += _block("To know", [f"  {note}" for note in day.notes])
    if day.adopted is not None:
        when = say_time(day.adopted, now=day.at, zone=zone)
        blocks.append(f"The plan people work by, adopted {when}.")
    return "\n\n".join(blocks)


def _block(title: str, lines: Sequence[str]) -> list[str]:
    """Return a title with its lines as one block; none where there are no lines."""
    return ["\n".join([title, *lines])] if lines else []


def _step_line(step: DayStep, zone: tzinfo, name: str) -> str:
    times = f"{step.starts.astimezone(zone):%H:%M}-{step.ends.astimezone(zone):%H:%M}"
    words = f"{step.unit} {step.title} at {step.station}"
    others = [one for one in step.people if one != name]
    if others:
        words += f" with {' and '.join(others)}"
    said = "; ".join(part for part in (step.extra, step.why) if part)
    return f"  {times} {STATES[step.state]:4} {words}{f' ({said})' if said else ''}"


def _closing_line(step: DayStep, zone: tzinfo) -> str:
    said = "; ".join(part for part in (say_begin_by(step, zone), step.rest) if part)
    return f"  {step.starts.astimezone(zone):%H:%M}  {step.unit} {step.title}: {said}"


def _late_line(job: LateJob, day: DayPlan, zone: tzinfo) -> str:
    hang = f", hang day {job.hang_day.isoformat()}" if job.hang_day else ""
    when = say_time(job.expected, now=day.at, zone=zone) if job.expected else ""
    words = job.words or (f"expected {when}" if when else "no end is in sight")
    said = "; ".join(part for part in (words, say_held_up(job), say_chance(job)) if part)
    return f"  {job.job}{hang}: {said}"


def day_json(day: DayPlan, zone: tzinfo) -> dict[str, Any]:
    """Return the day as JSON; its keys are in docs/formats.md."""
    return {
        "at": _time(day.at, zone),
        "steps": [_step_json(step, zone) for step in day.steps],
        "before_closing": [_step_json(step, zone) for step in day.before_closing],
        "late_jobs": [_job_json(job, zone) for job in day.late_jobs],
        "at_risk": [_job_json(job, zone) for job in day.at_risk],
        "change": day.change,
        "notes": [note for note in (day.closed, *day.notes) if note],
        "closed": day.closed,
        "is_best": day.is_best,
        "adopted_at": _time(day.adopted, zone),
    }


def _job_json(job: LateJob, zone: tzinfo) -> dict[str, Any]:
    return {
        "job": job.job,
        "hang_day": job.hang_day.isoformat() if job.hang_day else None,
        "expected": _time(job.expected, zone),
        "chance": job.chance,
        "held": None if job.chance is None else job.held,
        "runs": job.runs,
        "unit": job.unit,
        "unit_why": job.unit_why,
        "other_units": job.others,
    }


def _step_json(step: DayStep, zone: tzinfo) -> dict[str, Any]:
    return {
        "unit": step.unit,
        "job": step.job,
        "step": step.step,
        "title": step.title,
        "station": step.station,
        "person": step.people[0] if step.people else None,
        "people": list(step.people),
        "starts_at": _time(step.starts, zone),
        "ends_at": _time(step.ends, zone),
        "state": step.state,
        "extra": step.extra,
        "rests_until": _time(step.rests_until, zone),
        "begin_by": _time(step.begin_by, zone),
        "why": step.why,
    }


def _time(at: datetime | None, zone: tzinfo) -> str | None:
    return at.astimezone(zone).isoformat(timespec="minutes") if at else None


def sent_text(sent: PaperSent) -> str:
    """Return where printed sheets went."""
    words, line = say_sent(sent)
    return f"{words}. {line}".strip() if sent.printer else line


def sent_json(sent: PaperSent) -> dict[str, Any]:
    """Return the same as JSON: file, printer, sent, words and remedy."""
    return {
        "file": str(sent.file),
        "printer": sent.printer or None,
        "sent": sent.is_sent,
        "words": sent.trouble or None,
        "remedy": sent.remedy or None,
    }


def times_text(times: Sequence[TouchTime]) -> str:
    """Return the touch times kind by kind."""
    lines = ["kind     step        used  catalogue  learned  80 %   scans  set"]
    lines += [
        f"{one.kind:8} {one.step:10} {one.used:5.1f}  {one.catalogue:9.1f}  "
        f"{_figure(one.learned):>7}  {_figure(one.eighty):>5}  {one.count:5}  {_figure(one.set):>4}"
        f"{'  a part' if one.each else ''}"
        for one in times
    ]
    return "\n".join(lines)


def times_json(times: Iterable[TouchTime]) -> dict[str, Any]:
    """Return the touch times as JSON."""
    names = ("kind", "step", "each", "used", "room", "catalogue", "learned", "eighty", "count")
    rows = [{name: getattr(one, name) for name in (*names, "set")} for one in times]
    return {"times": [{name: _rounded(value) for name, value in row.items()} for row in rows]}


def _rounded(value: object) -> object:
    return round(value, 1) if isinstance(value, float) else value


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"
