"""What holds for any list: more parts never need less, sums over units, the bare figure."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.buying.figures import FIGURES, USUAL
from kiosk.rules.buying.left import find_left
from kiosk.rules.buying.measures import body, joined, screw_length, screws, surface
from kiosk.rules.buying.model import Group, Need
from kiosk.rules.buying.reckon import SOLD, Work, make_line, merge, needs_of, reckon
from kiosk.rules.buying.sheets import Planned, Supply
from kiosk.rules.lengths import Length, System
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.sheets.model import Material, SheetSize
from tests.builders import SETUP, folded, taken

MM = 1600
CALM = settings(max_examples=25, deadline=None, derandomize=True)
SIZE = SheetSize(material=Material("", None), length=Length(2440 * MM), width=Length(1220 * MM))
SUPPLY = Supply(usual=SIZE, kerf=Length(3 * MM))

sides = st.integers(16, 1200 * MM).map(Length)
some_piece = st.builds(
    Piece,
    code=st.just(""),
    part=st.just("part"),
    length=sides,
    width=sides,
    thickness=st.sampled_from([Length(6 * MM), Length(12 * MM), Length(18 * MM)]),
    material=st.just("Birch"),
    grain=st.sampled_from(["", "length", "width"]),
    edge=st.sampled_from(["", "front", "all round", "2 long + 1 short"]),
    bevel=st.sampled_from([0.0, 0.0, 45.0]),
)
some_unit = st.builds(
    lambda pieces, kind, finish, accent: (tuple(pieces), kind, finish, accent),
    st.lists(some_piece, min_size=1, max_size=5),
    st.sampled_from(["shelf", "box", "panel", "wall"]),
    st.sampled_from(["", "clear", "oil", "enamel"]),
    st.booleans(),
)
some_units = st.lists(some_unit, min_size=1, max_size=3)


def left_of(units):
    found = []
    for at, (pieces, kind, finish, accent) in enumerate(units):
        coded = tuple(replace(one, code=f"P{at}-{n}") for n, one in enumerate(pieces))
        spec = UnitSpec(
            job="J", unit=f"U{at}", name="", kind=kind, finish=finish, accent=accent, pieces=coded
        )
        found.append(find_left(folded([taken(spec)]), SETUP.steps(spec), whole=False))
    return tuple(found)


def buy(units, allowance=0, figures=USUAL):
    work = Work(
        jobs=("J",), left=left_of(units), planned=Planned(), supply=SUPPLY, allowance=allowance
    )
    return reckon(work, SETUP, figures)


def amounts(buying):
    return {(one.group, one.what): one.amount for one in buying.lines}


@CALM
@given(some_units, some_piece, st.integers(0, 2), st.integers(0, 100))
def test_one_more_part_never_needs_less(units, piece, at, allowance):
    at %= len(units)
    pieces, *rest = units[at]
    more = [*units[:at], ((*pieces, piece), *rest), *units[at + 1 :]]

    before, after = amounts(buy(units, allowance)), amounts(buy(more, allowance))

    assert all(after.get(key, 0) >= amount for key, amount in before.items())


@CALM
@given(some_units, st.integers(0, 99))
def test_more_allowance_never_buys_less(units, allowance):
    less, more = amounts(buy(units, allowance)), amounts(buy(units, allowance + 1))

    assert less.keys() == more.keys()
    assert all(more[key] >= less[key] for key in less)


@CALM
@given(some_units, st.integers(0, 100))
def test_what_the_units_need_adds_up_to_the_whole(units, allowance):
    together = {(one.group, one.what): one.needed for one in buy(units, allowance).lines}
    apart: dict = {}
    for at in range(len(units)):
        one_by_one = [left_of(units)[at]]
        work = Work(jobs=("J",), left=tuple(one_by_one), planned=Planned(), supply=SUPPLY)
        for line in reckon(work, SETUP, USUAL).lines:
            key = line.group, line.what
            apart[key] = apart.get(key, Fraction(0)) + line.needed

    assert apart == together


@CALM
@given(some_units)
def test_without_allowance_the_amount_is_the_need_rounded_up_and_no_more(units):
    for line in buy(units).lines:
        step = SOLD[line.group][1]
        bought = Fraction(line.amount)
        assert bought % step == 0
        assert bought >= line.needed
        if line.group is not Group.SHEETS:
            assert bought - line.needed < step


@CALM
@given(some_units)
def test_the_order_of_units_does_not_matter(units):
    left = left_of(units)
    work = Work(jobs=("J",), left=left, planned=Planned(), supply=SUPPLY)

    turned = reckon(replace(work, left=left[::-1]), SETUP, USUAL)

    assert turned.lines == reckon(work, SETUP, USUAL).lines


@CALM
@given(st.lists(some_piece, min_size=1, max_size=8), st.integers(0, 100))
def test_measures_by_another_way_of_counting(pieces, percent):
    pieces = [replace(one, code=f"P{at}") for at, one in enumerate(pieces)]
    share = Fraction(percent, 100)
    metre = 1000 * MM
    for one in pieces:
        long, wide, thick = (
            Fraction(side, metre) for side in (one.length, one.width, one.thickness)
        )
        # as a box has it: three pairs of faces
        assert surface(one) == 2 * (long * wide + long * thick + wide * thick)
        assert screws(one, share, Fraction(150)) >= 0
        assert screw_length(one) >= 12
    largest = body(pieces)
    assert (largest is None) == all(one.bevel for one in pieces)
    assert joined(pieces, share) <= sum(map(surface, pieces))


def test_screws_come_through_no_board_of_their_thickness():
    for thick in range(8, 60):
        cleat = Piece(
            code="", part="", length=Length(1), width=Length(1),
            thickness=Length(thick * MM), bevel=45.0,
        )  # fmt: skip
        assert screw_length(cleat) <= 2 * thick - 3
        assert screw_length(replace(cleat, bevel=0.0)) >= min(2.5 * thick, 100)


def test_every_group_is_sold_somehow_and_every_figure_is_used():
    assert set(SOLD) == set(Group)
    kinds = {
        Group.GLUE, Group.SCREWS, Group.EDGING, Group.FILLER,
        Group.WALL_FILLER, Group.STRIPE, Group.DISCS,
    }  # fmt: skip
    pieces = (
        replace(PLAIN, code="A", edge="front"),
        replace(PLAIN, code="B", bevel=45.0),
        replace(PLAIN, code="C"),
    )
    units = [(pieces, "shelf", "clear", True), ((PLAIN,), "wall", "", False)]
    usual = {(one.group, one.what): one.needed for one in buy(units).lines}
    changed = set()
    for figure in FIGURES:
        other = {**USUAL, figure.name: Fraction(figure.least)}
        now = {(one.group, one.what): one.needed for one in buy(units, figures=other).lines}
        assert (now != usual) == (figure.least != figure.usual), figure.name
        changed |= {key[0] for key in {*now, *usual} if now.get(key) != usual.get(key)}

    assert kinds - changed == set()


PLAIN = Piece(
    code="A", part="A", length=Length(900 * MM), width=Length(300 * MM),
    thickness=Length(18 * MM), material="Birch",
)  # fmt: skip


def test_needs_of_one_thing_become_one_line():
    need = Need(
        group=Group.GLUE,
        item="g",
        what="glue",
        amount=Fraction(1, 3),
        measure=Fraction(1),
        rate=Fraction(200),
    )

    (merged,) = merge([need, need, need])

    assert merged.amount == 1
    assert (
        make_line(merged, 5).amount == make_line(replace(merged, amount=Fraction(21, 20)), 0).amount
    )
    assert (
        list(needs_of(left_of([((PLAIN,), "shelf", "", False)])[0], SETUP, USUAL, System.MM)) == []
    )
