"""PINs at the kiosk: asked for, typed unseen, locked out, set twice; a real shop behind it."""

import threading
from datetime import UTC, datetime, timedelta

import argon2
import pytest
from driver import find_misfits
from fake_bench import IVO, MARA
from fake_shop import FakeShop, too_early

from kiosk import pins
from kiosk.actions import Shop
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.permission import Act, Permit
from kiosk.screens.pinpad import PinPad
from kiosk.settingstext import load
from kiosk.store import Job, Store

AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
SETTINGS = load('zone = "UTC"\n')[0]
LIST = (
    "Unit;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Finish\n"
    "S1;shelf;Side;2;600;300;18;clear\n"
)
PIN, OTHER, WRONG = "274915", "830264", "555123"
ESCAPE = 27
GO = "Done earlier, not scanned"


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    weak = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(pins, "_HASHER", weak)


class Bench:
    """A kiosk at the assembly with a job, and its clock."""

    def __init__(self, folder, drive):
        self.file, self.clock = folder / "shop.db", FixedClock(AT)
        self.list = folder / "list.csv"
        self.list.write_text(LIST, "utf-8")
        self.in_shop(lambda shop: shop.take_in(self.list, Job("JARS")))
        self._drive = drive
        self.start()

    def start(self):
        shop = late_shop(self.file, SETTINGS, self.clock)
        self.kiosk = self._drive(shop, person="Ivo", usual="", station="assemble")

    def in_shop(self, call):
        """Do what another program would with the shop's file."""
        store = Store.open(self.file, "M")
        found = call(Shop(store, SETTINGS, self.clock))
        store.close()
        return found

    def supervise(self, **named):
        def call(shop):
            for name, pin in named.items():
                held = shop.supervisors()
                permit = Permit(held[0].name, held[0].code, Act.SUPERVISORS) if held else None
                shop.add_person(name)
                assert shop.set_pin(name, pin, permit=permit)[1] == ()

        self.in_shop(call)

    def last(self, kind):
        return self.in_shop(lambda shop: shop.store._log.kind_rows(kind))[-1]

    def count(self, kind):
        return len(self.in_shop(lambda shop: shop.store._log.kind_rows(kind)))

    def go_ahead(self):
        """Scan what is too early, and tap a reason."""
        kiosk = self.kiosk
        kiosk.desk.answer = None
        kiosk.desk.take_code("JARS/S1")
        kiosk.settle()
        kiosk.desk._go_ahead("JARS/S1", "glue-up", "done earlier, not scanned")
        kiosk.settle()

    def type_pin(self, pin):
        """Type it on a keyboard, as fast as a scanner would, with Enter."""
        assert is_pad(self.kiosk)
        self.kiosk.scan(pin)


@pytest.fixture
def bench(tmp_path, drive):
    return Bench(tmp_path, drive)


def is_pad(kiosk):
    return isinstance(kiosk.desk.show, PinPad)


# -- asked for -------------------------------------------------------------------------------------


def test_a_pin_tapped_is_looked_at_off_the_drawing_thread_and_both_names_are_kept(
    bench, monkeypatch
):
    seen, real = [], pins.matches

    def looks(kept, pin):
        seen.append(threading.current_thread())
        return real(kept, pin)

    monkeypatch.setattr(pins, "matches", looks)
    bench.supervise(Mara=PIN)
    bench.go_ahead()
    kiosk = bench.kiosk
    assert kiosk.shows("PIN of the supervisor Mara")
    for digit in PIN:
        kiosk.tap(kiosk.desk.show.keys[digit])
    assert kiosk.desk.show.shown.text == "••••••"
    assert not any(PIN in text for text in kiosk.texts())
    assert bench.count(Kind.STEP_DONE) == 0
    kiosk.tap(kiosk.button("Use it"))
    assert kiosk.desk.show is kiosk.desk.bench
    assert kiosk.shows("Mara allowed it.")
    assert seen == [kiosk.app.worker._thread]
    assert seen[0] is not threading.main_thread()
    row = bench.last(Kind.STEP_DONE)
    assert (row.person, row.body["allowed_by"]) == ("Ivo", "Mara")
    kiosk.desk.shopdesk.units.open_unit("JARS", "S1", kiosk.desk.open_bench)
    kiosk.settle()
    assert kiosk.shows("went ahead: done earlier, not scanned, allowed by Mara")


