"""Walls and hanging on a real shop: a wall read from a table, a unit fitted, refused, allowed."""

from datetime import UTC, datetime, timedelta

import pytest
from test_hang import opened, row, spot, typed, unit

from kiosk.actions import GO_AHEAD_REASONS, Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.hanging.hangviews import Checked
from kiosk.rules.hanging.kinds import StopOn, StripFixing
from kiosk.rules.lengths import from_mm, mm
from kiosk.rules.reasons import HANG_REASONS
from kiosk.rules.route import State
from kiosk.screens.besidescreen import BesideScreen
from kiosk.screens.hangsamples import sample_wall
from kiosk.screens.hangunit import HangUnitScreen
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)
SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\nrepeat_seconds = 0\n')
LIST = """Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Bevel;Wall;Hangs on
W1;Back wall;wall;Wall face;1;2400;2500;;;;W1;
P1;Panel;panel;Face;1;1215;2360;18;birch plywood;;W1;
S1;Jar shelf;shelf;Board;1;900;300;18;birch plywood;;W1;P1
S1;Jar shelf;shelf;Strip;1;880;100;18;birch plywood;45;W1;P1
"""


class RealShop:
    """A shop file with a wall, a panel and a shelf, all ready to hang but the check."""

    def __init__(self, folder):
        self.folder, self.file, self.clock = folder, folder / "shop.db", FixedClock(START)
        (folder / "list.csv").write_text(LIST, "utf-8")
        with_it = self.open()
        assert with_it.take_in(folder / "list.csv", Job("JARS", "Glaze store")).problems == ()
        self.store.close()

    def open(self):
        self.store = Store.open(self.file, "K")
        return Shop(self.store, SETTINGS, self.clock)

    def asked(self, call):
        """What another look at the shop's file tells."""
        found = call(self.open())
        self.store.close()
        return found

    def to_the_wall(self):
        """Record all steps up to hanging, and wait until all is dry."""
        shop = self.open()
        for name in ("P1", "S1"):
            state = shop.store.state("JARS", name)
            for step in shop.setup.steps(state.spec):
                if step.supports:
                    break
                texts = [one.piece.code for one in state.pieces] if step.each else [f"JARS/{name}"]
                for text in texts:
                    shop.scan(text, station=step.station, step=step.name, reason="other reason")
        self.store.close()
        self.clock.set(START + timedelta(days=30))


@pytest.fixture
def real(tmp_path):
    return RealShop(tmp_path)


@pytest.fixture
def start(real, drive):
    def begin():
        shop = late_shop(real.file, SETTINGS, real.clock)
        return drive(shop, station="install", person="Mara", reasons=GO_AHEAD_REASONS)

    return begin


def read_wall(kiosk, real):
    """Read the wall of the sample from a table written at the kiosk, and keep it."""
    desk = kiosk.desk.shopdesk
    desk.hanging.wall.open_job("JARS", desk.open)
    kiosk.settle()
    kiosk.tap(kiosk.button("Measure a wall"))
    opened(kiosk, "W1")
    desk.hanging.walls._write_to(desk.hanging.walls.one.draft, real.folder)
    kiosk.settle()
    kiosk.tap(kiosk.button("Back"))
    file = real.folder / "JARS-W1-wall.csv"
    _fill_in(file)
    kiosk.tap(kiosk.button("From a file"))
    desk.hanging.walls.pick(spot(file))
    kiosk.settle()
    assert kiosk.shows("Nothing is kept yet.")
    kiosk.tap(kiosk.button("Keep it"))
    assert kiosk.shows("Wall W1 is kept.")


def _fill_in(file):
    from kiosk.rules.hanging.walltable import wall_rows
    from kiosk.tables.writing import keep_table

    keep_table(wall_rows(sample_wall()), file)


