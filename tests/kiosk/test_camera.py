"""The camera: codes handed over once, troubles told in words; pictures of any state read."""

import builtins
import io
import threading

import cv2
import numpy as np
import pytest
from PIL import Image

from kiosk.camera import (
    FRAMES_S,
    LADDER_EVERY,
    Camera,
    CameraMissing,
    device_frames,
    read_file,
    taken,
)
from labels.reading import HELD_FRAMES, read_picture
from tests.bench import damage
from tests.bench.scenes import cluttered, scene_of

LIMIT_S = 20  # a thread that has not answered by then never will


class Ticks:
    """A clock that goes on by one frame each time it is asked."""

    def __init__(self, step=1 / FRAMES_S):
        self.now, self._step = 0.0, step

    def __call__(self):
        self.now += self._step
        return self.now


def _frame(number):
    scene, code = scene_of("50x25", number)
    return Image.fromarray(scene.grey), code


def _blank():
    return Image.new("L", (640, 360), 120)


def _camera(frames=None, *, seconds=None, take=None):
    codes, words = [], []
    camera = Camera(
        0, seconds or Ticks(), take=take or codes.append, tell=words.append, frames=frames
    )
    return camera, codes, words


def test_each_label_held_up_is_handed_over_once():
    (first, one), (second, two) = _frame(1), _frame(2)
    camera, codes, words = _camera()

    camera.watch([first] * 5 + [_blank()] * 3 + [second] * 5)  # as large as the picture

    assert codes == [one, two]
    assert words == []


def test_a_label_shown_again_after_a_second_is_handed_over_again():
    frame, code = _frame(1)
    camera, codes, _ = _camera()

    camera.watch([frame] * 3 + [_blank()] * 14 + [frame] * 3)

    assert codes == [code, code]


def test_a_frame_that_needs_the_ladder_is_read_within_five():
    scene, code = scene_of("38x21", 3)
    faint = damage.blur(0.23)(scene, np.random.default_rng(0))
    camera, codes, _ = _camera()
    frame = Image.new("L", (1280, 720), 120)
    frame.paste(Image.fromarray(faint.grey), (450, 150))  # its one symbol stands at its left
    frames = [frame] * (LADDER_EVERY - 1)

    camera.watch(frames)
    before = list(codes)
    camera.watch(frames[:HELD_FRAMES])  # what read only so is looked at so in the next frames too

    assert before == []
    assert codes == [code]


