"""Show every assumption behind a rating as a value, with where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from kiosk.rules.hanging.bevel import BEARING, BENDING, ROLLING_SHEAR, tip_strength
from kiosk.rules.hanging.eurocode import (
    GAMMA_CONNECTION,
    K_MOD,
    LOAD_FACTOR,
    RHO_PLYWOOD,
    RHO_STUD,
)
from kiosk.rules.hanging.fasteners import Capacity, cleat_gravity
from kiosk.rules.hanging.kinds import Head
from kiosk.rules.hanging.model import Hanging
from kiosk.rules.hanging.prying import PIVOT
from kiosk.rules.hanging.pulling import COUNTERSUNK
from kiosk.rules.hanging.screws import SIZES, reduction
from kiosk.rules.hanging.shelves import ACROSS, CAP_KG, CREEP, ELASTICITY, LIMIT, RUPTURE, SAFETY
from kiosk.rules.hanging.species import GRAVITIES, stud_gravity
from kiosk.rules.hanging.studs import window
from kiosk.rules.lengths import System, from_mm
from kiosk.rules.tape import Toward, on_tape
from kiosk.rules.words import Phrase, _, number, say

STUD: Final = 38.1  # mm, 1 1/2 in: how wide a stud is taken to be


@dataclass(frozen=True, slots=True)
class Assumption:
    """One thing a rating rests on: what, its value as shown, and its source."""

    what: Phrase
    value: str
    basis: Phrase


def assumptions(
    hanging: Hanging, held: Capacity, *, duration: float, shop: float, system: System = System.MM
) -> tuple[Assumption, ...]:
    """Return all that a rating assumes; duration is the screws' factor, shop the shop's own."""
    return (
        *_wood(hanging),
        *_screws(hanging, held, duration=duration, system=system),
        *_statics(hanging, shop=shop, system=system),
        *_lock(hanging, system),
        *(_second_opinion() if hanging.screw.declared else ()),
        *(_shelves() if hanging.unit.shelves else ()),
    )


def _wood(hanging: Hanging) -> Iterator[Assumption]:
    wall = hanging.wall
    gravity = number(f"{stud_gravity(wall.species, measured=wall.gravity):.2f}")
    if wall.gravity is not None:
        yield Assumption(_("specific gravity of the studs"), gravity, _("measured in the shop"))
    elif wall.species in GRAVITIES:
        value = say("{species}: {gravity}", species=wall.species, gravity=gravity)
        yield Assumption(_("studs"), value, _("NDS 2018, table 12.3.3A, as transcribed"))
    else:
        value = say("unknown species: {gravity}", gravity=gravity)
        yield Assumption(_("studs"), value, _("the lightest common framing lumber"))
    panel = number(f"{cleat_gravity(hanging.cleat.board):.2f}")
    basis = _("NDS 2018, table 12.3.3B, as transcribed")
    yield Assumption(_("specific gravity of cleat and panel"), panel, basis)


def _screws(
    hanging: Hanging, held: Capacity, *, duration: float, system: System
) -> Iterator[Assumption]:
    screw, cleat = hanging.screw, hanging.cleat
    basis = _("NDS 2018, table L3, as transcribed")
    root = number(f"{SIZES[screw.gauge].root:.2f} mm")
    size = say(
        "No. {gauge} × {length}, root {root}",
        gauge=screw.gauge,
        length=on_tape(screw.length, system),
        root=root,
    )
    yield Assumption(_("screws"), size, basis)
    if screw.head is Head.COUNTERSUNK:
        share = number(f"{COUNTERSUNK:.1f}")
        what = _("share of pull-through left under a countersunk head")
        yield Assumption(what, share, _("choice; sources take 20 to 40 % off"))
    reached = on_tape(from_mm(round(held.penetration, 1)), system, toward=Toward.LESS)
    yield Assumption(_("penetration into the stud"), reached, _("as entered"))
    loads = number(f"{reduction(SIZES[screw.gauge].root):.2f}")
    yield Assumption(_("yield loads divided by"), loads, _("NDS 2018, table 12.3.1B"))
    room = say("{room:.1f} mm either way", room=window(STUD, shank=SIZES[screw.gauge].shank))
    basis = _("a stud 38 mm wide, the finder's error off; NDS commentary, from memory")
    yield Assumption(_("screws meet the stud's middle within"), room, basis)
    glue = _("glued and screwed") if cleat.is_glued else _("screwed only; the panel counts as gap")
    yield Assumption(_("cleat on panel"), glue, _("as entered"))
    gap = on_tape(from_mm(held.layers.gap), system, toward=Toward.MORE)
    basis = _("choice: gypsum and hollows bear nothing; AWC TR12 form, from memory")
    yield Assumption(_("gap"), gap, basis)
    factor = number(f"{duration:.2f}")
    yield Assumption(_("load duration, damp, warmth"), factor, _("NDS 2018; 0.9 is permanent"))


def _statics(hanging: Hanging, *, shop: float, system: System) -> Iterator[Assumption]:
    unit = hanging.unit
    out = on_tape(max(unit.load_out, unit.self_out), system)
    basis = _("as entered, the further of load and own weight")
    yield Assumption(_("load and own weight hang out"), out, basis)
    drop = on_tape(unit.drop, system) if unit.drop is not None else ""
    yield Assumption(_("stop below the bevel"), drop, _("as entered"))
    why = _("choice: vibration, wax and paint take it away")
    yield Assumption(_("friction"), _("not counted"), why)
    pivot = on_tape(from_mm(PIVOT), system, marks=64)
    what = _("the cleat turns about a line above its lower edge by")
    yield Assumption(what, pivot, _("derived, checked by finite elements"))
    if len(set(hanging.wall.studs)) > 2:
        stiff = _("as if cleat and unit did not bend")
        yield Assumption(_("studs share the load"), stiff, _("derived; two share it by balance"))
    strip = _("as thick as the cleat, bevel 45°")
    yield Assumption(_("hung strip"), strip, _("choice: others were not worked out"))
    others = _("not reckoned: the unit's own joints, the studs themselves")
    yield Assumption(_("what else must hold"), others, _("choice"))
    touching = on_tape(unit.strip, system)
    yield Assumption(_("touching length of the strip"), touching, _("as entered"))
    stresses = say(
        "MPa: tension {tension:.3f}, rolling shear {shear:.3f}, pressure {bearing:.3f}",
        tension=tip_strength(hanging.cleat.board),
        shear=ROLLING_SHEAR,
        bearing=BEARING,
    )
    yield Assumption(_("strength of the bevel"), stresses, _("from memory; see the panel's data"))
    bent = say("{strength:.1f} MPa, its face grain along it", strength=BENDING)
    yield Assumption(_("strength of a cleat bent between studs"), bent, _("choice"))
    yield Assumption(_("shop factor"), number(f"{shop:.2f}"), _("common practice, no source"))
    cap = say("{cap:.0f} kg a shelf", cap=CAP_KG)
    yield Assumption(_("cap"), cap, _("Architectural Woodwork Standards 2009: 200 lb"))


def _lock(hanging: Hanging, system: System) -> Iterator[Assumption]:
    lock = hanging.unit.lock
    if lock is not None:
        value = say(
            "{count} × No. {gauge} × {length} into studs",
            count=lock.count,
            gauge=lock.screw.gauge,
            length=on_tape(lock.screw.length, system),
        )
        yield Assumption(_("pull-lock"), value, _("as entered"))


def _second_opinion() -> Iterator[Assumption]:
    value = say(
        "k_mod {k:.2f}, divided by {gamma:.1f} and by {load:.1f}",
        k=K_MOD["long"],
        gamma=GAMMA_CONNECTION,
        load=LOAD_FACTOR,
    )
    basis = _("EN 1995-1-1 by handbooks; load factor from memory")
    yield Assumption(_("second opinion"), value, basis)
    wood = say("stud {stud:.0f}, plywood {panel:.0f} kg/m³", stud=RHO_STUD, panel=RHO_PLYWOOD)
    yield Assumption(_("densities of the second opinion"), wood, _("from memory"))


def _shelves() -> Iterator[Assumption]:
    stiff = say("{e:.0f} MPa, across the grain divided by {n:.0f}", e=ELASTICITY, n=ACROSS)
    yield Assumption(_("elasticity of shelves"), stiff, _("lowest of published figures"))
    strength = say("{mor:.0f} MPa over {safety:.0f}", mor=RUPTURE, safety=SAFETY)
    yield Assumption(_("bending strength of shelves"), strength, _("from memory"))
    sag = say("span / {limit:.0f} after {creep:.1f}-fold creep", limit=LIMIT, creep=CREEP)
    yield Assumption(_("sag of shelves"), sag, _("common practice, no source; NDS 3.5.2"))
