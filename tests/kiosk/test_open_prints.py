"""Prints kept through a restart, many labels in several prints, and files that are never lost."""

import json
from datetime import UTC, datetime

import pytest

from kiosk.actions import Kept, Shop, Wanted
from kiosk.actions.labelfiles import free_path, name_of, say_lost
from kiosk.actions.openprints import FILE
from kiosk.clock import FixedClock
from kiosk.labelreport import labels_text
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Store, StoreError
from labels import LabelError
from labels.codes import shown

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
HEAD = "Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Finish\n"
ROWS = "S1;Jar shelf;shelf;Side;{n};603,5;300;18;clear\nS2;Oil shelf;shelf;Back;1;900;603,5;12;\n"


class Bench:
    def __init__(self, folder, many=2):
        self.folder = folder
        self.store = Store.open(folder / "shop.db", "K")
        self.shop = Shop(self.store, load('zone = "UTC"\n')[0], FixedClock(START))
        (folder / "list.csv").write_text(HEAD + ROWS.format(n=many), "utf-8")
        taken = self.shop.take_in(folder / "list.csv", Job("JARS"))
        self.codes = [piece.code for unit in taken.units for piece in unit.pieces]

    def printed(self):
        return dict(self.store.state("JARS", "S1").printed)

    def keep(self, order, person="Ida"):
        self.shop.keep_print(Kept(order.key, order.wanted, person, order.before))


def unfinished(bench):
    """What is drawn again at the next start."""
    return tuple(map(bench.shop.draw_kept, bench.shop.unfinished()))


@pytest.fixture
def bench(tmp_path):
    opened = Bench(tmp_path)
    yield opened
    opened.store.close()


# -- kept through a restart --------------------------------------------------------------------


def test_a_print_kept_is_drawn_again_under_its_key(bench):
    wanted = Wanted("JARS", only=[bench.codes[0]], reason="lost", stock="38x21")
    (order,) = bench.shop.orders(wanted).orders
    bench.keep(order)
    (found,) = unfinished(bench)
    assert found.orders == (order,)
    assert (found.kept.person, found.orders[0].wanted.reason) == ("Ida", "lost")


def test_a_print_asked_for_anew_after_it_was_cancelled_keeps_its_own_key(bench):
    (order,) = bench.shop.orders(Wanted("JARS", only=[bench.codes[0]])).orders
    bench.shop.keep_print(Kept(f"{order.key}-2", order.wanted, "", order.before))
    (found,) = unfinished(bench)
    assert [one.key for one in found.orders] == [f"{order.key}-2"]


def test_places_and_units_are_kept_too(bench):
    for wanted in (Wanted("", only=[]), Wanted("JARS", units=True, new=True)):
        (order,) = bench.shop.orders(wanted).orders
        bench.keep(order)
    places, units = unfinished(bench)
    assert len(places.orders[0].rows) == 3
    assert [row.unit for row in units.orders[0].rows] == ["S1", "S2"]


def test_the_order_labels_were_asked_in_is_kept_and_cut_order_is_the_usual(bench):
    (order,) = bench.shop.orders(Wanted("JARS", only=bench.codes[:2], order="list")).orders
    bench.keep(order)
    file = bench.shop.store.folder / FILE

    assert next(iter(unfinished(bench))).kept.wanted.order == "list"
    rows = json.loads(file.read_text("utf-8"))
    del rows[0]["wanted"]["order"]  # as an older program wrote it
    file.write_text(json.dumps(rows), "utf-8")
    assert next(iter(unfinished(bench))).kept.wanted.order == "cut"


def test_what_came_out_is_forgotten_and_what_was_logged_is_not_printed_again(bench):
    first, second = (
        bench.shop.orders(Wanted("JARS", only=[code])).orders[0] for code in bench.codes[:2]
    )
    bench.keep(first)
    bench.keep(second)
    bench.shop.came_out(first)
    assert [one.kept.key for one in unfinished(bench)] == [second.key]
    bench.shop.came_out(second)
    bench.keep(second)  # the kiosk ended after it was logged, before it was forgotten
    assert unfinished(bench) == ()
    assert bench.printed() == dict.fromkeys(bench.codes[:2], 1)
    assert json.loads((bench.folder / FILE).read_text("utf-8")) == []


def test_what_cannot_be_drawn_any_more_is_said(bench, monkeypatch):
    (order,) = bench.shop.orders(Wanted("JARS", only=[bench.codes[0]])).orders
    bench.shop.keep_print(Kept(order.key, Wanted("GONE", only=["K222222"]), "", {"K222222": 0}))
    (found,) = unfinished(bench)
    assert found.orders == ()
    assert found.wrong.startswith("There is no job GONE.")

    def refuse(*_given, **_named):
        raise LabelError("The font is missing.")

    bench.keep(order)
    monkeypatch.setattr(bench.shop, "orders", refuse)
    assert unfinished(bench)[0].wrong == "The font is missing."


@pytest.mark.parametrize("text", ["{", "[1]", '[{"key": "a"}]', "null", "\x00"])
def test_a_damaged_file_is_set_aside_and_in_nobodys_way(bench, text):
    (bench.folder / FILE).write_text(text, "utf-8")
    assert unfinished(bench) == ()
    assert (bench.folder / "open-prints.unreadable.json").read_text("utf-8") == text
    (order,) = bench.shop.orders(Wanted("JARS", only=[bench.codes[0]])).orders
    bench.keep(order)
    assert [one.kept.key for one in unfinished(bench)] == [order.key]


def test_a_file_that_cannot_be_written_keeps_nothing_from_being_logged(bench):
    (bench.folder / FILE).mkdir()
    (order,) = bench.shop.orders(Wanted("JARS", only=[bench.codes[0]])).orders
    bench.keep(order)
    bench.shop.came_out(order)
    assert bench.printed() == {bench.codes[0]: 1}
    assert unfinished(bench) == ()


