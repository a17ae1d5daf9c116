"""A shop written by hand: answers by plan, remembers what it was asked."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from fake_asks import FakeAsks
from fake_bench import FakeBench
from fake_day import FakeDay
from fake_hang import FakeHang
from fake_labels import FakeLabels
from fake_matters import FakeMatters
from fake_pins import FakePins
from fake_setup import FakeSetup
from fake_sheets import FakeSheets

from kiosk.config import Settings
from kiosk.rules.floor import Band, Due, Floor, Place, Tile
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.settingstext import load

NOW = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
REASONS = (
    "touch test is dry",
    "fast product, label says so",
    "not stressed, handled with care",
    "done earlier, not scanned",
    "the customer waits",
)
TILES = (
    Tile("G01", "35 min", "resting", 0.6, "glue cures until 16:15"),
    Tile("G04", "2:05 h", "resting", 0.1, "glue cures until 17:45"),
    Tile("G08", "scuff first", "late", 1.0, "window closed 14:50"),
    Tile("G05", "coat 2", "coat", 1.0, "dry since 15:10"),
    Tile("K05", "18 min", "resting", 0.9, "coat dries until 15:58"),
    Tile("K13", "tape off", "other", 0.0, "tape is due"),
    Tile("K02", "coat 1", "coat", 1.0, "filled since 14:30"),
    Tile("G02", "hang", "hang", 1.0, "hard since Tue 08:20"),
)


def full_floor(*, at: datetime = NOW, places: bool = True) -> Floor:
    """A floor with every state in its place."""
    one = TILES
    shelves = (
        Place("Clamp bench", (one[0], None, one[1], None), ""),
        Place("Rack", (one[2], one[3], one[4], one[6], one[5], None), "+3 resting"),
        Place("By the door", (one[7], None, None, None), ""),
    )
    bands = (
        Band("resting", "resting", 6, ("K05", "G01", "G04", "G06", "G07", "K02")),
        Band("to coat", "coat", 3, ("G08", "G05", "K02"), ("scuff first", "coat 2", "coat 1")),
        Band("to hang", "hang", 14, tuple(f"G{number}" for number in range(20, 32))),
    )
    hands = "next hands: K05 rack in 18 min, then G01 clamp bench in 35 min"
    fewer = (hands, "next hands: K05 rack in 18 min", "next hands: K05 in 18 min")
    return Floor(at, f"{at:%H:%M}", bands, shelves if places else (), hands, fewer)


def dues(station: str) -> tuple[Due, ...]:
    """Seven lines, so that the list has to leave some out."""
    if station == "cut":
        return ()
    lines = (
        ("G08", "Brush panel", "scuff", "scuff before coat 2", "window closed 14:50", "late"),
        ("G05", "Tile panel", "coat-2", "coat 2", "dry since 15:10; window closes 16:10", "coat"),
        ("K13", "Kiln shelf", "unmask", "take the tape off", "tape is due since 15:20", "other"),
        ("K05", "Cone box", "coat-1", "coat 1 from 15:58", "filler dries", "resting"),
        (
            "G11",
            "Long divider of the glaze store",
            "coat-1",
            "coat 1 from Thu 08:20",
            "x",
            "resting",
        ),
        ("G12", "Divider", "coat-1", "coat 1 from Thu 08:40", "filler dries", "resting"),
        ("G13", "Divider", "coat-1", "coat 1 from Thu 08:50", "filler dries", "resting"),
    )
    return tuple(Due(*line, NOW) for line in lines)


class FakeShop(
    FakeHang, FakeDay, FakeSheets, FakeBench, FakePins, FakeLabels, FakeSetup, FakeMatters, FakeAsks
):
    """Codes in `plan` get their answer; any other is recorded. `broken` makes calls raise."""

    def __init__(self, *, places: bool = True, **settings: object) -> None:
        super().__init__()
        self.settings: Settings = replace(load("")[0], **settings)  # type: ignore[arg-type]
        self.plan: dict[str, Answer] = {}
        self.scans: list[str] = []
        self.calls: list[tuple[object, ...]] = []
        self.at = NOW
        self.places = places
        self.recorded = 0
        self.fresh = False
        self.broken: Exception | None = None
        self.refusal = ""

    def _may_break(self) -> None:
        if self.broken is not None:
            raise self.broken

    def scan(self, text, *, station, person="", step=None, reason=None, permit=None):  # type: ignore[no-untyped-def]
        self._may_break()
        self.scans.append(text)
        self.calls.append(("scan", text, station, person, step, reason))
        if text in self.plan and reason is None and step is None:
            return self.plan[text]
        self.recorded += 1
        return recorded(text)

    def strike_last(self, *, person: str = "") -> Answer:
        self._may_break()
        self.calls.append(("strike_last", person))
        self.recorded = max(0, self.recorded - 1)
        return replace(recorded(""), message="Struck", detail="G05: coat 2, 15:38 by Mara")

    def problem(
        self,
        code: str,
        what: str,
        *,
        person: str = "",
        note: str = "",
        draw: bool = True,
        stock: str = "",
    ) -> Answer:
        self._may_break()
        self.calls.append(("problem", code, what, person, *([note] if note else [])))
        return replace(recorded(code), message="G05 is on hold", detail="coat failed")

    def lift(self, text: str, *, person: str = "") -> Answer:
        self.calls.append(("lift", text, person))
        return replace(recorded(""), message="G05 goes on", detail="Hold lifted.")

    def floor(self, now: datetime | None = None) -> Floor:
        self._may_break()
        floor = full_floor(at=now or self.at, places=self.places)
        if not self.recorded:
            return floor
        # a scan of G05 puts its coat on: from now on it rests
        resting = replace(floor.bands[0], count=floor.bands[0].count + self.recorded)
        moved = tuple(
            replace(place, slots=tuple(_coated(tile) for tile in place.slots))
            for place in floor.places
        )
        return replace(floor, bands=(resting, *floor.bands[1:]), places=moved)

    def due(self, station: str, now: datetime | None = None) -> tuple[Due, ...]:
        return dues(station)

    def keep_settings(self, values):  # type: ignore[no-untyped-def]
        self._may_break()
        self.calls.append(("keep_settings", dict(values)))
        if self.refusal:
            return self.settings, (Problem(self.refusal, ""),)
        return replace(self.settings, **values), ()

    def now(self) -> datetime:
        return self.at

    def news(self) -> bool:
        self._may_break()
        fresh, self.fresh = self.fresh, False
        return fresh


def _coated(tile: Tile | None) -> Tile | None:
    if tile is None or tile.unit != "G05":
        return tile
    return Tile("G05", "2:00 h", "resting", 0.0, "coat dries until 17:40")


def recorded(text: str) -> Answer:
    return Answer(
        Outcome.RECORDED,
        "Coat 2 on",
        next="Next: hang at install from Fri 08:20",
        code=text,
        entry="e1",
        job="GLAZE",
        unit="G05",
        unit_name="Tile panel",
        part="Panel face",
        size="1200 × 1200 mm",
        step="coat-2",
    )


def too_early(text: str) -> Answer:
    return replace(
        recorded(text),
        outcome=Outcome.TOO_EARLY,
        message="Too early: 35 min to go",
        detail="Coat 1 is on since 14:10; dry to recoat after 2:00 h.",
        next="",
        entry="",
        ready_at=NOW + timedelta(minutes=35),
        offers=(Offer("go_ahead", "coat-2", "coat 2 all the same"),),
    )
