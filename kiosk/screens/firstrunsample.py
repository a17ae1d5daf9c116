"""Open the sample shop in a window of its own, and come back from it."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from typing import Any, Protocol

from kivy.app import App
from kivy.base import EventLoop
from kivy.clock import Clock

from kiosk.rules.words import _, say
from kiosk.screens.face import Choice, DeskFace
from kiosk.screens.flow import AskScreen

LOOK_S = 0.5  # how often a window that may have ended is looked at


class Running(Protocol):
    """The part of a process that is used here."""

    def poll(self) -> int | None:
        """Return the exit status, None while it runs."""
        ...

    def terminate(self) -> None:
        """End it."""
        ...


def start_sample(folder: str) -> Running:
    """Start a kiosk of its own on the sample shop, made anew in a folder.

    Raises:
        OSError: no process could be started.
    """
    words = [sys.executable, "-m", "kiosk.sampleshop", folder]
    window = EventLoop.window
    if window is None or not window.fullscreen:
        words.append("window")
    # Kivy's settings of this window are not those of the other
    env = {name: value for name, value in os.environ.items() if not name.startswith("KIVY_")}
    return subprocess.Popen(words, stdout=subprocess.DEVNULL, env=env)


class SampleWindow:
    """The sample shop beside the shop; nothing of it comes into the shop's file."""

    def __init__(
        self,
        desk: DeskFace,
        *,
        back: Callable[[], object],
        start: Callable[[str], Running] = start_sample,
    ) -> None:
        """Take `back`, which leads to where it was opened from."""
        self._desk, self._back, self._start = desk, back, start
        self._process: Running | None = None
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._event: Any = None  # Any: Kivy's clock event
        self._screen: Any = None

    def open(self) -> None:
        """Open it; while it is open, this window says so."""
        if self._process is None:
            self._folder = tempfile.TemporaryDirectory(prefix="cleatclock-sample-")
            try:
                self._process = self._start(self._folder.name)
            except OSError as error:
                self._end()
                self._say(_("The sample shop did not open"), say("{error}", error=error))
                return
            self._event = Clock.schedule_interval(self.look, LOOK_S)
            app = App.get_running_app()
            if app is not None:  # it does not outlive the kiosk that opened it
                app.bind(on_stop=self._stop)
        desk = self._desk
        choices = (Choice(_("Close the sample shop"), self.close),)
        title = _("The sample shop opens in a window of its own")
        line = _("It is made in a few seconds. Nothing of it comes into your shop.")
        self._screen = AskScreen(desk.trim, title, choices, line=line, shape="clock")
        self._screen.stays = True  # whoever looks around in the other window comes back to this
        desk.put(self._screen)

    def look(self, _dt: float = 0.0) -> bool:
        """Come back where the window has ended."""
        status = self._process.poll() if self._process else 0
        if status is None:
            return True
        is_here = self._desk.show is self._screen
        self._end()
        if is_here and status:
            self._say(
                _("The sample shop did not open"),
                _("Try the command: cleatclock demo --keep sample.db"),
            )
        elif is_here:
            self._back()
        return False

    def close(self) -> None:
        """End the window and come back."""
        self._stop()
        self._back()

    def _stop(self, *_app: object) -> None:
        if self._process is not None:
            self._process.terminate()
        self._end()

    def _end(self) -> None:
        if self._event is not None:
            self._event.cancel()
        folder, self._folder = self._folder, None
        self._process = self._event = None
        if folder is not None:
            folder.cleanup()

    def _say(self, title: str, line: str) -> None:
        desk = self._desk
        choices = (Choice(_("Back"), self._back),)
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape="question"))


def leave_sample() -> None:
    """End the kiosk that shows the sample shop."""
    app = App.get_running_app()
    if app is not None:
        app.stop()
