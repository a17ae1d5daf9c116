"""The stock is the same whatever order entries come in, doubled or struck."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.rules.entries import OF_SHEETS, STRIKABLE, Kind
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.stock import Stock, fold_stock, is_same, material_of, size_body
from tests.builders import an_entry, at
from tests.sheetbuild import BIRCH, THIN, a_size, a_stock, an_offcut, mm

SIZE = size_body(a_size())


def told(*deeds, start="08:00"):
    """Return one entry for each pair of kind and body, a minute apart."""
    minute = at("08:01") - at("08:00")
    return [
        an_entry(kind, body, when=at(start) + number * minute, seq=number + 1)
        for number, (kind, body) in enumerate(deeds)
    ]


def counted(count, **more):
    return Kind.STOCK_COUNTED, {**SIZE, "count": count, "trim": mm(5), **more}


def begun(key, **of):
    return Kind.SHEET_USED, {"sheet": key, **(of or SIZE)}


def kept(code, sheet="", piece="", **more):
    body = {"code": code, "material": "birch ply", "thickness": mm(18)}
    return Kind.OFFCUT_KEPT, {
        **body, "length": mm(700), "width": mm(400), "sheet": sheet, "piece": piece, **more
    }  # fmt: skip


def left(entries):
    (size,) = fold_stock(entries).of(BIRCH)
    return size.left, size.used


def test_sheets_begun_since_they_were_counted_are_not_there_any_more():
    assert left(told(begun("P/S1"), counted(3), begun("P/S2"))) == (2, 1)
    assert left(told(counted(3), begun("P/S2"), counted(9))) == (9, 0)


def test_there_are_never_fewer_than_none_and_any_number_stays_any_number():
    assert left(told(counted(1), begun("P/S1"), begun("P/S2"))) == (0, 2)
    assert left(told(counted(None), begun("P/S1"))) == (None, 1)


def test_one_sheet_begun_at_two_kiosks_is_one():
    assert left(told(counted(3), begun("P/S1"), begun("P/S1"))) == (2, 1)


def test_a_sheet_of_a_size_that_nobody_counted_is_only_begun():
    stock = fold_stock(told(begun("P/S1")))

    assert stock.used == {"P/S1"}
    assert stock.sizes == {}


def test_offcuts_come_and_go():
    stock = fold_stock(
        told(
            kept("K1", width=mm(500)),
            kept("K2"),
            kept("K3"),
            (Kind.OFFCUT_GONE, {"code": "K3", "reason": "warped"}),
            begun("P/S1", offcut="K2"),
        )
    )

    assert [one.code for one in stock.offcuts] == ["K1"]
    assert stock.gone == {"K2", "K3"}
    assert stock.known["K2"].job == "GLAZE"


def test_the_smallest_offcut_comes_first():
    stock = fold_stock(told(kept("K1"), kept("K2", width=mm(200))))

    assert [one.code for one in stock.offcuts] == ["K2", "K1"]


def test_one_piece_recorded_at_two_kiosks_is_one_offcut():
    stock = fold_stock(told(kept("K1", "P/S1", "S1.2"), kept("B1", "P/S1", "S1.2")))

    assert [one.code for one in stock.offcuts] == ["K1"]
    assert stock.left_of == {("P/S1", "S1.2"): "K1"}
    assert "B1" in stock.known


def test_cuts_are_known_by_their_sheets():
    stock = fold_stock(
        told(
            (Kind.CUT_MADE, {"sheet": "P/S1", "number": 1}),
            (Kind.CUT_MADE, {"sheet": "P/S1", "number": 2}),
            (Kind.CUT_MADE, {"sheet": "P/S2", "number": 1}),
            (Kind.CUT_MADE, {"sheet": "P/S2", "number": "all"}),
        )
    )

    assert stock.made == {"P/S1": {1, 2}, "P/S2": {1}}


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        (Kind.STOCK_COUNTED, {}),
        (Kind.STOCK_COUNTED, {**SIZE, "count": True}),
        (Kind.STOCK_COUNTED, {**SIZE, "count": -1}),
        (Kind.STOCK_COUNTED, {**SIZE, "length": 0}),
        (Kind.STOCK_COUNTED, {**SIZE, "width": 10**9}),
        (Kind.STOCK_COUNTED, {**SIZE, "width": True}),
        (Kind.SHEET_USED, {}),
        (Kind.OFFCUT_KEPT, {"code": "K1"}),
        (Kind.OFFCUT_KEPT, {"code": 5, "length": mm(700), "width": mm(400)}),
        (Kind.CUT_MADE, {"sheet": "P/S1"}),
        (Kind.STEP_DONE, {"step": "cut"}),
    ],
)
def test_what_is_not_understood_is_passed_over(kind, body):
    assert fold_stock(told((kind, body))) == Stock()


def test_a_sheet_without_a_size_is_begun_all_the_same():
    assert fold_stock(told(begun("P/S1", length="long"))).used == {"P/S1"}


def test_a_material_is_one_however_its_name_is_written():
    assert is_same(Material(" Birch  ply", mm(18)), BIRCH)
    assert not is_same(BIRCH, THIN)
    assert material_of({"material": 5}) == Material("", None)
    stock = a_stock(a_size(), a_size(3000, 1500), a_size(of=THIN), offcuts=[an_offcut("K1")])
    assert [one.size.length for one in stock.of(BIRCH)] == [mm(3000), mm(2440)]


def deeds():
    """Return what people do with sheets and offcuts of few names."""
    keys, codes = st.sampled_from(("P/S1", "P/S2")), st.sampled_from(("K1", "K2", "B1"))
    pieces = st.sampled_from(("", "S1.2"))
    return st.one_of(
        st.builds(counted, st.sampled_from((None, 0, 3))),
        st.builds(begun, keys),
        st.builds(lambda key, code: begun(key, offcut=code), keys, codes),
        st.builds(kept, codes, keys, pieces),
        st.builds(lambda code: (Kind.OFFCUT_GONE, {"code": code}), codes),
        st.builds(lambda key, n: (Kind.CUT_MADE, {"sheet": key, "number": n}), keys,
                  st.integers(1, 3)),
    )  # fmt: skip


@st.composite
def stock_logs(draw):
    """Return what two kiosks wrote, with strikes of any of it."""
    entries = []
    for number, deed in enumerate(draw(st.lists(deeds(), max_size=10))):
        kiosk = draw(st.sampled_from(("K1", "K2")))
        when = at("08:00") + draw(st.integers(0, 5)) * (at("08:01") - at("08:00"))
        entries.append(an_entry(*deed, when=when, seq=number + 1, kiosk=kiosk))
    for number in range(draw(st.integers(0, 3)) if entries else 0):
        target = draw(st.sampled_from(entries)).id
        entries.append(an_entry(Kind.STRUCK, {"target": target}, seq=50 + number, when="07:00"))
    return entries


@given(stock_logs(), st.integers())
def test_any_order_and_any_doubles_give_the_same_stock(entries, seed):
    mixed = entries + entries[:3]
    Random(seed).shuffle(mixed)

    assert fold_stock(mixed) == fold_stock(entries)


@given(stock_logs())
def test_what_was_struck_might_as_well_not_have_been_written(entries):
    struck = {entry.body["target"] for entry in entries if entry.kind == Kind.STRUCK}
    without = [one for one in entries if one.id not in struck and one.kind != Kind.STRUCK]

    assert fold_stock(entries) == fold_stock(without)


def test_all_that_a_cut_writes_can_be_struck_but_no_plan():
    assert set(OF_SHEETS) - set(STRIKABLE) == {Kind.SHEETS_PLANNED}
