"""What would let a unit carry more, least effort first."""

import re
from dataclasses import replace

from kiosk.rules.hanging.improving import improvements
from kiosk.rules.hanging.kinds import Backing, Head
from kiosk.rules.hanging.model import Lock
from kiosk.rules.hanging.rating import rate
from kiosk.rules.lengths import System, from_mm
from tests.hanging import SCREW, braced, floating

LOCK = Lock(screw=SCREW, count=2, backing=Backing.STUD)
STOCK = [from_mm(one) for one in (63.5, 76.2, 88.9, 101.6)]


def said(found):
    return [one.words for one in found]


def test_a_longer_back_for_a_unit_that_would_unhook():
    found = improvements(floating(50), shop=1)
    assert said(found) == [
        "A pull-lock of two screws into studs: no number before, 3 kg after.",
        "A back piece 100 mm longer: no number before, 15 kg after.",
    ]


def test_a_longer_back_for_a_unit_with_a_lock():
    found = improvements(floating(50, unit_lock=LOCK), shop=1)
    assert "A back piece 100 mm longer: 3 kg before, 15 kg after." in said(found)
    assert "Washers 16 mm wide: 3 kg before, 8 kg after." in said(found)


def test_a_back_just_too_short_is_lengthened_by_one_step():
    found = improvements(floating(140.9), shop=1)
    assert any("A back piece 10 mm longer" in one for one in said(found))
    assert not any("back piece" in one for one in said(improvements(floating(141), shop=1)))


def test_a_longer_screw_helps_where_the_thread_decides():
    washers = replace(SCREW, head=Head.WASHER, head_across=from_mm(16))
    found = improvements(replace(floating(150), screw=washers), stock=STOCK, shop=1)
    assert said(found)[0].startswith("Screws 101.6 mm long: 24 kg before")
    assert not any("Washers" in one for one in said(found))


def test_a_screw_that_is_too_short_is_replaced_by_the_next():
    short = replace(floating(150), screw=replace(SCREW, length=from_mm(63.5)))
    found = improvements(short, stock=STOCK, shop=1)
    assert said(found) == [
        "Screws 88.9 mm long: no number before, 15 kg after.",
        "Screws 101.6 mm long: no number before, 15 kg after.",
    ]


def stud_more(case):
    found = improvements(case, shop=1)
    return {one.what: one for one in found if "one stud more" in one.what}


def test_one_stud_more_for_a_unit_in_the_middle_of_two():
    # where it is, it would hang off the middle of three: 1/3 + 203.2 × 406.4/(2 × 406.4²) = 0.583
    found = stud_more(floating(150))
    middle = "A cleat that reaches one stud more, the unit in the middle of them"
    assert list(found) == [middle]
    # in the middle of three it carries half as much again: 1.5 × 21.2783 - 6
    assert (found[middle].before, found[middle].after) == (15, 25)
    assert rate(found[middle].hanging, shop=1).net_kg == 25


def test_one_stud_more_on_the_side_where_the_unit_is():
    found = stud_more(floating(150, unit_middle=from_mm(20)))
    there = found["A cleat that reaches one stud more"]
    assert min(there.hanging.wall.studs) == from_mm(-406.4)
    # 1/3 + 20 × 406.4/(2 × 406.4²) of it, from 1/2 + 183.2/406.4
    assert there.after == int(21.2783 * 0.5 / (1 / 3 + 20 / 812.8)) - 6
    assert there.before == int(21.2783 * 0.5 / (0.5 + 183.2 / 406.4) - 6)


def test_two_changes_where_none_alone_helps():
    both = replace(floating(50), screw=replace(SCREW, length=from_mm(76.2)))
    found = improvements(both, stock=STOCK, shop=1)
    assert "Screws 88.9 mm long and a back piece 100 mm longer: no number before, 15 kg after." in (
        said(found)
    )
    assert all(" and " in one.what for one in found)


def test_a_unit_off_the_middle_is_helped_by_moving_it():
    aside = floating(150, unit_middle=from_mm(20), unit_strip=from_mm(380))
    found = said(improvements(aside, shop=1))
    # 203.2 is the middle of its two studs, where it holds 21.2783 as in the worked case; at 20 the
    # nearer stud bears 1/2 + 183.2/406.4 of it: 21.2783 × 0.5/0.951 - 6 = 5.2
    assert "The unit in the middle of its studs: 5 kg before, 15 kg after." in found
    assert not [one for one in said(improvements(floating(150), shop=1)) if "of its studs" in one]


def test_no_two_changes_are_about_one_thing():
    found = set()
    for at in range(-300, 701, 50):
        for drop in (25, 50, 150):
            one = floating(drop, unit_middle=from_mm(at))
            short = replace(one, screw=replace(SCREW, length=from_mm(76.2)))
            for case in (one, short):
                found |= {each.what.lower() for each in improvements(case, stock=STOCK, shop=1)}
    assert any(" and " in what for what in found)
    assert not [what for what in found if len(re.findall(r"screws \d", what)) > 1]
    assert not [what for what in found if "of its studs" in what and "more" in what]
    assert not [what for what in found if what.count("stud more") > 1]


def test_nothing_helps_where_nothing_can():
    nowhere = floating(150, wall_backing=Backing.GYPSUM, wall_studs=())
    assert improvements(nowhere, stock=STOCK) == ()
    unmeasured = floating(150, unit_drop=None)
    assert improvements(unmeasured) == ()


def test_each_improvement_carries_a_kilogram_more_at_least():
    for case in (floating(25, unit_lock=LOCK), braced(), braced(60), floating(150)):
        before = rate(case).net_kg or 0
        for one in improvements(case, stock=STOCK):
            assert one.after >= before + 1
            assert rate(one.hanging).net_kg == one.after


def test_lengths_are_said_as_the_shop_reads_them():
    found = improvements(floating(50), shop=1, system=System.INCH)
    assert said(found)[1].startswith('A back piece 3 15/16" longer')
