"""Build units, entries and histories for tests, in a made-up week that starts on a Monday."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from datetime import time as clock_time
from pathlib import Path
from zoneinfo import ZoneInfo

import kiosk.rules
from kiosk.rules.asked import effects
from kiosk.rules.entries import Entry, Kind, to_ms
from kiosk.rules.fold import UnitState, fold_unit
from kiosk.rules.lengths import Length
from kiosk.rules.parts import Piece, UnitSpec, as_body
from kiosk.rules.productfile import parse_products
from kiosk.rules.route import State, Step, parse_routes
from kiosk.rules.scanning import Question, Verdict, judge
from kiosk.rules.setup import Setup
from kiosk.rules.standing import Standing, stand

ZONE = ZoneInfo("Europe/Berlin")
MONDAY = date(2026, 3, 2)  # four weeks without a change of the clocks follow
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
DATA = Path(next(iter(kiosk.rules.__path__))).parent / "data"
ROUTES_TEXT = (DATA / "routes.toml").read_text(encoding="utf-8")
PRODUCTS_TEXT = (DATA / "products.toml").read_text(encoding="utf-8")
PER_MM = 1600
# a shop whose rails are cut and nothing else
CUT_ONLY = ROUTES_TEXT.replace(
    'title = "Rail"\nlike = "shelf"',
    '[[rail.step]]\nname = "cut"\nstation = "cut"\nstanding = "to_cut"\neach = "part"',
)


def at(words: str, day: date = MONDAY) -> datetime:
    """Return `10:10`, `Tue 10:10` or `w2 Tue 10:10` of the made-up weeks as an aware UTC time."""
    *before, clock = words.split()
    if before:
        week = int(before[0][1:]) - 1 if len(before) == 2 else 0
        day = MONDAY + timedelta(weeks=week, days=DAYS.index(before[-1]))
    local = datetime.combine(day, clock_time.fromisoformat(clock), ZONE)
    return local.astimezone(UTC)


def a_piece(code="A", part=None, **fields) -> Piece:
    sizes = {"length": Length(600 * PER_MM), "width": Length(300 * PER_MM)}
    return Piece(code=code, part=part or f"part {code}", **(sizes | fields))


def a_unit(unit="S1", *, parts="AB", kind="shelf", finish="clear", job="GLAZE", **fields):
    pieces = tuple(a_piece(code) for code in parts)
    name = fields.pop("name", f"{kind} {unit}")
    return UnitSpec(
        job=job, unit=unit, name=name, kind=kind, finish=finish, pieces=pieces, **fields
    )


def a_wall(unit="W1") -> UnitSpec:
    return a_unit(unit, parts="", kind="wall", finish="")


def setup(routes=ROUTES_TEXT, products=PRODUCTS_TEXT, **uses) -> Setup:
    """Return the Setup of a shop that uses the data files as they ship."""
    found, problems = parse_routes(routes)
    assert problems == ()
    known, wrong = parse_products(products)
    assert wrong == ()
    usual = {
        "glue": "pva-interior",
        "filler": "filler-water",
        "wall_filler": "filler-water",
        "wall_paint": "enamel",
        "stripe": "enamel",
    }
    return Setup(found, known, usual | uses, ZONE)


SETUP = setup()


def an_entry(kind, body=None, *, when="08:00", seq=1, kiosk="K1", unit=None, **fields) -> Entry:
    """Return an entry; `when` is words for `at` or an aware time."""
    ms = to_ms(at(when) if isinstance(when, str) else when)
    spec = unit or a_unit()
    given = {"id": f"{kiosk}-{seq}", "l": ms, "c": 0, "wall_ms": ms, "person": "Ida"} | fields
    return Entry(
        kiosk=kiosk, seq=seq, kind=kind, job=spec.job, unit=spec.unit, body=body or {}, **given
    )


def taken(spec: UnitSpec, **fields) -> Entry:
    return an_entry(Kind.UNIT_TAKEN, as_body(spec), unit=spec, **({"when": "07:00"} | fields))


def history(*lines: str, unit: UnitSpec | None = None, kiosk="K1") -> list[Entry]:
    """Return the entries a shop would have written, the unit's list first at Monday 07:00.

    A line is a step (`cut A`, `glue-up 10:10`, `coat-1 Tue 14:00`), `spoil A A2`, `hold REASON`,
    `lift` (the last hold), `strike` (the last entry that may be struck), `print A` or `gone`. A
    line without a time happens a minute after the one before it.
    """
    spec = unit or a_unit()
    entries = [taken(spec, kiosk=kiosk)]
    moment = at("07:00")
    for line in lines:
        words, moment = _timed(line.split(), moment)
        kind, body = _meaning(words, entries)
        entries.append(
            an_entry(kind, body, when=moment, seq=len(entries) + 1, kiosk=kiosk, unit=spec)
        )
    return entries


def _timed(words: list[str], before: datetime) -> tuple[list[str], datetime]:
    if ":" not in words[-1]:
        return words, before + timedelta(minutes=1)
    first = len(words) - 1
    while first > 1 and (words[first - 1] in DAYS or words[first - 1] in ("w1", "w2", "w3", "w4")):
        first -= 1
    return words[:first], at(" ".join(words[first:]), before.astimezone(ZONE).date())


def _meaning(words: list[str], entries: list[Entry]) -> tuple[Kind, dict]:
    verb, *rest = words
    match verb:
        case "spoil":
            return Kind.PART_SPOILED, {"part": rest[0], "recut": rest[1], "reason": "tear-out"}
        case "hold":
            return Kind.HOLD_PUT, {"reason": " ".join(rest)}
        case "lift":
            return Kind.HOLD_LIFTED, {"target": _last(entries, Kind.HOLD_PUT)}
        case "strike":
            kinds = (Kind.STEP_DONE, Kind.HOLD_PUT, Kind.HOLD_LIFTED, Kind.PART_SPOILED)
            return Kind.STRUCK, {"target": _last(entries, *kinds)}
        case "print":
            return Kind.LABELS_PRINTED, {"codes": rest}
        case "gone":
            return Kind.UNIT_GONE, {}
    return Kind.STEP_DONE, {"step": verb} | ({"part": rest[0]} if rest else {})


def _last(entries: list[Entry], *kinds: Kind) -> str:
    return next(entry.id for entry in reversed(entries) if entry.kind in kinds)


def late(entry: Entry, when: str) -> Entry:
    """Return the entry as recorded late: it happened at `when`."""
    return replace(entry, body=dict(entry.body) | {"at_ms": to_ms(at(when))})


def asked(question, key, *, kiosk="M", when="15:05", person="Ana", seq=50) -> list[Entry]:
    """Return the entries that an answer to a question writes at a kiosk, the answer itself last."""
    ms = to_ms(at(when) if isinstance(when, str) else when)
    answer = f"{kiosk}-answer-{seq}"
    made = effects(question, question.reply(key), answer=answer, at_ms=ms)
    return [
        an_entry(
            deed.kind,
            deed.body,
            when=when,
            seq=seq + n,
            kiosk=kiosk,
            unit=a_unit(deed.unit, job=question.job),
            person=deed.person or person,
            **({"id": answer} if deed.kind == Kind.QUESTION_ANSWERED else {}),
        )
        for n, deed in enumerate(made)
    ]


def folded(entries: Iterable[Entry]) -> UnitState:
    state = fold_unit(entries)
    assert state is not None
    return state


def standing_at(when, entries, *, shop: Setup = SETUP, missing=(), hang=None) -> Standing:
    """Return the standing at a time, given as words or aware."""
    now = at(when) if isinstance(when, str) else when
    return stand(folded(entries), shop, now=now, missing=missing, hang=hang)


def scan_at(
    when, entries, station, part="", *, shop=SETUP, missing=(), hang=None, **asked
) -> Verdict:
    """Return what a scan of a part (or, without one, of the unit) would mean."""
    now = at(when) if isinstance(when, str) else when
    state = folded(entries)
    standing = stand(state, shop, now=now, missing=missing, hang=hang)
    piece = state.piece(part) if part else None
    steps = shop.steps(state.spec)
    return judge(
        Question(state, standing, steps, station, now, ZONE, piece, missing=missing, **asked)
    )


def a_step(name="coat-1", title="coat 1", station="finish", state=State.COAT_DUE) -> Step:
    return Step(name, title, f"{title} on", station, state)


def a_standing(unit="S1", state=State.COAT_DUE, *, job="GLAZE", kind="shelf", **fields) -> Standing:
    given = {"why": "because", "step": a_step()} | fields
    return Standing(job, unit, f"{kind} {unit}", kind, state, **given)
