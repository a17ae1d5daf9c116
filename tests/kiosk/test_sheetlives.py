"""Whatever happens to a job's sheets at two kiosks, no part is lost, and none is planned twice."""

from contextlib import suppress
from random import Random

import pytest

from kiosk.rules.sheets.checks import codes_on
from kiosk.store import Job
from tests.sheetfloor import FEW, HEAD, Floor, counted, meet

STEPS = 45


def a_row(rng, unit):
    bevel = rng.choice(["", "", "", "45", "30"])
    long = rng.randint(120, 2350)
    wide = rng.randint(60, 140) if bevel else rng.randint(60, min(1100, long))
    grain = "length" if bevel else rng.choice(["", "length", "width"])
    if grain == "width":
        long = min(long, 1100)
    sides = f"{rng.choice([1, 1, 2, 3])};{long};{wide};{rng.choice([18, 18, 12])}"
    material = rng.choice(["Birch ply", "birch  PLY"])
    return f"S{unit % 4};P{unit};{sides};{material};{bevel};{grain}\n"


class Lives:
    """Two kiosks with files of their own, and what may happen at them."""

    def __init__(self, folder, seed):
        self.rng = Random(seed)
        self.floors = [Floor(folder / letter) for letter in "KM"]
        for one in self.floors:
            one.folder.mkdir()
        settings = self.rng.choice(["", "kerf_mm = 0", "trim_mm = 0", "kerf_mm = 0\ntrim_mm = 0"])
        pairs = zip(self.floors, "KM", strict=True)
        self.shops = [floor.open(letter, settings) for floor, letter in pairs]
        self.rows = [a_row(self.rng, unit) for unit in range(14)]
        self.floors[0].take_in(self.shops[0], rows="".join(self.rows))
        if self.rng.random() < 0.7:
            counted(self.shops[0], str(self.rng.randint(2, 8)))
        meet(*self.shops)

    def wait(self):
        self.floors[0].wait(1)
        self.floors[1].clock.set(self.floors[0].clock.now())

    def happen(self):
        self.wait()
        acts = [self.plan, self.plan, self.revise, self.spoil, self.spoil, self.strike, self.scan]
        acts += [self.meet, self.meet, self.throw, self.put_back, *[self.cut] * 8]
        self.rng.choice(acts)(self.rng.choice(self.shops))

    def meet(self, _shop):
        meet(*self.shops)

    def plan(self, shop):
        shop.begin_sheets("JARS", **FEW | {"tries": 20})
        shop.wait_sheets()
        with suppress(LookupError):  # nothing left to plan, or no sheets for it
            shop.keep_sheets("JARS")

    def revise(self, _shop):
        rows = [row for row in self.rows if self.rng.random() < 0.9]
        rows.append(a_row(self.rng, self.rng.randrange(14)))
        cells = rows[0].split(";")
        cells[3] = str(int(cells[3]) - 1)
        self.rows = list(dict.fromkeys([";".join(cells), *rows[1:]]))
        file = self.floors[0].folder / "list.csv"
        file.write_text(HEAD + "".join(self.rows), "utf-8")
        self.shops[0].take_in(file, Job("JARS"), revise=True)

    def some_code(self, shop):
        view = shop.sheets("JARS")
        return self.rng.choice(sorted(view.names)) if view else ""

    def spoil(self, shop):
        shop.problem(self.some_code(shop), "spoiled", draw=False)

    def scan(self, shop):
        shop.scan(self.some_code(shop), station="cut")

    def strike(self, shop):
        shop.strike_last()

    def throw(self, shop):
        for one in shop.stock().offcuts[:1]:
            shop.throw_offcut(one.offcut.code)

    def put_back(self, shop):
        view = shop.sheets("JARS")
        for one in view.sheets[:1] if view else ():
            shop.put_back(one.key)

    def cut(self, shop):
        view = shop.sheets("JARS")
        sheet = view.next_sheet if view else None
        if sheet and sheet.next:
            return shop.make_cut("JARS", sheet.key, sheet.next)
        return None


def assert_sound(shop):
    view = shop.sheets("JARS")
    if view is None:
        return
    fresh = [code for one in view.sheets if not one.is_begun for code in codes_on(one.planned)]
    assert sorted(set(fresh)) == sorted(fresh)
    on_sheets = {code for one in view.sheets for code in codes_on(one.planned)}
    for unit in shop.units_of("JARS"):
        for one in unit.pieces:
            if one.needed and not one.done and not unit.gone:
                assert one.piece.code in on_sheets or one.piece.code in view.unplanned
    assert all(one.left is None or one.left >= 0 for one in shop.stock().sizes)


@pytest.mark.parametrize("seed", [0, 1, 3, 5])
def test_no_part_is_lost_or_planned_twice_and_kiosks_agree(tmp_path, seed):
    lives = Lives(tmp_path, seed)
    for _step in range(STEPS):
        lives.happen()
        for shop in lives.shops:
            assert_sound(shop)
            shop.buying()
    lives.meet(None)
    first, second = lives.shops
    assert first.stock() == second.stock()
    one, other = first.sheets("JARS"), second.sheets("JARS")
    assert (one is None) == (other is None)
    if one and other:
        assert (one.sheets, one.faults, one.unplanned) == (
            other.sheets,
            other.faults,
            other.unplanned,
        )

    # what is left can be planned and cut to its end
    counted(first, "50")
    for _time in range(2):
        lives.plan(first)
        while (done := lives.cut(first)) is not None:
            assert done.is_recorded, done
    end = first.sheets("JARS")
    assert end.unplanned == ()
    assert all(sheet.is_cut_up for sheet in end.sheets if not sheet.is_idle)
