"""Draw every state at one size in a process of its own, and print as JSON what is wrong.

A window off screen is opened once and does not grow: one size, one process.
"""

import json
import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from driver import Driver, find_misfits, open_window
from fake_matters import days_of_air, findings_of
from fake_shop import NOW, REASONS, FakeShop

SCREENS = {(1280, 800): (10.1, 0.6), (1920, 1080): (43.0, 4.0)}  # inches, metres


def draw(folder: Path, size: tuple[int, int]) -> dict[str, list[str]]:
    """Return the misfits of each state by name; write its picture."""
    open_window(size)
    from kiosk.rules.air import Air as air_of
    from kiosk.screens.gallery import show_each
    from kiosk.screens.samples import SAMPLES
    from kiosk.screens.stage import save_frame

    diagonal, distance = SCREENS[size]
    shop = FakeShop(screen_diagonal_in=diagonal, viewing_distance_m=distance)
    shop.read, shop.found = air_of(days_of_air(NOW)), findings_of(NOW)
    driver = Driver(shop, {"station": "finish", "person": "Mara", "reasons": REASONS})
    touch, found = driver.desk.trim.sizes.touch, {}
    for name in show_each(driver.stage):
        save_frame(folder / f"{name}-{size[0]}x{size[1]}.png")
        found[name] = find_misfits(driver, touch=touch)
    wordy = replace(
        SAMPLES[2],
        message="Before that: scuff before coat 2 and take the tape off",
        detail="Window closed Thu 14:50, the coat is on since Wed 08:20; scuff, then wipe it dry.",
        unit_name="Long divider of the glaze store beside the window",
        part="Back spacer, lower left",
        next="Next: scuff before coat 2 at finish from Thu 08:20 after G1 and G01",
    )
    driver.desk.take_answer(wordy)
    driver.settle()
    save_frame(folder / f"bench-long-words-{size[0]}x{size[1]}.png")
    found["bench-long-words"] = find_misfits(driver, touch=touch)
    driver.close()
    return found


if __name__ == "__main__":
    width, height = (int(side) for side in sys.argv[2].split("x"))
    print(json.dumps(draw(Path(sys.argv[1]), (width, height))))
