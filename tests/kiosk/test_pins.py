"""PINs of supervisors: hashed as published, asked for each act, locked out through a restart."""

import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import argon2
import pytest

from db.log import Changes
from kiosk import pins
from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.permission import Act, How, Permit
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
SECOND = timedelta(seconds=1)
LIST = (
    "Unit;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Finish\n"
    "S1;shelf;Side;2;600;300;18;clear\n"
)
PIN, OTHER, WRONG = "274915", "830264", "555123"


@pytest.fixture
def quick(monkeypatch):
    """The same hash with so little work that a test need not wait for it."""
    weak = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(pins, "_HASHER", weak)


class Desk:
    """One kiosk's shop on a file, which can be opened anew."""

    def __init__(self, folder):
        self.file = folder / "shop.db"
        self.clock = FixedClock(START)
        self.list = folder / "list.csv"
        self.list.write_text(LIST, "utf-8")
        self.open()

    def open(self):
        self.store = Store.open(self.file, "K")
        self.shop = Shop(self.store, load('zone = "UTC"\n')[0], self.clock)

    def restart(self):
        self.store.close()
        self.open()

    def supervise(self, *names):
        for name, pin in zip(names, (PIN, OTHER), strict=False):
            self.shop.add_person(name)
            permit = self.permit(Act.SUPERVISORS) if self.shop.supervisors() else None
            assert self.shop.set_pin(name, pin, permit=permit)[1] == ()

    def permit(self, act, name="Mara", pin=PIN):
        permit, problems = self.shop.allow(act, name, pin, now=self.clock.now(), person="Ivo")
        assert problems == ()
        return permit

    def try_pin(self, pin=WRONG, after=0, name="Mara"):
        """Words of what stands against it, empty where it is right; `after` seconds later."""
        self.clock.set(self.clock.now() + after * SECOND)
        permit, problems = self.shop.allow(Act.ROUTES, name, pin, now=self.clock.now())
        assert (permit is None) == bool(problems)
        return " ".join(f"{one.message} {one.remedy}" for one in problems)

    def entries(self, kind):
        return self.store.shop_entries(kind)

    def last(self, kind):
        return self.entries(kind)[-1]


@pytest.fixture
def desk(tmp_path, quick):
    made = Desk(tmp_path)
    yield made
    made.store.close()


# -- the hash ----------------------------------------------------------------------------------


def test_a_pin_is_hashed_by_the_published_parameters_and_with_a_salt_of_its_own():
    """OWASP, "Password Storage Cheat Sheet": Argon2id, 19 MiB, two iterations, one lane."""
    one, two = pins.hash_pin(PIN), pins.hash_pin(PIN)
    asked = argon2.extract_parameters(one)
    assert (asked.type, asked.memory_cost) == (argon2.Type.ID, 19 * 1024)
    assert (asked.time_cost, asked.parallelism) == (2, 1)
    assert one != two
    assert PIN not in one
    # argon2's own reference code says so, too
    assert argon2.low_level.verify_secret(one.encode(), PIN.encode(), argon2.Type.ID)
    assert pins.matches(two, PIN)
    assert not pins.matches(two, WRONG)


@pytest.mark.parametrize(
    "kept",
    [
        "",
        "274915",
        "$argon2i$v=19$m=8,t=1,p=1$YWJjZGVmZ2g$YWJjZGVmZ2hpamts",
        # one that would reckon for hours or take all memory
        "$argon2id$v=19$m=4194304,t=1,p=1$YWJjZGVmZ2g$YWJjZGVmZ2hpamts",
        "$argon2id$v=19$m=8,t=4000000,p=1$YWJjZGVmZ2g$YWJjZGVmZ2hpamts",
        "$argon2id$v=19$m=800,t=1,p=100$YWJjZGVmZ2g$YWJjZGVmZ2hpamts",
    ],
)
def test_what_is_no_hash_of_ours_matches_nothing_and_costs_nothing(kept, monkeypatch):
    monkeypatch.setattr(pins, "_HASHER", None)  # a hash that is reckoned at all would fail
    assert not pins.matches(kept, PIN)


