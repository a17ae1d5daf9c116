"""Draw every screen in every state, for the guide and for tests."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from kiosk.rules.route import STATIONS
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import say
from kiosk.screens.askgallery import show_asked
from kiosk.screens.benchgallery import show_bench
from kiosk.screens.board import BoardScreen
from kiosk.screens.boardgallery import show_screen_page
from kiosk.screens.dayplangallery import show_day
from kiosk.screens.desk import Desk
from kiosk.screens.exchangegallery import show_exchange
from kiosk.screens.face import Post, ShopFace
from kiosk.screens.failsafe import SAFE
from kiosk.screens.gear import Gear
from kiosk.screens.hanggallery import show_hanging
from kiosk.screens.jobgallery import show_jobs
from kiosk.screens.kiosk_app import KioskApp
from kiosk.screens.labelgallery import show_labels
from kiosk.screens.mattersgallery import show_matters
from kiosk.screens.pingallery import show_pins
from kiosk.screens.samples import SAMPLES
from kiosk.screens.settingsgallery import show_setup
from kiosk.screens.sheetgallery import show_sheets
from kiosk.screens.stage import Stage, save_frame
from kiosk.theme import Sizes

_CAUSE = "ValueError: the rack has no slot 7"
_PERSON = "Mara"
_STALE = say("No news since {time}", time="14:02")


def draw_all(
    shop: ShopFace,
    folder: Path,
    sizes: Sizes,
    *,
    reasons: tuple[str, ...],
    most: int | None = None,
) -> list[Path]:
    """Write a PNG file for every state, or for the first so many, and return the files."""
    person = shop.settings.person or _PERSON
    post = Post("finish", person, reasons=reasons)
    made = []
    # nothing is printed, watched or listened to while pictures are drawn
    gear = Gear(is_connected=False)
    # on a slow machine drawing takes minutes, and a screen left alone would go home
    app = KioskApp(shop, post=post, sizes=sizes, gear=gear, seconds=lambda: 0.0)
    with Stage(app) as stage:
        for name in islice(show_each(stage), most):
            path = folder / f"{name}-{sizes.width}x{sizes.height}.png"
            made.append(save_frame(path))
    return made


def show_each(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    for station in STATIONS:
        desk.set_station(station)
        stage.settle()
        yield f"bench-idle-{station}"
    # the boards before any scan, so that they show the shop as it stands
    yield from _boards(stage, desk)
    desk.open_bench()
    desk.set_station("finish")
    stage.settle()
    answers = _answers(stage)
    for answer in answers:
        desk.take_answer(answer)
        stage.settle()
        yield f"bench-{answer.outcome.value.replace('_', '-')}"
    yield from _questions(stage, desk)
    yield from show_matters(stage, answers)
    yield from show_labels(stage)
    yield from show_bench(stage)
    yield from show_screen_page(stage)
    yield from show_jobs(stage)
    yield from show_day(stage)
    yield from show_sheets(stage)
    yield from show_setup(stage)
    yield from show_exchange(stage)
    yield from show_pins(stage)
    yield from show_hanging(stage)
    yield from show_asked(stage)
    desk.fail(SAFE, _CAUSE)
    stage.settle()
    yield "failsafe"
    desk.open_bench()
    desk.show_stale(_STALE)
    stage.settle()
    yield "bench-no-news"
    desk.show_stale("")


def _questions(stage: Stage, desk: Desk) -> Iterator[str]:
    recorded = next(answer for answer in SAMPLES if answer.outcome == Outcome.RECORDED)
    desk.open_pad()
    pad = desk.pad
    for letter in "K7F3Q":
        pad.keys[letter].dispatch("on_release")
    stage.settle()
    yield "number-pad"
    desk.answer = recorded
    desk.open_problem()
    stage.settle()
    yield "problem"
    desk.problems.ask_sure_of("spoiled")
    stage.settle()
    yield "problem-sure"
    desk.answer = None
    desk.open_problem()
    stage.settle()
    yield "problem-which"
    desk.open_stations()
    stage.settle()
    yield "stations"


def _boards(stage: Stage, desk: Desk) -> Iterator[str]:
    floor = desk.floor
    assert floor is not None
    for layout in ("places", "bands"):
        if layout == "places" and not floor.places:
            continue
        board = BoardScreen(desk.trim, layout=layout)
        board.show(floor)
        desk.put(board)
        stage.settle()
        yield f"board-{layout}"
        board.show_stale(_STALE)
        stage.settle()
        yield f"board-{layout}-no-news"


def _answers(stage: Stage) -> list[Answer]:
    """Return one answer per outcome: the shop's own where it is to be had, else a sample."""
    found: dict[Outcome, Answer] = {}

    def keep(answers: list[Answer]) -> None:
        for answer in answers:
            found.setdefault(answer.outcome, answer)

    def fail(error: Exception) -> None:
        raise error

    stage.app.worker.ask(lambda: _own(stage.app.shop), keep, fail=fail)
    stage.settle()
    return [found.get(sample.outcome, sample) for sample in SAMPLES]


def _own(shop: ShopFace) -> list[Answer]:
    """Scan units of the shop that are due, resting, on hold or elsewhere; on the shop's thread."""

    def scan(unit: str) -> Answer:
        return shop.scan(unit, station="finish", person=_PERSON)

    dues, floor = shop.due("finish"), shop.floor()
    ready = [due.unit for due in dues if due.state != "resting"]
    resting = [due.unit for due in dues if due.state == "resting"]
    tiles = [tile for place in floor.places for tile in place.slots if tile is not None]
    held = [tile.unit for tile in tiles if tile.word == "on hold"]
    uncut = [due.unit for due in shop.due("cut")]
    answers = [scan(units[0]) for units in (ready, ready, resting, held, uncut) if units]
    # a unit's name that two jobs share is no code; its answer would show only that
    return [answer for answer in answers if answer.unit]
