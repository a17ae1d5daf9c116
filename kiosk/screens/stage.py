"""Run an app frame by frame, without a main loop: for pictures."""

from __future__ import annotations

from pathlib import Path
from types import TracebackType
from typing import Any, Self

from kivy.app import App
from kivy.base import EventLoop
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels
from PIL import Image

from kiosk.screens.kiosk_app import KioskApp


class Stage:
    """Holds a started app and steps it; use as a context."""

    def __init__(self, app: KioskApp) -> None:
        self.app = app

    def __enter__(self) -> Self:
        """Start the app."""
        self.app._run_prepare()
        if EventLoop.status != "started":
            EventLoop.start()
        self.settle()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Stop the app and leave an empty window."""
        self.app.dispatch("on_stop")
        for child in Window.children[:]:
            Window.remove_widget(child)
        for event in Clock.get_events():
            event.cancel()
        App._running_app = None
        self.step()

    def step(self, frames: int = 1) -> None:
        """Draw frames."""
        for _ in range(frames):
            EventLoop.idle()

    def settle(self) -> None:
        """Wait for the shop's thread and draw what it answered, and what that asked for in turn."""
        for _ in range(3):
            self.app.worker.settle()
            self.step(2)


def save_frame(path: Path) -> Path:
    """Write the window as a PNG file."""
    Window.canvas.ask_update()
    EventLoop.idle()
    width, height = (int(side) for side in Window.system_size)
    pixels: Any = glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE)
    image = Image.frombytes("RGB", (width, height), bytes(pixels))
    path.parent.mkdir(parents=True, exist_ok=True)
    # plain colours: what more would save of the file takes longer than drawing it (measured)
    image.transpose(Image.Transpose.FLIP_TOP_BOTTOM).save(path, compress_level=1)
    return path
