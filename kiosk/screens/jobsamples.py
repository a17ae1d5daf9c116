"""Jobs, units and part lists for pictures: those of a ceramics studio's glaze store."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path

from kiosk.actions import JobSum, Past, TakenIn
from kiosk.folders import Spot
from kiosk.rules.guesses import UNMARKED
from kiosk.rules.partlist import PartList, compare, read, units_of
from kiosk.rules.parts import UnitSpec
from kiosk.rules.problems import Problem
from kiosk.rules.route import State
from kiosk.rules.words import _, join, known, say, say_n
from kiosk.screens.jobview import JobsView, PartRow, UnitLine, UnitView
from kiosk.store import Job

TODAY = date(2026, 3, 11)
_AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
_HOME = Path("/home/glaze")

JOBS = JobsView(
    (
        JobSum(Job("GLAZE", "Glaze store", "Studio, ground floor", "2026-03-13"), 13, 4, 88, 61),
        JobSum(Job("KILN", "Kiln room", "", "2026-04-02"), 14, 0, 72, 0),
        JobSum(Job("WEDGING-TABLE", "Shelves over the long wedging table"), 3, 0, 12, 0),
    ),
    TODAY,
    (Job("DRYING", "Drying room", "", "2026-02-20", open=False), Job("SLIP", open=False)),
)


_on_monday = partial(say, "{day} {clock}", day=_("Mon"))
_on_tuesday = partial(say, "{day} {clock}", day=_("Tue"))
_COAT = known("coat 1", "step")
_SINCE = say("dry since {time}", time="15:10")
_EARLY = say("{what}, went ahead: {reason}", what=_COAT, reason=_("touch test is dry"))
_GATHERED = join((known("gather", "step"), "Panel cleat"), ": ")
_CUT = join((known("cut", "step"), "Panel face"), ": ")
_UPON = (known("glue up", "step"), known("fill", "step"), _COAT)

UNITS: tuple[UnitLine, ...] = tuple(
    UnitLine("GLAZE", unit, name, state, why)
    for unit, name, state, why in (
        (
            "G01",
            "Long shelf",
            State.GLUE_CURING,
            say("{what} cures until {time}", what=_("glue"), time="16:15"),
        ),
        (
            "G02",
            "Jar shelf",
            State.READY_TO_HANG,
            say("dry since {time}", time=_on_tuesday(clock="08:20")),
        ),
        (
            "G03",
            "Brush panel",
            State.TO_CUT,
            say("{n} of {all} parts {done}", n=2, all=5, done=known("cut", "done")),
        ),
        (
            "G04",
            "Long divider of the glaze store",
            State.SCUFF_FIRST,
            say("window closed {time}: scuff first", time="14:50"),
        ),
        (
            "G05",
            "Tile panel",
            State.COAT_DUE,
            say("{why}; window closes {time}", why=_SINCE, time="16:10"),
        ),
        (
            "G06",
            "Cone box",
            State.ON_HOLD,
            say("on hold since {time}: {reason}", time="14:02", reason="runs at the lower edge"),
        ),
        ("G07", "Divider", State.HUNG, say("up since {time}", time=_on_monday(clock="16:20"))),
        (
            "G08",
            "Door",
            State.COAT_DRYING,
            say("{what} dries until {time}", what=_COAT, time="17:40"),
        ),
        (
            "G09",
            "Rail",
            State.TO_ASSEMBLE,
            say("{n} of {all} parts {done}", n=3, all=4, done=known("gathered", "done")),
        ),
    )
)

_WHAT = (
    (_COAT, "14:10", "Mara", False, True),
    (say("struck: {what}", what=_COAT), "14:08", "Mara", False, False),
    (_EARLY, "14:05", "Ivo", True, False),
    (known("fill", "step"), "11:30", "Ivo", False, True),
    (known("glue up", "step"), _on_tuesday(clock="16:20"), "Mara", False, True),
    (
        join((known("gather", "step"), "Panel cleat"), ": "),
        _on_tuesday(clock="15:58"),
        "",
        False,
        True,
    ),
    (
        join((known("cut", "step"), "Panel face"), ": "),
        _on_monday(clock="10:12"),
        "Mara",
        False,
        True,
    ),
    (say_n("{n} label", "{n} labels", 5), _on_monday(clock="09:40"), "", False, False),
    (
        say_n("part list: {n} part", "part list: {n} parts", 5),
        _on_monday(clock="09:32"),
        "Mara",
        False,
        False,
    ),
)
UNIT = UnitView(
    UNITS[4],
    say("{step} at {station}", step=known("coat 2", "step"), station=known("finish", "station")),
    (
        PartRow("Panel face", "1200 × 1200 × 6 mm", "K7F3Q97", _("cut"), "tick", 1),
        PartRow("Panel cleat", "1139.5 × 89.5 × 18 mm", "K7F4AC3", _("spoiled"), "cross", 1),
        PartRow("Panel cleat", "1139.5 × 89.5 × 18 mm", "K7F5BD4", _("cut"), "tick"),
        PartRow("Back spacer, lower left", "603 × 89.5 mm", "K7F6CE5", _("not cut"), "dot"),
    ),
    tuple(
        Past(
            f"e{at}",
            _AT - timedelta(hours=at),
            when,
            what,
            person,
            is_struck,
            can,
            _UPON if what is _CUT else (),
        )
        for at, (what, when, person, is_struck, can) in enumerate(_WHAT)
    ),
)

PLACES: tuple[Spot, ...] = (
    Spot("LISTS", Path("/media/glaze/LISTS"), _AT, is_folder=True, is_stick=True),
    Spot("Downloads", _HOME / "Downloads", _AT, is_folder=True),
    Spot("Documents", _HOME / "Documents", _AT, is_folder=True),
    Spot("glaze", _HOME, _AT, is_folder=True),
)
FILES: tuple[Spot, ...] = (
    Spot("glaze-store-2.xlsx", _HOME / "glaze-store-2.xlsx", _AT, 14_200),
    Spot("glaze-store.csv", _HOME / "glaze-store.csv", _AT - timedelta(days=2), 4_100),
    Spot(
        "Part list of the kiln room, second draft with the long wall.ods",
        _HOME / "kiln.ods",
        _AT - timedelta(days=3),
        22_000,
    ),
    Spot("Old lists", _HOME / "Old lists", _AT - timedelta(days=60), is_folder=True),
)

_HEAD = ("Unit", "Piece", "Length", "Width", "Count", "Board", "Remark on the cutting list")
_ROWS = (
    ("G01 Long shelf", "Shelf board", "1200", "280", "2", "plywood 18", "best side up"),
    ("", "Back spacer, lower left", "603", "89.5", "1", "plywood 18", ""),
    ("G05 Tile panel", "Panel face", "1200", "1200", "1", "plywood 6", ""),
    ("", "Panel cleat", "1139.5", "89.5", "2", "plywood 18", ""),
    ("G06 Cone box", "Side", "280", "100", "2", "plywood 12", ""),
    ("", "Bottom", "280", "280", "1", "plywood 6", ""),
)


def _taken(listed: PartList, problems: tuple[Problem, ...] = (), job: str = "") -> TakenIn:
    units = tuple(draft.spec(job) for draft in units_of(listed))
    return TakenIn(
        job, units, problems, listed.skipped, taken=False, notes=(UNMARKED,), listed=listed
    )


def good_list() -> TakenIn:
    """Return a list that may be taken in; its numbers name no unit."""
    return _taken(read((_HEAD, *_ROWS), units=None, columns={"Piece": "part", "Count": "quantity"}))


def wrong_list() -> TakenIn:
    """Return a list with problems of many kinds, more than one page of them."""
    odd = (
        ("G07", "Side", "12 bananas", "100", "2", "", ""),
        ("G08", "Side", "", "100", "2", "", ""),
        ("G09", "Side", "280", "-4", "none", "", ""),
        ("G10", "Back", "280", "100", "0", "", ""),
    )
    listed = read((_HEAD, *_ROWS, *odd, ("",)), units=None)
    return _taken(listed, listed.problems)


def changed_list(*, same: bool = False) -> TakenIn:
    """Return a revised list with a difference of each kind, or with none."""
    before = read((_HEAD, *_ROWS), units="mm")
    rows = [list(row) for row in _ROWS]
    if not same:
        rows[0][2], rows[2][2], rows[5][4] = "1250", "1180", "3"
        del rows[4]
        rows[4][0] = "G06 Cone box"
    after = read((_HEAD, *rows), units="mm")
    numbers = iter(range(100))
    old = [draft.spec("GLAZE") for draft in units_of(before)]
    old = [_coded(spec, [f"K{next(numbers):02d}" for _piece in spec.pieces]) for spec in old]
    cut = {piece.code for piece in old[1].pieces}
    taken = _taken(after, job="GLAZE")
    return TakenIn(
        "GLAZE",
        taken.units,
        (),
        (),
        taken=False,
        revision=compare(old, after, cut=cut),
        listed=after,
    )


def _coded(spec: UnitSpec, codes: list[str]) -> UnitSpec:
    pieces = zip(spec.pieces, codes, strict=True)
    return replace(spec, pieces=tuple(replace(piece, code=code) for piece, code in pieces))
