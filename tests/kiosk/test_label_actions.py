"""Labels of parts, units and places: made, printed, lost, found again, logged once they are out."""

import random
from datetime import UTC, datetime

import pytest

from kiosk.actions import Shop, Wanted
from kiosk.clock import FixedClock
from kiosk.printdesk import PrintDesk
from kiosk.rules.entries import Kind
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store
from labels.codes import check_letter, code_for, parse
from labels.printing import PrintRefused, PrintState, Stage, Ticket

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
LIST = (
    "Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Finish\n"
    "S1;Jar shelf;shelf;Side;2;603,5;300;18;birch ply;clear\n"
    "S1;Jar shelf;shelf;Board;1;764;200;18;birch ply;clear\n"
    "S2;Oil shelf;shelf;Back;1;900;603,5;12;poplar ply;\n"
)


class Bench:
    """A shop in a folder with a part list taken in."""

    def __init__(self, folder, settings=""):
        self.folder, self.clock = folder, FixedClock(START)
        found, wrong = load(f'zone = "UTC"\nrepeat_seconds = 0\n{settings}')
        assert wrong == ()
        self.store = Store.open(folder / "shop.db", "K")
        self.shop = Shop(self.store, found, self.clock)
        (folder / "list.csv").write_text(LIST, "utf-8")
        taken = self.shop.take_in(folder / "list.csv", Job("JARS"))
        assert taken.problems == ()
        self.codes = [piece.code for unit in taken.units for piece in unit.pieces]

    def printed(self, unit="S1"):
        return dict(self.store.state("JARS", unit).printed)


def drawn(shop, wanted):
    """The one print of what is wanted, and what was wrong."""
    found = shop.orders(wanted)
    assert len(found.orders) <= 1
    return (found.orders[0] if found.orders else None), found.problems


@pytest.fixture
def bench(tmp_path):
    opened = Bench(tmp_path)
    yield opened
    opened.store.close()


# -- units and places ------------------------------------------------------------------------


def test_a_units_own_label_has_a_code_that_means_the_unit(bench):
    run = bench.shop.labels(Wanted("JARS", units=True), bench.folder / "units.pdf")
    assert (run.problems, len(run.codes)) == ((), 2)
    again = bench.shop.labels(Wanted("JARS", units=True, reason="lost"), bench.folder / "u.pdf")
    assert (again.codes, again.reprints) == (run.codes, 2)
    answer = bench.shop.scan(run.codes[0], station="assemble", step="glue-up", reason="by hand")
    assert (answer.outcome, answer.unit, answer.part) == (Outcome.RECORDED, "S1", "")
    assert bench.shop.labels(Wanted("JARS", units=True, new=True), bench.folder / "n.pdf").problems


def test_only_the_unit_asked_for_gets_a_label(bench):
    wanted = Wanted("JARS", only=["S2"], units=True)
    assert len(bench.shop.labels(wanted, bench.folder / "u.pdf").codes) == 1
    (problem,) = bench.shop.labels(
        Wanted("JARS", only=["S9"], units=True), bench.folder / "u.pdf"
    ).problems
    assert "S9 is nothing of JARS" in problem.message


def test_a_places_label_says_what_is_there(bench):
    run = bench.shop.place_labels(bench.folder / "places.pdf")
    assert len(run.codes) == len(bench.shop.settings.places) == 3
    assert bench.shop.place_labels(bench.folder / "again.pdf").codes == run.codes
    answer = bench.shop.scan(run.codes[1], station="finish")
    assert (answer.message, answer.detail) == ("This is Rack", "Nothing is there now.")
    bench.shop.scan("S1", station="assemble", step="glue-up", reason="by hand")
    bench_place = bench.shop.scan(run.codes[0], station="finish")
    assert bench_place.detail == "There now: S1."


def test_a_shop_without_places_has_no_labels_for_them(tmp_path):
    shop = Bench(tmp_path, "places = []\n")
    (problem,) = shop.shop.place_labels(tmp_path / "p.pdf").problems
    assert "no places" in problem.message
    shop.store.close()


# -- stocks ----------------------------------------------------------------------------------


def test_the_shops_own_stocks_stand_beside_its_file(bench):
    own = bench.folder / "stocks.toml"
    own.write_text("[tag]\nwidth_mm = 60\nheight_mm = 30\n[50x25]\noffset_x_mm = 0.5\n", "utf-8")
    assert bench.shop.stocks()["tag"].width_mm == 60
    assert bench.shop.stocks()["50x25"].offset_x_mm == 0.5
    assert bench.shop.stock_problems() == ()
    run = bench.shop.labels(Wanted("JARS", stock="tag"), bench.folder / "t.pdf")
    assert len(run.codes) == 4
    own.write_text("[tag]\nwidth_mm = 60\n", "utf-8")
    assert any("height_mm" in problem for problem in bench.shop.stock_problems())
    assert "50x25" in bench.shop.stocks()
    own.write_bytes(b"\xff\xfe")
    assert any("cannot be read" in problem for problem in bench.shop.stock_problems())


