"""The sample shop's walls as measured, and how its units hang; everything is invented."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import Final

from kiosk.actions import Shop
from kiosk.rules.hanging.fitting import Fitting
from kiosk.rules.hanging.fitwords import change_fitting
from kiosk.tables import read_table

SCREWS: Final = "10 x 64, 10 x 89, 10 x 102, 10 x 114, 12 x 102"  # in the sample shop's drawer
WALLS: Final = (("GLAZE", "G1", "glaze-store-wall.csv"), ("KILN", "K1", "kiln-room-wall.csv"))
ALLOWED: Final = ("GLAZE", "G18", "nothing but aprons on it; looked at by the studio's builder")

_ALIKE: Final = "cleat.plies=13 | cleat.glued=yes | stop_on=face | strip_fixing=glued and screwed"
# As said to `cleatclock hang JOB --unit UNIT --set …`; lengths in the job's unit.
_FITTINGS: Final = {
    "GLAZE": """
G01: x=20 | y=10 | cleat.y=1850 | cleat.rows=54 | drop=1870 | {short}
G02: x=1230 | y=10 | cleat.y=1850 | cleat.rows=54 | drop=1870 | {short}
G03: x=2440 | y=10 | cleat.y=1250 | cleat.rows=54 | drop=1270 | {short}
G04: x=3350 | y=800 | cleat.y=1850 | cleat.rows=54 | drop=1080 | {short}
G05: x=4160 | y=800 | cleat.y=1850 | cleat.rows=54 | drop=1080 | {short}
G06: x=40 | y=400 | height=198 | cleat.y=510 | cleat.rows=35 | drop=150 | {long} | {lock}
 | expected=kg 20 | shelf=span 553, depth 400, thickness 18, grain along, kg 5.7, spans 2
G07: x=40 | y=1000 | height=198 | cleat.y=1110 | cleat.rows=35 | drop=150 | {long} | {lock}
 | expected=kg 12 | shelf=span 553, depth 400, thickness 18, grain along, kg 5.7, spans 2
G08: x=1250 | y=1600 | height=198 | cleat.y=1710 | cleat.rows=35 | drop=150 | expected=kg 18
 | shelf=span 553, depth 240, thickness 18, grain along, kg 3.4, spans 2
G09: x=1250 | y=1150 | height=198 | cleat.y=1260 | cleat.rows=35 | drop=150 | {long}
 | expected=kg 18 | shelf=span 553, depth 240, thickness 18, grain along, kg 3.4, spans 2
G10: x=1250 | y=700 | height=198 | cleat.y=810 | cleat.rows=35 | drop=150 | {long}
 | expected=kg 10 | shelf=span 553, depth 300, thickness 18, grain along, kg 4.3, spans 2
G11: x=2590 | y=120 | height=420 | cleat.y=420 | cleat.x=2470 | cleat.length=840 | cleat.rows=35
 | drop=390 | {strong} | expected=household
 | shelf=span 564, depth 320, thickness 18, grain along, kg 2.2
 | shelf=span 562, depth 295, thickness 18, grain along, kg 2
G12: x=2665 | y=800 | height=380 | cleat.y=1060 | cleat.rows=35 | drop=350 | {long}
 | expected=kg 12
G13: x=3400 | y=1500 | height=300 | cleat.y=1700 | cleat.rows=35 | drop=270 | {strong}
 | expected=household | shelf=span 664, depth 240, thickness 18, grain along, kg 2
 | shelf=span 662, depth 215, thickness 18, grain along, kg 1.8
G14: x=4270 | y=1500 | height=360 | cleat.name=tile row | cleat.x=4200 | cleat.y=1750
 | cleat.length=1120 | cleat.rows=35 | drop=330 | {strong} | expected=kg 2
 | shelf=span 364, depth 260, thickness 18, grain along, kg 1.2
 | shelf=span 362, depth 235, thickness 18, grain along, kg 1
G15: x=4210 | y=830 | height=600 | cleat.y=1300 | cleat.rows=35 | drop=560 | {strong}
 | expected=kg 6 | shelf=span 523, depth 280, thickness 18, grain along, kg 3.7, spans 2
G16: x=4700 | y=1600 | height=260 | cleat.name=tile row | drop=190 | {strong} | expected=kg 2
G22: x=1380 | y=60 | height=500 | cleat.y=420 | cleat.rows=35 | drop=460 | {strong}
 | expected=kg 12 | shelf=span 423, depth 300, thickness 18, grain along, kg 3.2, spans 2
G18: how=screwed | x=3600 | y=2300 | height=90 | expected=clothes
G19: how=screwed | x=20 | y=2450 | height=90
""",
    "KILN": """
K01: x=8 3/4 | y=1/2 | cleat.y=72 | cleat.rows=2 1/8 | drop=73 | {short}
K02: x=56 | y=20 | cleat.y=62 | cleat.rows=2 1/8 | drop=43 | {short}
K03: x=88 1/2 | y=10 | cleat.y=64 | cleat.rows=2 | drop=55 | {strong}
K04: x=136 3/4 | y=1/2 | cleat.y=66 | cleat.rows=2 1/8 | drop=67 | {short}
K05: x=9 1/2 | y=20 | height=7 7/8 | cleat.y=24 1/2 | cleat.rows=1 3/8 | drop=6 1/2 | {long}
 | expected=kg 8 | shelf=span 21 3/8, depth 11 3/4, thickness 3/4, grain along, kg 4.3, spans 2
