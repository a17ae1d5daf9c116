"""Lay out labels to be damaged: ours, plain ones beside them, and frames full of other things."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from labels.artwork import LabelText, draw, lay_out
from labels.codes import code_for
from labels.stocks import Stock, parse_stocks
from labels.symbols import QR_QUIET, qr_matrix, qr_size
from tests.bench.damage import Scene, lay_on_bench

DPI = 203
STOCKS = Path(__file__).parents[2] / "kiosk/data/stocks.toml"
_LETTER_COVERED = 0.3  # a letter covered further is taken for unreadable


def cluttered(number: int, *, has_label: bool) -> np.ndarray:
    """Return a frame of 1280 x 720 full of edges, lines and letters, with noise."""
    dice = np.random.default_rng(number)
    frame = np.full((720, 1280), 120, np.uint8)
    for _ in range(60):
        ends = dice.integers((1280, 720), size=(2, 2)).tolist()
        tone = int(dice.integers(256))
        if dice.random() < 0.5:
            cv2.rectangle(frame, *ends, tone, int(dice.integers(1, 8)))
        else:
            cv2.line(frame, *ends, tone, int(dice.integers(1, 12)))
        at = dice.integers((1100, 720)).tolist()
        cv2.putText(frame, "GLAZE 04 KILN", at, cv2.FONT_HERSHEY_SIMPLEX, 0.7, 255 - tone, 2)
    if has_label:
        label = scene_of("50x25", number)[0].grey
        seen = cv2.resize(label, None, fx=0.6, fy=0.6, interpolation=cv2.INTER_AREA)
        left = int(dice.integers(1280 - seen.shape[1]))
        top = int(dice.integers(720 - seen.shape[0]))
        frame[top : top + seen.shape[0], left : left + seen.shape[1]] = seen
    return np.clip(frame + dice.normal(0, 3, frame.shape), 0, 255).astype(np.uint8)


@lru_cache(maxsize=1)
def shipped() -> dict[str, Stock]:
    """Return the shipped stocks, of several with labels of one size and design the first."""
    found: dict[tuple[float, float, str], Stock] = {}
    for stock in parse_stocks(STOCKS.read_text("utf-8"))[0].values():
        found.setdefault((stock.width_mm, stock.height_mm, stock.design), stock)
    return {stock.key: stock for stock in found.values()}


def plain_label(stock: Stock, code: str, dpi: int) -> Image.Image:
    """Return a label with nothing but one QR code, in whole dots as large as fits."""
    width, height = (round(mm * dpi / 25.4) for mm in (stock.width_mm, stock.height_mm))
    margin = round(dpi / 25.4)
    module = (min(width, height) - 2 * margin) // (qr_size(1) + 2 * QR_QUIET)
    ink = np.where(np.array(qr_matrix(code)), 0, 255).astype(np.uint8)
    side = qr_size(1) * module
    label = Image.new("L", (width, height), 255)
    symbol = Image.fromarray(ink).resize((side, side), Image.Resampling.NEAREST)
    label.paste(symbol, (margin + QR_QUIET * module, (height - side) // 2))
    return label


@lru_cache(maxsize=512)
def scene_of(key: str, number: int, *, plain: bool = False) -> tuple[Scene, str]:
    """Return a label of a stock on the bench, ours or a plain one, and its code."""
    stock, code = shipped()[key], code_for("K", number)
    text = LabelText(code, "Panel face", "G01", "603 × 400 mm", "assemble", "length", "KILN-ROOM")
    label = plain_label(stock, code, DPI) if plain else draw(text, stock, DPI)
    return lay_on_bench(label, DPI), code


def letters_left(scene: Scene, hurt: Scene, stock: Stock) -> int:
    """Return how many letters of the code can be read where it is printed best.

    One unreadable letter is made up for by the check letter.
    """
    if hurt.covered is None:
        return 0
    plan = lay_out(stock, DPI)
    scale = scene.width / plan.width
    best = 0
    for box in plan.codes:
        rows = slice(round(box.y * scale), round(box.bottom * scale))
        columns = slice(round(box.x * scale), round(box.right * scale))
        ink = (scene.label[rows, columns] < 128).astype(np.uint8)
        _, _, places, _ = cv2.connectedComponentsWithStats(ink)
        tall = [place for place in places[1:] if place[3] > places[1:, 3].max() / 2]
        covered = [hurt.covered[rows, columns][y : y + h, x : x + w].mean()
                   for x, y, w, h, _ in tall]  # fmt: skip
        best = max(best, sum(share <= _LETTER_COVERED for share in covered))
    return best