def _in_a_room(number, middle, *, room=4):
    """Return a cluttered frame with a label around a place in it, and the label's code."""
    frame = Image.fromarray(cluttered(room, has_label=False))
    scene, code = scene_of("50x25", number)
    label = Image.fromarray(scene.grey).reduce(2)
    frame.paste(label, (middle[0] - label.width // 2, middle[1] - label.height // 2))
    return frame, code


def test_a_label_held_still_in_a_cluttered_room_is_read():
    frame, code = _in_a_room(4, (640, 360))
    camera, codes, _ = _camera()

    camera.watch([frame] * (HELD_FRAMES - 1))
    before = list(codes)
    camera.watch([frame] * 20)

    assert before == []
    assert codes == [code]


@pytest.mark.parametrize("middle", [(170, 110), (1110, 110), (170, 610), (1110, 610)])
def test_a_label_that_lies_in_a_corner_of_the_picture_is_not_recorded(middle):
    frame, code = _in_a_room(4, middle)
    assert read_picture(frame).codes == (code,)  # it is to be read there
    camera, codes, _ = _camera()

    camera.watch([frame] * 30)

    assert codes == []


def test_a_label_carried_through_the_picture_is_not_recorded():
    frames = [_in_a_room(4, (x, 360))[0] for x in range(200, 1100, 90)]
    camera, codes, _ = _camera()

    camera.watch(frames)

    assert codes == []


def test_a_label_laid_at_the_edge_after_it_was_recorded_is_not_recorded_again():
    held, code = _in_a_room(4, (640, 360))
    laid, _ = _in_a_room(4, (170, 110))
    camera, codes, _ = _camera()

    camera.watch([held] * 5 + [laid] * 30 + [held] * 5)

    assert codes == [code]


def test_the_preview_is_the_latest_frame_made_small():
    red = Image.new("RGB", (1280, 720), (200, 10, 20))
    camera, _, _ = _camera()
    camera.watch([_blank(), red])

    preview = camera.preview(width=320)

    assert (preview.width, preview.height) == (320, 180)
    assert preview.rgb == bytes((200, 10, 20)) * 320 * 180


@pytest.mark.parametrize("size", [(1, 1), (321, 7), (5_000, 3)])
def test_a_preview_is_never_wider_than_asked(size):
    camera, _, _ = _camera()
    camera.watch([Image.new("L", size)])

    preview = camera.preview(width=320)

    assert 1 <= preview.width <= 320
    assert len(preview.rgb) == preview.width * preview.height * 3


def test_there_is_no_preview_before_the_first_frame():
    camera, _, _ = _camera()

    assert camera.preview() is None
    assert camera.state == "not watching"


def test_a_code_that_cannot_be_kept_does_not_end_the_watching():
    (first, one), (second, two) = _frame(1), _frame(2)
    got = []

    def take(code):
        got.append(code)
        raise OSError("the disk is full")

    camera, _, words = _camera(take=take)

    camera.watch([first] * HELD_FRAMES + [second] * HELD_FRAMES)

    assert got == [one, two]
    assert "the disk is full" in words[0]


def test_a_started_camera_hands_codes_over_and_stops():
    frame, code = _frame(1)
    came, hold = threading.Event(), threading.Event()
    codes = []

    def take(one):
        codes.append(one)
        came.set()

    def frames():
        yield from [frame] * HELD_FRAMES
        hold.wait(LIMIT_S)
        yield frame

    camera, _, words = _camera(frames, take=take)
    camera.start()
    camera.start()  # a second time does nothing
    is_there = came.wait(LIMIT_S)
    state = camera.state
    hold.set()
    camera.stop()
    camera.stop()

    assert is_there
    assert state == "watching"
    assert codes == [code]
    assert words == []
    assert (camera.state, camera.preview()) == ("not watching", None)


def _told(frames):
    """Return what a camera started on frames tells first, and its state then."""
    told = threading.Event()
    words = []

    def tell(sentence):
        words.append(sentence)
        told.set()

    camera = Camera(0, Ticks(), take=lambda _: None, tell=tell, frames=frames)
    camera.start()
    is_told = told.wait(LIMIT_S)
    state = camera.state
    camera.stop()
    assert is_told
    return words, state


def test_a_camera_that_is_missing_is_told_once():
    def frames():
        raise CameraMissing("Camera 3 does not open. Plug it in, or set another one.")

    words, state = _told(frames)

    assert words == ["Camera 3 does not open. Plug it in, or set another one."]
    assert state == words[0]


def test_a_camera_unplugged_is_told_with_what_to_do():
    words, _ = _told(lambda: iter([_blank()]))

    assert words == ["The camera gives no more pictures. Look at its cable."]


def test_a_driver_that_fails_is_told_in_words():
    def frames():
        yield _blank()
        raise RuntimeError("select timed out")

    words, _ = _told(frames)

    assert "select timed out" in words[0]
    assert "plug it in again" in words[0]


def test_without_opencv_it_is_said_what_to_install(monkeypatch):
    real = builtins.__import__

    def absent(name, *rest, **more):
        if name == "cv2":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", absent)

    with pytest.raises(CameraMissing, match=r"cleatclock\[camera\]"):
        device_frames(0, Ticks())


def test_a_device_that_is_not_there_is_named(capfd):
    with pytest.raises(CameraMissing, match="/dev/no-such-camera does not open"):
        device_frames("/dev/no-such-camera", Ticks())

    assert capfd.readouterr().err == ""  # nothing of a library's own about it


def test_what_opencv_captures_is_read(tmp_path):
    path = tmp_path / "bench.avi"
    frame = np.asarray(_in_a_room(6, (640, 360), room=6)[0])
    film = cv2.VideoWriter(str(path), cv2.VideoWriter.fourcc(*"MJPG"), 15, (1280, 720))
    for _ in range(HELD_FRAMES + 1):
        film.write(cv2.cvtColor(frame, cv2.COLOR_GRAY2BGR))
    film.release()
    camera, codes, _ = _camera()

    camera.watch(device_frames(str(path), Ticks(0.1)))

    assert codes == [scene_of("50x25", 6)[1]]
    assert camera.preview().width == 320


class FakeDevice:
    """A camera of thirty frames a second, with blue pictures."""

    def __init__(self, count, clock):
        self.left, self.clock, self.released, self.retrieved = count, clock, False, 0

    def grab(self):
        self.left -= 1
        return self.left >= 0

    def retrieve(self):
        self.retrieved += 1
        return True, np.full((4, 6, 3), (255, 0, 9), np.uint8)

    def release(self):
        self.released = True


def test_a_fast_camera_is_looked_at_twelve_times_a_second_and_lags_never():
    clock = Ticks(1 / 30)
    device = FakeDevice(60, clock)

    frames = list(taken(device, clock))

    assert 18 <= len(frames) <= FRAMES_S * 2 + 1
    assert device.left < 0  # every frame was taken from the device
    assert device.released


def test_a_frame_of_a_device_has_its_colours_in_order():
    device = FakeDevice(1, Ticks())

    (frame,) = taken(device, Ticks())

    assert (frame.mode, frame.size) == ("RGB", (6, 4))
    assert frame.getpixel((0, 0)) == (9, 0, 255)


def test_a_watching_that_is_left_closes_the_device():
    device = FakeDevice(100, Ticks())
    frames = taken(device, Ticks())
    next(frames)

    frames.close()

    assert device.released


def _photo(number=1, *, width=2_000):
    """Return a label lying in a large picture, as a phone takes it."""
    scene, code = scene_of("50x25", number)
    photo = Image.new("RGB", (width, width * 3 // 4), (120, 110, 100))
    photo.paste(Image.fromarray(scene.grey).convert("RGB"), (width // 3, width // 4))
    return photo, code


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "bmp", "tif", "gif"])
def test_a_picture_file_gives_its_codes(tmp_path, ending):
    photo, code = _photo()
    path = tmp_path / f"label.{ending}"
    photo.save(path)

    found, problems = read_file(path)

    assert (found.codes, problems) == ((code,), ())


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_is_read_however_the_camera_was_held(tmp_path, orientation):
    scene, code = scene_of("63x38", 5)
    upright = Image.fromarray(scene.grey)
    stored = {
        2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90, 7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }  # fmt: skip
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = tmp_path / "held.jpg"
    turned = upright.transpose(stored[orientation]) if orientation > 1 else upright
    turned.save(path, exif=exif)

    found, _ = read_file(path)

    assert found.codes == (code,)
    assert {find.kind for find in found.finds} == {"qr", "bars"}  # bars mirrored would not read


def test_a_broken_note_on_how_it_was_held_does_not_matter(tmp_path):
    photo, code = _photo()
    path = tmp_path / "held.jpg"
    photo.save(path, exif=b"Exif\0\0MM\0*\xff\xff\xff\xff")

    found, _ = read_file(path)

    assert found.codes == (code,)


def test_a_huge_photo_is_read(tmp_path):
    photo, code = _photo(width=9_600)  # 69 million pixels
    path = tmp_path / "huge.jpg"
    scene, _ = scene_of("50x25", 1)
    large = Image.fromarray(scene.grey).resize((scene.grey.shape[1] * 4, scene.grey.shape[0] * 4))
    photo.paste(large.convert("RGB"), (1_000, 1_000))
    photo.save(path, quality=60)

    found, problems = read_file(path)

    assert (found.codes, problems) == ((code,), ())


@pytest.mark.parametrize("width", [8_000, 20_000])
def test_a_picture_of_too_many_pixels_is_refused_in_words(tmp_path, width):
    path = tmp_path / "scan.png"
    Image.new("1", (width, width)).save(path)

    found, problems = read_file(path)

    assert found.codes == ()
    assert problems == ("scan.png has too many pixels. Send it smaller, or as JPEG.",)


def test_a_label_as_the_printer_gets_it_is_read(tmp_path):
    scene, code = scene_of("50x25", 1)
    dots = Image.fromarray(scene.label[::2, ::2].copy())
    path = tmp_path / "label.png"
    dots.convert("1").save(path)

    found, _ = read_file(path)

    assert found.codes == (code,)


def test_a_picture_without_a_code_says_what_to_do(tmp_path):
    path = tmp_path / "cat.png"
    _blank().save(path)

    found, problems = read_file(path)

    assert found.codes == ()
    assert len(problems) == 1
    assert "No part code was found in cat.png" in problems[0]


def test_a_foreign_code_is_named(tmp_path):
    import zxingcpp

    path = tmp_path / "parcel.png"
    symbol = zxingcpp.create_barcode("PARCEL 99", zxingcpp.BarcodeFormat.QRCode)
    Image.fromarray(np.array(symbol.to_image(scale=5, add_quiet_zones=True))).save(path)

    found, problems = read_file(path)

    assert found.refused == ("PARCEL 99",)
    assert "'PARCEL 99'" in problems[0]


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("notes.txt", b"glaze store", "is no picture"),
        ("empty.jpg", b"", "is no picture"),
        ("label.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "is no picture"),
        ("cut.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\1", "is broken"),
    ],
)
def test_what_is_no_picture_is_said_in_words(tmp_path, name, content, said):
    path = tmp_path / name
    path.write_bytes(content)

    found, problems = read_file(path)

    assert found.codes == ()
    assert said in problems[0]
    assert name in problems[0]


def test_a_missing_file_and_a_folder_are_said_in_words(tmp_path):
    missing = read_file(tmp_path / "none.jpg")[1]
    folder = read_file(tmp_path)[1]

    assert "There is no picture none.jpg" in missing[0]
    assert "There is no picture" in folder[0]


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "bmp", "tif", "gif"])
def test_a_file_cut_off_or_altered_anywhere_never_raises(tmp_path, ending):
    stream = io.BytesIO()
    Image.fromarray(scene_of("25x25", 1)[0].label[::2, ::2].copy()).save(
        stream, {"jpg": "JPEG", "tif": "TIFF"}.get(ending, ending.upper())
    )
    sound = stream.getvalue()
    dice = np.random.default_rng(11)
    path = tmp_path / f"hurt.{ending}"
    answers = []
    for turn in range(40):
        hurt = bytearray(sound[: dice.integers(len(sound))] if turn % 2 else sound)
        for _ in range(4):
            if hurt:
                hurt[dice.integers(min(len(hurt), 400))] = dice.integers(256)
        path.write_bytes(hurt)
        answers.append(read_file(path))

    assert all(bool(found.codes) != bool(problems) for found, problems in answers)
    assert {code for found, _ in answers for code in found.codes} <= {scene_of("25x25", 1)[1]}
