"""The bench on a real shop: cards and badges alone lead a part from the saw to the rack."""

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.actions import GO_AHEAD_REASONS, Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.cards import CARDS
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Store

NOW = datetime(2026, 3, 11, 9, 0, tzinfo=UTC)
SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\nrepeat_seconds = 0\n')
CARD = {card.key: card.code for card in CARDS}
LIST = (
    "Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Finish\n"
    "S1;Jar shelf;shelf;Side;2;600;300;18;birch ply;clear\n"
    "S1;Jar shelf;shelf;Board;1;764;200;18;birch ply;clear\n"
)


class RealShop:
    """A shop file with one shelf of three parts, and two people."""

    def __init__(self, folder):
        self.file, self.clock = folder / "shop.db", FixedClock(NOW)
        (folder / "list.csv").write_text(LIST, "utf-8")
        with_it = self.open()
        taken = with_it.take_in(folder / "list.csv", Job("JARS"))
        assert taken.problems == ()
        self.codes = [piece.code for unit in taken.units for piece in unit.pieces]
        self.badges = {}
        for name in ("Mara", "Ivo"):
            person, problems = with_it.add_person(name)
            assert problems == ()
            self.badges[name] = person.code
        self.store.close()

    def open(self):
        self.store = Store.open(self.file, "K")
        return Shop(self.store, SETTINGS, self.clock)

    def state(self):
        self.open()
        state = self.store.state("JARS", "S1")
        self.store.close()
        return state


@pytest.fixture
def real(tmp_path):
    return RealShop(tmp_path)


@pytest.fixture
def start(real, drive):
    def begin(station):
        shop = late_shop(real.file, SETTINGS, real.clock)
        return drive(shop, station=station, person="", reasons=GO_AHEAD_REASONS)

    return begin


def scan(kiosk, *codes):
    for code in codes:
        kiosk.scan(code)
        kiosk.seconds += 2


def test_a_part_is_cut_spoiled_and_cut_again_by_scans_alone(real, start):
    kiosk = start("cut")
    assert kiosk.shows("birch ply, 18 mm: 3 parts")
    side = real.codes[0]
    scan(kiosk, real.badges["Ivo"], side)
    assert kiosk.shows("S1: 2 of 3 parts left")
    scan(kiosk, CARD["problem"], CARD["spoiled"], CARD["yes"])
    assert kiosk.shows("Spoiled: Side")
    state = real.state()
    recut = state.piece(side).recut
    assert recut
    assert state.piece(side).done["cut"].person == "Ivo"
    scan(kiosk, recut)
    assert real.state().piece(recut).done["cut"].person == "Ivo"


def test_too_early_goes_ahead_by_the_number_of_a_reason(real, start):
    kiosk = start("cut")
    scan(kiosk, *real.codes, CARD["stations"], CARD["2"], *real.codes)
    scan(kiosk, "S1")
    assert kiosk.desk.answer.message == "Glued up"
    assert kiosk.shows("Clamps: 1 of 4 in use")
    scan(kiosk, CARD["stations"], CARD["3"], "S1")
    assert kiosk.desk.answer.outcome == Outcome.TOO_EARLY
    scan(kiosk, CARD["3"])
    done = real.state().done["fill"]
    assert done.early == GO_AHEAD_REASONS[2]


def test_the_part_that_is_missing_is_named_in_the_hold(real, start):
    kiosk = start("assemble")
    scan(kiosk, "S1", CARD["missing"])
    assert kiosk.shows("Board")
    scan(kiosk, CARD["3"], CARD["yes"])
    assert real.state().holds[0].reason == "part missing Board"
    scan(kiosk, "S1", CARD["yes"])
    assert real.state().holds == ()


@pytest.mark.parametrize("what", ["failed_coat", "too_tacky", "other"])
def test_every_other_problem_holds_the_unit_and_is_lifted_by_card(real, start, what):
    kiosk = start("cut")
    scan(kiosk, real.codes[0], CARD[what])
    if what == "other":
        scan(kiosk, "veneer lifts")
    scan(kiosk, CARD["yes"])
    (hold,) = real.state().holds
    assert ("veneer lifts" in hold.reason) is (what == "other")
    scan(kiosk, real.codes[0], CARD["yes"])
    assert real.state().holds == ()


def test_the_coat_due_is_told_with_its_window_once_the_filler_is_sanded(real, start):
    kiosk = start("cut")
    scan(kiosk, *real.codes, CARD["stations"], CARD["2"], *real.codes, "S1")
    for wait in (timedelta(hours=3), timedelta(hours=3), timedelta(hours=20)):
        real.clock.set(real.clock.now() + wait)
        if wait == timedelta(hours=3):
            scan(kiosk, CARD["stations"], CARD["3"])
        scan(kiosk, "S1")
    assert kiosk.desk.answer.message == "Coat 1 on"
    assert kiosk.shows("S1: 1 of 2 coats on")
    assert kiosk.shows("Rack: 1 of 6 slots used")


def test_a_coat_that_failed_is_struck_so_that_it_is_put_on_again(real, start):
    kiosk = start("cut")
    scan(kiosk, *real.codes, CARD["stations"], CARD["2"], *real.codes, "S1")
    scan(kiosk, CARD["stations"], CARD["3"])
    for _ in range(3):
        real.clock.set(real.clock.now() + timedelta(hours=8))
        scan(kiosk, "S1")
    assert "coat-1" in real.state().done
    scan(kiosk, CARD["failed_coat"], CARD["yes"])
    assert kiosk.shows("Coat 1 must be done again")
    assert "coat-1" in real.state().done
    scan(kiosk, CARD["yes"])
    assert "coat-1" not in real.state().done
    assert real.state().holds[0].reason == "coat failed"


def test_a_part_and_a_badge_are_never_taken_for_one_another(real, start):
    kiosk = start("cut")
    scan(kiosk, *real.codes)
    assert kiosk.desk.post.person == ""
    scan(kiosk, real.badges["Mara"])
    assert kiosk.desk.post.person == "Mara"
    assert real.state().done == {}
    assert kiosk.desk.answer.code == real.codes[-1]


def test_a_shop_without_a_job_says_how_one_begins(tmp_path, drive):
    shop = late_shop(tmp_path / "new.db", SETTINGS, FixedClock(NOW))
    kiosk = drive(shop, station="cut", person="", reasons=GO_AHEAD_REASONS)
    kiosk.desk.open_bench()
    kiosk.settle()
    assert kiosk.shows("No job yet: Shop, Take in a list")
    assert not kiosk.shows("All is cut")
    assert not kiosk.shows("Nothing is due here")
