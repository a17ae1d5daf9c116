"""Lists worked by hand: one shelf unit, a wall, and two units of the sample list."""

from decimal import Decimal
from fractions import Fraction

from kiosk.rules.buying.basis import say_amount
from kiosk.rules.buying.figures import USUAL
from kiosk.rules.buying.left import find_left
from kiosk.rules.buying.model import Group
from kiosk.rules.buying.reckon import Work, reckon
from kiosk.rules.buying.sheets import Planned, Supply
from kiosk.rules.lengths import Length, System
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.sheets.model import Material, SheetSize
from tests.builders import PRODUCTS_TEXT, SETUP, folded, history, setup, taken

MM = 1600
USUAL_SIZE = SheetSize(
    material=Material("", None), length=Length(2440 * MM), width=Length(1220 * MM)
)


def part(code, length, width, thick=18, *, bevel=0.0, edge="", grain="", name="") -> Piece:
    return Piece(
        code=code,
        part=name or code,
        length=Length(round(length * MM)),
        width=Length(round(width * MM)),
        thickness=Length(thick * MM) if thick else None,
        material="Birch",
        bevel=bevel,
        edge=edge,
        grain=grain,
    )


def unit(name="S1", *pieces, kind="shelf", finish="clear", **more) -> UnitSpec:
    return UnitSpec(
        job="GLAZE", unit=name, name=name, kind=kind, finish=finish, pieces=pieces, **more
    )


# G06 of the sample list, as three parts: board 1160 x 400, bracket 380 x 180, cleat 1120 x 70.
SHELF = unit(
    "S1",
    part("A", 1160, 400, edge="front", grain="length"),
    part("B", 380, 180, edge="front", grain="length"),
    part("C", 1120, 70, bevel=45.0, grain="length"),
)


def buy(*specs, lines=(), shop=SETUP, whole=False, figures=USUAL, supply=None, **more):
    states = [folded(history(*lines, unit=spec) if lines else [taken(spec)]) for spec in specs]
    left = tuple(find_left(one, shop.steps(one.spec), whole=whole) for one in states)
    work = Work(
        jobs=("GLAZE",),
        left=left,
        planned=Planned(),
        supply=supply or Supply(usual=USUAL_SIZE, ignores_stock=whole),
        whole=whole,
        **{"allowance": 0} | more,
    )
    return reckon(work, shop, figures)


def line(buying, group, nth=0):
    return [one for one in buying.lines if one.group is group][nth]


def test_coats_by_hand():
    # faces 2 x (1.160 x 0.400 + 0.380 x 0.180 + 1.120 x 0.070) = 2 x 0.6108 = 1.2216 m2
    # edges 2 x (1.560 + 0.560 + 1.190) x 0.018 = 6.62 x 0.018 = 0.11916 m2
    # two coats: 2 x 1.34076 = 2.68152 m2, at 12 m2 a litre 0.22346 l
    found = line(buy(SHELF), Group.COAT)

    assert found.needed == Fraction(268152, 100000) / 12
    assert (found.amount, found.unit) == (Decimal("0.3"), "l")
    assert found.basis == "2.68 m² in all coats left together, 12 m² a litre"
    assert say_amount(found) == "0.3 l"


def test_glue_and_screws_by_hand():
    # cleat 1.120 x 0.070 = 0.0784 m2; bracket: half of 1.120 m of edges x 0.018 = 0.01008 m2;
    # the board is what they are joined to: 0.08848 m2 x 200 g = 17.696 g
    buying = buy(SHELF)
    glue = line(buying, Group.GLUE)

    assert glue.needed == Fraction(17696, 1_000_000)
    assert (glue.amount, glue.unit) == (Decimal("0.1"), "kg")
    # cleat: 1120 / 150 = 7.47, so 8 gaps and 9 screws, 2 x 18 - 3 = 33, so 30 mm long
    # bracket: half of 1120 mm of edges / 150 = 3.73, so 4 screws; 2.5 x 18 = 45 mm
    screws = [one for one in buying.lines if one.group is Group.SCREWS]
    assert [(one.what, one.needed, one.amount) for one in screws] == [
        ("Wood screws, 30 mm", 9, 10),
        ("Wood screws, 45 mm", 4, 10),
    ]
    assert say_amount(screws[0]) == "10"


