"""Sheets to buy: by the plan, by bound and area without one, less what is in stock."""

from fractions import Fraction

from kiosk.rules.breakdown.model import Placed, Sheet, Stock
from kiosk.rules.buying.model import BuyLine
from kiosk.rules.buying.sheets import Planned, Supply, sheet_lines, take_plans
from kiosk.rules.lengths import Length
from kiosk.rules.parts import Piece
from kiosk.rules.sheets.model import Material, PlannedSheet, SheetSize, Strip

MM = 1600
BIRCH = Material("Birch", Length(18 * MM))


def mm(value: float) -> Length:
    return Length(round(value * MM))


def size(length=1000, width=1000, *, material=BIRCH, count=None, trim=0) -> SheetSize:
    return SheetSize(
        material=material, length=mm(length), width=mm(width), count=count, trim=mm(trim)
    )


def pieces(count, length, width, *, start=0, grain="", bevel=0.0, name="Birch", thick=18):
    return [
        Piece(
            code=f"P{start + at}",
            part="part",
            length=mm(length),
            width=mm(width),
            thickness=mm(thick),
            material=name,
            grain=grain,
            bevel=bevel,
        )
        for at in range(count)
    ]


def planned(name="S1", *, codes=(), offcut="", strips=(), length=1000, material=BIRCH):
    stock = Stock(code="", length=mm(length), width=mm(1000), is_offcut=bool(offcut))
    placed = tuple(Placed(code=code, x=0, y=0, length=1, width=1) for code in codes)
    sheet = Sheet(name=name, stock=stock, parts=placed, cuts=(), offcuts=())
    return PlannedSheet(
        origin="plan", material=material, kerf=mm(3), sheet=sheet, strips=strips, offcut=offcut
    )


def buy(uncut, plan=None, *, allowance=0, **supply):
    supply = Supply(**{"usual": size()} | supply)
    found = list(sheet_lines(uncut, plan or Planned(), supply, allowance=allowance))
    lines = [one for one in found if isinstance(one, BuyLine)]
    return lines, [one for one in found if not isinstance(one, BuyLine)]


def test_without_a_plan_the_area_counts_and_the_allowance_is_on_it():
    # 1.8 m2 on sheets of 1 m2: 1.8 sheets, so 2; with 15 % 2.07, so 3
    some = pieces(180, 100, 100)

    (line,), _ = buy(some)
    (more,), _ = buy(some, allowance=15)

    assert (line.amount, more.amount, line.needed) == (2, 3, Fraction(9, 5))
    assert line.what == "Birch, 1000 × 1000 × 18 mm"
    assert line.basis == (
        "2 without a plan, for 1.80 m² of parts: 2 at least, 1.80 by area; "
        "nobody counted what is in stock"
    )


def test_without_a_plan_parts_that_lie_badly_take_what_the_bound_says():
    # three parts of 600 x 600: no two of them lie on one sheet of a metre, though by area 1.08 do
    (line,), _ = buy(pieces(3, 600, 600))

    assert line.amount == 3


def test_kerf_and_trim_count():
    # 5 x 200 fill a metre only without a blade
    (bare,), _ = buy(pieces(25, 200, 200))
    (sawn,), _ = buy(pieces(25, 200, 200), kerf=mm(3))
    (trimmed,), _ = buy(pieces(25, 200, 200), usual=size(trim=5))

    assert (bare.amount, sawn.amount, trimmed.amount) == (1, 2, 2)


def test_two_cleats_count_no_more_than_their_strip():
    # pairs of 100 mm in a board of 18 mm share 18 - (3 / cos 45 - 3) = 16.757 mm of width: 12 pairs
    # of 200 + 3 - 16.757 and a kerf between them take 2270.9 mm, and square ones 2469 mm
    cleats = pieces(24, 2000, 100, grain="length", bevel=45.0)

    (line,), _ = buy(cleats, usual=size(2000, 2280), kerf=mm(3))
    (square,), _ = buy(pieces(24, 2000, 100, grain="length"), usual=size(2000, 2280), kerf=mm(3))

    assert (line.amount, square.amount) == (1, 2)


def test_grain_across_turns_the_part():
    _, none = buy(pieces(1, 900, 400, grain="width"), usual=size(1000, 500))
    (line,), _ = buy(pieces(1, 400, 900, grain="width"), usual=size(1000, 500))

    assert len(none) == 1
    assert line.amount == 1


