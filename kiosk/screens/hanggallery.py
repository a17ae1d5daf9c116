"""Draw the screens of walls, of hanging and of how a unit hangs, in every state."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from kiosk.actions.hangpapers import HangPaper
from kiosk.rules.hanging.hangviews import HangingView
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.hanging.wallcheck import check_wall
from kiosk.rules.lengths import System, from_mm
from kiosk.screens.desk import Desk
from kiosk.screens.fitfields import SECTIONS, field_of
from kiosk.screens.hangpicture import draw_bare, draw_hanging
from kiosk.screens.hangsamples import (
    JOB,
    TABLE,
    WALL,
    WRONG,
    sample_answer,
    sample_form,
    sample_seen,
    sample_wall,
    sample_walls,
)
from kiosk.screens.hangsview import HangSeen, WallsSeen
from kiosk.screens.jobsamples import PLACES
from kiosk.screens.stage import Stage
from kiosk.screens.walldesk import Draft
from kiosk.screens.wallsdesk import say_kept

Put = tuple[str, Callable[[], object]]
_MM = System.MM
STICK = Path("/media/glaze/LISTS")
FULL = "No space left on device"  # as a system says it


def show_hanging(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    for name, put in (*_hang(desk), *_units(desk), *_walls(desk), *_wall(desk), *_fit(desk)):
        put()
        stage.step(3)
        yield name
    desk.shopdesk.hanging.walls.one.draft = None
    for name, is_bare in (("hang-scanned", False), ("hang-scanned-bare", True)):
        desk.take_answer(sample_answer(is_bare=is_bare))
        stage.settle()
        yield name
    desk.answer = None
    desk.bench.show_answer(None, "", ())
    desk.open_bench()


def _shown(desk: Desk, seen: HangSeen) -> None:
    desk.shopdesk.hanging.wall.show(seen, draw_hanging(seen, WALL, desk.trim), 0)


def _hang(desk: Desk) -> Iterator[Put]:
    hang, seen = desk.shopdesk.hanging.wall, sample_seen()
    yield "hang", lambda: _shown(desk, seen)
    yield "hang-inch", lambda: _shown(desk, sample_seen(system=System.INCH))
    yield "hang-next", lambda: hang.turn(1)
    yield "hang-know", hang.show_notes
    bare = replace(seen, view=HangingView(job=JOB))
    yield "hang-print", lambda: hang.papers.ask(JOB, WALL, print)
    wrong = HangPaper(problems=WRONG[:1])
    yield "hang-not-printed", lambda: hang.papers.show_wrong(wrong, print)
    yield "hang-unmeasured", lambda: _shown(desk, bare)


def _units(desk: Desk) -> Iterator[Put]:
    hang, seen = desk.shopdesk.hanging.wall.unit, sample_seen()
    found = {one.unit: one for one in seen.view.units}
    yield "hang-rated", lambda: hang.show_unit(seen, found["B1"])
    yield "hang-overloaded", lambda: hang.show_unit(seen, found["S1"])
    yield "hang-refused", lambda: hang.show_unit(seen, found["S3"])
    yield "hang-unmeasured-stop", lambda: hang.show_unit(seen, found["B2"])
    yield "hang-carried", lambda: hang.show_unit(seen, found["R1"])
    yield "hang-screwed", lambda: hang.show_unit(seen, found["P1"])
    allowed = sample_seen(is_allowed=True)
    one = allowed.view.unit("S3")
    assert one is not None, "the sample has it"
    yield "hang-allowed", lambda: hang.show_unit(allowed, one)
    yield "hang-allow", lambda: hang.ask_allow(found["S3"])
    yield "hang-reasons", lambda: hang.show_reasons(found["S3"])
    yield "hang-better", lambda: hang.show_better(found["S3"])
    yield "hang-assumptions", lambda: hang.show_assumptions(found["B1"])
    yield "hang-cautions", lambda: hang.show_cautions(found["B1"])


def _walls(desk: Desk) -> Iterator[Put]:
    walls, seen = desk.shopdesk.hanging.walls, sample_walls()
    draft = Draft(JOB, sample_wall(), _MM, is_new=False)
    yield "walls", lambda: walls.show(seen, say_kept(WALL))
    yield "walls-none", lambda: walls.show(WallsSeen(JOB, _MM, ()))
    yield "wall-file-wrong", lambda: walls.show_wrong(draft, TABLE, WRONG)
    yield "wall-places", lambda: walls.show_places(draft, PLACES)
    file = STICK / TABLE
    yield "wall-written", lambda: walls.show_written(draft, file)
    yield "wall-not-written", lambda: walls.show_written(draft, file, FULL)


def _wall(desk: Desk) -> Iterator[Put]:
    one, wall = desk.shopdesk.hanging.walls.one, sample_wall()
    kept = Draft(JOB, wall, _MM, is_new=False)
    empty = MeasuredWall(wall="W2", width=NOTHING, height=NOTHING)

    def form(draft: Draft) -> None:
        one.show_form(draft, draw_bare(draft.wall, desk.trim, system=draft.system))

    yield "wall", lambda: form(kept)
    yield "wall-empty", lambda: form(Draft(JOB, empty, _MM, is_new=True))
    yield "wall-read", lambda: form(replace(kept, is_new=True, file=TABLE))
    inch = Draft(JOB, wall, System.INCH, is_new=True)
    yield "wall-inch", lambda: form(inch)
    wrong = replace(wall, studs=(*wall.studs, replace(wall.studs[-1], x=from_mm(2600))), celsius=90)
    bad = Draft(JOB, wrong, _MM, is_new=True)
    yield "wall-wrong", lambda: form(bad)
    yield "wall-problems", lambda: one.show_problems(bad, check_wall(wrong))
    yield "wall-leave", lambda: one.ask_leave(bad)
    for kind in ("studs", "floor", "layers", "services"):
        yield f"wall-{kind}", partial(one.show_things, kept, kind)
    yield "wall-studs-none", lambda: one.show_things(Draft(JOB, empty, _MM, is_new=True), "studs")
    yield "wall-stud", lambda: one.show_thing(kept, "studs", 1)
    yield "wall-size", lambda: one.ask_size(kept)
    yield "wall-level", lambda: _second(desk, lambda: one.ask.add("floor", kept, print, print))
    yield "wall-level-inch", lambda: _second(desk, lambda: one.ask.add("floor", inch, print, print))
    yield "wall-wood", lambda: one.ask.ask_wood(kept, wall.studs[0], print, print)
    yield "wall-layer", lambda: one.ask.add("layers", kept, print, print)
    yield "wall-facts", lambda: one.show_facts(kept)
    yield "wall-backing", lambda: one.ask.ask_fact(kept, "backing", print, print)


def _second(desk: Desk, ask: Callable[[], object]) -> None:
    """Put the second of two pads on the screen."""
    ask()
    desk.show._use("812")


def _fit(desk: Desk) -> Iterator[Put]:
    fit, form = desk.shopdesk.hanging.fit, sample_form()
    changed = replace(form, is_changed=True)
    yield "fit", lambda: fit.show(form)
    yield "fit-changed", lambda: fit.show(changed)
    yield "fit-leave", lambda: fit.ask_leave(changed)
    for section in SECTIONS:
        yield f"fit-{section.key}", partial(fit.show_section, form, section)
    load = next(one for one in SECTIONS if one.key == "load")
    yield "fit-drop", lambda: fit.open_field(form, load, field_of("drop"))
    yield "fit-screw", lambda: fit.open_field(form, load, field_of("screw"))
    yield "fit-goods", lambda: fit.open_field(form, load, field_of("goods"))
    yield "fit-lock", lambda: fit.open_field(form, load, field_of("lock"))
    yield "fit-rows", lambda: fit.open_field(form, load, field_of("cleat.rows"))
    jars = sample_form("S1")
    yield "fit-expected", lambda: fit.open_field(jars, load, field_of("expected"))
    yield "fit-wrong", lambda: fit.show_wrong(form, WRONG)
