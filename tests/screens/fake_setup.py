"""The shop itself, written by hand: settings that are kept, routes that ship, copies by plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from kiosk.actions import PaperSent
from kiosk.actions.copies import Copies, Copy
from kiosk.actions.copynotes import Night
from kiosk.actions.copywords import Proved, Told
from kiosk.actions.core import seed_text
from kiosk.config import Settings
from kiosk.rules.problems import Problem
from kiosk.rules.route import parse_routes

HOME = Path("/home/glaze/shop")
STICK = Path("/media/glaze/stick")


class FakePaper:
    """A paper printer and the queues of a computer; `trouble` keeps sheets from being taken."""

    def __init__(self, where="", *, queues=("Office", "Labels"), why="", trouble="") -> None:
        self.where, self.found, self.why, self.trouble = where, queues, why, trouble
        self.sent: list[object] = []

    def queues(self):
        return self.found, self.why

    def send(self, file) -> PaperSent:
        self.sent.append(file)
        remedy = "Mend it." if self.trouble else ""
        return PaperSent(
            file, self.where, is_sent=not self.trouble, trouble=self.trouble, remedy=remedy
        )

    def test(self, *, shop, at) -> PaperSent:
        return replace(self.send(("test page", at)), file=None)


class FakeSetup:
    """Keeps any sound setting; `refusing` makes it refuse."""

    settings: Settings
    refusing: tuple

    def __init__(self) -> None:
        super().__init__()
        self.settings_file = HOME / "settings.toml"
        self.fresh_shop = False
        self.paper = FakePaper()
        self.brought_home = 0
        self.is_due, self.nights_run = False, 0
        self.is_sound = True
        self.proved: list[Path] = []
        self.nights: tuple[str, ...] = ("Nightly copy: 02:30, proved: 1 entry.",)
        self.wrong: tuple[str, ...] = ()
        self.kept: dict[str, object] = {}
        self.copied = Copies(
            datetime(2026, 3, 10, 17, 5, tzinfo=UTC),
            STICK / "shop-2026-03-10-1705.db",
            tuple(
                Copy(STICK / f"shop-2026-03-{day:02}-1705.db", 1_400_000) for day in (10, 9, 6, 5)
            ),
            (HOME / "copies", STICK),
        )

    def kept_settings(self):
        return replace(self.settings, **self.kept), self.wrong

    def keep_setting(self, name, value):
        if self.refusing:
            return self.kept_settings()[0], self.refusing
        self.kept[name] = value
        return self.kept_settings()[0], ()

    def adopt(self, settings: Settings) -> None:
        self.settings = settings

    def is_fresh(self) -> bool:
        return self.fresh_shop

    def routes(self):
        return parse_routes(seed_text("routes.toml"))[0]

    def routes_text(self):
        return seed_text("routes.toml")

    def shipped_routes(self):
        return seed_text("routes.toml")

    def uses(self):
        return {"glue": "White glue, interior", "filler": "Filler, water-based"}

    def paper_printer(self) -> FakePaper:
        self.paper.where = self.settings.paper_printer
        return self.paper

    def copying(self) -> FakeSetup:
        return self

    at = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)

    def see(self) -> Copies:
        return self.copied

    def tell(self) -> Told:
        return Told(self.nights[0], self.nights)

    def has_work(self) -> bool:
        return self.is_due

    def run_night(self) -> Night:
        self.nights_run += 1
        self.is_due = False
        return Night(self.at, str(HOME / "copies" / "shop-K-night-2026-03-11-1540.db"))

    def prove(self, copy: Path):
        self.proved.append(copy)
        return Proved(self.is_sound, (f"{copy.name} was brought back.", "All of it was read."))

    def bring_home(self) -> bool:
        self.brought_home += 1
        return True

    def make(self, folder: Path):
        if self.refusing:
            return None, self.refusing
        return Copy(folder / "shop-2026-03-11-1540.db", 1_400_000), ()


REFUSED = (
    Problem(
        "/home/glaze/shop/settings.toml cannot be read: Invalid value (at line 1, column 8).",
        "Mend the line it names; nothing was changed.",
    ),
)
