"""Turn answers about the air, clocks, findings and rags into JSON keys and plain text."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta, tzinfo

from kiosk.actions import AirTaken, Shop
from kiosk.report import Json, iso, problem_json, problem_text
from kiosk.rules.air import Ahead, Reading
from kiosk.rules.airwords import show_temperature
from kiosk.rules.cautions import HAZARDS, RAGS_DONE
from kiosk.rules.ends import USES_OF_FINISH, Ends, Reached
from kiosk.rules.learning import Proposal
from kiosk.rules.rags import Rags
from kiosk.rules.stages import STAGES
from kiosk.rules.times import say_span, say_time
from kiosk.rules.words import _

AHEAD_WORDS = {
    Ahead.PROFILE: _("after it: the mean of the same hour of the last days"),
    Ahead.LAST: _("after it: held as last read"),
    Ahead.LABEL: _("no reading yet: clocks run on the labels' own air"),
    Ahead.SUPPOSED: _("as supposed from now on"),
}


def air_json(shop: Shop, now: datetime, *, job: str = "", readings: int = 0) -> Json:
    """Return the air of a place now, what it means, and its latest readings."""
    found, air = shop.air_now(now, job=job), shop.air(job)
    latest = air.readings[max(0, len(air.readings) - readings) :] if readings else ()
    answer: Json = {"at": iso(now, shop.zone), "job": job or None, "after_it": str(air.ahead)}
    answer |= {
        "temperature_c": None if found is None else round(found.temperature_c, 2),
        "humidity": None if found is None else round(found.humidity, 2),
        "surface_c": None if found is None else found.surface_c,
        "dew_point_c": None if found is None else round(found.dew_point_c, 2),
        "vapour_pressure_deficit_pa": None if found is None else round(found.deficit_pa, 1),
        "wood_moisture": None if found is None else round(found.wood_moisture, 2),
        "estimated": found is None or found.estimated,
        "last": _reading_json(found.last, shop, job=job) if found and found.last else None,
    }
    return answer | {"readings": [_reading_json(one, shop, job=job) for one in latest]}


def _reading_json(one: Reading, shop: Shop, job: str = "") -> Json:
    entry = shop.store.air_entry(job, one.at)
    return {
        "at": iso(one.at, shop.zone),
        "temperature_c": one.temperature_c,
        "humidity": one.humidity,
        "surface_c": one.surface_c,
        "speed_m_s": one.speed_m_s,
        "source": one.source,
        "entry": entry.id if entry else None,
        "person": entry.person or None if entry else None,
    }


def reading_text(one: Reading, shop: Shop) -> str:
    """Return a reading as one line."""
    words = [show_temperature(one.temperature_c, fahrenheit=shop.fahrenheit), f"{one.humidity:g} %"]
    if one.surface_c is not None:
        words.append(f"panel {show_temperature(one.surface_c, fahrenheit=shop.fahrenheit)}")
    if one.speed_m_s is not None:
        words.append(f"air moving {one.speed_m_s:g} m/s")
    return f"{iso(one.at, shop.zone)}  {', '.join(words)}  {one.source}"


def air_text(shop: Shop, now: datetime, *, job: str = "", readings: int = 0) -> str:
    """Return the air of a place now and what it means, as text."""
    found, air = shop.air_now(now, job=job), shop.air(job)
    if found is None:
        record = f"cleatclock air --temp 18C --humidity 65{f' --job {job}' if job else ''}"
        return f"No reading of the air yet: clocks run on the labels' own air. Record one: {record}"
    said = {
        name: show_temperature(value, fahrenheit=shop.fahrenheit)
        for name, value in (
            ("air", round(found.temperature_c, 1)),
            ("dew", round(found.dew_point_c, 1)),
        )
    }
    panel = ""
    if found.surface_c is not None:
        degrees = show_temperature(round(found.surface_c, 1), fahrenheit=shop.fahrenheit)
        panel = f", panel {degrees}: counts for everything for an hour"
    lines = [
        f"{said['air']}, {found.humidity:.0f} %{panel}{' (estimate)' if found.estimated else ''}",
        f"dew point {said['dew']}, vapour pressure deficit {found.deficit_pa / 1000:.2f} kPa, "
        f"wood settles at {found.wood_moisture:.1f} % moisture",
    ]
    if found.last is not None:
        is_new = now - found.last.at < timedelta(minutes=1)
        old = "just now" if is_new else f"{say_span(now - found.last.at)} ago"
        lines.append(f"last reading {old}, {found.last.source}; {AHEAD_WORDS[air.ahead]}")
    for one in air.readings[max(0, len(air.readings) - readings) :] if readings else ():
        entry = shop.store.air_entry(job, one.at)
        lines.append(f"{reading_text(one, shop)}  {entry.id if entry else ''}")
    return "\n".join(lines)


def file_json(taken: AirTaken, zone: tzinfo) -> Json:
    """Return what a logger's file brought."""
    readings = taken.listed.readings
    return {
        "readings": len(readings),
        "taken": taken.taken,
        "first": iso(readings[0].at, zone) if readings else None,
        "last": iso(readings[-1].at, zone) if readings else None,
        "problems": [problem_json(problem) for problem in taken.problems],
        "skipped": [{"row": skip.row, "why": skip.why} for skip in taken.listed.skipped],
        "notes": list(taken.listed.notes),
    }


