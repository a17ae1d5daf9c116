"""People, panels and parts of a shop written by hand."""

from __future__ import annotations

from dataclasses import replace

from kiosk.actions import PartAt
from kiosk.rules.people import Person
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.viewlines import StationView, ViewLine

MARA = Person("Mara", "KKVPH8E")
IVO = Person("Ivo", "K8TEVU3")
GONE = Person("Ada", "KTR7BH9", away=True)
VIEWS = {
    "cut": StationView(
        "Left to cut: 42 parts",
        (
            ViewLine("Birch plywood, 18 mm: 30 parts", "G01, G02, G03, G04 and 5 more"),
            ViewLine("Birch plywood, 12 mm: 12 parts", "K05, K13"),
        ),
    ),
    "assemble": StationView(
        "Parts and clamps",
        (
            ViewLine("G05: 2 not cut yet", "Side, left K7F-3Q97, Back spacer K7F-4AC3", "late"),
            ViewLine("G05: 1 cut, to be fetched", "Board KTR-87XM", "other"),
            ViewLine("G05: 5 here", "Cleat K2G-TFP4, Lip K44-PEVE and 3 more", "other"),
            ViewLine("Clamps: 3 of 4 in use", "next free: G01 in 35 min, 16:15", "resting"),
        ),
    ),
    "finish": StationView(
        "2 coats due, by closing window",
        (
            ViewLine("G08  scuff before coat 2", "window closed 14:50: scuff first", "late"),
            ViewLine("Tape off: K13", "40 min left for the first, 16:20", "other"),
            ViewLine("Rack: 5 of 6 slots used", "1 is free, +3 resting"),
            ViewLine("G05  coat 2", "30 min left, window closes 16:10", "coat"),
        ),
    ),
    "install": StationView(
        "Order of hanging: 2 ready, 12 not ready",
        (
            ViewLine("1.  G02  hang", "Tile panel", "hang"),
            ViewLine("2.  S01  hang", "after G02", "other"),
            ViewLine("G05  not ready: coat 2 at finish", "Coat 2 since 15:10", ""),
            ViewLine("K05  not ready: coat 1 at finish", "Filler dries until 15:58", "resting"),
        ),
    ),
}
PARTS = tuple(
    PartAt(code, f"Side {at}", "600 × 300 × 18 mm")
    for at, code in enumerate(("K7F3Q97", "K7F4AC3", "KTR87XM", "KFNWKMN"), start=1)
)


class FakeBench:
    """Two people at work and one off the list; a panel for each station."""

    def __init__(self) -> None:
        super().__init__()
        self.staff: tuple[Person, ...] = (MARA, IVO, GONE)
        self.views = dict(VIEWS)
        self.about_asked: list[tuple[str, str]] = []
        self.parts: tuple[PartAt, ...] = ()

    def station_view(self, station, *, about=("", ""), floor=None, now=None):
        self.about_asked.append(about)
        return self.views.get(station, StationView())

    def strike(self, entry_id: str, *, person: str = "") -> Answer:
        self.calls.append(("strike", entry_id, person))
        return Answer(Outcome.RECORDED, "Struck", unit="G05")

    def people(self) -> tuple[Person, ...]:
        return self.staff

    def add_person(self, name, *, person=""):
        self.calls.append(("add_person", name, person))
        left = tuple(one for one in self.staff if one.name != name)
        self.staff = (*left, Person(name, f"K{len(left):05}"))
        return self.staff[-1], ()

    def off_person(self, name, *, person="", permit=None):
        self.calls.append(("off_person", name, person))
        one = next(one for one in self.staff if one.name == name)
        left = tuple(other for other in self.staff if other != one)
        self.staff = (*left, replace(one, away=True))
        return self.staff[-1], ()

    def badge_of(self, text: str) -> Person | None:
        return next((one for one in self.staff if one.code == text), None)

    def about(self, text: str) -> Answer:
        from fake_shop import recorded

        known = replace(recorded(text), message="", entry="")
        return known if text != "G22AB4D" else Answer(Outcome.UNKNOWN, "No part has this code")

    def parts_at(self, text: str) -> tuple[PartAt, ...]:
        return self.parts