def test_edging_filler_discs_and_cleat_stock_by_hand():
    buying = buy(SHELF)

    # the fronts: 1.160 + 0.380, and 0.050 beyond the ends of each
    assert line(buying, Group.EDGING).needed == Fraction(1640, 1000)
    assert line(buying, Group.EDGING).amount == 2
    # 6.62 m of edges at 3 ml
    assert line(buying, Group.FILLER).needed == Fraction(1986, 100_000)
    # sanded to 220 and scuffed: twice 1.34076 m2, 2 m2 a disc
    assert line(buying, Group.DISCS).needed == Fraction(134076, 100_000)
    assert say_amount(line(buying, Group.DISCS)) == "2 discs"
    assert say_amount(line(buying, Group.SHEETS)) == "1 sheet"
    cleats = line(buying, Group.CLEATS)
    assert (cleats.needed, cleats.amount, cleats.is_instead) == (
        Fraction(1120, 1000),
        Decimal("1.2"),
        True,
    )
    assert cleats.what == "Cleat stock, 70 mm wide on the long face, 45° bevel, 18 mm thick"


def test_a_wall_by_hand():
    # G1 of the sample list: 5.4 x 2.6 = 14.04 m2; two coats of paint at 10 m2 a litre = 2.808 l
    # two fillings over half of it, 1 mm deep: 14.04 l
    wall = unit("G1", part("W", 5400, 2600, thick=None), kind="wall", finish="")
    buying = buy(wall)

    assert line(buying, Group.WALL_PAINT).needed == Fraction(2808, 1000)
    assert line(buying, Group.WALL_PAINT).amount == Decimal("2.9")
    assert line(buying, Group.WALL_FILLER).needed == Fraction(1404, 100)
    assert {one.group for one in buying.lines} == {
        Group.WALL_PAINT,
        Group.WALL_FILLER,
        Group.DISCS,
    }
    assert buying.problems == ()


def test_a_stripe_runs_along_the_longest_part():
    # 1.160 m x 0.100 m twice = 0.232 m2 at 10 m2 a litre
    striped = unit("S1", *SHELF.pieces, accent=True)

    found = line(buy(striped), Group.STRIPE)

    assert found.needed == Fraction(232, 10_000)
    assert found.what == "Acrylic enamel, waterborne, for stripes"


def test_the_allowance_is_on_top_and_rounded_up_to_what_is_sold():
    # 0.22346 l + 10 % = 0.2458 l; 9 screws + 20 % = 10.8
    assert line(buy(SHELF, allowance=10), Group.COAT).amount == Decimal("0.3")
    assert line(buy(SHELF, allowance=20), Group.SCREWS).amount == 20
    assert line(buy(SHELF, allowance=50), Group.COAT).amount == Decimal("0.4")
    assert line(buy(SHELF, allowance=50), Group.COAT).needed == line(buy(SHELF), Group.COAT).needed


def test_what_is_done_is_not_bought_again():
    cut = buy(SHELF, lines=("cut A", "cut B", "cut C"))
    glued = buy(SHELF, lines=("cut A", "cut B", "cut C", "glue-up"))
    coated = buy(SHELF, lines=("cut A", "glue-up", "fill", "sand", "coat-1"))
    hung = buy(SHELF, lines=("glue-up", "hang"))

    assert {Group.SHEETS, Group.CLEATS} & {one.group for one in cut.lines} == set()
    assert line(cut, Group.EDGING).amount == 2
    assert {one.group for one in glued.lines} == {Group.FILLER, Group.COAT, Group.DISCS}
    assert line(coated, Group.COAT).needed == line(buy(SHELF), Group.COAT).needed / 2
    assert hung.lines == ()


def test_a_struck_coat_is_bought_again():
    found = buy(SHELF, lines=("glue-up", "fill", "sand", "coat-1", "strike"))

    assert line(found, Group.COAT).needed == line(buy(SHELF), Group.COAT).needed


def test_a_coat_struck_under_a_later_one_is_bought_again_alone():
    found = buy(SHELF, lines=("glue-up", "fill", "sand", "coat-1", "strike", "coat-2"))

    assert line(found, Group.COAT).needed == line(buy(SHELF), Group.COAT).needed / 2


def test_the_whole_job_is_the_same_before_and_after():
    before, after = buy(SHELF, whole=True), buy(SHELF, lines=("glue-up", "hang"), whole=True)

    assert before.lines == after.lines
    assert before.lines[1:] == buy(SHELF).lines[1:]
    assert "in stock" not in before.lines[0].basis
    assert before.assumptions[0] == "For the whole jobs, as if nothing were done or in stock yet."


