"""Start the kiosk: set up Kivy before its window exists, then run, or draw pictures."""

from __future__ import annotations

import logging
import os
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, cast

from kiosk import language
from kiosk.appliance import Memory, Whereabouts, keep_awake
from kiosk.clock import Clock
from kiosk.config import Settings
from kiosk.rules.reasons import GO_AHEAD_REASONS
from kiosk.rules.words import _ as words
from kiosk.screens.desktop import Monitor, desktop_size, monitors, pick_monitor
from kiosk.screens.face import Post, ShopFace
from kiosk.screens.lateshop import LateShop
from kiosk.theme import measure_screen

if TYPE_CHECKING:
    from kiosk.screens.kiosk_app import KioskApp

LOG = logging.getLogger("cleatclock.app")

# Kivy reads these when it is first imported, so nothing here imports it at the top.
_ENVIRONMENT = {
    "KIVY_NO_ARGS": "1",  # else Kivy eats the command line
    "KIVY_NO_CONFIG": "1",  # no stale file decides
    "KIVY_NO_FILELOG": "1",
    "KIVY_LOG_MODE": "PYTHON",  # leaves the root logger and tracebacks alone
    "KIVY_WINDOW": "sdl2",
    "KIVY_TEXT": "sdl2",
    "KIVY_AUDIO": "sdl2",
    "KIVY_CLIPBOARD": "dummy",  # else helper programs are looked for
    "KIVY_METRICS_DENSITY": "1",  # sizes come from kiosk.theme, in true pixels
    "KIVY_DPI": "96",
}
BENCH_PICTURE = (10.1, 0.6)  # inches and metres of the bench screen drawn at 1280x800
BOARD_PICTURE = (43.0, 4.0)  # and of the wall screen drawn at 1920x1080


class KioskUnavailable(Exception):
    """The kiosk cannot open a window here; the text says why and what to do."""


def boot(
    size: tuple[int, int] | None = None,
    *,
    fullscreen: bool = True,
    monitor: Monitor | None = None,
) -> None:
    """Set up Kivy for a kiosk; must run before anything imports Kivy's window.

    Args:
        size: pixels of the window; None leaves it to the screen.
        fullscreen: fill the screen, without a pointer.
        monitor: fill this one instead of the first.

    Raises:
        KioskUnavailable: no window could be opened.
    """
    for name, value in _ENVIRONMENT.items():
        os.environ.setdefault(name, value)
    os.environ.setdefault("KIVY_HOME", str(Path(tempfile.gettempdir()) / "cleatclock-kivy"))
    from kivy.config import Config

    Config.set("kivy", "exit_on_escape", "0")
    # Kivy tells of every source of input and every window it did not find; what matters is said
    # in words by KioskUnavailable and by `cleatclock check`
    logging.getLogger("kivy").setLevel(logging.CRITICAL + 1)
    graphics = {
        "multisamples": "0",  # doubles every frame's cost where there is no graphics card
        "allow_screensaver": "0",
        # 'auto' keeps the screen's own mode; 1 would switch it (kivy #6651, #8237)
        "fullscreen": "auto" if fullscreen else "0",
        "show_cursor": "0" if fullscreen else "1",
    }
    if monitor is not None:
        # 'auto' would take the first monitor: a bare window is laid over the one that is meant
        size, place = (monitor.width, monitor.height), (monitor.left, monitor.top)
        graphics |= {"fullscreen": "0", "borderless": "1", "position": "custom"}
        graphics |= {"left": str(place[0]), "top": str(place[1])}
    elif size is None and fullscreen:
        size = desktop_size()
    if size is not None:
        graphics |= {"width": str(size[0]), "height": str(size[1])}
    for name, value in graphics.items():
        Config.set("graphics", name, value)
    # SDL hands on a touch panel as a mouse; any further source would read each touch twice
    # (kivy #1903, #8494)
    Config.remove_section("input")
    Config.add_section("input")
    Config.set("input", "mouse", "mouse,disable_multitouch")
    _open_window()


def _open_window() -> None:
    from kivy.core.window import Window
    from kivy.metrics import dp

    if Window is None:
        from kiosk.check import APT_LINE

        raise KioskUnavailable(
            "No window can be opened: no screen is attached to this login, or what draws is "
            f"missing. `cleatclock check` says which. On Debian and Ubuntu: {APT_LINE}"
        )
    dp(1)  # reading the dots per inch before any length leaves a scale of -1 in Kivy 2.3.1


def late_shop(file: Path, settings: Settings, clock: Clock) -> ShopFace:
    """Return a shop that is opened by the thread that first uses it.

    Its calls raise StoreError while the file cannot be used.
    """

    @contextmanager
    def opening() -> Iterator[ShopFace]:
        from kiosk.actions import Shop  # not before the first frame
        from kiosk.store import SQLITE_VERSION, Store

        store = Store.open(file, settings.kiosk_letter)
        LOG.info("%s is open, with SQLite %s", file, SQLITE_VERSION)
        try:
            store.begin()
            shop = Shop(store, settings, clock)
            yield shop
            shop.end_planning()
            shop.end_sheets()
        finally:
            store.close()

    # it is what it opens: every call is handed on
    return cast("ShopFace", LateShop(opening, settings))