def test_a_part_that_fits_nowhere_is_named_and_not_counted():
    lines, problems = buy([*pieces(1, 1200, 300), *pieces(1, 300, 300, start=1)])

    assert [one.message for one in problems] == ["part P0 fits on no sheet of 1000 × 1000 mm."]
    assert lines[0].needed == Fraction(9, 100)
    assert buy(pieces(1, 1200, 300))[0] == []


def test_counted_stock_is_taken_off_and_its_size_is_the_one_to_buy():
    small, large = size(500, 500, count=9), size(2000, 1000, count=1)

    (line,), _ = buy(pieces(50, 300, 300), sizes=(small, large))

    assert line.what == "Birch, 2000 × 1000 × 18 mm"
    assert line.needed == Fraction(45, 20)
    assert line.amount == 2
    assert line.basis.endswith("; less 1 in stock")


def test_what_is_in_stock_already_needs_nothing():
    (line,), _ = buy(pieces(2, 300, 300), sizes=(size(count=4),))
    (whole,), _ = buy(pieces(2, 300, 300), sizes=(size(count=4),), ignores_stock=True)

    assert (line.amount, whole.amount) == (0, 1)
    assert "stock" not in whole.basis


def test_a_plan_settles_its_sheets_without_allowance():
    plan = take_plans(
        [planned("S1", codes=("P0", "P1")), planned("S2", codes=("P2",))], frozenset()
    )

    (line,), _ = buy(pieces(3, 300, 300), plan, allowance=50)

    assert (line.amount, line.needed) == (2, 2)
    assert line.basis == "2 sheets by the plan; nobody counted what is in stock"


def test_offcuts_cost_nothing_and_sheets_begun_are_not_bought_again():
    sheets = [
        planned("S1", codes=("P0",)),
        planned("S2", codes=("P1",), offcut="K1234"),
        planned("S3", codes=("P2",)),
    ]

    plan = take_plans(sheets, frozenset({"plan/S1"}))
    (line,), _ = buy(pieces(3, 300, 300), plan)

    assert line.amount == 1


def test_cleats_within_strips_are_settled_by_the_plan():
    strip = Strip(
        code="T1",
        length=mm(900),
        width=mm(150),
        thickness=mm(18),
        tilt=45.0,
        long_faces=(mm(80), mm(80)),
        setting=mm(62),
        lanes=((("P0", mm(900)),), (("P1", mm(900)),)),
    )

    plan = take_plans([planned(codes=("T1",), strips=(strip,))], frozenset())
    (line,), _ = buy(pieces(2, 900, 80, bevel=45.0), plan)

    assert line.amount == 1
    assert "without a plan" not in line.basis


def test_parts_new_since_the_plan_come_on_top():
    plan = take_plans([planned(codes=("P0",))], frozenset())

    (line,), _ = buy(pieces(2, 900, 900), plan)

    assert line.amount == 2
    assert line.basis.startswith("1 sheet by the plan; 1 without a plan")


def test_materials_and_sizes_stand_apart_however_they_are_written():
    oak = Material("Oak", Length(12 * MM))
    some = [
        *pieces(1, 300, 300),
        *pieces(1, 300, 300, start=1, name=" birch"),
        *pieces(1, 300, 300, start=2, thick=12),
        *pieces(1, 300, 300, start=3, name=""),
    ]
    plans = [planned(codes=("X",), material=Material("BIRCH", BIRCH.thickness))]
    plans += [planned("S2", codes=("Y",), length=800, material=oak)]

    lines, _ = buy(some, take_plans(plans, frozenset()))

    assert [(one.what.split(",")[0], one.amount) for one in lines] == [
        ("Unnamed material", 1),
        ("Birch", 1),
        ("BIRCH", 2),
        ("Oak", 1),
    ]


def test_plans_of_two_jobs_add_up_though_they_write_a_material_differently():
    other = Material("birch ", BIRCH.thickness)
    plans = [planned(codes=("P0",)), planned("S2", codes=("P1",), material=other)]

    (line,), _ = buy([], take_plans(plans, frozenset()), sizes=(size(count=1),))

    assert (line.needed, line.amount) == (2, 1)


def test_a_board_nobody_measured_is_bought_without_a_thickness():
    loose = Piece(code="A", part="A", length=mm(300), width=mm(300), material="Birch", bevel=45.0)

    (line,), _ = buy([loose])

    assert line.what == "Birch, 1000 × 1000 mm"