def test_a_recut_is_bought_and_the_spoiled_part_is_not():
    found = buy(SHELF, lines=("cut A", "cut B", "cut C", "spoil C C2"))

    assert line(found, Group.CLEATS).needed == Fraction(1120, 1000)


def test_a_unit_of_one_part_has_no_joints():
    groups = {one.group for one in buy(unit("P1", part("A", 600, 400), finish="")).lines}

    assert groups == {Group.SHEETS}


def test_cautions_come_with_the_products_and_solvent_rags_are_named():
    oiled = buy(unit("S1", *SHELF.pieces, finish="oil"))

    rags = (
        "Hardwax oil: Oily rags can catch fire by themselves: dry them flat outside, in one layer."
    )
    assert rags in oiled.cautions
    assert not any("Oily rags" in one for one in buy(SHELF).cautions)
    # said once, though the filler's label says it too
    assert sum("Sanding and sawing dust" in one for one in buy(SHELF).cautions) == 1


def test_a_label_of_its_own_words_is_said():
    shop = setup(glue="polyurethane-glue")

    cautions = buy(SHELF, shop=shop).cautions

    assert "Polyurethane glue, moisture-curing: Read the safety data sheet." in cautions


def test_the_shops_own_coverage_counts_and_one_without_is_named():
    own = PRODUCTS_TEXT.replace("{ label_m2_l = 12 }", "{ label_m2_l = 12, own_m2_l = 8 }", 1)
    none = PRODUCTS_TEXT.replace("coverage = { label_m2_l = 12 }\n", "", 1)

    assert line(buy(SHELF, shop=setup(products=own)), Group.COAT).needed == Fraction(
        268152, 800_000
    )
    missing = buy(SHELF, shop=setup(products=none))
    assert not any(one.group is Group.COAT for one in missing.lines)
    assert [one.message for one in missing.problems] == [
        "How far Polyurethane, water-based, clear goes is not known."
    ]


def test_a_product_that_nobody_knows_is_named_once():
    found = buy(unit("S1", *SHELF.pieces, finish="gold"))
    without = buy(SHELF, shop=setup(glue="none-such"))

    assert [one.message for one in found.problems] == [
        "No product “gold” is known, so none is reckoned."
    ]
    assert [one.message for one in without.problems] == [
        "No product “none-such” is known, so none is reckoned."
    ]
    assert any(one.group is Group.SCREWS for one in without.lines)


def test_parts_without_a_thickness_and_edges_not_understood_are_named():
    odd = unit("S1", part("A", 600, 400, None), part("B", 600, 300, None, edge="as drawn"))
    buying = buy(odd)

    said = [one.message for one in buying.problems]
    assert said == [
        "S1, A: it has no thickness; its edges, joints and screws are not reckoned.",
        "S1, B: it has no thickness; its edges, joints and screws are not reckoned.",
        "S1, B: which edges “as drawn” means is not understood; none is reckoned.",
    ]
    assert not {Group.GLUE, Group.SCREWS} & {one.group for one in buying.lines}


def test_edging_of_a_board_nobody_measured_is_still_a_length():
    found = buy(unit("S1", part("A", 600, 400, None, edge="all round")))

    assert line(found, Group.EDGING).what == "Edging"
    assert line(found, Group.EDGING).needed == Fraction(2200, 1000)


def test_a_wall_without_a_size_is_named():
    found = buy(unit("G1", kind="wall", finish=""))

    assert [one.message for one in found.problems] == [
        "Wall G1 has no size, so no paint is reckoned."
    ]
    assert all(one.amount == 0 for one in found.lines)


def test_lengths_are_said_as_the_job_says_them():
    found = buy(SHELF, system=System.INCH)

    # 2440 and 1220 mm are no 64ths of an inch
    assert line(found, Group.SHEETS).what == 'Birch, 96 1/16" × 48 1/32" × 0.709"'


def test_an_estimate_of_sheets_is_called_one():
    estimate = (
        "Sheets without a plan are an estimate: a plan may take more, offcuts may spare some."
    )
    cut = buy(SHELF, lines=("cut A", "cut B", "cut C"))

    assert estimate in buy(SHELF).assumptions
    assert estimate not in cut.assumptions