def file_text(taken: AirTaken, *, dry_run: bool) -> str:
    """Return what a logger's file brought, as text."""
    skipped = taken.listed.skipped
    lines = [f"skipped row {skip.row}: {skip.why}" for skip in skipped[:10]]
    if len(skipped) > 10:
        lines.append(f"and {len(skipped) - 10} more rows skipped")
    lines += [problem_text(problem) for problem in taken.problems]
    lines += [f"note: {note}" for note in taken.listed.notes]
    if any("day-first" in problem.remedy for problem in taken.problems):
        lines.append("Here: --dates day-first or --dates month-first.")
    if taken.problems:
        lines.append("Nothing was taken in.")
    else:
        word = "would come in" if dry_run else "taken in"
        there = f"; {taken.known} were there already" if taken.known else ""
        lines.append(f"{taken.taken} readings {word}{there}.")
        rows = taken.listed.readings
        warm = [one.temperature_c for one in rows]
        damp = [one.humidity for one in rows]
        lines.append(
            f"From {rows[0].at:%Y-%m-%d} to {rows[-1].at:%Y-%m-%d}, "
            f"{min(warm):g} to {max(warm):g} °C, {min(damp):g} to {max(damp):g} %."
        )
    return "\n".join(lines)


def clocks_json(found: Sequence[Reached], now: datetime, shop: Shop) -> Json:
    """Return the clocks of a unit."""
    rows = [
        {
            "step": one.step.name,
            "product": one.product.key,
            "stage": one.stage,
            "started": iso(one.clock.started, shop.zone),
            "earliest": iso(one.clock.earliest, shop.zone),
            "expected": iso(one.clock.expected, shop.zone),
            "latest": iso(one.clock.latest, shop.zone),
            "closes": one.clock.closes,
            "progress": round(one.clock.progress(now), 4),
            "state": one.look.state,
            "estimated": one.look.estimated,
            "uncertain": one.look.uncertain,
            "held_by": str(one.look.gate) if one.look.gate else None,
            "held_from": iso(one.look.held_from, shop.zone),
            "seed": one.seed,
            "risk": one.risk.level if one.risk else None,
            "why": one.look.words,
        }
        for one in found
    ]
    return {"at": iso(now, shop.zone), "clocks": rows}


def clocks_text(found: Sequence[Reached], now: datetime, shop: Shop) -> str:
    """Return the clocks of a unit as text: what was put on, then a line for each stage."""
    if not found:
        return "Nothing on it has a clock yet."
    lines: list[str] = []
    before = ""
    for one in found:
        if one.step.name != before:
            before = one.step.name
            since = say_time(one.clock.started, now=now, zone=shop.zone)
            wet = f", {one.product.wet_um:.0f} µm wet" if one.product.wet_um else ""
            lines.append(f"{one.step.title}, {since}: {one.product.title}{wet}")
            if one.risk is not None:
                lines.append(f"  ! {one.risk.words}")
        lines.append(f"  {STAGES[one.stage].words:38} {_clock_line(one, now, shop.zone)}")
    if any(one.seed for one in found):
        lines.append("* typical for the kind, nobody has read it off the label yet")
    lines.append("Estimates are no guarantee: the label first, then a touch on a hidden spot.")
    return "\n".join(lines)