# -- lost and wrong labels -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        ("s1", ["Side", "Side", "Board"]),
        ("603.5", ["Side", "Side", "Back"]),
        ("603.5 x 300", ["Side", "Side"]),
        ("birch 764", ["Board"]),
        ("oil shelf", ["Back"]),
        ("poplar side", []),
        ("", ["Side", "Side", "Board", "Back"]),
    ],
)
def test_a_part_is_found_by_unit_size_name_or_material(bench, words, parts):
    found = bench.shop.find_parts(words)
    assert [hit.piece.piece.part for hit in found] == parts


def test_a_part_is_found_by_a_piece_of_its_code(bench):
    code = bench.codes[2]
    (hit,) = bench.shop.find_parts(f"{code[:3]}-{code[3:]}")
    assert hit.piece.piece.code == code


def test_a_label_printed_again_keeps_its_code_and_the_log_says_why(bench):
    code = bench.codes[0]
    for reason in ("", "wrong label"):
        run = bench.shop.labels(
            Wanted("JARS", only=[code], reason=reason), bench.folder / "one.pdf", person="Ida"
        )
        assert run.codes == (code,)
    entries = [one for one in bench.store.history("JARS", "S1") if one.kind == Kind.LABELS_PRINTED]
    assert [one.body.get("reason") for one in entries] == [None, "wrong label"]
    assert bench.printed()[code] == 2


# -- at a printer ----------------------------------------------------------------------------


class Paper:
    """A printer that does what it is told to: takes jobs, and says how they are."""

    where = "paper"

    def __init__(self):
        self.jobs, self.states, self.refuse = [], {}, None

    def check(self):
        return PrintState(Stage.DONE, "ready")

    def dots(self):
        return ()

    def submit(self, sheet, *, key):
        if self.refuse is not None:
            raise PrintRefused(self.refuse)
        self.jobs.append((key, sheet))
        return Ticket(key, len(self.jobs), self.where)

    def find(self, key):
        return None

    def state(self, ticket):
        return self.states.get(ticket.key, PrintState(Stage.PRINTING, "printing"))

    def cancel(self, ticket):
        return PrintState(Stage.CANCELLED, "cancelled")

    def retry(self, ticket, sheet):
        return self.submit(sheet, key=ticket.key)


@pytest.fixture
def paper():
    return Paper()


@pytest.fixture
def desk(bench, paper):
    told, out = [], []

    def came_out(order):
        out.append(order)
        bench.shop.came_out(order, person="Ida")

    made = PrintDesk(paper, clock=bench.clock, out=came_out, tell=told.append)
    made.told, made.out = told, out
    return made


def test_a_label_counts_as_printed_only_once_it_is_out(bench, paper, desk):
    order, problems = drawn(bench.shop, Wanted("JARS", only=[bench.codes[0]]))
    assert problems == ()
    assert (order.sheet.width_mm, order.sheet.height_mm, order.sheet.dpi) == (50, 25, 203)
    desk.submit(order)
    desk.step()
    desk.step()
    assert bench.printed() == {}
    paper.states[order.key] = PrintState(Stage.DONE, "printed")
    assert desk.step() == 0
    assert bench.printed() == {bench.codes[0]: 1}
    assert desk.out == [order]


def test_a_second_tap_prints_nothing_twice_and_a_reprint_prints(bench, paper, desk):
    wanted = Wanted("JARS", only=[bench.codes[0]])
    for _ in range(2):
        order, _ = drawn(bench.shop, wanted)
        desk.submit(order)
        desk.step()
    assert len(paper.jobs) == 1
    paper.states[order.key] = PrintState(Stage.DONE, "printed")
    desk.step()
    again, _ = drawn(bench.shop, wanted)
    assert again.key != order.key
    desk.submit(again)
    desk.step()
    assert len(paper.jobs) == 2


def test_a_print_is_the_same_only_in_the_same_shop_and_on_the_same_stock(bench, tmp_path):
    wanted = Wanted("JARS", only=[bench.codes[0]])
    order, _ = drawn(bench.shop, wanted)
    # as when a shop was tried out first: the codes are counted alike
    (tmp_path / "other").mkdir()
    other = Bench(tmp_path / "other")
    assert other.codes == bench.codes
    keys = {
        order.key,
        drawn(bench.shop, Wanted("JARS", only=wanted.only, stock="38x21"))[0].key,
        drawn(bench.shop, Wanted("JARS"))[0].key,
        drawn(other.shop, wanted)[0].key,
    }
    assert len(keys) == 4
    assert all(len(key) <= 40 and key.replace("-", "").isalnum() for key in keys)
    assert drawn(bench.shop, wanted)[0].key == order.key


