"""Boards that sag, against finite elements and a published table of spans."""

from itertools import pairwise

import pytest
from Pynite import FEModel3D

from kiosk.rules.hanging.inches import GRAVITY, inches, psf, psi
from kiosk.rules.hanging.sag import section, simple, stiffness, tip_alone

E, DEPTH, THICK = 6550.0, 300.0, 18.0
EI = stiffness(E, depth=DEPTH, thickness=THICK)


def beam(places, supports, loads):
    """A plane beam by finite elements: many short members, so that sags are read at nodes."""
    model = FEModel3D()
    model.add_material("ply", E, E / 2.6, 0.3, 1e-9)
    iy = DEPTH * THICK**3 / 12
    model.add_section("board", DEPTH * THICK, iy, iy, 2 * iy)
    for x in places:
        model.add_node(f"N{x}", x, 0, 0)
    for a, b in pairwise(places):
        name = f"M{a}"
        model.add_member(name, f"N{a}", f"N{b}", "ply", "board")
        for start, end, w in loads:
            if start <= a and b <= end:
                model.add_member_dist_load(name, "Fy", -w, -w)
    for at, one in enumerate(supports):
        model.def_support(f"N{one}", at == 0, True, True, True, False, False)
    model.analyze_linear()
    sags = {x: -model.nodes[f"N{x}"].DY["Combo 1"] for x in places}
    reactions = [model.nodes[f"N{one}"].RxnFY["Combo 1"] for one in supports]
    return sags, reactions


@pytest.mark.parametrize(("span", "sag"), [(600, 0.866), (800, 2.054), (900, 2.924)])
def test_one_span(span, sag):
    # 300 × 18, E 6550, 30 kg even; the figures also come out of a second library of frames
    w = 30 * GRAVITY / span
    sags, reactions = beam([0, span // 2, span], [0, span], [(0, span, w)])
    assert simple(w, span=span, ei=EI) == pytest.approx(sags[span // 2], rel=1e-4)
    assert simple(w, span=span, ei=EI) == pytest.approx(sag, abs=6e-4)
    assert reactions == pytest.approx([15 * GRAVITY] * 2)


def test_overhangs_loaded_alone():
    sags, _reactions = beam([0, 150, 500, 850, 1000], [150, 850], [(0, 150, 0.3), (850, 1000, 0.3)])
    assert tip_alone(0.3, span=700, overhang=150, ei=EI) == pytest.approx(sags[0], rel=1e-4)


# Architectural Woodwork Standards 2009, 1st ed., section 10, L/144: longest spans in inches by
# elasticity in psi, thickness in inches, load in psf; it mostly rounds down
SPANS = [
    (950e3, 0.75, 40, 40), (950e3, 0.75, 50, 37), (950e3, 1.0, 40, 53), (950e3, 1.0, 50, 49),
    (1.8e6, 0.75, 40, 49), (1.8e6, 0.75, 50, 46), (1.8e6, 1.0, 40, 66), (1.8e6, 1.0, 50, 61),
    (1.82e6, 0.75, 40, 49), (1.82e6, 0.75, 50, 46), (1.82e6, 1.0, 40, 66), (1.82e6, 1.0, 50, 61),
]  # fmt: skip


@pytest.mark.parametrize(("elasticity", "thick", "load", "span"), SPANS)
def test_a_published_table_of_spans(elasticity, thick, load, span):
    # per mm of depth; the table's span is within three quarters of an inch of where 144 is reached
    ei = stiffness(psi(elasticity), depth=1, thickness=inches(thick))
    for more, is_short in ((-0.75, True), (0.75, False)):
        long = inches(span + more)
        assert (simple(psf(load), span=long, ei=ei) <= long / 144) is is_short


def test_bending_of_the_worked_shelf():
    # worked: 30 kg on 800: 1.82 MPa
    bent = 30 * GRAVITY / 800 * 800**2 / 8 / section(depth=300, thickness=18)
    assert bent == pytest.approx(1.82, abs=0.005)
