"""A shop with a job to be cut from sheets, on kiosks that share a clock, and ways to cut it."""

from datetime import UTC, datetime, timedelta

from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
HEAD = "Unit;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Bevel;Grain\n"
ROWS = "".join(
    f"S{n};Side;2;600;300;18;Birch ply;;length\n"
    f"S{n};Board;3;764;200;18;Birch ply;;\n"
    f"S{n};Cleat;2;700;80;18;Birch ply;45;length\n"
    f"S{n};Back;1;700;500;6;Birch ply;;\n"
    for n in (1, 2, 3)
)
SHEET = {"length": "2440", "width": "1220"}
FEW = {"tries": 60, "processes": 0}


class Floor:
    """One shop file, and kiosks on it that share a clock."""

    def __init__(self, folder):
        self.folder, self.clock = folder, FixedClock(START)

    def open(self, letter="K", more=""):
        settings, wrong = load(f'zone = "UTC"\nkiosk_letter = "{letter}"\n{more}')
        assert not wrong
        return Shop(Store.open(self.folder / "shop.db", letter), settings, self.clock)

    def take_in(self, shop, job="JARS", rows=ROWS, **more):
        (self.folder / "list.csv").write_text(HEAD + rows, "utf-8")
        taken = shop.take_in(self.folder / "list.csv", Job(job), **more)
        assert taken.problems == ()

    def wait(self, minutes):
        self.clock.set(self.clock.now() + timedelta(minutes=minutes))


def keep(shop, job="JARS", **more):
    assert shop.begin_sheets(job, **FEW) == ()
    shop.wait_sheets()
    return shop.keep_sheets(job, **more)


def cut_next(shop, job="JARS"):
    sheet = shop.sheets(job).next_sheet
    done = shop.make_cut(job, sheet.key, sheet.next, person="Mara")
    assert done.is_recorded, done
    return sheet, done


def cut_until(shop, stop, job="JARS"):
    """Cut line by line until a cut is what is asked for."""
    while True:
        sheet, done = cut_next(shop, job)
        if stop(sheet, done):
            return sheet, done


def kinds(shop, kind):
    return [one for one in shop.store.sheet_entries() if one.kind == kind]


def is_cut(shop, code):
    key = shop.store.find_piece(code)
    return bool(shop.store.state(*key).piece(code).done)


def offcut_codes(shop):
    return {one.offcut.code for one in shop.stock().offcuts}


def meet(*shops):
    """Let kiosks with files of their own take in what the others wrote."""
    rows = [one.store.outbox(10_000) for one in shops]
    for one in shops:
        for some in rows:
            one.store.take_in(some)


def counted(shop, count="3", thickness="18", **more):
    answer = shop.count_sheets("Birch ply", thickness, count=count, **SHEET | more)
    assert answer.problems == ()
    return answer
