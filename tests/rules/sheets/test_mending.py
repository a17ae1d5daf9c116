"""A part that must be cut again finds the place that changes least; what is begun stays."""

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.sheets.checks import codes_on, find_faults
from kiosk.rules.sheets.mending import Means, next_number, place
from kiosk.rules.sheets.stock import Stock
from kiosk.rules.sheets.tasks import Reserved
from tests.sheetbuild import (
    SAW,
    THIN,
    a_part,
    a_plan,
    a_size,
    a_stock,
    an_offcut,
    laid_out,
    wanted,
)

RECUT = a_part("R", 600, 300, grain="length")


def means(pieces, *, begun=(), stock=None, reserved=None, tries=60):
    return Means(
        store=stock or Stock(),
        saw=SAW,
        reserved=reserved or Reserved(),
        wanted=wanted(pieces),
        waiting={piece.code for piece in pieces},
        begun={one.key for one in begun},
        origin="P2",
        draw=Random(1).random,
        tries=tries,
    )


def full_and_half():
    """Return parts that fill one sheet and begin another, and their plan."""
    pieces = [a_part(f"A{n}", 600, 300, grain="length") for n in range(18)]
    _of, sheets = laid_out(pieces)
    assert len(sheets) == 2
    return pieces, a_plan(sheets)


def all_codes(plan):
    return sorted(code for one in plan.sheets for code in codes_on(one))


def sound(plan, pieces):
    return [fault for one in plan.sheets for fault in find_faults(one, wanted(pieces))] == []


def test_the_smallest_offcut_it_fits_on_is_taken():
    pieces, plan = full_and_half()
    pieces.append(RECUT)
    offcuts = [
        an_offcut("K1", 2000, 350),
        an_offcut("K2", 700, 310),
        an_offcut("K3", 590, 310),  # too short
        an_offcut("K4", 310, 700),  # the grain runs the other way
        an_offcut("K5", 650, 305, of=THIN),
    ]

    found, words = place(plan, RECUT, means=means(pieces, stock=a_stock(offcuts=offcuts)))

    assert words == "part R is cut from offcut K2."
    assert found.sheets[:-1] == plan.sheets
    assert (found.sheets[-1].offcut, codes_on(found.sheets[-1])) == ("K2", ("R",))
    assert found.sheets[-1].key == "P2/S3"
    assert sound(found, pieces)


def test_an_offcut_that_another_plan_or_this_one_cuts_is_not_taken():
    pieces, plan = full_and_half()
    pieces.append(RECUT)
    stock = a_stock(offcuts=[an_offcut("K1"), an_offcut("K2")])
    with_offcut, _words = place(
        plan, RECUT, means=means(pieces, stock=stock, reserved=Reserved(frozenset({"K1"})))
    )
    assert with_offcut.sheets[-1].offcut == "K2"

    again = replace(RECUT, code="R2")
    more, words = place(
        with_offcut,
        again,
        means=means([*pieces, again], stock=stock, reserved=Reserved(frozenset({"K1"}))),
    )
    assert "K" not in {one.offcut[:1] for one in more.sheets if "R2" in codes_on(one)}
    assert words.startswith("part R goes onto ")


def test_a_sheet_that_is_not_begun_takes_it_else():
    pieces, plan = full_and_half()
    pieces.append(RECUT)

    found, words = place(plan, RECUT, means=means(pieces, begun=plan.sheets[:1]))

    assert words == "part R goes onto S2, laid out anew as S3."
    assert found.sheets[0] == plan.sheets[0]
    assert [one.key for one in found.sheets] == ["P1/S1", "P2/S3"]
    assert all_codes(found) == sorted(wanted(pieces))
    assert sound(found, pieces)


def test_a_sheet_laid_out_anew_leaves_out_what_is_cut_no_more():
    pieces, plan = full_and_half()
    gone = codes_on(plan.sheets[1])[0]
    left = [one for one in pieces if one.code != gone] + [RECUT]

    found, _words = place(
        plan,
        RECUT,
        means=replace(means(left, begun=plan.sheets[:1]), wanted=wanted([*pieces, RECUT])),
    )

    assert all_codes(found) == sorted(wanted(left))


def test_where_all_is_begun_a_new_sheet_is_taken():
    pieces, plan = full_and_half()
    pieces.append(RECUT)

    found, words = place(plan, RECUT, means=means(pieces, begun=plan.sheets))

    assert words == "Sheets that are not begun are laid out anew with part R."
    assert found.sheets[:2] == plan.sheets
    assert codes_on(found.sheets[2]) == ("R",)


def test_where_it_fits_on_no_one_sheet_all_that_are_not_begun_are_laid_out_anew():
    pieces = [a_part(f"A{n}", 2400, 1200) for n in range(2)]
    _of, sheets = laid_out(pieces)
    plan = a_plan(sheets)
    pieces.append(RECUT)

    found, words = place(plan, RECUT, means=means(pieces))

    assert words.startswith("Sheets that are not begun")
    assert len(found.sheets) == 3
    assert [one.origin for one in found.sheets] == ["P2"] * 3
    assert all_codes(found) == ["A0", "A1", "R"]