def test_giving_up_records_nothing_leads_back_and_forgets_what_was_typed(bench):
    bench.supervise(Mara=PIN)
    kiosk = bench.kiosk
    ways = (
        lambda: kiosk.tap(kiosk.button("Back")),
        lambda: kiosk.key(ESCAPE),
        lambda: kiosk.scan("XR6H7PJ"),  # the card Back
        lambda: kiosk.tick(after=61),  # left alone
    )
    for give_up in ways:
        bench.go_ahead()
        assert kiosk.desk.show.typed == ""
        kiosk.desk.show.type_letters("2749")
        give_up()
        kiosk.step()
        assert kiosk.desk.show is kiosk.desk.bench
    assert bench.count(Kind.STEP_DONE) == 0


def test_the_keyboard_types_a_pin_even_one_that_adds_up_like_a_code_and_no_pin_is_no_try(bench):
    from labels.codes import parse

    sound = next(
        text for text in (f"22222{n}" for n in range(22, 99)) if parse(text).code is not None
    )
    bench.supervise(Mara=sound)
    bench.go_ahead()
    kiosk = bench.kiosk
    for typed in ("27491", "nothing"):
        kiosk.scan(typed)
        assert kiosk.shows("A PIN has 6 to 12 digits. Type it.")
    assert bench.in_shop(lambda shop: shop.store.tries()) == {}
    kiosk.scan(sound)  # as fast as a scanner, with Enter
    assert kiosk.shows("Mara allowed it.")
    assert bench.count(Kind.STEP_DONE) == 1
    assert not any(sound in text for text in kiosk.texts())


def test_a_supervisors_badge_alone_allows_nothing_but_says_who_is_asked(bench):
    bench.supervise(Mara=PIN, Noor=OTHER)
    bench.in_shop(lambda shop: shop.add_person("Ivo"))
    badges = {one.name: one.code for one in bench.in_shop(lambda shop: shop.people())}
    bench.go_ahead()
    kiosk = bench.kiosk
    assert kiosk.shows("Whose PIN is it to be?")
    kiosk.tap(kiosk.button("Mara"))
    kiosk.scan(badges["Noor"])
    assert kiosk.shows("PIN of the supervisor Noor")
    kiosk.scan(badges["Ivo"])
    assert kiosk.shows("Ivo is no supervisor.")
    assert kiosk.desk.post.person == "Ivo"  # nobody was signed in or out
    assert bench.count(Kind.STEP_DONE) == 0
    kiosk.scan(OTHER)
    assert bench.last(Kind.STEP_DONE).body["allowed_by"] == "Noor"


def test_a_part_scanned_at_the_pad_is_recorded_as_everywhere(bench):
    bench.supervise(Mara=PIN)
    code = bench.in_shop(lambda shop: shop.store.state("JARS", "S1").pieces[0].piece.code)
    bench.in_shop(lambda shop: shop.scan(code, station="cut"))
    bench.go_ahead()
    assert is_pad(bench.kiosk)
    bench.kiosk.scan(code)
    assert bench.kiosk.shows("Gathered")
    assert bench.last(Kind.STEP_DONE).body == {
        "step": "gather", "part": code, "at_ms": bench.last(Kind.STEP_DONE).body["at_ms"],
    }  # fmt: skip


def test_whoever_is_signed_in_and_a_supervisor_is_asked_first(bench):
    bench.supervise(Mara=PIN, Ivo=OTHER)
    bench.go_ahead()
    assert bench.kiosk.shows("PIN of the supervisor Ivo")
    bench.kiosk.tap(bench.kiosk.button("Another supervisor"))
    bench.kiosk.tap(bench.kiosk.button("Mara"))
    bench.type_pin(PIN)
    assert bench.last(Kind.STEP_DONE).body["allowed_by"] == "Mara"


# -- locked out ------------------------------------------------------------------------------------


def guess(bench, times, name="Mara"):
    """Wrong tries at a terminal beside the kiosk."""

    def call(shop):
        for _number in range(times):
            shop.allow(Act.ROUTES, name, WRONG, now=bench.clock.now())

    bench.in_shop(call)


def test_wrong_tries_lock_and_say_how_long_through_a_restart_of_the_kiosk(bench):
    bench.supervise(Mara=PIN)
    guess(bench, 3)
    bench.go_ahead()
    kiosk = bench.kiosk
    bench.type_pin(WRONG)
    assert kiosk.shows("The PIN is wrong. 1 try left.")
    bench.type_pin(WRONG)
    assert kiosk.shows("Wait 30 seconds: PIN of Mara")
    kiosk.close()
    bench.start()
    bench.clock.set(AT + timedelta(seconds=10))
    bench.go_ahead()
    kiosk = bench.kiosk
    assert kiosk.shows("Wait 20 seconds: PIN of Mara")
    bench.clock.set(AT + timedelta(seconds=30))
    kiosk.tap(kiosk.button("Try again"))
    bench.type_pin(WRONG)
    assert kiosk.shows("Wait 60 seconds: PIN of Mara")
    bench.clock.set(AT + timedelta(seconds=90))
    kiosk.tap(kiosk.button("Try again"))
    bench.type_pin(PIN)
    assert bench.count(Kind.STEP_DONE) == 1
    assert bench.count(Kind.PIN_REFUSED) == 2


