"""Damage pictures of labels as a shop does: paint, sawdust, blur, tilt, poor light, scratches.

Pictures are grey, 16 pixels to the millimetre, the label lying on a bench of mid grey. The same
dice do the same to every label of one size: two designs meet the same accidents.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, pi, radians, sin

import cv2
import numpy as np
from PIL import Image

PX_PER_MM = 16  # two pixels a dot at 203 dpi: a label that fills most of a camera's picture
RIM_MM = 3.0  # bench seen round the label
BENCH = 105
PAPER, INK = 235, 25
TONES = (25, 128, 240)  # of paint: as dark as ink, mid grey, as light as paper
_COARSE = 4  # shapes are worked out on every fourth pixel

Grey = np.ndarray


@dataclass(frozen=True, slots=True)
class Scene:
    """A label on the bench: its picture, where the label is in it, and what paint covers."""

    grey: Grey
    left: int
    top: int
    width: int
    height: int
    covered: Grey | None = None

    @property
    def label(self) -> Grey:
        """Return the part of the picture that is the label."""
        return self.grey[self.top : self.top + self.height, self.left : self.left + self.width]

    def with_label(self, label: Grey, covered: Grey | None = None) -> Scene:
        """Return the scene with the label changed."""
        grey = self.grey.copy()
        grey[self.top : self.top + self.height, self.left : self.left + self.width] = label
        return Scene(grey, self.left, self.top, self.width, self.height, covered)

    def with_grey(self, grey: Grey) -> Scene:
        """Return the scene with all of the picture changed."""
        return Scene(grey, self.left, self.top, self.width, self.height, self.covered)


Damage = Callable[[Scene, np.random.Generator], Scene]


def lay_on_bench(label: Image.Image, dpi: int) -> Scene:
    """Return a printed label as a camera straight above it sees it."""
    ink = np.asarray(label.convert("L"))
    size = [round(dots * PX_PER_MM * 25.4 / dpi) for dots in (ink.shape[1], ink.shape[0])]
    seen = cv2.resize(ink, size, interpolation=cv2.INTER_AREA if dpi > 406 else cv2.INTER_NEAREST)
    paper = (INK + seen.astype(np.float32) * ((PAPER - INK) / 255)).astype(np.uint8)
    rim = round(RIM_MM * PX_PER_MM)
    grey = cv2.copyMakeBorder(paper, rim, rim, rim, rim, cv2.BORDER_CONSTANT, value=BENCH)
    return Scene(grey, rim, rim, size[0], size[1])


def smear(share: float) -> Damage:
    """Paint over a share of the label: a blob, a brush's stroke or drops round a random place."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        shape = (_blob, _stroke, _drops)[dice.integers(3)]
        tone = TONES[dice.integers(len(TONES))]
        rows, columns = -(-scene.height // _COARSE), -(-scene.width // _COARSE)
        y, x = np.mgrid[0:rows, 0:columns].astype(np.float32)
        size = (columns, rows)
        distance = shape(x, y, size, dice)
        # the shape grows until it covers just the share, whatever of it falls beside the label
        limit = np.quantile(distance, share)
        fine = cv2.resize(distance, (scene.width, scene.height), interpolation=cv2.INTER_LINEAR)
        covered = fine <= limit
        return scene.with_label(np.where(covered, np.uint8(tone), scene.label), covered)

    return damage


def _centre(size: tuple[int, int], dice: np.random.Generator) -> tuple[float, float]:
    return dice.uniform(0, size[0]), dice.uniform(0, size[1])


def _blob(x: Grey, y: Grey, size: tuple[int, int], dice: np.random.Generator) -> Grey:
    at = _centre(size, dice)
    around = np.arctan2(y - at[1], x - at[0])
    edge = np.ones_like(x)
    for waves in range(2, 6):
        edge += dice.uniform(0, 0.5 / waves) * np.cos(waves * around + dice.uniform(0, 2 * pi))
    return (np.hypot(x - at[0], y - at[1]) / edge).astype(np.float32)


def _stroke(x: Grey, y: Grey, size: tuple[int, int], dice: np.random.Generator) -> Grey:
    at, turn, longer = _centre(size, dice), dice.uniform(0, pi), dice.uniform(3, 8)
    along = (x - at[0]) * cos(turn) + (y - at[1]) * sin(turn)
    across = (y - at[1]) * cos(turn) - (x - at[0]) * sin(turn)
    across = across + dice.uniform(0, 4) * np.sin(along / dice.uniform(8, 30))
    return np.maximum(np.abs(along) / longer, np.abs(across)).astype(np.float32)


def _drops(x: Grey, y: Grey, size: tuple[int, int], dice: np.random.Generator) -> Grey:
    at, spread = _centre(size, dice), dice.uniform(0.1, 0.3) * max(size)
    nearest = np.full_like(x, np.inf)
    for _ in range(dice.integers(4, 16)):
        drop = at + dice.normal(0, spread, 2)
        apart = np.hypot(x - drop[0], y - drop[1]) / dice.lognormal(0, 0.5)
        nearest = np.minimum(nearest, apart)
    return nearest


def dust(share: float) -> Damage:
    """Sawdust over a share of the label: flecks of 0.3 to 1.5 mm in mid grey."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        label = scene.label.copy()
        covered = np.zeros(label.shape, np.uint8)
        while covered.mean() < share:
            at = dice.integers((label.shape[1], label.shape[0])).tolist()
            long = dice.uniform(0.3, 1.5) * PX_PER_MM / 2
            axes = (round(long), max(1, round(long * dice.uniform(0.3, 1))))
            turn, tone = dice.uniform(0, 180), int(dice.integers(100, 160))
            cv2.ellipse(covered, at, axes, turn, 0, 360, 1, -1)
            cv2.ellipse(label, at, axes, turn, 0, 360, tone, -1)
        return scene.with_label(label)

    return damage


def scratches(count: int) -> Damage:
    """Scratches of 0.4 to 0.9 mm right across the label, as light as paper."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        label = scene.label.copy()
        height, width = label.shape
        for _ in range(count):
            turn, at = dice.uniform(0, pi), _centre((width, height), dice)
            reach = np.array([cos(turn), sin(turn)]) * (width + height)
            ends = [(np.array(at) + sign * reach).astype(int).tolist() for sign in (-1, 1)]
            wide = round(dice.uniform(0.4, 0.9) * PX_PER_MM)
            cv2.line(label, *ends, TONES[-1], wide)
        return scene.with_label(label)

    return damage


def blur(sigma_mm: float) -> Damage:
    """Out of focus: a Gaussian of this spread."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        return scene.with_grey(cv2.GaussianBlur(scene.grey, (0, 0), sigma_mm * PX_PER_MM))

    return damage


def motion(reach_mm: float) -> Damage:
    """Moved while the picture was taken, in a random direction."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        reach = max(2, round(reach_mm * PX_PER_MM))
        kernel = np.zeros((reach + 2, reach + 2), np.float32)
        middle, turn = (reach + 1) / 2, dice.uniform(0, pi)
        for step in np.linspace(-reach / 2, reach / 2, 4 * reach):
            kernel[round(middle + step * sin(turn)), round(middle + step * cos(turn))] = 1
        return scene.with_grey(cv2.filter2D(scene.grey, -1, kernel / kernel.sum()))

    return damage


def tilt(degrees: float) -> Damage:
    """Tilted away about a random axis, seen from 200 mm, and turned at random in the picture."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        height, width = scene.grey.shape
        axis, turn = dice.uniform(0, 2 * pi), dice.uniform(-0.2, 0.2)
        far = 200 * PX_PER_MM
        corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], np.float32)
        x, y = (corners - [width / 2, height / 2]).T
        along, across = x * cos(axis) + y * sin(axis), y * cos(axis) - x * sin(axis)
        nearer = far / (far + across * sin(radians(degrees)))
        along, across = along * nearer, across * nearer * cos(radians(degrees))
        back = axis + turn
        seen = [along * cos(back) - across * sin(back), along * sin(back) + across * cos(back)]
        placed = np.array(seen).T
        low = placed.min(axis=0)
        size = np.ceil(placed.max(axis=0) - low).astype(int).tolist()
        matrix = cv2.getPerspectiveTransform(corners, (placed - low).astype(np.float32))
        # area-like: blurred first by what the tilt squeezes, or fine bars alias
        soft = cv2.GaussianBlur(scene.grey, (0, 0), 0.8)
        warped = cv2.warpPerspective(soft, matrix, size, flags=cv2.INTER_AREA,
                                     borderMode=cv2.BORDER_CONSTANT, borderValue=BENCH)  # fmt: skip
        return scene.with_grey(warped)

    return damage


def contrast(step: float) -> Damage:
    """Faded print: ink and paper differ by a step (of full scale), with a sensor's noise."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        level = dice.uniform(90, 165) - step * 255 / 2
        shares = (scene.grey.astype(np.float32) - INK) / (PAPER - INK)
        return scene.with_grey(_noisy(level + shares * step * 255, dice))

    return damage


def light(share: float) -> Damage:
    """Light that falls to a share of itself across the picture, in a random direction."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        height, width = scene.grey.shape
        turn = dice.uniform(0, 2 * pi)
        y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j].astype(np.float32)
        along = x * cos(turn) + y * sin(turn)
        along = (along - along.min()) / np.ptp(along)
        return scene.with_grey(_noisy(scene.grey * (1 - (1 - share) * along), dice))

    return damage


def exposure(gain: float) -> Damage:
    """A picture too dark (gain below 1) or too bright: what is over full scale is lost."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        return scene.with_grey(_noisy(scene.grey.astype(np.float32) * gain, dice))

    return damage


def both(*damages: Damage) -> Damage:
    """One damage after another."""

    def damage(scene: Scene, dice: np.random.Generator) -> Scene:
        for one in damages:
            scene = one(scene, dice)
        return scene

    return damage


def _noisy(grey: Grey, dice: np.random.Generator) -> Grey:
    noise = dice.normal(0, 1.5, grey.shape)  # grey levels; a web camera in daylight, choice
    return np.clip(grey + noise, 0, 255).astype(np.uint8)