K06: x=9 1/2 | y=44 | height=7 7/8 | cleat.y=48 1/2 | cleat.rows=1 3/8 | drop=6 1/2 | {long}
 | expected=kg 4 | shelf=span 21 3/8, depth 9 3/4, thickness 3/4, grain along, kg 3.6, spans 2
K07: x=57 | y=24 | height=7 7/8 | cleat.y=28 1/2 | cleat.rows=1 3/8 | drop=6 1/2 | {long}
 | expected=kg 10 | shelf=span 28 1/2, depth 7 3/4, thickness 3/4, grain along, kg 1.9
K08: x=89 3/4 | y=14 | height=7 7/8 | cleat.y=18 1/2 | cleat.rows=1 3/8 | drop=6 1/2
 | expected=kg 6 | shelf=span 32, depth 9 3/4, thickness 3/4, grain along, kg 2.7
K09: x=137 1/2 | y=30 | height=7 7/8 | cleat.y=34 1/2 | cleat.rows=1 3/8 | drop=6 1/2 | {long}
 | {lock} | expected=kg 8
 | shelf=span 21 3/8, depth 15 3/4, thickness 3/4, grain along, kg 5.8, spans 2
K10: x=60 1/8 | y=40 | height=15 3/4 | cleat.y=51 | cleat.rows=1 5/16 | drop=14 | {strong}
 | expected=kg 4 | shelf=span 22 1/4, depth 10 3/4, thickness 3/4, grain along, kg 1.9
 | shelf=span 22 1/4, depth 11 3/4, thickness 3/4, grain along, kg 2.1
K11: x=63 | y=56 | height=11 3/4 | cleat.y=64 | cleat.x=62 | cleat.length=20 | cleat.rows=1 5/16
 | drop=10 | {strong} | expected=book row
 | shelf=span 16 1/2, depth 9 3/4, thickness 3/4, grain along, kg 1.3
K12: x=142 | y=6 | height=15 3/4 | cleat.y=16 | cleat.rows=1 3/8 | {long} | expected=kg 8
K13: x=91 1/2 | y=40 | height=15 3/4 | cleat.y=51 | cleat.rows=1 5/16 | drop=14 | {strong}
 | expected=kg 5 | shelf=span 28 1/2, depth 8 3/4, thickness 3/4, grain along, kg 2
 | shelf=span 28 1/2, depth 9 3/4, thickness 3/4, grain along, kg 2.2
K14: x=137 5/8 | y=50 | height=14 1/4 | cleat.x=138 1/4 | cleat.length=43 1/2 | cleat.y=60
 | cleat.rows=1 5/16 | drop=9 | {strong} | expected=kg 4
K16: how=screwed | x=84 | y=86 | height=3 1/2
K17: how=screwed | x=90 | y=94 | height=3 1/2
K20: x=17 | y=4 | height=13 3/4 | cleat.x=10 1/4 | cleat.length=43 1/2
 | cleat.y=13 1/2 | cleat.rows=1 5/16 | drop=12 | {strong}
 | expected=kg 4 | shelf=span 28 1/2, depth 11 3/4, thickness 3/4, grain along, kg 2.7
 | shelf=span 28 1/2, depth 10 3/4, thickness 3/4, grain along, kg 2.5
""",
}
_SCREWS: Final = {
    "short": "screw=10 x 89 mm, steel wood, head washer, across 16 mm",
    "long": "screw=10 x 114 mm, steel wood, head washer, across 16 mm",
    "strong": "screw=12 x 114 mm, steel wood, head washer, across 20 mm",
    "lock": "lock=count 2, 12 x 127 mm, steel wood, backing stud",
}


def data_file(name: str) -> Path:
    """Return a file of the sample as one on disk."""
    with resources.as_file(resources.files("kiosk").joinpath("data", name)) as path:
        return Path(path)


def measure(shop: Shop, person: str) -> None:
    """Take in both walls, say how the units hang, and let one go up without a number.

    Raises:
        ValueError: a file or a line of the sample has problems.
    """
    for job, wall, name in WALLS:
        table, problems = read_table(data_file(name))
        found, more = shop.import_wall(job, wall, table)
        if problems or found is None:
            raise ValueError(f"the sample wall {name} has problems: {[*problems, *more]}")
        problems = shop.measure_wall(job, found, person=person)
        for unit, words in _said(job):
            measure = "inch" if job == "KILN" else "mm"
            fitting, wrong = change_fitting(Fitting(), words, unit=measure)
            problems += wrong or shop.fit_unit(job, unit, fitting, person=person)
        if problems:
            raise ValueError(f"the sample wall {wall} has problems: {problems}")
    job, unit, reason = ALLOWED
    shop.allow_hanging(job, unit, reason, person=person)


def _said(job: str) -> Iterator[tuple[str, list[str]]]:
    """Yield each unit of a job with what is said of how it hangs."""
    text = _FITTINGS[job].format(**_SCREWS)
    for line in text.replace("\n |", " |").strip().splitlines():
        unit, _colon, words = line.partition(": ")
        yield unit, [word.strip() for word in f"{words} | {_ALIKE}".split("|")]
