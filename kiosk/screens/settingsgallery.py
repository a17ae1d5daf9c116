"""Draw the screens about the shop itself, in every state."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from kiosk.check import Check
from kiosk.config import SETTINGS, Setting
from kiosk.rules.problems import Problem
from kiosk.rules.route import parse_routes
from kiosk.rules.words import _, say
from kiosk.screens.copygallery import show_copies
from kiosk.screens.desk import Desk
from kiosk.screens.printergallery import show_printers
from kiosk.screens.routechange import Drafted
from kiosk.screens.settingsmenu import Upkeep
from kiosk.screens.stage import Stage

_HOME = Path("/home/glaze/shop")
_FILE = _HOME / "settings.toml"
_ROOM = say("{count:,} MiB free at {folder}", count=81_091, folder=_HOME)
_WHOLE = say("{file} is whole ({count:,} KiB)", file=_HOME / "shop.db", count=1402)
_REFUSED = (
    Problem(
        say("{file} cannot be read: {error}.", file=_FILE, error="Empty key at line 12 col 0"),
        _("Mend the line it names; nothing was changed."),
    ),
)
_WRONG_ROUTES = parse_routes('[shelf]\nstep = [{name = "Coat"}]\n')[1]
_FOUND = (
    Check(
        _("disk"), ok=True, detail=say("{count:,} MiB free at {folder}", count=81_091, folder=_HOME)
    ),
    Check(
        _("database"),
        ok=True,
        detail=say("{file} is whole ({count:,} KiB)", file=_HOME / "shop.db", count=1402),
    ),
    Check(
        _("printer"),
        ok=False,
        detail=say("{printer}: {state}", printer="Labels", state=_("The roll is empty.")),
        remedy=_("Put a new one in; the label prints by itself then."),
    ),
)
TYPED = ("Mars/Base", "stick")
_PAGES = 7


def show_setup(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    upkeep, signs = desk.shopdesk.upkeep, desk.signs
    desk.signs = replace(signs, rags=None)
    upkeep.open()
    stage.step(2)
    yield "upkeep"
    yield from _settings(stage, desk, upkeep)
    yield from _places(stage, upkeep)
    yield from _others(stage, upkeep)
    yield from _first(stage, desk, upkeep)
    desk.signs = signs
    desk.open_bench()


def _setting(name: str) -> Setting:
    return next(one for one in SETTINGS if one.name == name)


def _settings(stage: Stage, desk: Desk, upkeep: Upkeep) -> Iterator[str]:
    settings, kept = upkeep.settings, stage.app.shop.settings
    settings.open_first_page()
    stage.settle()
    yield "settings"
    for page in range(1, _PAGES):
        settings._list((kept, ()), page)
        stage.step(2)
        yield f"settings-{page + 1}"
    settings._list((kept, (_REFUSED[0].message,)), 0)
    stage.step(2)
    yield "settings-wrong"
    asked = ("sound", "station", "language", "scanner_layout", "glue", "label_stock", "closes_at")
    for name in (*asked, "screen_diagonal_in", "shop", "zone"):
        upkeep.open()
        settings.edit(_setting(name), getattr(kept, name))
        stage.settle()
        yield f"settings-ask-{name.replace('_', '-')}"
    desk.show._use(TYPED[0])
    stage.step(2)
    yield "settings-ask-wrong"
    yield from show_printers(stage, settings)
    settings._told(_setting("closes_at"), "17:00", "17:15", ())
    stage.step(2)
    yield "settings-kept"
    settings._told(_setting("scanner_suffix"), "any", "enter", ())
    stage.step(2)
    yield "settings-restart"
    may, stage.app.desk.restart = stage.app.desk.restart, stage.app.restart
    settings._told(_setting("theme"), "light", "dark", ())
    stage.step(2)
    yield "settings-restart-now"
    stage.app.desk.restart = may
    settings._told(_setting("closes_at"), "17:00", "17:15", _REFUSED)
    stage.step(2)
    yield "settings-refused"


def _places(stage: Stage, upkeep: Upkeep) -> Iterator[str]:
    places = upkeep.places
    places.open()
    stage.step(2)
    yield "places"
    places.open_place(1)
    stage.step(2)
    yield "place"
    places.ask_role(1)
    stage.step(2)
    yield "place-role"
    places.ask_name(1)
    stage.step(2)
    yield "place-name"
    places.ask_away(1)
    stage.step(2)
    yield "place-away"
    places._gone(places._places, places._places[1])
    stage.step(2)
    yield "place-gone"


def _others(stage: Stage, upkeep: Upkeep) -> Iterator[str]:
    upkeep.routes.open()
    stage.settle()
    yield "routes"
    upkeep.routes.open()
    stage.settle()
    first = stage.app.desk.show.rows[0]
    first.dispatch("on_release")
    stage.settle()
    yield "route"
    yield from _route_change(stage, upkeep)
    yield from show_copies(stage, upkeep.copies)
    about = upkeep.about
    about.open()
    stage.settle()
    yield "about"
    about._show_progress(3, 7)
    stage.step(2)
    yield "about-checking"
    about.show_found(_FOUND)
    stage.step(2)
    yield "about-found"


def _route_change(stage: Stage, upkeep: Upkeep) -> Iterator[str]:
    stage.app.desk.show.extra[0].act()
    stage.settle()
    yield "route-change"
    asked = {one.words: one for one in stage.app.desk.show.asked}
    asked[_("One coat more")].act()
    stage.step(2)
    asked = {one.words: one for one in stage.app.desk.show.asked}
    asked[_("Show this route")].act()
    stage.settle()
    yield "route-shown"
    change = upkeep.routes.change
    change.show_kept("")
    stage.step(2)
    yield "route-kept"
    change.show(Drafted("", (), _WRONG_ROUTES), back=upkeep.open)
    stage.step(2)
    yield "route-refused"
    change.files.show_folder(Path("/media/glaze/stick"), (), upkeep.open)
    stage.step(2)
    yield "route-files"


def _first(stage: Stage, desk: Desk, upkeep: Upkeep) -> Iterator[str]:
    first = upkeep.first
    screens = (
        ("first", first.open),
        ("first-name", first.ask_name),
        ("first-units", first.ask_units),
        ("first-places", first.ask_places),
        ("first-person", first.ask_person),
        ("first-screen", first.ask_screen),
        ("first-end", first.end),
    )
    for name, show in screens:
        show()
        stage.step(2)
        yield name
    post = desk.post
    desk.post = replace(post, is_sample=True)
    desk.shopdesk.open()
    stage.step(2)
    yield "shop-sample"
    desk.post = post