@pytest.mark.parametrize("end", ["$$", "$YWJj$YWJj", "$YWJjZGVmZ2g$", "$!!!!$YWJjZGVmZ2hpamts"])
def test_a_hash_that_is_torn_matches_nothing(end):
    assert not pins.matches(f"$argon2id$v=19$m=8,t=1,p=1{end}", PIN)


# -- supervisors -------------------------------------------------------------------------------


def test_a_pin_makes_a_supervisor_and_the_log_keeps_its_hash_for_all_kiosks(desk):
    mara, _ = desk.shop.add_person("Mara")
    assert desk.shop.set_pin("mara", PIN, person="Ivo") == (How.SET, ())
    entry = desk.last(Kind.PIN_SET)
    assert (entry.person, entry.body["code"], entry.body["how"]) == ("Ivo", mara.code, "set")
    assert pins.matches(entry.body["hash"], PIN)
    assert "allowed_by" not in entry.body
    assert [one.name for one in desk.shop.supervisors()] == ["Mara"]
    # another kiosk, which has the log and nothing else
    other = Store.open(desk.file.with_name("other.db"), "M")
    other._log.merge(desk.store._log.rows_after(0), changes=Changes)
    there = Shop(other, load("")[0], desk.clock)
    assert there.allow(Act.ROUTES, "Mara", PIN, now=START)[1] == ()
    other.close()


def test_a_pin_for_nobody_or_one_that_is_none_is_refused(desk):
    assert "Nobody on the list" in desk.shop.set_pin("Ada", PIN)[1][0].message
    desk.shop.add_person("Mara")
    for pin in ("12", "123456", "abcdef"):
        assert desk.shop.set_pin("Mara", pin)[1]
    assert desk.entries(Kind.PIN_SET) == []


def test_a_further_supervisor_a_change_and_a_reset_need_a_permit_and_say_whose(desk):
    desk.supervise("Mara")
    desk.shop.add_person("Ivo")
    assert "needs a supervisor" in desk.shop.set_pin("Ivo", OTHER)[1][0].message
    desk.supervise("Mara", "Ivo")
    assert desk.last(Kind.PIN_SET).body["allowed_by"] == "Mara"
    own = desk.permit(Act.SUPERVISORS, "Ivo", OTHER)
    assert desk.shop.set_pin("Ivo", "998877665", permit=own)[0] == How.CHANGED
    assert desk.shop.set_pin("Ivo", OTHER, permit=desk.permit(Act.SUPERVISORS))[0] == How.RESET
    assert desk.last(Kind.PIN_SET).body["how"] == "reset"
    assert desk.try_pin("998877665", name="Ivo").startswith("The PIN is wrong.")
    assert desk.try_pin(OTHER, name="Ivo") == ""


def test_a_supervisor_is_taken_off_the_list_by_a_permit_only_and_comes_back_without_a_pin(desk):
    desk.supervise("Mara", "Ivo")
    assert "needs a supervisor" in desk.shop.off_person("Ivo")[1][0].message
    assert len(desk.shop.supervisors()) == 2
    desk.shop.off_person("Ivo", permit=desk.permit(Act.SUPERVISORS))
    desk.shop.add_person("Ivo")
    assert [one.name for one in desk.shop.supervisors()] == ["Mara"]
    # who has no PIN goes without
    assert desk.shop.off_person("Ivo")[1] == ()


def test_the_last_pin_taken_away_asks_nobody_any_more(desk):
    desk.supervise("Mara")
    assert desk.shop.drop_pin("Mara") != ()
    assert desk.shop.drop_pin("Ada", permit=desk.permit(Act.SUPERVISORS)) != ()
    assert desk.shop.drop_pin("Mara", permit=desk.permit(Act.SUPERVISORS)) == ()
    assert "hash" not in desk.last(Kind.PIN_SET).body
    assert desk.last(Kind.PIN_SET).body["allowed_by"] == "Mara"
    assert desk.shop.set_text(Kind.ROUTES_SET, desk.shop.routes_text()) == ()


