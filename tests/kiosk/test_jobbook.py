"""The jobs of a shop looked through, and lists whose columns a person names."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.settingstext import load
from kiosk.store import Job, Store

SETTINGS, _ = load('kiosk_letter = "K"\nzone = "UTC"\n')
AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
LIST = "Unit,Kind,Part,Length (mm),Width (mm),Quantity,Finish\nS1,shelf,Side,300,200,2,\n"
ODD = "Unit;Piece of it;Long side;Short side;Count\nS1 shelf;Side;300;200;2\n"


@pytest.fixture
def shop(tmp_path: Path):
    store = Store.open(tmp_path / "shop.db", "K")
    yield Shop(store, SETTINGS, FixedClock(AT))
    store.close()


def write(shop: Shop, text: str, name: str = "list.csv") -> Path:
    path = shop.store.folder / name
    path.write_text(text, "utf-8")
    return path


def take(shop: Shop, code: str = "JARS", **job: str) -> list[str]:
    taken = shop.take_in(write(shop, LIST), Job(code, **job))
    assert taken.problems == ()
    return [piece.code for unit in taken.units for piece in unit.pieces]


def later(shop: Shop, minutes: int) -> None:
    shop.clock = FixedClock(AT + timedelta(minutes=minutes))


def test_a_list_is_looked_at_before_a_job_has_a_code(shop):
    looked = shop.take_in(write(shop, LIST), Job(""), dry_run=True)
    assert (looked.problems, looked.taken, looked.pieces) == ((), False, 2)
    assert [one.meaning for one in looked.listed.headings][:3] == ["unit", "kind", "part"]
    assert shop.jobs() == {}


def test_a_job_needs_a_code_before_anything_is_kept(shop):
    taken = shop.take_in(write(shop, LIST), Job(""))
    assert not taken.taken
    assert "no sound code" in taken.problems[0].message


def test_columns_a_person_names_are_read_so(shop):
    file = write(shop, ODD)
    assert shop.take_in(file, Job("JARS"), dry_run=True).problems
    columns = {"Piece of it": "part", "Long side": "length", "Short side": "width"}
    taken = shop.take_in(file, Job("JARS"), units="mm", columns=columns)
    assert (taken.problems, taken.taken, taken.pieces) == ((), True, 2)


def test_jobs_are_summed_up_the_next_hang_day_first(shop):
    later_job = take(shop, "LATER", hang_day="2026-04-02")
    take(shop, "NEVER")
    take(shop, "SOON", hang_day="2026-03-13")
    shop.scan(later_job[0], station="cut")
    sums = shop.job_sums()
    assert [one.job.code for one in sums] == ["SOON", "LATER", "NEVER"]
    assert [(one.units, one.hung, one.parts, one.cut) for one in sums] == [
        (1, 0, 2, 0),
        (1, 0, 2, 1),
        (1, 0, 2, 0),
    ]
    shop.set_job(replace(shop.jobs()["NEVER"], open=False), reason="called off")
    assert [one.job.code for one in shop.job_sums()] == ["SOON", "LATER"]


def test_what_happened_to_a_unit_is_told_newest_first(shop):
    code, other = take(shop)
    later(shop, 1)
    shop.scan(code, station="cut", person="Mara")
    later(shop, 2)
    shop.scan(other, station="cut")
    later(shop, 3)
    shop.strike_last()
    past = shop.past("JARS", "S1")
    assert [one.what for one in past] == [
        "struck: cut: Side",
        "cut: Side",
        "cut: Side",
        "part list: 2 parts",
    ]
    assert [one.is_struck for one in past] == [False, True, False, False]
    assert [one.can_strike for one in past] == [False, False, True, False]
    assert (past[2].person, past[2].when) == ("Mara", "15:41")


def test_what_was_built_upon_an_entry_is_named(shop):
    code, other = take(shop)
    for minute, (text, station) in enumerate(
        ((code, "cut"), (other, "cut"), (code, "assemble"), (other, "assemble")), start=1
    ):
        later(shop, minute)
        shop.scan(text, station=station)
    first = shop.past("JARS", "S1")[-2]
    assert (first.what, first.upon) == ("cut: Side", ("gather",))


def test_nothing_of_a_closed_job_is_to_be_struck(shop):
    (code, _other) = take(shop)
    shop.scan(code, station="cut")
    shop.set_job(replace(shop.jobs()["JARS"], open=False), reason="called off")
    assert [one.can_strike for one in shop.past("JARS", "S1")] == [False, False]


def test_the_day_is_that_of_the_shop(shop):
    assert shop.today() == date(2026, 3, 11)


def test_what_was_recorded_late_stands_where_it_happened(shop):
    code, other = take(shop)
    later(shop, 5)
    shop.scan(code, station="cut")
    later(shop, 2)
    shop.scan(other, station="cut")
    assert [one.when for one in shop.past("JARS", "S1")] == ["15:45", "15:42", "15:40"]


def test_a_shop_cuts_first_what_goes_up_first(shop):
    for job, day in (("NEVER", ""), ("SOON", "2026-03-13"), ("LATER", "2026-04-02")):
        text = LIST.replace("S1", f"{job[0]}1") + f"{job[0]}10,shelf,Top,300,200,1,\n"
        shop.take_in(write(shop, text), Job(job, hang_day=day))
    assert [due.unit for due in shop.due("cut")] == ["S1", "S10", "L1", "L10", "N1", "N10"]


def test_a_job_that_is_not_hung_names_its_units_in_order_and_says_how_many_more(shop):
    rows = "".join(f"S{n},shelf,Top,300,200,1,\n" for n in range(23, 0, -1))
    shop.take_in(write(shop, LIST.splitlines()[0] + "\n" + rows), Job("JARS"))
    (problem,) = shop.set_job(replace(shop.jobs()["JARS"], open=False))
    assert problem.message == (
        "23 units of JARS are not hung: S1, S2, S3, S4, S5, S6, S7, S8 and 15 more."
    )


def test_only_parts_that_are_cut_here_count_as_parts_to_cut(shop):
    text = LIST + "D1,door,Leaf,500,400,3,\nW1,wall,Coat,500,400,2,\n"
    taken = shop.take_in(write(shop, text), Job("JARS"))
    codes = [piece.code for unit in taken.units for piece in unit.pieces]
    assert [(one.units, one.parts, one.cut) for one in shop.job_sums()] == [(3, 2, 0)]
    shop.scan(codes[0], station="cut")
    assert [(one.parts, one.cut) for one in shop.job_sums()] == [(2, 1)]


def test_a_job_opened_again_stands_where_it_stood(shop):
    codes = take(shop, "JARS", hang_day="2026-03-13")
    shop.scan(codes[0], station="cut")
    before, job = shop.standings(), shop.jobs()["JARS"]
    assert shop.set_job(replace(job, open=False), reason="called off") == ()
    assert (shop.standings(), shop.due("cut")) == ([], ())
    assert shop.set_job(job, person="Mara") == ()
    assert (shop.jobs()["JARS"], shop.standings()) == (job, before)
    again = Store.open(shop.store.folder / "shop.db", "K")
    try:
        assert again.jobs()["JARS"] == job
        assert set(again.state("JARS", "S1").piece(codes[0]).done) == {"cut"}
    finally:
        again.close()
