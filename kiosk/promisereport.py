"""Say which hang day can be promised, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, tzinfo
from typing import Any

from kiosk.actions import Promised, SureDay
from kiosk.report import problem_json, problem_text
from kiosk.rules.dayplan.chance import harmed, needs_more, say_held
from kiosk.rules.dayplan.promise import Effect


def promise_text(found: Promised, zone: tzinfo) -> str:
    """Return the hang days that can be promised, and what they do to the jobs present."""
    taken = found.taken
    if taken.problems:
        return "\n".join(problem_text(problem) for problem in taken.problems)
    lines = [f"{len(taken.units)} units in {taken.pieces} pieces; nothing is taken in."]
    if found.promise is None:
        lines.append("No day can be promised: nobody works, or nothing of it can be planned.")
    lines += _day_lines(found)
    if found.typical is not None and found.promise is not None:
        day = found.typical.astimezone(zone).date().isoformat()
        lines.append(f"Half of the {found.promise.runs} trial runs had it hung by {day}.")
    if found.promise is not None:
        less_sure = harmed(found.promise.effects)
        lines += [_effect_line(one, found.promise.runs) for one in less_sure]
        if found.promise.effects and not less_sure:
            lines.append("The days of the jobs present are no less sure for it.")
    return "\n".join([*lines, *(f"note: {note}" for note in found.notes)])


def _day_lines(found: Promised) -> list[str]:
    """Return a line for each day; one that holds with several certainties is said once."""
    runs = found.promise.runs if found.promise is not None else 0
    by_day: dict[date | None, list[SureDay]] = {}
    for one in found.days:
        if not one.needs:
            by_day.setdefault(one.day, []).append(one)
    lines = [_day_line(day, alike, runs) for day, alike in by_day.items()]
    few = [one for one in found.days if one.needs]
    return lines + [f"{needs_more(one.certainty, runs, needs=one.needs)}." for one in few]


def _day_line(day: date | None, alike: Sequence[SureDay], runs: int) -> str:
    sure = " and ".join(f"{one.certainty:.0%}" for one in alike)
    if day is None:
        return f"{sure} sure: no day is in sight."
    return f"{sure} sure: {day.isoformat()}, a {day:%A}: {say_held(alike[-1].held, runs)}."


def _effect_line(one: Effect, runs: int) -> str:
    after, before = round(one.after * runs), round(one.before * runs)
    return f"{one.job} would hold its day in {after} of {runs} trial runs instead of {before}."


def promise_json(found: Promised, zone: tzinfo) -> dict[str, Any]:
    """Return the same as JSON; its keys are in docs/formats.md."""
    made = found.promise
    typical = found.typical.astimezone(zone).isoformat() if found.typical else None
    return {
        "units": len(found.taken.units),
        "pieces": found.taken.pieces,
        "problems": [problem_json(problem) for problem in found.taken.problems],
        "runs": made.runs if made else 0,
        "days": [
            {
                "certainty": one.certainty,
                "hang_day": one.day.isoformat() if one.day else None,
                "hung_by": one.finish.astimezone(zone).isoformat() if one.finish else None,
                "held": one.held,
                "needs_runs": one.needs,
                "least": round(one.least, 3),
                "most": round(one.most, 3),
            }
            for one in found.days
        ],
        "typical": typical,
        "jobs": [
            {"job": one.job, "before": one.before, "after": one.after}
            for one in (made.effects if made else ())
        ],
        "notes": list(found.notes),
    }