def test_who_has_the_file_resets_the_last_pins_but_not_while_somebody_can_be_asked(desk):
    desk.supervise("Mara", "Ivo")
    (problem,) = desk.shop.reset_pins(["Mara"], ["448899001"])
    assert "Ivo can be asked" in problem.message
    assert desk.shop.reset_pins(["Mara", "Ada"], ["448899001"] * 2) != ()
    assert desk.shop.reset_pins(["Mara", "Ivo"], ["448899001", "123"]) != ()
    assert desk.shop.reset_pins(["Mara", "Ivo"], ["448899001", "557788330"], person="Ada") == ()
    entry = desk.last(Kind.PIN_SET)
    assert (entry.body["how"], entry.person) == ("by_file", "Ada")
    assert desk.try_pin("448899001") == ""


# -- what needs one ----------------------------------------------------------------------------


def take_in(desk, **words):
    return desk.shop.take_in(desk.list, Job("JARS"), person="Ivo", **words)


def scan(desk, **words):
    return desk.shop.scan("JARS/S1", station="assemble", step="glue-up", person="Ivo", **words)


EARLY = {"reason": "done earlier, not scanned"}
DOOR = Job("JARS", "Jars", open=False)
BACK = Job("JARS", "Jars")
ACTS = {
    Act.REVISE: lambda desk, permit: take_in(desk, revise=True, permit=permit).problems,
    Act.CLOSE: lambda desk, permit: desk.shop.set_job(DOOR, reason="called off", permit=permit),
    Act.REOPEN: lambda desk, permit: desk.shop.set_job(BACK, permit=permit),
    Act.ROUTES: lambda desk, permit: desk.shop.set_routes(desk.shop.routes_text(), permit=permit),
    Act.PRODUCTS: lambda desk, permit: desk.shop.set_text(
        Kind.PRODUCTS_SET, desk.shop.text_of(Kind.PRODUCTS_SET), permit=permit
    ),
}
LOGGED = {
    Act.REVISE: Kind.LIST_TAKEN,
    Act.CLOSE: Kind.JOB_CLOSED,
    Act.REOPEN: Kind.JOB_OPENED,
    Act.ROUTES: Kind.ROUTES_SET,
    Act.PRODUCTS: Kind.PRODUCTS_SET,
}


def about(desk, kind):
    """The latest entry of a kind, about a job or the shop."""
    rows = desk.store._log.kind_rows(kind)
    return rows[-1]


def ready_for(desk, act):
    take_in(desk)
    if act == Act.REOPEN:
        desk.shop.set_job(DOOR, reason="called off")


@pytest.mark.parametrize("act", list(ACTS))
def test_without_a_supervisor_nothing_is_asked_and_nothing_is_marked(desk, act):
    ready_for(desk, act)
    assert ACTS[act](desk, None) == ()
    assert "allowed_by" not in about(desk, LOGGED[act]).body


@pytest.mark.parametrize("act", list(ACTS))
def test_with_one_an_act_is_refused_without_a_permit_and_names_them_with_it(desk, act):
    ready_for(desk, act)
    desk.supervise("Mara")
    before = desk.store._log.last_pos()
    assert "needs a supervisor" in ACTS[act](desk, None)[0].message
    other = Act.ROUTES if act != Act.ROUTES else Act.REVISE
    assert ACTS[act](desk, desk.permit(other)) != ()
    assert desk.store._log.last_pos() == before
    assert ACTS[act](desk, desk.permit(act)) == ()
    assert about(desk, LOGGED[act]).body["allowed_by"] == "Mara"


