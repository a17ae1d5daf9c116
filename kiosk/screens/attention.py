"""Say for a while what is no answer of the shop, and keep touch dead while the screen is wiped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from kivy.uix.widget import Widget

from kiosk.rules.scanning import Answer
from kiosk.rules.words import join
from kiosk.screens.answer import name_answer
from kiosk.screens.bench import BenchScreen
from kiosk.screens.face import DeskFace
from kiosk.screens.notice import STANDS_S, Notice
from kiosk.screens.wipe import LASTS_S, WipeScreen


class StageDesk(DeskFace, Protocol):
    """The desk and what it stands on."""

    stage: Widget
    bench: BenchScreen
    problems: Any  # asks about a part, or about nothing

    def told_by_sound(self, *, good: bool) -> None:
        """Sound whether anything came of a scan."""
        ...


class Attention:
    """Notices and the wiping, both of which end by themselves."""

    def __init__(self, desk: StageDesk, seconds: Callable[[], float]) -> None:
        self._desk, self._seconds = desk, seconds
        self._noticed = 0.0
        self.wipe: WipeScreen | None = None

    def put(self, screen: Widget) -> None:
        """Put a screen on the stage; while it is wiped, the screen waits below."""
        if self.wipe is None:
            self._desk.stage.clear_widgets()
            self._desk.stage.add_widget(screen)

    def notify(self, notice: Notice) -> None:
        """Say something; what is asked on the screen stays."""
        desk, self._noticed = self._desk, self._seconds()
        desk.told_by_sound(good=notice.good)
        if self.wipe is not None:
            self.wipe.tell(notice.line)
        asks = desk.show is not desk.bench and hasattr(desk.show, "tell")
        is_working = desk.problems.about is not None or getattr(desk.show, "stays", False)
        if asks and (not notice.good or is_working):
            desk.show.tell(notice.line)
            return
        desk.bench.show_notice(notice)
        if desk.show is not desk.bench:
            desk.put(desk.bench)

    def told(self, answer: Answer) -> None:
        """Say what a scan came to while the screen is wiped."""
        if self.wipe is not None:
            self.wipe.tell(join([name_answer(answer), answer.message], ": "))

    def start_wipe(self) -> None:
        """Make touch dead for a while, so that the screen can be cleaned; scans count."""
        desk, now = self._desk, self._seconds()
        if self.wipe is not None:  # asked for once more: it begins anew
            self.wipe.until = now + LASTS_S
            return
        desk.open_bench()
        wipe = WipeScreen(desk.trim, until=now + LASTS_S)
        wipe.show(now)
        self.put(wipe)
        self.wipe = wipe

    def end_wipe(self) -> None:
        """Let touch count again, on whatever screen waits below."""
        self.wipe = None
        self.put(self._desk.show)

    def tick(self) -> None:
        """Count down, and take away what was there long enough."""
        now = self._seconds()
        if self.wipe is not None and not self.wipe.show(now):
            self.end_wipe()
        if now - self._noticed > STANDS_S:
            self._desk.bench.show_notice(None)
