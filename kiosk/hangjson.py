"""Turn the check of hanging into the JSON keys of docs/formats.md.

A unit without a rating has no number of a load in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, tzinfo
from math import floor

from kiosk.report import Json, iso
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.hangviews import (
    Better,
    Checked,
    HangingView,
    ScrewAt,
    UnitHanging,
    WallView,
)
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.refusals import Why
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import Length
from kiosk.rules.lengths import mm as in_mm


def hanging_json(
    view: HangingView, now: datetime, zone: tzinfo, *, only: Sequence[str] = ()
) -> Json:
    """Return a job's walls and its units, those nobody measured too; only: no others than these."""
    units = [*_measured(view, zone), *map(_unmeasured, view.unmeasured)]
    return {
        "at": iso(now, zone),
        "job": view.job,
        "walls": [wall_json(one) for one in view.walls],
        "units": [one for one in units if not only or one["unit"] in only],
        "order": [
            {"number": step.number, "unit": step.unit, "why": step.why} for step in view.order
        ],
        "unmeasured": list(view.unmeasured),
    }


def _measured(view: HangingView, zone: tzinfo) -> Iterator[Json]:
    numbers = {step.unit: step.number for step in view.order}
    for one in view.units:
        yield _unit(one, numbers.get(one.unit), zone)


def _unit(one: UnitHanging, number: int | None, zone: tzinfo) -> Json:
    rating = one.rating if one.rating and one.rating.is_rated else None
    allowed = one.allowed
    return {
        "unit": one.unit,
        "name": one.name,
        "kind": one.kind,
        "wall": one.wall,
        "order": number,
        "checked": str(one.checked),
        "words": one.words,
        **_rated(rating, turns_off=any(each.why is Why.UNHOOKS for each in one.refusals)),
        "refusals": [
            {"why": str(each.why), "message": each.message, "remedy": each.remedy}
            for each in one.refusals
        ],
        "cautions": list(one.cautions),
        "screws": [_screw(each) for each in one.screws] if rating else [],
        "improvement": one.better[0].words if one.better else None,
        "improvements": [_better(each) for each in one.better],
        "self_kg": _load(one.self_kg),
        "expected": None
        if one.load_kg is None
        else {"kg": _load(one.load_kg), "fits": one.fits, "words": one.load_words},
        "assumptions": [
            {"what": each.what, "value": each.value, "basis": each.basis}
            for each in one.assumptions
        ],
        "allowed": None
        if allowed is None
        else {
            "reason": allowed.reason,
            "person": allowed.person or None,
            "at": iso(allowed.at, zone),
            "allowed_by": allowed.allowed_by or None,
            "entry": allowed.entry,
        },
        "carried_by": one.carried_by or None,
        "shares_with": list(one.shares_with),
    }


def _rated(rating: Rating | None, *, turns_off: bool = False) -> Json:
    """Return the figures of a rating; without one there is none.

    turns_off says that it is known not to hook; else nobody knows where there is no rating.
    """
    if rating is None:
        names = ("net_load_kg", "gross_load_kg", "governing", "hooks", "pull_n", "lock_n", "limits")
        return {"rated": False, **dict.fromkeys(names), **({"hooks": False} if turns_off else {})}
    return {
        "rated": True,
        "net_load_kg": rating.net_kg,
        "gross_load_kg": _kg(rating.gross_kg),
        "governing": str(rating.governing),
        "hooks": rating.hooks,
        "pull_n": round(rating.pull_n, 1),
        "lock_n": round(rating.lock_n, 1),
        "limits": {str(check): _kg(most) for check, most in rating.limits.items()},
    }


def _unmeasured(unit: str) -> Json:
    """Return a unit whose wall nobody measured: nothing of it was looked at."""
    return {
        "unit": unit,
        **dict.fromkeys(("name", "kind", "wall", "order")),
        "checked": str(Checked.NOT_CHECKED),
        "words": "hanging not checked",
        **_rated(None),
        "refusals": [],
        "cautions": list(ALWAYS),
        "screws": [],
        "improvement": None,
        "improvements": [],
        **dict.fromkeys(("self_kg", "expected")),
        "assumptions": [],
        **dict.fromkeys(("allowed", "carried_by")),
        "shares_with": [],
    }


def _screw(one: ScrewAt) -> Json:
    return {
        "x_mm": _mm(one.x),
        "y_mm": _mm(one.y),
        "gauge": one.gauge,
        "length_mm": _mm(one.length),
        "penetration_mm": _mm(one.penetration),
        "stud": _mm(one.stud),
        "to_edge_mm": _mm(one.to_edge),
        "to_end_mm": _mm(one.to_end),
        "pilot_mm": one.pilot,
        "clearance_mm": one.clearance,
    }


def _better(one: Better) -> Json:
    return {"words": one.words, "before_kg": one.before, "after_kg": one.after}


def wall_json(view: WallView) -> Json:
    """Return a wall as measured, what its floor needs, and what its studs get."""
    return {
        **measured_json(view.wall),
        "spacer_mm": None if view.spacer is None else _mm(view.spacer),
        "shims": [{"x_mm": _mm(x), "thickness_mm": _mm(thick)} for x, thick in view.shims],
        "scribe": view.scribe,
        "panels": [
            {
                "unit": one.unit,
                "x_mm": None if one.x is None else _mm(one.x),
                "width_mm": None if one.width is None else _mm(one.width),
                "left_on_stud": one.left_on,
                "right_on_stud": one.right_on,
                "load_kg": _load(one.loads_kg),
                "rows_mm": [_mm(row) for row in one.rows],
                "notes": list(one.notes),
            }
            for one in view.panels
        ],
        "stud_loads": [
            {"x_mm": _mm(one.x), "load_kg": _load(one.load_kg), "pull_n": round(one.pull_n, 1)}
            for one in view.studs
        ],
        "notes": list(view.notes),
    }


def measured_json(wall: MeasuredWall) -> Json:
    """Return a wall as somebody measured it."""
    return {
        "wall": wall.wall,
        "width_mm": _mm(wall.width),
        "height_mm": _mm(wall.height),
        "datum": wall.datum,
        "studs": [
            {"x_mm": _mm(one.x), "width_mm": _mm(one.width), "species": one.species or None}
            for one in wall.studs
        ],
        "floor": [{"x_mm": _mm(one.x), "level_mm": _mm(one.level)} for one in wall.floor],
        "layers": [{"name": one.name, "thickness_mm": _mm(one.thickness)} for one in wall.layers],
        "services": [
            {
                "kind": one.kind,
                "x_mm": _mm(one.x),
                "y_mm": _mm(one.y),
                "width_mm": _mm(one.width),
                "height_mm": _mm(one.height),
            }
            for one in wall.services
        ],
        "backing": str(wall.backing),
        "soundness": str(wall.soundness),
        "spot": wall.spot and str(wall.spot),
        "premises": wall.premises and str(wall.premises),
        "celsius": wall.celsius,
        "damp": wall.is_damp,
        "finder_mm": _mm(wall.finder),
    }


def _mm(length: Length) -> float:
    return round(in_mm(length), 2)


def _load(value: float | None) -> float | None:
    """Return what something weighs, kg to a tenth."""
    return None if value is None else round(value, 1)


def _kg(value: float | None) -> float | None:
    """Return what may be carried, kg to a tenth, rounded down as every limit is."""
    return None if value is None else floor(round(value * 10, 6)) / 10
