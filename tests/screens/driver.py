"""Drive the kiosk by touches and keys, frame by frame, on a clock of our own."""

from __future__ import annotations

import numpy as np

BENCH = (1280, 800)
LARGE = ("bench", "board", "what-if")  # states whose pictures are looked at on a wall, too


def open_window(size: tuple[int, int]):
    """Boot as the kiosk does, but without a mouse and without waiting between frames."""
    from kiosk.app import boot

    boot(size, fullscreen=False)
    from kivy.config import Config

    Config.remove_section("input")
    Config.add_section("input")
    Config.set("graphics", "maxfps", "0")
    from kivy.core.window import Window

    assert tuple(Window.system_size) == size, "something imported the window before it was booted"
    return Window


class Driver:
    """A started app, its finger and its keys; `seconds` stands until it is moved."""

    def __init__(self, shop, post) -> None:
        from kivy.base import EventLoop
        from kivy.core.window import Window
        from kivy.input.provider import MotionEventProvider

        from kiosk.screens.desk import Post
        from kiosk.screens.kiosk_app import KioskApp
        from kiosk.screens.stage import Stage

        class Feed(MotionEventProvider):
            queue: list = []  # noqa: RUF012

            def update(self, dispatch_fn) -> None:
                while self.queue:
                    dispatch_fn(*self.queue.pop(0))

        self.seconds = 1000.0
        self.shop, self.win, self.loop = shop, Window, EventLoop
        gear, recall = post.pop("gear", None), post.pop("recall", None)
        self.app = KioskApp(shop, post=Post(**post), seconds=lambda: self.seconds, gear=gear)
        self.app.recall = recall
        self.stage = Stage(self.app)
        self.stage.__enter__()
        self.feed = Feed("test", "")
        EventLoop.add_input_provider(self.feed)
        # the app's own tick would depend on real time; tests tick by hand
        self.app._tick_event.cancel()
        self.app._live_event.cancel()

    @property
    def desk(self):
        return self.app.desk

    def step(self, frames: int = 1) -> None:
        self.stage.step(frames)

    def settle(self) -> None:
        self.stage.settle()

    def tick(self, after: float = 1.0) -> None:
        self.seconds += after
        self.app.tick()
        self.settle()

    def tap(self, widget) -> None:
        self.seconds += 1.0  # one tap after the other, not the second touch of one stroke
        self.touch(widget)

    def touch(self, widget) -> None:
        from kivy.input.motionevent import MotionEvent

        class Finger(MotionEvent):
            def depack(self, args) -> None:
                self.is_touch, self.profile = True, ("pos",)
                self.sx, self.sy = args
                super().depack(args)

        self.step()
        x, y = widget.to_window(widget.x + widget.width / 2, widget.y + widget.height / 2)
        width, height = self.win.system_size
        finger = Finger("test", 1, (x / width, y / height), is_touch=True, type_id="touch")
        for phase in ("begin", "end"):
            self.feed.queue.append((phase, finger))
            self.step(2)
        self.settle()

    def type(self, code: str, *, gap: float = 0.002, end: int = 13) -> None:
        """Send the keys of a scanner; frames are not drawn in between."""
        for letter in code:
            self.seconds += gap
            self.win.dispatch("on_textinput", letter)
        self.seconds += gap
        self.key(end)

    def key(self, code: int, modifiers: tuple[str, ...] = ()) -> None:
        self.win.dispatch("on_key_down", code, 40, None, list(modifiers))

    def scan(self, code: str) -> None:
        self.type(code)
        self.settle()

    def pixels(self) -> np.ndarray:
        """The window as rows of RGB, top row first."""
        from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels

        self.win.canvas.ask_update()
        self.step()
        width, height = map(int, self.win.system_size)
        raw = glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE)
        return np.frombuffer(raw, np.uint8).reshape(height, width, 3)[::-1]

    def texts(self) -> list[str]:
        """All words now on the screen."""
        from kivy.uix.label import Label

        return [one.text for one in self.stage_widgets() if isinstance(one, Label) and one.text]

    def shows(self, words: str) -> bool:
        # a line is never broken between a number and its unit; to a reader it is a space
        return any(words in text.replace("\u00a0", " ") for text in self.texts())

    def stage_widgets(self):
        return list(self.desk.stage.walk())

    def button(self, words: str):
        from kiosk.widgets.panels import BigButton

        found = [
            one
            for one in self.stage_widgets()
            if isinstance(one, BigButton) and one.label.text == words
        ]
        assert len(found) == 1, f"{words}: {len(found)} buttons"
        return found[0]

    def close(self) -> None:
        self.loop.remove_input_provider(self.feed)
        self.stage.__exit__(None, None, None)


def find_misfits(driver: Driver, *, touch: int) -> list[str]:
    """Say what is drawn outside its box, cut, too small to be touched, or over a neighbour."""
    from kivy.uix.label import Label

    from kiosk.widgets.panels import BigButton

    wrong = []
    for one in driver.stage_widgets():
        if one.get_parent_window() is None or not one.opacity:
            continue
        if isinstance(one, Label) and one.text:
            if one.texture is None:
                wrong.append(f"{one.text!r} is not drawn")
            elif one.texture.width > one.width + 1 or one.texture.height > one.height + 1:
                wrong.append(f"{one.text!r} is larger than its box")
            elif one.shorten:
                wrong.append(f"{one.text!r} is cut")
        if isinstance(one, BigButton) and min(one.width, one.height) < touch - 1:
            wrong.append(f"button {one.label.text!r} is {one.width:.0f}x{one.height:.0f}")
        wrong += _overlaps(one)
    return wrong


def _overlaps(parent) -> list[str]:
    boxes = [(one, *one.to_window(one.x, one.y)) for one in parent.children if one.height > 0]
    width, height = parent.get_parent_window().system_size
    wrong = []
    for at, (one, x, y) in enumerate(boxes):
        if x < -1 or y < -1 or x + one.width > width + 1 or y + one.height > height + 1:
            wrong.append(f"{type(one).__name__} leaves the window")
        for other, x2, y2 in boxes[at + 1 :]:
            across = min(x + one.width, x2 + other.width) - max(x, x2)
            along = min(y + one.height, y2 + other.height) - max(y, y2)
            if across > 1 and along > 1:
                wrong.append(f"{type(one).__name__} lies over {type(other).__name__}")
    return wrong
