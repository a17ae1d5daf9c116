from dataclasses import replace

import pytest

from kiosk.rules.partlist import compare, read, units_of
from kiosk.rules.parts import UnitSpec, as_body, unit_from_body

HEAD = ["Unit", "Name", "Kind", "Part", "Length", "Width", "T", "Qty", "Grain", "Note", "Finish"]


def row(unit="B1", part="Side", length="600", qty="1", note="", finish="", name="Box"):
    return [unit, name, "box", part, length, "300", "18", qty, "length", note, finish]


def listed(*rows):
    result = read([HEAD, *rows], units="mm")
    assert result.problems == ()
    return result


def taken_in(*rows) -> tuple[UnitSpec, ...]:
    """Take a list in as job J, with codes a, b, c … in list order."""
    codes = iter("abcdefghijklmnop")
    specs = (draft.spec("J") for draft in units_of(listed(*rows)))
    return tuple(
        replace(spec, pieces=tuple(replace(piece, code=next(codes)) for piece in spec.pieces))
        for spec in specs
    )


def codes_of(revision):
    return {spec.unit: [piece.code for piece in spec.pieces] for spec in revision.units}


def fates(revision):
    names = ("added", "gone", "changed", "protected", "kept")
    return {
        name: [(c.unit, c.part, "".join(c.codes)) for c in getattr(revision, name)]
        for name in names
        if getattr(revision, name)
    }


def test_an_equal_list_keeps_everything():
    rows = [row(qty="2"), row(part="Top"), row("B2", part="Top")]
    revision = compare(taken_in(*rows), listed(*rows), cut=())
    assert fates(revision) == {
        "kept": [("B1", "Side", "ab"), ("B1", "Top", "c"), ("B2", "Top", "d")]
    }
    assert codes_of(revision) == {"B1": ["a", "b", "c"], "B2": ["d"]}
    assert revision.units_gone == revision.unit_changes == ()


def test_a_first_list_is_all_added():
    revision = compare((), listed(row(qty="2")), cut=())
    (change,) = revision.added
    assert (change.quantity_before, change.quantity_after, change.codes) == (0, 2, ())
    assert (change.size_before, change.size_after) == (None, (960000, 480000, 28800))
    assert codes_of(revision) == {"B1": ["", ""]}


def test_rows_in_another_order_keep_their_codes():
    old = taken_in(row(part="Side"), row(part="Top"))
    revision = compare(old, listed(row(part="Top"), row(part="Side")), cut=())
    assert codes_of(revision) == {"B1": ["b", "a"]}


def test_another_size_is_a_change_that_keeps_the_code():
    revision = compare(taken_in(row(qty="2")), listed(row(length="610", qty="2")), cut=())
    (change,) = revision.changed
    assert (change.size_before[0], change.size_after[0]) == (600 * 1600, 610 * 1600)
    assert (change.quantity_before, change.quantity_after, change.codes) == (2, 2, ("a", "b"))
    assert [piece.length for piece in revision.units[0].pieces] == [610 * 1600] * 2


def test_another_note_is_a_change_too():
    revision = compare(taken_in(row()), listed(row(note="oak lip")), cut=())
    assert fates(revision) == {"changed": [("B1", "Side", "a")]}


def test_an_alike_piece_is_matched_before_one_of_the_same_name():
    old = taken_in(row(length="600"), row(length="700"))
    revision = compare(old, listed(row(length="700"), row(length="800")), cut=())
    assert fates(revision) == {"kept": [("B1", "Side", "b")], "changed": [("B1", "Side", "a")]}


def test_a_lower_quantity_drops_pieces_that_are_not_cut():
    revision = compare(taken_in(row(qty="3")), listed(row(qty="1")), cut={"c"})
    assert fates(revision) == {"gone": [("B1", "Side", "ab")], "kept": [("B1", "Side", "c")]}


def test_a_cut_piece_is_never_changed():
    old = taken_in(row(qty="2"))
    revision = compare(old, listed(row(length="610", qty="2")), cut={"a"})
    assert fates(revision) == {
        "changed": [("B1", "Side", "b")],
        "protected": [("B1", "Side", "a")],
    }
    assert revision.units[0].pieces[0] == old[0].pieces[0]


def test_a_cut_piece_is_never_dropped():
    old = taken_in(row(qty="2"), row(part="Top"))
    revision = compare(old, listed(row(part="Top")), cut={"b"})
    (change,) = revision.protected
    assert (change.quantity_before, change.quantity_after, change.codes) == (1, 0, ("b",))
    assert codes_of(revision) == {"B1": ["c", "b"]}


def test_a_dropped_unit_goes_unless_a_piece_of_it_is_cut():
    old = taken_in(row("B1"), row("B2"), row("B2", part="Top"), row("B3"))
    revision = compare(old, listed(row("B1")), cut={"c"})
    assert revision.units_gone == ("B3",)
    assert codes_of(revision) == {"B1": ["a"], "B2": ["c"]}
    assert revision.units[1].name == old[1].name


def test_new_units_have_pieces_that_want_codes():
    revision = compare(taken_in(row("B1")), listed(row("B1"), row("B2", qty="2")), cut=())
    assert codes_of(revision) == {"B1": ["a"], "B2": ["", ""]}
    assert {spec.job for spec in revision.units} == {"J"}


def test_other_values_of_a_unit_are_named():
    revision = compare(taken_in(row()), listed(row(name="Bin", finish="clear + stripe")), cut=())
    assert [(c.what, c.before, c.after) for c in revision.unit_changes] == [
        ("name", "Box", "Bin"),
        ("finish", "", "clear"),
        ("accent", "no", "yes"),
    ]


@pytest.mark.parametrize("finish", ["oil + stripe", "oil", ""])
def test_a_unit_comes_back_from_its_body(finish):
    old = taken_in(row(qty="2", note="lip"), row(part="Top", finish=finish))[0]
    pieces = (replace(old.pieces[0], bevel=45.0), replace(old.pieces[1], thickness=None))
    spec = replace(old, pieces=pieces, wall="W1", position="left", hangs_on="P1")
    assert unit_from_body("J", "B1", as_body(spec)) == spec


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"name": 5, "kind": "sofa", "pieces": "none", "new": 1},
        {"pieces": [{"code": "a", "length": "x", "bevel": "y"}, 7], "accent": "yes"},
    ],
)
def test_a_body_with_missing_or_wrong_values_is_read_as_far_as_it_goes(body):
    spec = unit_from_body("J", "B1", body)
    assert (spec.name, spec.kind, spec.accent) == ("B1", "panel", False)
    assert [piece.code for piece in spec.pieces] == ["a"] * (len(spec.pieces))
