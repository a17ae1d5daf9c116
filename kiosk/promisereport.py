"""Say which hang day can be promised, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, tzinfo
from typing import Any

from kiosk.actions import Promised, SureDay
from kiosk.report import problem_json, problem_text
from kiosk.rules.dayplan.promise import Effect

# by how much a present job's chance must fall to be named: less is within what the runs can tell
HARM = 0.05  # choice
TENS, TWENTIES = 10, 20  # of so many jobs certainties are said: 8 of 10, 19 of 20


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
        lines.append(f"Half of {found.promise.runs} runs had it hung by {day}.")
    if found.promise is not None:
        lines += [_effect_line(one) for one in _harmed(found)]
        if found.promise.effects and not _harmed(found):
            lines.append("The days of the jobs present are no less sure for it.")
    return "\n".join([*lines, *(f"note: {note}" for note in found.notes)])


def _day_lines(found: Promised) -> list[str]:
    """Return a line for each day; one that holds with several certainties is said once."""
    by_day: dict[date | None, list[SureDay]] = {}
    for one in found.days:
        by_day.setdefault(one.day, []).append(one)
    runs = found.promise.runs if found.promise is not None else 0
    return [_day_line(day, alike, runs) for day, alike in by_day.items()]


def _day_line(day: date | None, alike: Sequence[SureDay], runs: int) -> str:
    sure = " and ".join(f"{one.certainty:.0%}" for one in alike)
    if day is None:
        return f"{sure} sure: no day is in sight."
    of = TENS if round(alike[-1].certainty * TENS, 6).is_integer() else TWENTIES
    held = f"of {of} such jobs about {alike[-1].certainty * of:.0f} held the day"
    return f"{sure} sure: {day.isoformat()}, a {day:%A}: {held} in {runs} simulated runs."


def _harmed(found: Promised) -> list[Effect]:
    effects = found.promise.effects if found.promise else ()
    return [one for one in effects if one.before - one.after > HARM]


def _effect_line(one: Effect) -> str:
    return f"{one.job} would hold its day with {one.after:.0%} instead of {one.before:.0%}."


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
