"""The camera and the scanner that a kiosk reads by itself: their codes count as scans."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from kiosk.camera import Camera, Frames, Preview
from kiosk.config import Settings
from kiosk.grab import Grab, Strokes

PREVIEW_PX: Final = 320


class Devices:
    """Starts what the settings name; without them, nothing."""

    def __init__(
        self,
        settings: Settings,
        seconds: Callable[[], float],
        *,
        later: Callable[[Callable[[float], None], float], object],
        code: Callable[[str], None],
        frames: Frames | None = None,
        strokes: Strokes | None = None,
    ) -> None:
        """Take `code`, called on the drawing thread with what was read.

        Args:
            settings: name the camera and the scanner.
            seconds: a clock that only goes forward.
            later: runs a function on the drawing thread after some seconds, from any thread.
            code: gets a code.
            frames: the pictures of a camera, in a test.
            strokes: the events of a scanner, in a test.
        """
        self._settings, self._seconds, self._later, self._code = settings, seconds, later, code
        self._frames, self._strokes = frames, strokes
        self._camera: Camera | None = None
        self._grab: Grab | None = None
        self.camera_words = ""
        self.scanner_words = ""

    @property
    def has_camera(self) -> bool:
        """Tell whether a camera is to be watched."""
        return bool(self._settings.camera.strip())

    def start(self) -> None:
        """Begin to read."""
        source, path = self._settings.camera.strip(), self._settings.scanner_device.strip()
        if source and self._camera is None:
            self._camera = Camera(
                int(source) if source.isdecimal() else source,
                self._seconds,
                take=self._take_seen,
                tell=self._tell_camera,
                frames=self._frames,
            )
            self._camera.start()
        if path and self._grab is None:
            self._grab = Grab(
                path, take=self._take_typed, tell=self._tell_scanner, strokes=self._strokes
            )
            self._grab.start()

    def stop(self) -> None:
        """End reading."""
        camera, self._camera = self._camera, None
        grab, self._grab = self._grab, None
        if camera is not None:
            camera.stop()
        if grab is not None:
            grab.stop()

    def preview(self) -> Preview | None:
        """Return what the camera sees, small; None where there is nothing to be seen."""
        found = self._camera.preview(width=PREVIEW_PX) if self._camera else None
        if found is not None:
            self.camera_words = ""
        return found

    # all below are called on the devices' own threads

    def _take_seen(self, code: str) -> None:
        self._later(lambda _dt: self._code(code), 0)

    def _take_typed(self, code: str) -> None:
        self.scanner_words = ""
        self._later(lambda _dt: self._code(code), 0)

    def _tell_camera(self, words: str) -> None:
        self.camera_words = words

    def _tell_scanner(self, words: str) -> None:
        self.scanner_words = words
