"""Watch a camera for part codes; a picture that was taken is read by `read_file`."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final, Protocol

from PIL import Image

from kiosk.rules.words import _, say
from labels.reading import Watcher, read_file, read_picture

__all__ = ["Camera", "CameraMissing", "Preview", "device_frames", "read_file", "taken"]

# Choices: a hand holds a label still for half a second; more frames read nothing sooner.
FRAMES_S: Final = 12.0
LADDER_EVERY: Final = 5  # frames without a code from one that is looked at thoroughly to the next
AGAIN_AFTER_S: Final = 5.0  # a camera that was unplugged is looked for this often
STOP_WITHIN_S: Final = 3.0
PREVIEW_PX: Final = 320
# A module of 3 pixels and more, on a label that takes up a fourth of the picture's width.
_CAPTURE: Final = (1280, 720)

Frames = Callable[[], Iterable[Image.Image]]


class Device(Protocol):
    """An open camera, as OpenCV has it."""

    def grab(self) -> bool:
        """Take the next picture; False where there is none."""
        ...

    def retrieve(self) -> tuple[bool, Any]:
        """Return the picture taken, as rows of blue, green, red bytes."""
        ...

    def release(self) -> None:
        """Close it."""
        ...


class CameraMissing(Exception):
    """There are no pictures to be had from a camera; the message says why and the way out."""


@dataclass(frozen=True, slots=True)
class Preview:
    """The latest picture, small: rows of red, green, blue bytes from the top."""

    width: int
    height: int
    rgb: bytes


class Camera:
    """Part codes held up to a camera, handed over on a thread of its own, each once while in sight.

    take gets every new code; tell gets in words why there are no pictures, once until that
    changes. A camera that is missing or was unplugged is looked for again for as long as it runs.
    """

    def __init__(
        self,
        source: int | str,
        seconds: Callable[[], float],
        *,
        take: Callable[[str], None],
        tell: Callable[[str], None],
        frames: Frames | None = None,
    ) -> None:
        """Prepare a camera.

        Args:
            source: its number, 0 for the first, or its path or address.
            seconds: tells the time on a clock that only goes forward.
            take: gets a code.
            tell: gets a sentence.
            frames: opens the camera and gives its pictures; raises CameraMissing. Left out, the
                source is opened through OpenCV.
        """
        self._seconds, self._take, self._tell = seconds, take, tell
        self._frames = frames or (lambda: device_frames(source, seconds))
        self._watcher = Watcher()
        self._latest: Image.Image | None = None
        self._without = 0  # frames in a row without a code
        self._why = ""
        self._told = ""
        self._ending = threading.Event()
        self._thread: threading.Thread | None = None

    @property
    def state(self) -> str:
        """Return `watching`, `not watching`, or in words why there are no pictures."""
        return self._why or ("watching" if self._thread else "not watching")

    def start(self) -> None:
        """Begin to watch in the background; nothing happens if it does already."""
        if self._thread is None:
            self._ending = threading.Event()  # a thread stuck in the device keeps its own
            self._thread = threading.Thread(
                target=self._run, args=(self._ending,), name="camera", daemon=True
            )
            self._thread.start()

    def stop(self) -> None:
        """End watching; returns when the thread has ended or is stuck in the device."""
        thread, self._thread = self._thread, None
        self._ending.set()
        if thread is not None:
            thread.join(STOP_WITHIN_S)
        self._latest, self._why, self._told = None, "", ""
        self._watcher.forget()

    def preview(self, *, width: int = PREVIEW_PX) -> Preview | None:
        """Return the latest picture at most this wide, in pixels; None where there is none."""
        latest = self._latest
        if latest is None:
            return None
        small = latest.reduce(max(1, -(-latest.width // width))).convert("RGB")
        return Preview(small.width, small.height, small.tobytes())

    def watch(self, frames: Iterable[Image.Image]) -> None:
        """Look at frames one after another, here and now, until they end or stop is called."""
        self._watch(frames, self._ending)

    def _watch(self, frames: Iterable[Image.Image], ending: threading.Event) -> None:
        for frame in frames:
            if ending.is_set():
                return
            self._latest, self._why, self._told = frame, "", ""
            try:
                self._look(frame)
            except Exception as error:  # noqa: BLE001 - the caller's own; it must not end the watching
                self._tell(
                    say(
                        "What the camera read could not be used: {error}. Scan it again.",
                        error=error,
                    )
                )

    def _look(self, frame: Image.Image) -> None:
        # a label that read only so is looked at so until it was seen often enough
        is_due = self._without % LADDER_EVERY == LADDER_EVERY - 1 or self._watcher.is_waiting
        found = read_picture(frame, ladder=is_due)
        self._without = 0 if found.codes else self._without + 1
        for code in self._watcher.see(found, self._seconds(), size=frame.size):
            self._take(code)

    def _run(self, ending: threading.Event) -> None:
        while not ending.is_set():
            try:
                self._watch(self._frames(), ending)
                words: str = _("The camera gives no more pictures. Look at its cable.")
            except CameraMissing as error:
                words = str(error)
            except Exception as error:  # noqa: BLE001 - a driver's own; it is tried again
                words = say(
                    "The camera fails: {error}. Unplug it and plug it in again.", error=error
                )
            if not ending.is_set():
                self._say(words)
            ending.wait(AGAIN_AFTER_S)

    def _say(self, words: str) -> None:
        self._latest, self._why = None, words
        if words != self._told:
            self._told = words
            self._tell(words)


def device_frames(source: int | str, seconds: Callable[[], float]) -> Iterator[Image.Image]:
    """Open a camera and return its pictures as they come, FRAMES_S a second at most.

    Raises:
        CameraMissing: OpenCV is not installed, or the device does not open.
    """
    try:
        import cv2  # an extra of its own: most kiosks have a scanner and no camera
    except ImportError as error:
        raise CameraMissing(
            _("Scanning by camera is not installed. Install cleatclock[camera], or use a scanner.")
        ) from error
    cv2.utils.logging.setLogLevel(0)  # silent: what is missing is told in words
    device = cv2.VideoCapture(source)
    if not device.isOpened():
        device.release()
        raise CameraMissing(
            say("Camera {source} does not open. Plug it in, or set another one.", source=source)
        )
    device.set(cv2.CAP_PROP_FRAME_WIDTH, _CAPTURE[0])
    device.set(cv2.CAP_PROP_FRAME_HEIGHT, _CAPTURE[1])
    device.set(cv2.CAP_PROP_BUFFERSIZE, 1)
    return taken(device, seconds)


def taken(device: Device, seconds: Callable[[], float]) -> Iterator[Image.Image]:
    """Return an open camera's pictures, FRAMES_S a second at most, and close it at the end.

    Those between are taken from the device too, or they would queue up and be seen late.
    """
    last = -1.0
    try:
        while device.grab():
            now = seconds()
            if last >= 0 and now - last < 1 / FRAMES_S:
                continue
            last = now
            is_there, pixels = device.retrieve()
            if is_there:
                yield Image.fromarray(pixels[..., ::-1] if pixels.ndim == 3 else pixels)
    finally:
        device.release()
