"""Draw the screens of jobs, units and taking in, in every state."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say, say_n
from kiosk.screens.busyscreen import SLOW_S
from kiosk.screens.face import Choice
from kiosk.screens.filedesk import FileDesk
from kiosk.screens.jobsamples import (
    FILES,
    JOBS,
    PLACES,
    TODAY,
    UNIT,
    UNITS,
    changed_list,
    good_list,
    wrong_list,
)
from kiosk.screens.jobview import JobsView
from kiosk.screens.rows import MenuScreen
from kiosk.screens.samples import SAMPLE_PARTS
from kiosk.screens.shopdesk import ShopDesk
from kiosk.screens.stage import Stage
from kiosk.screens.takeview import Draft

_NOT_HUNG = Problem(
    say(
        "{n} units of {code} are not hung: {names}.",
        n=8,
        code="GLAZE",
        names="G01, G02, G03, G04, G05, G06, G08, G09",
    ),
    "",
)


def show_jobs(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    for name, put in (*_jobs(desk.shopdesk), *_units(desk.shopdesk), *_takes(desk.shopdesk)):
        put()
        stage.step(2)
        yield name
    many = [Choice(say_n("{n} label", "{n} labels", at), desk.open_bench) for at in range(12)]
    desk.put(MenuScreen(desk.trim, _("Shop"), many, back=desk.open_bench, turn=lambda _page: None))
    stage.step(2)
    yield "shop-more"
    desk.open_bench()


Put = tuple[str, Callable[[], object]]


def _jobs(shop: ShopDesk) -> tuple[Put, ...]:
    jobs, one = shop.jobs, JOBS.sums[0]
    return (
        ("jobs", lambda: jobs.show_list(JOBS)),
        ("jobs-none", lambda: jobs.show_list(JobsView((), TODAY))),
        ("jobs-one", lambda: jobs.show_job(one, TODAY)),
        ("jobs-day", lambda: jobs.ask_day(one, TODAY)),
        ("jobs-name", lambda: jobs.ask_name(one, TODAY)),
        ("jobs-close", lambda: jobs.ask_close(one, TODAY)),
        ("jobs-closed", lambda: jobs.show_closed(JOBS)),
        ("jobs-open-again", lambda: jobs.ask_open(JOBS.closed[0], JOBS)),
        ("jobs-not-hung", lambda: jobs.show_not_hung(one, TODAY, (_NOT_HUNG,))),
    )


def _units(shop: ShopDesk) -> tuple[Put, ...]:
    units, back = shop.units, shop.open
    return (
        ("units", lambda: units.show_list(UNITS, 0, back=back)),
        ("units-none", lambda: units.show_list((), 0, back=back)),
        ("unit", lambda: units.show_unit(UNIT, back)),
        ("unit-parts", lambda: units.show_parts(UNIT, back)),
        ("unit-history", lambda: units.show_history(UNIT, back)),
        ("unit-strike", lambda: units.ask_strike(UNIT, UNIT.past[6], back, 0)),
        ("find-part", lambda: shop.find.show_part(SAMPLE_PARTS[2], back)),
    )


def _show_slow(files: FileDesk, shop: ShopDesk) -> None:
    """Show a folder of another machine that does not answer."""
    files.show_busy(say("Looking into {folder}", folder="office"), shop.open)
    shop._desk.show.count(SLOW_S)


def _takes(shop: ShopDesk) -> tuple[Put, ...]:
    takes, files = shop.takes, shop.takes.files
    good, wrong = good_list(), wrong_list()
    takes.draft = Draft(Path("glaze-store-2.xlsx"))
    assert good.listed is not None
    piece = good.listed.headings[1]
    return (
        ("take-places", lambda: files.show_places(PLACES)),
        ("take-folder", lambda: files.show_folder(Path("Downloads"), FILES, shop.open)),
        ("take-empty", lambda: files.show_folder(Path("Documents"), (), shop.open)),
        ("take-busy", lambda: files.show_busy(say("Reading {file}", file="glaze-store-2.xlsx"))),
        ("take-slow", lambda: _show_slow(files, shop)),
        ("take-good", lambda: takes.show(good)),
        ("take-wrong", lambda: takes.show(wrong)),
        ("take-units", lambda: takes.pages.ask_units(good)),
        ("take-problems", lambda: takes.pages.show_problems(wrong)),
        ("take-pieces", lambda: takes.pages.show_pieces(good)),
        ("take-notes", lambda: takes.pages.show_notes(wrong)),
        ("take-columns", lambda: takes.pages.show_columns(good)),
        ("take-meaning", lambda: takes.pages.ask_meaning(good, piece, 0)),
        ("take-code", lambda: takes.ask_code(good, "GLAZE-2")),
        ("take-there", lambda: takes.ask_compare(good, "GLAZE")),
        ("take-changes", lambda: takes.show_changes(changed_list())),
        ("take-same", lambda: takes.show_changes(changed_list(same=True))),
        ("take-done", lambda: _show_done(shop)),
        ("take-done-void", lambda: _show_done(shop, void=3)),
    )


def _show_done(shop: ShopDesk, *, void: int = 0) -> None:
    shop.takes.show_taken(replace(changed_list(), void=void))
    shop.takes.draft = None
