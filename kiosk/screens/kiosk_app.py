"""The Kivy app: one desk, one shop thread, one listener, one tick a second."""

from __future__ import annotations

import logging
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from kivy.app import App
from kivy.base import ExceptionHandler, ExceptionManager
from kivy.clock import Clock
from kivy.core.window import Window

from kiosk.rules.floor import Due, Floor
from kiosk.rules.times import say_time
from kiosk.rules.words import _, join, say
from kiosk.screens.desk import Desk
from kiosk.screens.face import Post, ShopFace, Signs, Trim
from kiosk.screens.failsafe import SAFE
from kiosk.screens.gear import Connected, Gear, GearActs
from kiosk.screens.lateshop import LateShop
from kiosk.screens.nightwatch import NightWatch
from kiosk.screens.opening import trim_for
from kiosk.screens.recall import Recall, stay
from kiosk.screens.rulerscreen import RulerScreen
from kiosk.screens.taps import Taps
from kiosk.screens.worker import Worker
from kiosk.theme import GROUND, Sizes, measure_screen, rgba
from kiosk.widgets.sounds import Sounds
from kiosk.widgets.wedge import Wedge

LOG = logging.getLogger("cleatclock.screens")
REFRESH_S = 10.0  # the board is asked anew at least this often
STALE_S = 60.0  # without an answer for so long, the screen says so
QUIET_S = 60.0  # nobody touched or scanned for so long: the file is put in order (choice)
LIVE_S = 0.25  # a new camera picture so often: enough to aim by, and little to draw (choice)
# A screen left alone goes home: a question nobody answers must not catch the next scan. Choice.
HOME_S = {"bench": 60.0, "board": 20.0}
BACKSPACE_KEY, ENTER_KEY, ESCAPE_KEY = 8, 13, 27
QUIT_KEY = 113  # q, with Ctrl and Shift: no scanner sends it
SCREEN_KEY = 283  # F2: a board on the wall has no buttons, but a keyboard while it is set up
News = tuple[Floor, tuple[Due, ...], Signs]


