"""Whatever is entered is answered; nothing unmeasured is rated; what is worse carries less."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.rules.hanging.carrying import Job
from kiosk.rules.hanging.fitting import Expected, Fitting
from kiosk.rules.hanging.hangviews import Checked
from kiosk.rules.hanging.kinds import Grain
from kiosk.rules.hanging.means import Means, read_stock
from kiosk.rules.hanging.model import Shelf
from kiosk.rules.hanging.unitcheck import hang_word
from kiosk.rules.hanging.wall import Layer, Service
from kiosk.rules.lengths import LONGEST, System, from_mm
from tests.wallbuild import (
    SCREW,
    WALL,
    a_job,
    a_panel,
    a_piece,
    a_shelf,
    a_spec,
    braced,
    changed,
    checked,
    whys,
)
from tests.wallstrategies import fittings, walls

STOCK = Means(stock=read_stock("8 x 64, 10 x 89")[0])
SPECS = (
    a_panel(),
    a_shelf("S"),
    a_shelf("T"),
    a_spec("D", "door", a_piece("leaf", 400, 300), hangs_on="S"),
    a_spec("R", "rail", a_piece("rail", 900, 90, bevel=45.0), wall="", hangs_on="P"),
)
names = st.sampled_from([one.unit for one in SPECS])
on_wall = fittings.map(lambda one: replace(one, wall="W"))
near = st.integers(0, 900).map(from_mm)


@st.composite
def nearly_right(draw):
    """Return what the worked shelf has, with a few things otherwise."""
    fitting, other = braced(), draw(fittings)
    for name in draw(st.lists(st.sampled_from(sorted(FIELDS)), max_size=3)):
        fitting = replace(fitting, **{name: getattr(other, name)})
    if draw(st.booleans()):
        fitting = changed(fitting, drop=draw(near), cleat_length=draw(near), x=draw(near))
    return fitting


FIELDS = {
    "how", "on", "x", "y", "width", "height", "depth", "cleat", "screw", "backing", "panel", "void",
    "load_out", "self_out", "drop", "stop_on", "strip", "strip_fixing", "lock", "self_kg",
    "shelves", "goods", "expected",
}  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(names, nearly_right() | on_wall, max_size=4),
    st.just(WALL) | walls.map(lambda one: replace(one, wall="W")),
    st.sampled_from(System),
    st.randoms(use_true_random=False),
)
def test_anything_is_answered_the_same_in_any_order(said, wall, system, random):
    job = Job(
        specs={one.unit: one for one in SPECS}, fittings=said, walls={"W": wall}, system=system
    )
    view = checked(job, means=STOCK)
    assert sorted(one.unit for one in view.order) == sorted(one.unit for one in view.units)
    for one in view.units:
        word = hang_word(one)
        assert word.is_refused == (one.checked is Checked.REFUSED) == bool(one.refusals)
        assert one.words
        if one.net_kg is not None:
            # only what was measured is rated, and never above what the cap of a shelf lets pass
            assert one.net_kg >= 1
            assert one.hanging.unit.drop is not None
            assert wall.spot is not None
            assert one.fitting.cleat.y is not None
            assert len({screw.stud for screw in one.screws}) >= 2
            assert not one.refusals
        else:
            assert one.screws == ()
    keys = list(job.specs)
    random.shuffle(keys)
    mixed = replace(
        job,
        specs={key: job.specs[key] for key in keys},
        fittings={key: said[key] for key in keys if key in said},
    )
    assert checked(mixed, means=STOCK) == view


WORSE = {
    "heavier": lambda job: fitted(job, self_kg=14.0),
    "further out": lambda job: fitted(job, load_out=from_mm(260)),
    "a loose cleat": lambda job: fitted(job, cleat_is_glued=False),
    "a hollow": lambda job: fitted(job, void=from_mm(10)),
    "a loose cleat on a thicker panel": lambda job: fitted(
        job, panel=from_mm(22), cleat_is_glued=False
    ),
    "a shorter screw": lambda job: fitted(job, screw=replace(SCREW, length=from_mm(76.2))),
    "one row": lambda job: fitted(job, cleat_rows=(from_mm(15),)),
    "off the middle": lambda job: fitted(job, x=from_mm(200)),
    "a weak shelf": lambda job: fitted(job, shelves=(WEAK,)),
    "more gypsum": lambda job: walled(
        job, layers=(*WALL.layers, Layer(name="plaster", thickness=from_mm(5)))
    ),
    "a hollow wall": lambda job: walled(
        job, layers=(*WALL.layers, Layer(name="void", thickness=from_mm(5)))
    ),
    "unknown studs": lambda job: walled(
        job, studs=tuple(replace(one, species="") for one in WALL.studs)
    ),
    "damp": lambda job: walled(job, is_damp=True),
    "hot": lambda job: walled(job, celsius=45.0),
    "a door on it": lambda job: replace(
        job,
        specs={**job.specs, "D": SPECS[3]},
        fittings={**job.fittings, "D": Fitting(self_kg=5.0)},
    ),
}
WEAK = Shelf(
    span=from_mm(1000),
    depth=from_mm(300),
    thickness=from_mm(18),
    grain=Grain.ALONG,
    mass_kg=2.0,
)


def fitted(job, **more):
    return replace(job, fittings={**job.fittings, "S": changed(job.fittings["S"], **more)})


def walled(job, **more):
    return replace(job, walls={"W": replace(job.walls["W"], **more)})


@pytest.mark.parametrize("worse", WORSE.values(), ids=WORSE)
def test_what_is_worse_is_rated_less(worse):
    job = a_job(a_panel(), a_shelf(), S=braced())
    before, after = checked(job).unit("S"), checked(worse(job)).unit("S")
    assert before.net_kg == 39
    assert after.net_kg is None or after.net_kg <= before.net_kg
    limit = min(after.rating.limits.values(), default=0)
    assert limit < min(before.rating.limits.values())


def test_what_stands_in_the_way_is_never_rated_away():
    everywhere = Service(kind="cable", x=0, y=0, width=LONGEST, height=LONGEST)
    job = a_job(a_panel(), a_shelf(), S=braced(), wall=replace(WALL, services=(everywhere,)))
    assert whys(checked(job).unit("S")) == ["service"]


def test_a_load_that_is_no_number_is_never_enough():
    job = a_job(a_panel(), a_shelf(), S=braced(expected=(Expected(kg=float("nan")),)))
    assert checked(job).unit("S").fits is False
