"""The dark theme, drawn: it is chosen before the screens are imported, so in another process."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kiosk.palette import PALETTES

HERE = Path(__file__).parent
OUTPUT = HERE.parent / "output" / "dark"
PROGRAM = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from kiosk.palette import choose_theme
choose_theme("dark")
from driver import Driver, find_misfits, open_window
from fake_shop import REASONS, FakeShop
open_window((1280, 800))
from kiosk.screens.stage import save_frame
shop = FakeShop(screen_diagonal_in=10.1, viewing_distance_m=0.6, theme="dark")
kiosk = Driver(shop, {"station": "finish", "person": "Mara", "reasons": REASONS})
def keep(name):
    kiosk.settle()
    save_frame(Path(sys.argv[2]) / f"{name}.png")
    assert find_misfits(kiosk, touch=kiosk.desk.trim.sizes.touch) == []
keep("bench")
kiosk.scan("K7F3Q97")
keep("recorded")
kiosk.desk.open_board()
keep("board")
kiosk.desk.shopdesk.ruler.open()
keep("screen")
kiosk.close()
"""


def share_of(name, colour):
    """Share of a picture within 4 levels of a colour."""
    with Image.open(OUTPUT / f"{name}.png") as image:
        pixels = np.asarray(image.convert("RGB")).astype(int)
    wanted = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)])
    return float((np.abs(pixels - wanted).max(axis=2) <= 4).mean())


@pytest.fixture(scope="module", autouse=True)
def drawn():
    ran = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(HERE), str(OUTPUT)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr[-2000:]


@pytest.mark.parametrize("name", ["bench", "board", "screen"])
def test_screens_lie_on_the_dark_ground(name):
    dark = PALETTES["dark"]
    assert share_of(name, dark.ground) + share_of(name, dark.white) > 0.5
    assert share_of(name, PALETTES["light"].ground) < 0.001  # the edges of letters


@pytest.mark.parametrize("state", ["resting", "coat", "hang", "late"])
def test_the_dark_board_shows_all_four_states(state):
    assert share_of("board", PALETTES["dark"].states[state].fill) > 0.01


def test_an_answer_has_the_fill_of_its_outcome():
    assert share_of("recorded", PALETTES["dark"].outcomes["recorded"].fill) > 0.1