def test_going_ahead_against_a_refusal_needs_one_and_the_story_names_both(desk):
    take_in(desk)
    desk.supervise("Mara")
    assert scan(desk).outcome == Outcome.TOO_EARLY
    refused = scan(desk, **EARLY)
    assert refused.outcome == Outcome.TOO_EARLY
    assert "needs a supervisor" in refused.message
    assert [offer.kind for offer in refused.offers] == ["go_ahead"]
    went = scan(desk, **EARLY, permit=desk.permit(Act.GO_AHEAD))
    assert went.outcome == Outcome.RECORDED
    assert "Mara allowed it." in went.detail
    entry = desk.store.find_entry(went.entry)
    assert (entry.person, entry.body["allowed_by"]) == ("Ivo", "Mara")
    told = desk.shop.past("JARS", "S1")[0]
    assert told.person == "Ivo"
    assert told.what.endswith("went ahead: done earlier, not scanned, allowed by Mara")
    assert "allowed by Mara" in desk.shop.say_entry(entry)


def test_going_ahead_without_a_supervisor_is_as_before(desk):
    take_in(desk)
    went = scan(desk, **EARLY)
    assert went.outcome == Outcome.RECORDED
    assert "allowed_by" not in desk.store.find_entry(went.entry).body


def test_a_reason_where_nothing_stands_against_it_asks_nobody(desk):
    take_in(desk)
    desk.supervise("Mara")
    code = desk.store.state("JARS", "S1").pieces[0].piece.code
    done = desk.shop.scan(code, station="cut", **EARLY, permit=Permit("Mara", "K", Act.GO_AHEAD))
    assert done.outcome == Outcome.RECORDED
    assert "allowed_by" not in desk.store.find_entry(done.entry).body


def test_the_list_a_supervisor_let_in_is_told_in_each_units_story(desk):
    take_in(desk)
    desk.supervise("Mara")
    desk.list.write_text(LIST.replace("600", "500"), "utf-8")
    looked = take_in(desk, revise=True, dry_run=True)
    assert looked.problems == ()  # looking needs nobody
    assert take_in(desk, revise=True, permit=desk.permit(Act.REVISE)).taken
    assert "allowed by Mara" in desk.shop.past("JARS", "S1")[0].what


def test_everyday_work_on_jobs_asks_nobody(desk):
    take_in(desk)
    desk.supervise("Mara")
    assert desk.shop.set_job(Job("JARS", "Jam", hang_day="2026-03-20")) == ()
    assert "allowed_by" not in about(desk, Kind.JOB_OPENED).body
    answer = desk.shop.hold("S1", "runs")
    assert answer.outcome == Outcome.RECORDED
    assert desk.shop.lift("S1").outcome == Outcome.RECORDED


def test_a_job_that_is_all_hung_is_closed_without_one(desk, monkeypatch):
    take_in(desk)
    desk.supervise("Mara")
    hung = [replace(one, state=State.HUNG) for one in desk.shop.standings()]
    monkeypatch.setattr(Shop, "standings", lambda _shop, now=None: hung)
    assert desk.shop.set_job(DOOR) == ()


FIGURES = {
    "figure": lambda shop, permit: shop.set_figure("clear", "recoat", 99, permit=permit),
    "reference": lambda shop, permit: shop.set_reference("clear", 21, 70, permit=permit),
    "factor": lambda shop, permit: shop.accept_factor("clear", "sand", 1.2, permit=permit),
    "confirm": lambda shop, permit: shop.confirm_product("clear", permit=permit),
}


@pytest.mark.parametrize("what", list(FIGURES))
def test_every_figure_of_a_product_needs_one(desk, what):
    desk.supervise("Mara")
    before = desk.shop.text_of(Kind.PRODUCTS_SET)
    assert "needs a supervisor" in FIGURES[what](desk.shop, None)[0].message
    assert desk.shop.text_of(Kind.PRODUCTS_SET) == before
    assert FIGURES[what](desk.shop, desk.permit(Act.PRODUCTS)) == ()
    assert desk.last(Kind.PRODUCTS_SET).body["allowed_by"] == "Mara"