class Ended(StrEnum):
    """Why a kiosk ended."""

    BY_HAND = "ended by hand"
    BY_SYSTEM = "ended by the system"
    TO_RESTART = "ended to be opened again"


def make_app(
    shop: ShopFace,
    *,
    station: str,
    screen: str = "bench",
    person: str = "",
    fullscreen: bool = False,
    greets: bool = False,
    is_sample: bool = False,
) -> KioskApp:
    """Return the app, ready to run; `boot` must have run before.

    Args:
        shop: the shop; from now on used from the app's own thread only.
        station: cut, assemble, finish or install.
        screen: 'bench', or 'board' for a screen on the wall.
        person: who works here.
        fullscreen: the window cannot be closed by hand; Ctrl+Shift+Q ends the kiosk.
        greets: ask the first questions where nobody has set the shop up.
        is_sample: this is the sample shop, and says so.
    """
    from kiosk.screens.kiosk_app import KioskApp

    language.use(shop.settings.language)
    mark = words("sample shop") if is_sample else ""
    reasons = tuple(GO_AHEAD_REASONS)
    post = Post(station, person, screen, reasons, mark, greets=greets, is_sample=is_sample)
    return KioskApp(shop, post=post, fullscreen=fullscreen)


def run_kiosk(
    shop: ShopFace,
    *,
    start: Whereabouts,
    memory: Memory | None = None,
    ready: Callable[[], object] = lambda: None,
    fullscreen: bool = True,
    on_screen: int = 0,
) -> Ended:
    """Run the kiosk until it is ended; tell by whom, and whether it is to be opened again.

    The first frame is drawn before most of the program is loaded and before the shop is opened.

    Args:
        shop: from `late_shop`, as the kiosk uses it on a thread of its own.
        start: where it stands, who works there, and what it shows first.
        memory: where it writes down what it shows, for the next start.
        ready: called once that frame is drawn; what it raises ends the kiosk.
        fullscreen: fill the screen; the window cannot be closed by hand then.
        on_screen: the monitor to fill, counted from 1; 0 leaves it to the desktop.

    Raises:
        KioskUnavailable: no window could be opened, or there is no such screen.
    """
    monitor = None
    if on_screen and fullscreen:
        monitor, why = pick_monitor(on_screen, monitors())
        if monitor is None:
            raise KioskUnavailable(why)
    ending = _Ending()
    # before SDL, which would take the signal for a window's close button: a kiosk ignores that
    before = signal.signal(signal.SIGTERM, ending)
    try:
        boot(None if fullscreen else (1280, 800), fullscreen=fullscreen, monitor=monitor)
        _draw_first(shop.settings, start)
        ready()
        if fullscreen:
            keep_awake(os.environ)
        app = make_app(
            shop,
            station=start.station,
            screen=start.home,
            person=start.person,
            fullscreen=fullscreen,
            greets=start.home == "bench",
        )
        if memory is not None:
            from kiosk.screens.nightwatch import NightWatch
            from kiosk.screens.recall import Recall

            app.recall, app.nights = Recall(memory, start), NightWatch()
            app.may_restart = True  # it comes back where it stood
        ending.app = app
        if not ending.is_told:
            app.run()
    finally:
        signal.signal(signal.SIGTERM, before)
    if ending.is_told:
        return Ended.BY_SYSTEM
    return Ended.TO_RESTART if app.wants_restart else Ended.BY_HAND


def _draw_first(settings: Settings, start: Whereabouts) -> None:
    from kiosk.screens.opening import draw_first

    language.use(settings.language)
    draw_first(settings, Post(start.station, start.person, start.home), shown=start.shown)


class _Ending:
    """Ends the app at its next frame when the machine goes down, so that the file closes well."""

    def __init__(self) -> None:
        self.app: KioskApp | None = None
        self.is_told = False

    def __call__(self, _number: int, _frame: object) -> None:
        from kivy.clock import Clock as Frames

        self.is_told = True
        if self.app is not None:
            Frames.schedule_once(lambda _dt: self.app and self.app.stop())


def picture(app: KioskApp, path: Path) -> Path:
    """Write what a running app shows now as a PNG file, and return the file."""
    from kiosk.screens.stage import save_frame

    app.worker.settle()
    return save_frame(path)


def write_pictures(
    shop: ShopFace, folder: Path, size: tuple[int, int], most: int | None = None
) -> list[Path]:
    """Write every screen in every state as PNG files named `bench-recorded-1280x800.png` and so on.

    Scans are recorded to show their answers, so give it a copy of the shop. One size per process:
    a window is opened once. Sizes up to 1280 wide are drawn as a bench screen of 10.1 inches,
    larger ones as a wall screen of 43 inches read from 4 m. Language is the settings'. most ends
    it after so many pictures; None: all.

    Raises:
        KioskUnavailable: no window could be opened.
    """
    if not sys.platform.startswith("win"):
        os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    os.environ.setdefault("SDL_AUDIODRIVER", "dummy")
    language.use(shop.settings.language)
    boot(size, fullscreen=False)
    from kiosk.screens.gallery import draw_all

    diagonal_in, distance_m = BENCH_PICTURE if size[0] <= 1280 else BOARD_PICTURE
    sizes = measure_screen(*size, diagonal_in=diagonal_in, distance_m=distance_m)
    return draw_all(shop, folder, sizes, reasons=tuple(GO_AHEAD_REASONS), most=most)