# -- many labels -------------------------------------------------------------------------------


def test_many_labels_of_a_roll_are_several_prints_each_logged_by_itself(tmp_path):
    bench = Bench(tmp_path, many=44)
    orders = bench.shop.orders(Wanted("JARS", reason="lost")).orders
    assert [len(order.rows) for order in orders] == [20, 20, 5]
    assert [code for order in orders for code in order.codes] == bench.codes
    assert len({order.key for order in orders}) == 3
    bench.shop.came_out(orders[1])
    assert bench.printed() == dict.fromkeys(bench.codes[20:40], 1)
    bench.store.close()


def test_many_labels_of_sheets_are_prints_of_whole_sheets(tmp_path):
    bench = Bench(tmp_path, many=60)
    orders = bench.shop.orders(Wanted("JARS", stock="a4-21", skip=4)).orders
    assert [len(order.rows) for order in orders] == [17, 21, 21, 2]
    assert [order.wanted.skip for order in orders] == [4, 0, 0, 0]
    bench.store.close()


def test_labels_that_wait_already_are_left_out_and_named(bench):
    found = bench.shop.orders(Wanted("JARS"), leave=bench.codes[:1])
    assert found.held == (bench.codes[0],)
    assert found.orders[0].codes == tuple(bench.codes[1:])
    found = bench.shop.orders(Wanted("JARS"), leave=bench.codes)
    assert (found.orders, found.held) == ((), tuple(bench.codes))


# -- files and recuts --------------------------------------------------------------------------


def test_a_file_of_labels_is_named_after_them_and_never_taken_twice(tmp_path):
    assert name_of(Wanted("A/B", units=True)) == "A-B-units"
    assert name_of(Wanted("JARS", only=["K7F3Q97"])) == "JARS-K7F3Q97"
    assert name_of(Wanted("", only=["K7F3Q97"])) == "places"
    names = []
    for _ in range(3):
        path = free_path(tmp_path, "places", START)
        path.write_bytes(b"")
        names.append(path.name)
    stem = "places-2026-03-09-0800"
    assert names == [f"{stem}.pdf", f"{stem}-2.pdf", f"{stem}-3.pdf"]


def test_a_disk_that_refuses_is_said_with_the_file_and_without_numbers():
    assert say_lost(FileExistsError(17, "File exists", "/shop/labels")) == (
        "/shop/labels cannot be written: File exists."
    )
    assert say_lost(LabelError("The font is missing.")) == "The font is missing."
    assert say_lost(OSError()) == "OSError"


def test_a_recuts_label_is_of_the_stock_that_was_chosen(bench, monkeypatch):
    stocks = []
    draw = bench.shop.labels

    def labels(wanted, out, *, person=""):
        stocks.append(wanted.stock)
        return draw(wanted, out, person=person)

    monkeypatch.setattr(bench.shop, "labels", labels)
    bench.shop.problem(bench.codes[0], "spoiled", stock="38x21")
    assert stocks == ["38x21"]


def test_a_recut_counts_though_its_label_is_not_logged(bench, monkeypatch):
    def fail(*_given):
        raise StoreError("The disk is full.")

    monkeypatch.setattr(bench.shop, "_log", fail)
    answer = bench.shop.problem(bench.codes[0], "spoiled")
    assert answer.outcome == Outcome.RECORDED
    assert "That is not in the log: The disk is full." in answer.detail
    assert list((bench.folder / "labels").glob("recut-*.pdf"))


def test_a_recuts_label_that_is_not_drawn_says_why_what_to_do_and_to_write_by_hand(bench):
    answer = bench.shop.problem(bench.codes[0], "spoiled", stock="gone")
    assert answer.outcome == Outcome.RECORDED
    assert "There is no label stock gone. Use 50x25" in answer.detail
    assert answer.detail.endswith("Write the code on the part by hand.")
    (bench.folder / "labels").rmdir()
    (bench.folder / "labels").write_text("a file in the way")
    answer = bench.shop.problem(bench.codes[1], "spoiled")
    assert "labels cannot be written: File exists." in answer.detail
    assert answer.detail.endswith("Write the code on the part by hand.")


# -- void labels among others ------------------------------------------------------------------


def test_a_print_of_several_is_drawn_again_without_the_label_of_a_spoiled_part(bench):
    (order,) = bench.shop.orders(Wanted("JARS", only=bench.codes)).orders
    bench.keep(order)

    bench.shop.spoil(bench.codes[1])

    (found,) = unfinished(bench)
    assert found.wrong == ""
    assert [one.codes for one in found.orders] == [(bench.codes[0], bench.codes[2])]
    assert found.orders[0].key == order.key
    assert bench.shop.orders(order.wanted).void == (bench.codes[1],)


def test_labels_written_leave_a_void_one_out_and_say_so(bench, tmp_path):
    bench.shop.spoil(bench.codes[0])

    run = bench.shop.labels(Wanted("JARS", only=bench.codes[:2]), tmp_path / "two.pdf")

    assert (run.codes, run.void) == ((bench.codes[1],), (bench.codes[0],))
    assert f"Left out, its part was spoiled: {shown(bench.codes[0])}." in labels_text(run)


def test_a_label_that_is_void_names_the_code_of_the_recut(bench, tmp_path):
    recut = bench.shop.spoil(bench.codes[0]).code

    run = bench.shop.labels(Wanted("JARS", only=bench.codes[:1]), tmp_path / "one.pdf")

    assert run.problems[0].message == f"{shown(bench.codes[0])} is void: its part was spoiled."
    assert shown(recut) in run.problems[0].remedy
    assert not (tmp_path / "one.pdf").exists()