def fit(kiosk, *, drop):
    """Enter how the shelf hangs, from its screen."""
    kiosk.tap(kiosk.button("How it hangs"))
    row(kiosk, "Where it hangs")
    for name, value in (("Left end", "120"), ("Lower edge", "1780"), ("Height", "320")):
        row(kiosk, name)
        typed(kiosk, value)
    kiosk.tap(kiosk.button("Back"))
    row(kiosk, "Its cleat on the wall")
    row(kiosk, "Cleat's lower edge")
    typed(kiosk, "2000")
    row(kiosk, "Plies")
    typed(kiosk, "9")
    kiosk.tap(kiosk.button("Back"))
    row(kiosk, "Screws and what they pass")
    row(kiosk, "Screw rows")
    for at in ("15", "67"):
        kiosk.tap(kiosk.button("Add"))
        typed(kiosk, at)
    kiosk.tap(kiosk.button("Back"))
    row(kiosk, "Cleat glued")
    kiosk.tap(kiosk.button("Yes"))
    kiosk.tap(kiosk.button("Back"))
    row(kiosk, "Stop, strip, weight")
    row(kiosk, "Stop bears on")
    kiosk.tap(kiosk.button("The face of panel or wall"))
    row(kiosk, "Strip joined")
    kiosk.tap(kiosk.button("Glued and screwed"))
    row(kiosk, "Stop's drop")
    typed(kiosk, drop)
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Keep it"))
    assert isinstance(kiosk.desk.show, HangUnitScreen)


def to_shelf(kiosk):
    kiosk.desk.shopdesk.hanging.wall.open_job("JARS", kiosk.desk.shopdesk.open)
    kiosk.settle()
    assert isinstance(kiosk.desk.show, BesideScreen)
    unit(kiosk, "S1")


def test_a_wall_and_a_fitting_entered_at_the_kiosk_give_the_shelf_its_number(real, start):
    kiosk = start()
    read_wall(kiosk, real)
    assert real.asked(lambda shop: shop.walls("JARS")) == (sample_wall(),)
    to_shelf(kiosk)
    assert kiosk.shows("Not rated")
    fit(kiosk, drop="240")
    one = real.asked(lambda shop: shop.hanging("JARS")).unit("S1")
    assert one.checked is Checked.RATED
    assert kiosk.shows(f"{one.net_kg} kg, evenly spread")
    said = real.asked(lambda shop: shop.fittings("JARS"))["S1"]
    assert (said.drop, said.stop_on) == (from_mm(240), StopOn.FACE)
    assert said.strip_fixing is StripFixing.GLUED_AND_SCREWED
    assert [mm(at) for at in said.cleat.rows] == [15, 67]
    assert (said.width, said.cleat.length) == (None, None), "the part list knows them"
    kiosk.tap(kiosk.button("Load card"))
    assert (real.folder / "JARS-S1-load-card.pdf").read_bytes().startswith(b"%PDF")
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Print"))
    kiosk.tap(kiosk.button("Drawing for hanging"))
    assert (real.folder / "JARS-W1-wall.pdf").read_bytes().startswith(b"%PDF")


def test_a_shelf_that_turns_off_its_cleat_is_refused_at_the_scan_until_a_reason_is_picked(
    real, start
):
    real.to_the_wall()
    kiosk = start()
    read_wall(kiosk, real)
    to_shelf(kiosk)
    fit(kiosk, drop="100")
    assert kiosk.shows("The unit turns off its cleat")
    assert kiosk.shows("pull-lock")
    assert real.asked(lambda shop: shop.standing("JARS", "S1")).state == State.ON_HOLD
    kiosk.scan("JARS/P1")
    kiosk.seconds += 2
    kiosk.scan("JARS/S1")
    assert kiosk.shows("Not rated: it may come down")
    assert kiosk.shows("The unit turns off its cleat")
    assert "Touch test is dry" not in kiosk.texts()
    kiosk.tap(kiosk.button("Held in another way, which was checked"))
    allowed = real.asked(lambda shop: shop.hanging("JARS")).unit("S1")
    assert allowed.checked is Checked.ALLOWED
    assert (allowed.allowed.reason, allowed.allowed.person) == (HANG_REASONS[2], "Mara")
    to_shelf(kiosk)
    assert kiosk.shows("Not rated, goes up all the same")
    assert kiosk.shows("Held in another way, which was checked, Mara")


def test_a_word_given_on_the_screen_lets_it_be_ready_and_is_taken_back(real, start):
    real.to_the_wall()
    kiosk = start()
    read_wall(kiosk, real)
    to_shelf(kiosk)
    kiosk.tap(kiosk.button("Allow all the same"))
    kiosk.tap(kiosk.button("A licensed professional approved it"))
    assert kiosk.shows("May be hung without a number")
    assert real.asked(lambda shop: shop.standing("JARS", "S1")).state == State.READY_TO_HANG
    kiosk.tap(kiosk.button("Take it back"))
    assert real.asked(lambda shop: shop.standing("JARS", "S1")).state == State.ON_HOLD
    assert kiosk.button("Allow all the same")