def test_where_there_is_no_sheet_it_is_left_out_and_said():
    pieces, plan = full_and_half()
    pieces.append(RECUT)
    empty = a_stock(a_size(count=0))

    found, words = place(plan, RECUT, means=means(pieces, begun=plan.sheets, stock=empty))

    assert words == "part R found no place: there is no sheet for it."
    assert found == replace(plan, left_out=("R",))


def test_where_another_would_lose_its_place_for_it_it_gets_none():
    pieces = [a_part("A0", 2400, 1200)]
    _of, sheets = laid_out(pieces)
    pieces.append(RECUT)
    one = a_stock(a_size(count=1))

    found, words = place(a_plan(sheets), RECUT, means=means(pieces, stock=one))

    assert words.startswith("part R found no place")
    assert all_codes(found) == ["A0"]


def test_a_layout_that_fails_a_check_is_no_place():
    pieces, plan = full_and_half()
    pieces.append(RECUT)
    # a list that asks for other parts than those that are laid out
    other = wanted(pieces) | {"R": replace(RECUT, length=RECUT.width)}

    found, words = place(plan, RECUT, means=replace(means(pieces), wanted=other))

    assert words.startswith("part R found no place")
    assert found.sheets == plan.sheets


def test_a_cleat_is_cut_again_with_its_bevel():
    cleats = [a_part(f"C{n}", 700, 80, bevel=45.0, grain="length") for n in range(4)]
    _of, sheets = laid_out(cleats)
    recut = replace(cleats[0], code="R")
    pieces = [*cleats, recut]

    for stock in (Stock(), a_stock(offcuts=[an_offcut("K1", 800, 200)])):
        found, _words = place(a_plan(sheets), recut, means=means(pieces, stock=stock))
        assert all_codes(found) == ["C0", "C1", "C2", "C3", "R"]
        assert sound(found, pieces)


def test_a_part_spoiled_before_it_is_cut_gives_its_place_to_its_recut():
    pieces = [a_part(f"A{n}") for n in range(6)]
    pieces += [a_part(f"C{n}", 700, 80, bevel=45.0, grain="length") for n in range(4)]
    _of, sheets = laid_out(pieces)
    for old in ("A2", "C1"):
        recut = replace(wanted(pieces)[old], code="R")
        spare = a_stock(offcuts=[an_offcut("K1")])
        known = means([*pieces, recut], stock=spare)

        found, words = place(a_plan(sheets), recut, means=known, spoiled=old)

        assert "takes the place of the spoiled one on S1, which is S2 from now on" in words
        assert [one.key for one in found.sheets] == ["P2/S2"]
        assert all_codes(found) == sorted({*wanted(pieces), "R"} - {old})
        begun, _words = place(a_plan(sheets), recut, means=replace(known, begun={"P1/S1"}),
                              spoiled=old)  # fmt: skip
        assert begun.sheets[0] == sheets[0]


def test_a_sheet_that_is_one_part_goes_to_its_recut_whole():
    size = a_size(600, 300, trim=0)
    piece = a_part("A")
    _of, sheets = laid_out([piece], a_stock(size))
    recut = replace(piece, code="R")

    found, _words = place(
        a_plan(sheets), recut, means=means([piece, recut], stock=a_stock(size)), spoiled="A"
    )

    assert found.sheets[0].sheet.whole == "R"


def test_numbers_of_sheets_go_on():
    _pieces, plan = full_and_half()

    assert next_number(()) == 1
    assert next_number(plan.sheets) == 3
    odd = replace(plan.sheets[0], sheet=replace(plan.sheets[0].sheet, name="Sx"))
    assert next_number([odd]) == 1


@settings(max_examples=15)
@given(
    st.lists(st.tuples(st.integers(100, 1500), st.integers(60, 800)), min_size=2, max_size=12),
    st.integers(0, 3),
    st.booleans(),
)
def test_whatever_is_spoiled_nothing_is_lost_and_what_is_begun_stays(sizes, begun, has_offcut):
    pieces = [a_part(f"A{n}", *size) for n, size in enumerate(sizes)]
    _of, sheets = laid_out(pieces, tries=20)
    plan = a_plan(sheets)
    recut = replace(pieces[0], code="R")
    stock = a_stock(offcuts=[an_offcut("K1", 900, 500)] if has_offcut else [])

    found, _words = place(
        plan,
        recut,
        means=means([*pieces, recut], begun=sheets[:begun], stock=stock, tries=20),
    )

    assert all(one in found.sheets for one in sheets[:begun])
    assert all_codes(found) == sorted([*wanted(pieces), "R"])
    assert sound(found, [*pieces, recut])