class KioskApp(App):
    """The kiosk at one station, or the board on a wall."""

    recall: Recall | None = None  # set before it runs where the next start is to come back here
    nights: NightWatch | None = None  # set before it runs where nightly copies are to be made
    may_restart = False  # set before it runs where it can be opened again from within
    wants_restart = False

    def __init__(
        self,
        shop: ShopFace,
        *,
        post: Post,
        sizes: Sizes | None = None,
        fullscreen: bool = False,
        seconds: Callable[[], float] = time.monotonic,
        gear: Gear | None = None,
    ) -> None:
        """Take the shop, where the kiosk stands, and `seconds`, which only go forward.

        sizes overrides what the settings say of the screen, gear how devices are reached.
        """
        super().__init__()
        self.shop, self._post, self._sizes = shop, post, sizes
        self._fullscreen, self._seconds = fullscreen, seconds
        self.worker = Worker(Clock.schedule_once)
        self._looking = self._is_asked = self._whole = False
        self._about: tuple[str, tuple[str, str]] = ("", ("", ""))
        self._minute: datetime | None = None
        self._asked_at = self._fresh_at = self._touched_at = self._tidied_at = seconds()
        self._clock = self._odd_clock = ""
        self._last_fault = ("", -STALE_S)
        self._faults, self.taps = _Faults(self), Taps()
        acts = GearActs(self._code, self._printed, self.look, self._exchanged)
        self.gear = Connected(
            shop,
            self.worker,
            gear=gear or Gear(),
            acts=acts,
            seconds=seconds,
            is_board=post.home == "board",
        )

    def build(self) -> Any:
        """Return the stage all screens are put on."""
        Window.clearcolor = rgba(GROUND)
        settings = self.shop.settings
        self._folder = tempfile.TemporaryDirectory(prefix="cleatclock-")
        self.sounds = Sounds(
            Path(self._folder.name), wanted=settings.sound, volume=settings.sound_volume
        )
        post = self._post
        mark = join((post.mark, "" if self.sounds.is_on else _("sound off")), ", ")
        self.desk = Desk(
            self.shop,
            self.worker,
            post=replace(post, mark=mark),
            trim=self._trim(),
            sound=lambda good: self.sounds.play(good=good),
            changed=self.look,
            gear=self.gear,
        )
        self.desk.measure = self._trim
        if self.may_restart:
            self.desk.restart = self.restart
        self.wedge = Wedge(
            self._code,
            suffix=settings.scanner_suffix,
            layout=settings.scanner_layout,
            seconds=self._seconds,
            ended=self.desk.inputs.enter,
            typed=self.desk.inputs.is_typing,
        )
        return self.desk.stage

    def on_start(self) -> None:
        """Listen, and look once a second."""
        self.wedge.start()
        Window.bind(on_resize=self._resized, on_request_close=self._may_close)
        Window.bind(on_touch_down=self._touched, on_key_down=self._keyed)
        Window.bind(on_textinput=self._lettered)
        ExceptionManager.add_handler(self._faults)
        self._tick_event = Clock.schedule_interval(self.tick, 1)
        self._live_event = Clock.schedule_interval(self.show_live, LIVE_S)
        self.taps.watch(self.desk)
        self.gear.start()
        if self.recall is not None:
            self.recall.come_back(self.desk)
        self.look()
        if self._post.greets:
            self.desk.shopdesk.upkeep.greet()

    def on_stop(self) -> None:
        """Let go of everything the window holds of ours."""
        self.gear.stop()
        self.wedge.stop()
        self._tick_event.cancel()
        self._live_event.cancel()
        Window.unbind(on_resize=self._resized, on_request_close=self._may_close)
        Window.unbind(on_touch_down=self._touched, on_key_down=self._keyed)
        Window.unbind(on_textinput=self._lettered)
        ExceptionManager.remove_handler(self._faults)
        if isinstance(self.shop, LateShop):
            # closed by the thread that opened it
            self.worker.ask(self.shop.close, lambda _: None, fail=self._blind)
        self.worker.stop()
        self._folder.cleanup()

    def restart(self) -> None:
        """End the kiosk so that it is opened again: what is set for the next start counts then."""
        self.wants_restart = True
        self.stop()

    def open_settings(self, *_: Any) -> bool:
        """Keep Kivy's own settings, which F1 would open, out of a kiosk."""
        return False

    def _trim(self) -> Trim:
        settings = self.shop.settings
        if self._sizes is not None:
            return Trim(self._sizes, settings.left_handed)
        return trim_for(settings, self._post.home)

    # -- the window --------------------------------------------------------------------------

    def _code(self, text: str) -> None:
        self._touched_at = self._seconds()
        self.desk.take_code(text)

    def _printed(self) -> None:
        self.desk.show_troubles()

    def _exchanged(self, came_in: bool) -> None:
        self.desk.show_link()
        if came_in:  # through this kiosk's own store, which tells nobody of it
            self._look(whole=True)

    def show_live(self, _dt: float = 0.0) -> None:
        """Show what the camera sees now, where the bench has room for it."""
        live, devices = self.desk.bench.live, self.gear.devices
        if live is None or live.parent is None or self.desk.show is not self.desk.bench:
            return
        seen = devices.preview()
        if seen is None:
            live.say(devices.camera_words)
        else:
            live.show((seen.width, seen.height), seen.rgb)

    def _touched(self, _window: object, touch: Any) -> bool:
        self._touched_at = self._seconds()
        return self.taps.is_second(touch, self._touched_at, self.desk)

    def _lettered(self, _window: object, text: str) -> None:
        self._touched_at = self._seconds()  # whoever types is here
        self.desk.inputs.type_letters(text)

    def _keyed(self, _window: object, key: int, *rest: Any) -> bool:
        held = set(rest[2]) if len(rest) > 2 else set()
        if key == QUIT_KEY and {"ctrl", "shift"} <= held:
            self.stop()
            return True
        if key == SCREEN_KEY and self._post.home == "board":
            self._touched_at = self._seconds()
            self.desk.shopdesk.ruler.open()
            return True
        if key == ESCAPE_KEY and hasattr(self.desk.show, "give_up"):
            self._touched_at = self._seconds()
            self.desk.show.give_up()
            return True
        ends_scan = key == ENTER_KEY and self.wedge.is_waiting()
        is_ruler = isinstance(self.desk.show, RulerScreen) and not ends_scan
        if is_ruler and self.desk.show.press(key):
            self._touched_at = self._seconds()
            return True
        self._touched_at = self._seconds()
        if key == BACKSPACE_KEY:
            self.wedge.forget()
            self.desk.inputs.rub_out()
        return False

    def _resized(self, *_: object) -> None:
        if self._sizes is None:
            # what was set at the ruler holds, though the settings are read at a start only
            known = self.desk.trim.sizes
            sizes = measure_screen(
                *(int(side) for side in Window.size),
                diagonal_in=known.diagonal_in,
                distance_m=known.distance_m,
            )
            trim = Trim(sizes, self.desk.trim.left_handed)
            stay(self.desk, lambda: self.desk.fit(trim))

    def _may_close(self, *_: object, **__: object) -> bool:
        """Return True, which keeps the window: a kiosk is not closed by a stray hand."""
        return self._fullscreen

    # -- news --------------------------------------------------------------------------------

    def tick(self, _dt: float = 0.0) -> bool:
        """Look for news, say when there has been none, and go home from a screen left alone."""
        now = self._seconds()
        stale = now - self._fresh_at > STALE_S
        words = say("No news since {time}", time=self._clock or _("the start")) if stale else ""
        self.desk.attention.tick()
        self.gear.exchange.tick()
        words = words or self._odd_clock or self.gear.exchange.alarm()
        self.desk.show_stale(words or self.gear.devices.scanner_words)
        left = now - self._touched_at
        home = self.desk.board if self._post.home == "board" else self.desk.bench
        away = self.desk.show not in (home, self.desk.board)
        away = away and not getattr(self.desk.show, "stays", False)
        if away and left > HOME_S[self._post.home]:
            self.desk.go_home()
        if self.recall is not None:
            self.recall.look(self.desk, self.worker)
        if self.nights is not None:
            self.nights.look(self.shop, self.worker, seconds=now)
        if not self._looking:
            self._look(whole=now - self._asked_at >= REFRESH_S)
        if min(left, now - self._tidied_at) >= QUIET_S:
            # a file copied by hand then holds all the work
            self._tidied_at = now
            self.worker.ask(self.shop.bring_home, lambda _: None, fail=self._blind)
        return True  # an interval that returns False is taken off without a word

    def look(self) -> None:
        """Ask for the board and the list now, and send what was recorded."""
        self.gear.exchange.wake()
        self._look(whole=True)

    def _look(self, *, whole: bool) -> None:
        self._looking = True
        station, answer = self.desk.post.station, self.desk.answer
        self._about = station, (answer.job, answer.unit) if answer is not None else ("", "")
        if whole:
            self._asked_at, self._whole = self._seconds(), True
        if not self._is_asked:  # else one look after all that was scanned meanwhile is enough
            self._is_asked = True
            self.worker.ask(self._news, self._seen, fail=self._blind)

    def _news(self) -> News | None:
        """Return board and list where they may have changed; runs on the shop's thread."""
        self._is_asked = False  # first: what is asked for from now on has a look of its own
        whole, self._whole = self._whole, False
        station, about = self._about
        news, now = self.shop.news(), self.shop.now()
        minute = now.replace(second=0, microsecond=0)
        if not (whole or news or minute != self._minute):
            return None
        self._minute = minute
        floor = self.shop.floor(now)
        view = self.shop.station_view(station, about=about, floor=floor, now=now)
        signs = replace(see_signs(self.shop, now), view=view)
        return floor, self.shop.due(station, now), signs

    def _seen(self, news: News | None) -> None:
        self._looking = False
        self._fresh_at = self._seconds()
        if news is not None:
            self._clock, self._odd_clock = news[0].clock, news[2].clock
            self.desk.show_news(*news)

    def _blind(self, error: Exception) -> None:
        self._looking = False
        LOG.error("no news: %s", error, exc_info=error)

    def broke(self, error: BaseException) -> None:
        """Show the failsafe screen, but not again and again for one and the same fault."""
        LOG.critical("unexpected: %s", error, exc_info=error)
        cause, now = f"{type(error).__name__}: {error}", self._seconds()
        again = self._last_fault[0] == cause and now - self._last_fault[1] < STALE_S
        self._last_fault = (cause, now)
        if not again:
            Clock.schedule_once(lambda _dt: self.desk.fail(SAFE, cause))


def see_signs(shop: ShopFace, now: datetime) -> Signs:
    """Return what is to be told besides the work; to be called on the shop's thread."""
    rags = shop.rags(now)
    since = say_time(rags.since, now=now, zone=shop.zone) if rags else ""
    air_read, has_job = bool(shop.air().readings), bool(shop.jobs())
    odd = shop.clock_problem(now)
    return Signs(
        rags,
        since,
        tuple(shop.unconfirmed()),
        air_read,
        has_job=has_job,
        questions=len(shop.questions(now)),
        clock=join((odd.message, odd.remedy), " ") if odd else "",
    )


class _Faults(ExceptionHandler):
    """Keeps the app alive whatever a callback raises."""

    def __init__(self, app: KioskApp) -> None:
        self._app = app

    def handle_exception(self, inst: BaseException) -> Any:
        """Log it, show it, go on."""
        if isinstance(inst, KeyboardInterrupt | SystemExit):
            return ExceptionManager.RAISE
        self._app.broke(inst)
        return ExceptionManager.PASS
