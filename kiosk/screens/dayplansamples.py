"""A day of a ceramics studio that fits out its glaze store and kiln room, for pictures."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, tzinfo

from kiosk.actions import Promised, SureDay, TakenIn
from kiosk.rules.cautions import HAZARDS
from kiosk.rules.dayplan.day import DayPlan, DayStep, LateJob
from kiosk.rules.dayplan.promise import Effect, Promise
from kiosk.rules.times import say_span, say_time
from kiosk.rules.words import _, known, say, say_n

_DAY = date(2026, 3, 11)  # a Wednesday
PEOPLE = ("Mara", "Ivo", "Ada", "Noor", "Bea", "Tom")
# begins, minutes, job, unit, step, title, station, people; the reason is that of the step
_ROWS = (
    ("07:30", 40, "GLAZE", "G05", "coat-1", "coat 1", "finish", ("Mara",)),
    ("07:30", 60, "GLAZE", "G11", "cut", "cut", "cut", ("Ivo",)),
    ("07:35", 55, "KILN", "K02", "glue-up", "glue up", "assemble", ("Ada", "Noor")),
    ("07:30", 90, "KILN", "K13", "cut", "cut", "cut", ("Bea",)),
    ("08:15", 35, "GLAZE", "G08", "sand", "sand to 220 grit", "finish", ("Mara",)),
    ("08:40", 45, "GLAZE", "G12", "glue-up", "glue up", "assemble", ("Ada",)),
    ("09:00", 50, "KILN", "K05", "fill", "fill", "finish", ("Mara",)),
    ("09:10", 55, "KILN", "K14", "glue-up", "glue up", "assemble", ("Noor", "Tom")),
    ("09:40", 40, "GLAZE", "G01", "hang", "hang", "install", ("Ivo", "Bea")),
    ("09:50", 35, "GLAZE", "G08", "coat-2", "coat 2", "finish", ("Mara",)),
    ("09:50", 30, "KILN", "K13", "gather", "gather", "assemble", ("Ada",)),
    ("10:10", 60, "KILN", "K02", "glue-up-2", "glue up the back", "assemble", ("Noor",)),
    ("10:15", 45, "GLAZE", "G02", "hang", "hang", "install", ("Tom",)),
    ("10:25", 30, "GLAZE", "G05", "coat-2", "coat 2", "finish", ("Mara",)),
    ("10:20", 50, "KILN", "K13", "glue-up", "glue up", "assemble", ("Ada", "Bea")),
    ("10:30", 45, "GLAZE", "G03", "hang", "hang", "install", ("Ivo",)),
    ("11:10", 30, "KILN", "K05", "sand", "sand to 220 grit", "finish", ("Mara",)),
    ("11:20", 30, "KILN", "K14", "unmask", "take the tape off", "finish", ("Noor",)),
    ("12:45", 40, "KILN", "K05", "coat-1", "coat 1", "finish", ("Mara",)),
    ("13:00", 90, "GLAZE", "", "load", "load the van", "install", ("Ivo", "Tom")),
    ("13:30", 30, "GLAZE", "G12", "fill", "fill", "finish", ("Ada",)),
    ("14:00", 60, "KILN", "K02", "sand", "sand to 220 grit", "finish", ("Noor",)),
    ("15:20", 35, "KILN", "K02", "coat-1", "coat 1", "finish", ("Mara",)),
    ("16:00", 40, "KILN", "K13", "fill", "fill", "finish", ("Ada",)),
    ("16:10", 45, "GLAZE", "G11", "glue-up", "glue up", "assemble", ("Bea", "Noor")),
)
_NOW = "09:58"
RUNS = 99  # of the chances and the promise shown
_NIGHT = _("starts a rest that runs overnight")


@dataclass(frozen=True, slots=True)
class SampleTime:
    """How long a step takes, for pictures."""

    kind: str
    step: str
    title: str
    catalogue: float
    learned: float | None = None
    eighty: float | None = None
    count: int = 0
    set: float | None = None
    used: float = 0.0


def _time(zone: tzinfo, clock: str) -> datetime:
    hour, minute = clock.split(":")
    return datetime(_DAY.year, _DAY.month, _DAY.day, int(hour), int(minute), tzinfo=zone)


def sample_day(zone: tzinfo) -> DayPlan:
    """Return a full day of six people at ten."""
    now = _time(zone, _NOW)
    busy: set[str] = set()
    steps = []
    for begins, minutes, job, unit, step, title, station, people in _ROWS:
        starts = _time(zone, begins)
        ends = starts + timedelta(minutes=minutes)
        state = "later"
        if ends <= now:
            state = "done"
        elif starts <= now:
            state = "now"
        elif not busy & set(people):
            state = "next"
            busy |= set(people)
        made = DayStep(
            job, unit or str(_("load")), step, known(title, "step"), station, people, starts, ends,
            _why(step, begins), state, unit_id=unit,
        )  # fmt: skip
        steps.append(_more(made, zone))
    resting = [one for one in steps if one.begin_by is not None]
    closing = tuple(sorted(resting, key=lambda one: one.begin_by or one.starts))
    hours = tuple(
        (_time(zone, first), _time(zone, last))
        for first, last in (("07:30", "12:00"), ("12:45", "17:00"))
    )
    return DayPlan(now, hours, PEOPLE, tuple(steps), closing)


def _why(step: str, begins: str) -> str:
    if begins >= "15":
        return _NIGHT
    return {
        "glue-up": say("{place} free at {time}", place="Clamp bench", time=begins),
        "coat-2": say("window closes {time}", time="15:10"),
        "hang": say("must be up before {units}", units="G04, G06"),
        "fill": say("{person} is free then", person="Mara"),
        "load": say(
            "hang day {day}: {left} to spare", day=_("Fri"), left=say_span(timedelta(minutes=20))
        ),
        "sand": say("rest after {step} is over at {time}", step=_("fill"), time=begins),
    }.get(step, say("for hang day {day}", day=_("Fri")))


def _more(step: DayStep, zone: tzinfo) -> DayStep:
    """Return a step with its rest, its caution, and what comes first."""
    rest, begin_by = "", None
    if step.starts.hour >= 15:
        begin_by = step.starts.replace(hour=17, minute=0) - (step.ends - step.starts)
        again = _time(zone, "07:30") + timedelta(days=1)
        span = say_span(again - step.ends)
        until = say_time(again, now=step.starts, zone=zone)
        rest = say("rests {span}, until {time}", span=span, time=until)
    cautions = {"coat-1": "fresh_air", "coat-2": "oily_rags", "sand": "dust", "hang": "lifting"}
    hazard = cautions.get(step.step)
    extra = ""
    if step.unit == "G08" and step.step == "coat-2":
        extra = say("scuff first: {span} of it", span=say_span(timedelta(minutes=10)))
    caution = HAZARDS[hazard] if hazard else ""
    return replace(step, rest=rest, extra=extra, caution=caution, begin_by=begin_by)


def late_day(zone: tzinfo) -> DayPlan:
    """Return the same day with two late jobs, one of them held up by a unit that rests."""
    now = _time(zone, _NOW)
    rests = say_time(_time(zone, "09:40") + timedelta(days=2), now=now, zone=zone)
    why = say("{step} rests until {time}", step=known("coat 2", "step"), time=rests)
    late = tuple(
        LateJob(
            job,
            date(2026, 3, day),
            expected,
            chance,
            say(
                "{span} late, expected {time}",
                span=say_span(span),
                time=say_time(expected, now=now, zone=zone),
            ),
            RUNS,
            *(("G08", why, 2) if job == "GLAZE" else ()),
        )
        for job, day, chance, span, expected in (
            (
                "GLAZE",
                13,
                35 / RUNS,
                timedelta(hours=9.5),
                _time(zone, "17:00") + timedelta(days=2),
            ),
            ("KILN", 20, None, timedelta(hours=3.5), _time(zone, "11:30") + timedelta(days=9)),
        )
    )
    change = say(
        "{change} ({gain})",
        change=say_n(
            "{n} more slot at {place}", "{n} more slots at {place}", 2, place="Clamp bench"
        ),
        gain=say_n("{job} {n} day sooner", "{job} {n} days sooner", 1, job="GLAZE"),
    )
    return replace(sample_day(zone), late_jobs=late, change=change)


def risk_day(zone: tzinfo) -> DayPlan:
    """Return the same day with a late job, and one at risk."""
    day, expected = late_day(zone), _time(zone, "14:10") + timedelta(days=9)
    words = say("expected {time}", time=say_time(expected, now=day.at, zone=zone))
    risk = LateJob("KILN", date(2026, 3, 20), expected, 57 / RUNS, words, RUNS)
    return replace(day, late_jobs=day.late_jobs[:1], at_risk=(risk,))


def empty_day(zone: tzinfo) -> DayPlan:
    """Return a day without steps."""
    return DayPlan(_time(zone, _NOW), people=PEOPLE[:2])


def closed_day(zone: tzinfo) -> DayPlan:
    """Return a day on which nobody works."""
    again = _time(zone, "07:30") + timedelta(days=1)
    time = say_time(again, now=_time(zone, _NOW), zone=zone)
    closed = say("{closed}. Work goes on {time}.", closed=_("The shop is closed today"), time=time)
    return replace(empty_day(zone), closed=closed)


NOTES = (
    say("{unit} is left out: {why}", unit="G14", why=_("on hold")),
    say("{unit} is left out: {why}", unit="K07", why=_("no coat in this route")),
)
TIMES = (
    SampleTime("shelf", "cut", known("cut", "step"), 8, 6.5, 9, 23, None, 6.5),
    SampleTime("shelf", "glue-up", known("glue up", "step"), 25, 31, 42, 12, 35, 35),
    SampleTime("shelf", "sand", known("sand to 220 grit", "step"), 20, None, None, 0, None, 20),
    SampleTime("shelf", "coat-1", known("coat 1", "step"), 15, 14, 18, 3, None, 14.6),
    SampleTime("panel", "hang", known("hang", "step"), 30, None, None, 0, 45, 45),
)


def promised(today: date) -> Promised:
    """Return what a promise looks like for a list that would cost another job its day."""
    sure = tuple(
        SureDay(share, today + timedelta(days=days), None, share - 0.08, share + 0.06, held)
        for share, days, held in ((0.80, 12, 84), (0.95, 14, 97))
    )
    effects = (Effect("GLAZE", 90 / RUNS, 61 / RUNS), Effect("KILN", 96 / RUNS, 95 / RUNS))
    made = Promise(RUNS, (), (), effects)
    return Promised(TakenIn("", (), (), (), taken=False), sure, None, made)


def few(found: Promised) -> Promised:
    """Return the same promise from so few runs that they tell nothing of 95 %."""
    sure = (replace(found.days[0], held=17), SureDay(0.95, None, None, 0.0, 1.0, needs=59))
    return replace(found, days=sure, promise=Promise(19, (), ()))