def test_a_print_that_failed_stays_until_it_is_tried_again_or_dropped(bench, paper, desk):
    order, _ = drawn(bench.shop, Wanted("JARS"))
    assert order.title == "4 labels"
    paper.refuse = PrintState(Stage.FAILED, "The size is wrong.", "Choose another stock.", "size")
    desk.submit(order)
    desk.step()
    (line,) = desk.lines()
    assert (line.state.words, line.state.stage) == ("The size is wrong.", Stage.FAILED)
    assert desk.order(order.key) == order
    assert bench.printed() == {}
    paper.refuse = None
    desk.retry(order.key)
    desk.step()
    assert len(paper.jobs) == 1
    desk.cancel(order.key)
    desk.step()
    assert desk.lines() == ()
    assert desk.line(order.key).state.stage is Stage.CANCELLED
    assert bench.printed() == {}


def test_it_prints_on_a_thread_of_its_own(bench, paper, desk):
    import threading

    order, _ = drawn(bench.shop, Wanted("JARS", only=[bench.codes[0]]))
    done = threading.Event()
    paper.states[order.key] = PrintState(Stage.DONE, "printed")
    at_work = PrintDesk(paper, clock=bench.clock, out=lambda _order: done.set())
    at_work.start()
    at_work.start()
    at_work.submit(order)
    assert done.wait(20)
    at_work.stop()
    at_work.stop()


def test_what_goes_wrong_with_one_print_does_not_end_the_printing(bench, paper, desk):
    import threading

    orders = [drawn(bench.shop, Wanted("JARS", only=[code]))[0] for code in bench.codes[:2]]
    done = threading.Event()

    def out(order):
        if order is orders[0]:
            raise OSError("The disk is full.")
        done.set()

    for order in orders:
        paper.states[order.key] = PrintState(Stage.DONE, "printed")
    at_work = PrintDesk(paper, clock=bench.clock, out=out)
    at_work.start()
    for order in orders:
        at_work.submit(order)
    assert done.wait(20)
    at_work.stop()


def test_labels_come_by_themselves_where_the_shop_prints_at_once(tmp_path):
    bench = Bench(tmp_path, "print_at_once = true\n")
    first, second, *_ = bench.codes
    order, _ = bench.shop.order_at_once(bench.shop.scan(first, station="cut"))
    assert [row.label.code for row in order.rows] == [first]
    bench.shop.labels(Wanted("JARS", only=[second]), tmp_path / "l.pdf")
    assert bench.shop.order_at_once(bench.shop.scan(second, station="cut")) == (None, ())
    assert bench.shop.order_at_once(bench.shop.scan(second, station="cut")) == (None, ())  # already
    glued = bench.shop.scan("S1", station="assemble", step="glue-up", reason="by hand")
    order, _ = bench.shop.order_at_once(glued)
    assert [row.unit for row in order.rows] == ["S1"]
    bench.store.close()


def test_where_the_shop_does_not_print_at_once_nothing_comes_by_itself(bench):
    assert bench.shop.order_at_once(bench.shop.scan(bench.codes[0], station="cut")) == (None, ())


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        (Wanted("NONE"), "There is no job NONE"),
        (Wanted("JARS", stock="none"), "no label stock none"),
        (Wanted("JARS", skip=5), "cannot be skipped"),
        (Wanted("JARS", only=["XXX"]), "nothing of JARS"),
    ],
)
def test_what_cannot_be_printed_is_said_before_anything_is(bench, wanted, words):
    order, (problem,) = drawn(bench.shop, wanted)
    assert order is None
    assert words in problem.message


def test_a_scan_through_another_keyboard_layout_finds_its_part(bench):
    keys = dict(zip("23456789", "ěščřžýáí", strict=True))
    for code in bench.codes:
        answer = bench.shop.scan("".join(keys.get(one, one) for one in code), station="cut")
        assert (answer.outcome, answer.code) == (Outcome.RECORDED, code)


def test_letters_that_check_by_chance_lead_to_the_part_they_were_sent_for(bench):
    swap = str.maketrans("AQ", "QA")
    letters = "ABCDEFGHJKNPQRSTUVX"
    dice = random.Random(3)
    while True:
        body = "".join(dice.choice(letters) for _ in range(6))
        sent = body + check_letter(body)
        came = sent.translate(swap)
        if (
            came != sent
            and parse(came).code == came
            and sent.isalpha()
            and not set(sent) & set("MW")
        ):
            break
    bench.store.write([Note(Kind.UNIT_CODED, "JARS", "S1", {"code": sent})], START)
    answer = bench.shop.scan(came, station="assemble", step="glue-up", reason="by hand")
    assert (answer.outcome, answer.unit) == (Outcome.RECORDED, "S1")


def test_a_label_read_from_a_picture_is_found_where_a_layout_is_set(tmp_path):
    # Dvorak would make it another sound code, which no part has
    shop = Bench(tmp_path, 'scanner_layout = "Dvorak"')
    code = next(
        one
        for number in range(2000)
        if parse(one := code_for("B", number), layout="Dvorak").code not in (None, one)
    )
    shop.store.write([Note(Kind.UNIT_CODED, "JARS", "S1", {"code": code})], START)
    answer = shop.shop.scan(code, station="assemble", step="glue-up", reason="by hand")
    assert (answer.outcome, answer.unit) == (Outcome.RECORDED, "S1")