def _clock_line(one: Reached, now: datetime, zone: tzinfo) -> str:
    clock, mark = one.clock, "*" if one.seed else ""
    if clock.expected is None:
        return f"not in sight{mark}; {one.look.words}"
    when = say_time(clock.expected, now=now, zone=zone)
    if clock.is_over(now):
        return f"since {when}{mark}"
    early, late = (
        say_time(at, now=now, zone=zone) if at else "never" for at in (clock.earliest, clock.latest)
    )
    share = f"{int(100 * clock.progress(now))} %"  # never 100 before it is over
    return f"{when}{mark} ({early} to {late}), {share}; {one.look.words}"


def proposals_json(rows: Sequence[Proposal]) -> Json:
    """Return what the findings at the bench say."""
    return {
        "proposals": [
            {
                "product": one.product,
                "stage": one.stage,
                "findings": one.count,
                "dry": one.dry,
                "tacky": one.tacky,
                "factor": one.factor,
                "low": one.low,
                "high": one.high,
                "doubt": one.doubt or None,
                "words": one.words,
            }
            for one in rows
        ]
    }


def proposals_text(rows: Sequence[Proposal]) -> str:
    """Return what the findings say as text, with how to accept a factor."""
    lines = []
    for one in rows:
        lines.append(one.words)
        if one.factor is not None and not one.doubt:
            accept = f"cleatclock products --factor {one.product}.{one.stage}={one.factor:.2f}"
            lines.append(f"  to accept it: {accept}")
    return "\n".join(lines) or "Nothing found yet: cleatclock found UNIT --dry or --tacky"


def rags_json(rags: Rags | None, zone: tzinfo) -> Json:
    """Return the oily rags not ticked off."""
    return {
        "waiting": rags is not None,
        "since": iso(rags.since, zone) if rags else None,
        "product": rags.product if rags else None,
        "pressing": rags.pressing if rags else False,
    }


def rags_text(rags: Rags | None, shop: Shop, now: datetime) -> str:
    """Return the oily rags not ticked off as text."""
    if rags is None:
        return "No oily rags to tick off."
    since = say_time(rags.since, now=now, zone=shop.zone)
    tick = "Tick it off: cleatclock rags --done"
    return f"{rags.product} was used {since}. {HAZARDS['oily_rags']} {RAGS_DONE} {tick}"


def ends_json(ends: Sequence[Ends], zone: tzinfo) -> list[Json]:
    """Return from when each unit may be used, or why nobody can say."""
    return [
        {
            "unit": one.unit,
            "name": one.name,
            "estimated": one.estimated,
            "seeds": list(one.seeds),
            **{f"{use}_from": iso(one.at.get(use), zone) for use in USES_OF_FINISH},
            "why": dict(one.why),
        }
        for one in ends
    ]


def ends_text(ends: Sequence[Ends], now: datetime, zone: tzinfo) -> str:
    """Return from when each unit may be used, as text."""
    lines = [f"{'':8} {'may be wiped':24} {'may carry goods':24}"]
    for one in ends:
        cells = [
            say_time(_full_hour(one.at[use].astimezone(zone)), now=now, zone=zone)
            if use in one.at
            else one.why[use]
            for use in ("wipe", "load")
        ]
        mark = " (estimate)" if one.estimated else ""
        lines.append(f"{one.unit:8} {cells[0]:24.24} {cells[1]:24.24}{mark}")
    return "\n".join(lines)


def _full_hour(at: datetime) -> datetime:
    """Return a time rounded up to the full hour."""
    rest = timedelta(minutes=at.minute, seconds=at.second, microseconds=at.microsecond)
    return at + (timedelta(hours=1) - rest) if rest else at