def test_use_it_tapped_twice_is_one_try(bench):
    bench.supervise(Mara=PIN)
    bench.go_ahead()
    pad = bench.kiosk.desk.show
    pad.type_letters(WRONG)
    pad.enter()
    pad.enter()  # before the shop has answered
    bench.kiosk.settle()
    assert bench.kiosk.shows("The PIN is wrong. 4 tries left.")
    tries = bench.in_shop(lambda shop: shop.store.tries())
    assert [one.wrong for one in tries.values()] == [1]


def test_while_one_is_locked_another_supervisor_is_asked_and_a_lost_pin_has_ways_out(bench):
    bench.supervise(Mara=PIN, Noor=OTHER)
    guess(bench, 5)
    bench.go_ahead()
    kiosk = bench.kiosk
    kiosk.tap(kiosk.button("Mara"))
    kiosk.tap(kiosk.button("Forgotten"))
    assert kiosk.shows("cleatclock people --reset-pin NAME")
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Another supervisor"))
    kiosk.tap(kiosk.button("Noor"))
    bench.type_pin(OTHER)
    assert bench.last(Kind.STEP_DONE).body["allowed_by"] == "Noor"


# -- every act -------------------------------------------------------------------------------------


def test_products_routes_jobs_and_lists_ask_and_go_on_where_they_were(bench):
    bench.supervise(Mara=PIN)
    kiosk, shopdesk = bench.kiosk, bench.kiosk.desk.shopdesk
    _ask_and_type(bench, lambda: _confirm(kiosk), Kind.PRODUCTS_SET)
    text = bench.in_shop(lambda shop: shop.routes_text())
    _ask_and_type(bench, lambda: shopdesk.upkeep.routes.change._keep(text), Kind.ROUTES_SET)
    assert kiosk.shows("The routes are kept")
    shopdesk.jobs.open_job("JARS")
    kiosk.settle()
    kiosk.tap(kiosk.button("Close the job"))
    kiosk.tap(kiosk.button("Close it"))
    reason = "Close: called off"
    _ask_and_type(bench, lambda: kiosk.tap(kiosk.button(reason)), Kind.JOB_CLOSED)
    shopdesk.jobs.open()
    kiosk.settle()
    kiosk.tap(kiosk.button("Closed jobs"))
    kiosk.tap(kiosk.desk.show.rows[0])
    _ask_and_type(bench, lambda: kiosk.tap(kiosk.button("Open again")), Kind.JOB_OPENED)
    bench.list.write_text(LIST.replace("600", "500"), "utf-8")
    shopdesk.takes.revise("JARS")
    kiosk.settle()
    shopdesk.takes.look(_draft(bench.list))
    kiosk.settle()
    kiosk.tap(kiosk.button("Differences"))
    _ask_and_type(bench, lambda: kiosk.tap(kiosk.button("Accept")), Kind.LIST_TAKEN)
    assert kiosk.shows("Revised")


def _draft(file):
    from kiosk.screens.takeview import Draft

    return Draft(file, "JARS")


def _confirm(kiosk):
    from kiosk.screens.productview import see_product

    found = []
    kiosk.app.worker.ask(
        lambda: see_product(kiosk.shop, "clear"), found.append, fail=lambda error: None
    )
    kiosk.settle()
    kiosk.desk.shopdesk.products.ask_confirm(found[0], 0)
    kiosk.tap(kiosk.button("Yes, as on the label"))


def _ask_and_type(bench, act, kind):
    before, kiosk = bench.count(kind), bench.kiosk
    act()
    kiosk.settle()
    assert is_pad(kiosk), kind
    assert bench.count(kind) == before
    bench.type_pin(PIN)
    assert not is_pad(kiosk), kind
    assert bench.count(kind) == before + 1
    assert bench.last(kind).body["allowed_by"] == "Mara"


def test_without_supervisors_a_figure_is_set_with_no_pad_between(drive):
    shop = FakeShop()
    kiosk = drive(shop)
    shop.plan["K7F3Q97"] = too_early("K7F3Q97")
    kiosk.scan("K7F3Q97")
    kiosk.tap(kiosk.button(GO))
    assert shop.calls[-1][:2] == ("scan", "K7F3Q97")
    assert kiosk.desk.show is kiosk.desk.bench