# -- locked out --------------------------------------------------------------------------------


def test_five_wrong_tries_lock_and_a_restart_forgets_none(desk):
    desk.supervise("Mara")
    said = []
    for _number in range(5):
        said.append(desk.try_pin())
        desk.restart()
    assert said[0] == "The PIN is wrong. 4 tries left."
    assert said[3] == "The PIN is wrong. 1 try left."
    assert "30 seconds" in said[4]
    assert "Not now." in desk.try_pin(PIN, after=29)  # the right one waits as well
    desk.restart()
    assert desk.shop.pin_waits(desk.clock.now()) == {desk.shop.supervisors()[0].code: SECOND}
    assert "60 seconds" in desk.try_pin(after=1)
    desk.restart()
    assert "Not now." in desk.try_pin(after=59)
    assert desk.try_pin(PIN, after=1) == ""
    assert desk.try_pin() == "The PIN is wrong. 4 tries left."


def test_each_lock_out_is_an_entry_and_a_try_refused_meanwhile_one_more(desk):
    desk.supervise("Mara")
    for _number in range(5):
        desk.try_pin()
    for _number in range(3):
        desk.try_pin(after=5)
    desk.try_pin(after=60)
    bodies = [one.body for one in desk.entries(Kind.PIN_REFUSED)]
    code = desk.shop.supervisors()[0].code
    assert [(one["wrong"], one["wait_s"]) for one in bodies] == [(5, 30), (5, 25), (6, 60)]
    assert {(one["code"], one["act"]) for one in bodies} == {(code, "routes")}


def test_one_persons_wrong_tries_lock_nobody_else(desk):
    desk.supervise("Mara", "Ivo")
    for _number in range(6):
        desk.try_pin()
    assert desk.try_pin(OTHER, name="Ivo") == ""
    assert list(desk.shop.pin_waits(desk.clock.now())) == [desk.shop.supervisors()[0].code]


def test_a_clock_set_back_makes_the_wait_begin_anew_and_ends_nothing(desk):
    desk.supervise("Mara")
    for _number in range(5):
        desk.try_pin()
    assert "30 seconds" in desk.try_pin(PIN, after=-86_400)
    desk.restart()
    assert "1 second" in desk.try_pin(PIN, after=29)
    assert desk.try_pin(PIN, after=1) == ""


def test_a_new_pin_may_be_tried_at_once(desk):
    desk.supervise("Mara", "Ivo")
    for _number in range(5):
        desk.try_pin()
    permit = desk.permit(Act.SUPERVISORS, "Ivo", OTHER)
    assert desk.shop.set_pin("Mara", "448899001", permit=permit)[1] == ()
    assert desk.try_pin("448899001") == ""


def test_who_is_no_supervisor_is_named_and_nothing_is_counted(desk):
    assert "Nobody is one yet." in desk.try_pin(name="Ada")
    desk.supervise("Mara")
    assert "Supervisors are Mara." in desk.try_pin(name="Ada")
    assert desk.store.tries() == {}


KILLED = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from kiosk import pins
from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.rules.permission import Act
from kiosk.settingstext import load
from kiosk.store import Store
pins.matches = lambda kept, pin: os._exit(9)  # the power goes while the PIN is looked at
at = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
shop = Shop(Store.open(Path(sys.argv[1]), "K"), load("")[0], FixedClock(at))
shop.allow(Act.ROUTES, "Mara", "555123", now=at)
"""


def test_a_try_counts_though_the_power_goes_before_its_answer(desk):
    desk.supervise("Mara")
    desk.store.close()
    ran = subprocess.run([sys.executable, "-c", KILLED, str(desk.file)], check=False, timeout=120)
    desk.open()
    assert ran.returncode == 9
    assert [one.wrong for one in desk.store.tries().values()] == [1]
