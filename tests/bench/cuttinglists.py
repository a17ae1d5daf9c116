"""Lists of parts to break down: what a ceramics studio fits out, and lists thinned or drawn."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from kiosk.rules.breakdown.bound import least_sheets
from kiosk.rules.breakdown.model import Part, Stock, Task
from kiosk.rules.lengths import PER_MM

# Code, length and width in mm, quantity, whether the grain counts.
Row = tuple[str, int, int, int, bool]
GLAZE: tuple[Row, ...] = (
    ("shelf", 764, 300, 14, True), ("side", 720, 320, 8, False), ("back", 764, 720, 3, False),
    ("cleat", 764, 90, 14, True), ("rail", 764, 100, 10, True),
)  # fmt: skip
KILN: tuple[Row, ...] = (
    ("shelf", 880, 400, 18, True), ("side", 1500, 400, 6, True), ("bat", 460, 460, 20, False),
    ("divider", 380, 290, 24, False), ("cleat", 880, 90, 20, True), ("door", 596, 716, 6, True),
    ("plinth", 880, 70, 12, True),
)  # fmt: skip
BATCH: tuple[Row, ...] = (
    ("shelf", 764, 280, 48, True), ("side", 800, 300, 24, True), ("back", 764, 400, 24, False),
    ("front", 380, 150, 48, True), ("runner", 270, 60, 32, False), ("cleat", 764, 90, 24, True),
)  # fmt: skip
ONE_OFFS: tuple[Row, ...] = tuple(
    (f"P{n}", 220 + 67 * (n * 7 % 19), 90 + 31 * (n * 5 % 17), 2 + n % 6, n % 3 == 0)
    for n in range(22)
)
LISTS = {"glaze store": GLAZE, "kiln room": KILN, "batch of 12": BATCH, "one-offs": ONE_OFFS}
PLY = Stock(code="ply", length=2440 * PER_MM, width=1220 * PER_MM, trim=5 * PER_MM)
KERF = 32 * PER_MM // 10
SHEET = (PLY.length - 2 * PLY.trim + KERF) * (PLY.width - 2 * PLY.trim + KERF)


def shop_task(rows: tuple[Row, ...], levels: int | None) -> Task:
    """Return a list as a task, on plywood with kerf and trim."""
    parts = tuple(
        Part(code=code, length=a * PER_MM, width=b * PER_MM, quantity=n, is_locked=is_locked)
        for code, a, b, n, is_locked in rows
    )
    return Task(parts=parts, stocks=(PLY,), kerf=KERF, levels=levels)


def filled(task: Task) -> float:
    """Return how many sheets of plywood the parts fill by their area, kerf included."""
    parts = task.parts
    return sum((one.length + KERF) * (one.width + KERF) * one.quantity for one in parts) / SHEET


def thinned(seed: int, fill: tuple[float, float], levels: int | None) -> Task:
    """Draw parts from a shop list until they fill whole sheets so far, kerf included."""
    random = Random(f"{seed} {fill}")
    while True:
        task = shop_task(random.choice(list(LISTS.values())), levels)
        pool = [replace(part, quantity=1) for part in task.parts for _n in range(part.quantity)]
        random.shuffle(pool)
        sheets, area, chosen = random.randint(2, 5), 0, dict[str, Part]()
        for part in pool:
            more = (part.length + KERF) * (part.width + KERF)
            if area + more <= fill[1] * sheets * SHEET:
                area += more
                had = chosen.get(part.code)
                chosen[part.code] = replace(part, quantity=had.quantity + 1 if had else 1)
        thin = replace(task, parts=tuple(chosen.values()))
        if area >= fill[0] * sheets * SHEET and least_sheets(thin) == sheets:
            return thin