def test_who_went_elsewhere_meanwhile_is_asked_for_nothing(drive):
    shop = FakeShop()
    shop.pins = {MARA.code: PIN}
    kiosk = drive(shop)
    kiosk.desk._go_ahead("K7F3Q97", "coat-2", "touch test is dry")
    kiosk.desk.open_board()
    kiosk.settle()
    assert kiosk.desk.show is kiosk.desk.board
    assert shop.recorded == 0


# -- set, changed, taken away ----------------------------------------------------------------------


def open_person(bench, name):
    kiosk = bench.kiosk
    kiosk.desk.inputs.staff.open()
    kiosk.settle()
    row = next(one for one in kiosk.desk.show.rows if one.label.text == name)
    kiosk.tap(row)
    kiosk.tap(kiosk.button("Supervisor"))


def test_somebody_is_made_a_supervisor_by_a_pin_typed_twice(bench):
    bench.in_shop(lambda shop: shop.add_person("Mara"))
    open_person(bench, "Mara")
    kiosk = bench.kiosk
    assert kiosk.shows("Mara is no supervisor")
    kiosk.tap(kiosk.button("Make a supervisor"))
    bench.type_pin("123456")
    assert kiosk.shows("guessed first")
    bench.type_pin(PIN)
    bench.type_pin(OTHER)
    assert kiosk.shows("The two are not the same.")
    assert bench.count(Kind.PIN_SET) == 0
    bench.type_pin(PIN)
    assert kiosk.shows("The new PIN of Mara once more")
    bench.type_pin(PIN)
    assert kiosk.shows("Mara is a supervisor now")
    assert (bench.last(Kind.PIN_SET).body["how"], bench.last(Kind.PIN_SET).person) == ("set", "Ivo")
    kiosk.desk.inputs.staff.open()
    kiosk.settle()
    assert kiosk.shows(", supervisor")


def test_another_supervisor_resets_a_forgotten_pin(bench):
    bench.supervise(Mara=PIN, Noor=OTHER)
    kiosk = bench.kiosk
    open_person(bench, "Mara")
    kiosk.tap(kiosk.button("New PIN"))
    assert kiosk.shows("PIN of the supervisor Mara")
    kiosk.tap(kiosk.button("Another supervisor"))
    kiosk.tap(kiosk.button("Noor"))
    for pin in (OTHER, "448899001", "448899001"):
        bench.type_pin(pin)
    assert kiosk.shows("Mara has a new PIN")
    row = bench.last(Kind.PIN_SET)
    assert (row.body["how"], row.body["allowed_by"]) == ("reset", "Noor")


def test_a_supervisor_is_one_no_more_and_off_the_list_by_a_pin_and_others_without(bench):
    bench.supervise(Mara=PIN, Noor=OTHER)
    open_person(bench, "Noor")
    bench.kiosk.tap(bench.kiosk.button("No supervisor any more"))
    bench.kiosk.tap(bench.kiosk.button("Take the PIN away"))
    bench.type_pin(OTHER)
    assert bench.kiosk.shows("Noor is no supervisor any more")
    bench.in_shop(lambda shop: shop.add_person("Ivo"))
    kiosk, staff = bench.kiosk, bench.kiosk.desk.inputs.staff
    for name, asks in (("Ivo", False), ("Mara", True)):
        staff.open()
        kiosk.settle()
        kiosk.tap(next(one for one in kiosk.desk.show.rows if one.label.text == name))
        kiosk.tap(kiosk.button("Take off the list"))
        assert is_pad(kiosk) == asks
    assert len(bench.in_shop(lambda shop: shop.supervisors())) == 1
    bench.type_pin(PIN)
    assert kiosk.shows("Mara is off the list")
    assert bench.in_shop(lambda shop: shop.supervisors()) == ()


def test_the_pad_is_large_enough_for_a_glove_and_leads_back_before_the_act(drive):
    shop = FakeShop()
    shop.pins = {MARA.code: PIN, IVO.code: OTHER}
    kiosk = drive(shop)
    kiosk.desk.shopdesk.open()
    before, went = kiosk.desk.show, []
    kiosk.desk.guard(Act.REVISE, lambda permit: went.append((kiosk.desk.show, permit)))
    kiosk.settle()
    assert is_pad(kiosk)
    assert find_misfits(kiosk, touch=kiosk.desk.trim.sizes.touch) == []
    kiosk.scan(WRONG)
    assert went == []
    kiosk.scan(PIN)
    assert went == [(before, Permit("Mara", MARA.code, Act.REVISE))]
