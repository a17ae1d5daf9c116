"""Fill in what nobody said of how a unit hangs with what the part list knows, and say so.

What must be measured is never filled in: the stop's drop and landing, how high the cleat is, the
plies of its board, how the strip is joined; nor what is behind a cleat where the list names a panel
that it does not hold.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from kiosk.rules.hanging.assumed import Assumption
from kiosk.rules.hanging.fitting import Fitting, How
from kiosk.rules.hanging.kinds import Board
from kiosk.rules.hanging.model import NOTHING
from kiosk.rules.hanging.weighing import board_of, density, weigh
from kiosk.rules.lengths import Length, System, from_mm, show
from kiosk.rules.parts import Piece, UnitSpec
from kiosk.rules.words import Phrase, _, join, number, say

BACK: Final = from_mm(10)  # a thinner piece is a back, no board that stands out (choice)


@dataclass(frozen=True, slots=True)
class Filled:
    """How a unit hangs with all that is known, and where each thing nobody said is from."""

    fitting: Fitting
    notes: tuple[Assumption, ...]


def complete(
    spec: UnitSpec, said: Fitting, *, specs: Mapping[str, UnitSpec], system: System = System.MM
) -> Filled:
    """Return how a unit hangs, filled in from its own pieces and those of what it hangs on.

    Args:
        spec: the unit.
        said: what people said of it.
        specs: the units of its job by id.
        system: how lengths are shown.
    """
    filling = _Filling(spec, said, specs, system)
    filling.place()
    filling.cleat()
    filling.size()
    filling.weight()
    return Filled(filling.fitting, tuple(filling.notes))


def how_of(spec: UnitSpec, specs: Mapping[str, UnitSpec]) -> How:
    """Return what holds a unit where nobody said: by its kind and what it hangs on.

    A door, and what hangs on another unit than a panel, is carried; a panel without bevelled pieces
    has screws of its own; all else hooks on a cleat.
    """
    on = specs.get(spec.hangs_on)
    if on is not None and on.unit != spec.unit and on.kind not in ("panel", "wall"):
        return How.CARRIED
    if spec.kind == "door":
        return How.CARRIED
    return How.CLEAT if spec.kind != "panel" or bevelled(spec) else How.SCREWED


def bevelled(spec: UnitSpec) -> tuple[Piece, ...]:
    """Return a unit's pieces with a bevel: its cleats and strips."""
    return tuple(piece for piece in spec.pieces if piece.bevel)


def face_of(spec: UnitSpec) -> Piece | None:
    """Return the largest piece without a bevel, None where there is none."""
    flat = [piece for piece in spec.pieces if not piece.bevel]
    return max(flat, key=lambda one: (one.length * one.width, one.code), default=None)


@dataclass(slots=True)
class _Filling:
    """One unit while it is filled in; nothing of it leaves this module."""

    spec: UnitSpec
    fitting: Fitting
    specs: Mapping[str, UnitSpec]
    system: System
    notes: list[Assumption] = field(default_factory=list)

    def note(self, what: Phrase, value: str, basis: Phrase) -> None:
        self.notes.append(Assumption(what, value, basis))

    def put(self, name: str, value: Length | None, what: Phrase, basis: Phrase) -> None:
        """Fill in a length of the fitting nobody said, and say where it is from."""
        if getattr(self.fitting, name) is None and value is not None:
            change: dict[str, Any] = {name: value}
            self.fitting = replace(self.fitting, **change)
            self.note(what, show(value, self.system) if value else _("nothing"), basis)

    def put_cleat(self, name: str, value: Any, what: Phrase, said: str, basis: Phrase) -> None:
        """Fill in something of the cleat; Any: what its field holds."""
        change: dict[str, Any] = {name: value}
        self.fitting = replace(self.fitting, cleat=replace(self.fitting.cleat, **change))
        self.note(what, said, basis)

    def place(self) -> None:
        """Fill in what holds the unit, and what its screws pass."""
        spec = self.spec
        if not self.fitting.wall and spec.wall:
            self.fitting = replace(self.fitting, wall=spec.wall)
        if self.fitting.how is None:
            self.fitting = replace(self.fitting, how=how_of(spec, self.specs))
        if not self.fitting.on and spec.hangs_on in self.specs and spec.hangs_on != spec.unit:
            self.fitting = replace(self.fitting, on=spec.hangs_on)
        on = self.specs.get(self.fitting.on)
        named = self.fitting.on or spec.hangs_on
        if on is None and named not in ("", spec.unit, self.fitting.wall):
            return
        if on is None or on.kind == "wall":
            self.put("panel", NOTHING, _("panel behind the cleat"), _("on the bare wall"))
            self.put("void", NOTHING, _("hollow behind the panel"), _("on the bare wall"))
            return
        face = face_of(on)
        if face is not None and face.thickness:
            basis = say("the thickness of {part} of {unit}", part=face.part, unit=on.unit)
            self.put("panel", face.thickness, _("panel behind the cleat"), basis)
        behind = max((piece.thickness or NOTHING for piece in bevelled(on)), default=NOTHING)
        basis = _("nothing holds the panel off the wall")
        if behind:
            basis = say("{unit} hangs on cleats so thick; they may be elsewhere", unit=on.unit)
        self.put("void", behind, _("hollow behind the panel"), basis)

    def cleat(self) -> None:
        """Fill in the cleat from the unit's strip: alike pieces only, never one of several."""
        strips, cleat = bevelled(self.spec), self.fitting.cleat
        if not strips:
            return
        names = join(dict.fromkeys(one.part for one in strips), ", ")
        basis = say("as {part} of the part list: the wall cleat is alike", part=names)
        for key, words in (
            ("thickness", _("the cleat's thickness")),
            ("width", _("the cleat's height")),
        ):
            name = "height" if key == "width" else key
            found = {getattr(one, key) for one in strips}
            value = found.pop() if len(found) == 1 else None
            if getattr(cleat, name) is None and value:
                self.put_cleat(name, value, words, show(value, self.system), basis)
        shortest = Length(min(one.length for one in strips))
        if cleat.length is None:
            words = _("the cleat's length")
            self.put_cleat("length", shortest, words, show(shortest, self.system), basis)
        self.put("strip", shortest, _("touching length of the strip"), basis)
        boards = {board_of(one.material) for one in strips}
        if cleat.board is Board.UNKNOWN and len(boards) == 1 and Board.UNKNOWN not in boards:
            board = boards.pop()
            said = join(dict.fromkeys(one.material for one in strips), ", ")
            self.put_cleat("board", board, _("the cleat's board"), said, basis)
        bevels = {abs(one.bevel) for one in strips}
        if cleat.bevel == 45 and bevels != {45.0}:
            # of several the one least like 45°, as none but that was worked out
            odd = max(bevels, key=lambda one: abs(one - 45))
            self.put_cleat("bevel", odd, _("the cleat's bevel"), number(f"{odd:g}°"), basis)

    def size(self) -> None:
        """Fill in how wide and deep it is, and how far out it hangs."""
        self._width()
        self._depth()
        self._cleat_place()
        if self.fitting.how is How.CARRIED:
            return
        depth, strip = self.fitting.depth, self.fitting.cleat.thickness
        if depth is None or strip is None:
            return
        out = Length(strip + (depth + 1) // 2)
        basis = say(
            "half of the depth in front of the strip: {strip} + {depth} / 2",
            strip=show(strip, self.system),
            depth=show(depth, self.system),
        )
        self.put("load_out", out, _("how far out the load is"), basis)
        self.put("self_out", out, _("how far out its own weight is"), basis)

    def _width(self) -> None:
        spec, strips = self.spec, bevelled(self.spec)
        if spec.kind == "panel":
            self._face()
            return
        if spec.kind == "box" and strips:
            side = max((one.thickness or NOTHING for one in spec.pieces), default=NOTHING)
            width = Length(max(one.length for one in strips) + 2 * side)
            basis = _("its longest strip and two sides")
        else:
            longest = max(spec.pieces, key=lambda one: (one.length, one.code), default=None)
            if longest is None:
                return
            width, basis = longest.length, say("the length of {part}", part=longest.part)
        self.put("width", width, _("the unit's width"), basis)

    def _face(self) -> None:
        """Fill in a panel's width and height: the side that its strips fit best runs across."""
        face, strips = face_of(self.spec), bevelled(self.spec)
        if face is None or not strips:
            return
        strip = max(one.length for one in strips)
        width, height = sorted(
            (face.length, face.width), key=lambda side: (side < strip, abs(side - strip))
        )
        basis = say("the side of {part} along its strips", part=face.part)
        self.put("width", width, _("the unit's width"), basis)
        self.put("height", height, _("the unit's height"), basis)

    def _depth(self) -> None:
        if self.spec.kind == "panel":
            face = face_of(self.spec)
            if face is not None:
                basis = say("the thickness of {part}", part=face.part)
                self.put("depth", face.thickness, _("the unit's depth"), basis)
            return
        boards = [
            one for one in self.spec.pieces if not one.bevel and (one.thickness or BACK) >= BACK
        ]
        widest = max(boards, key=lambda one: (one.width, one.code), default=None)
        if widest is not None:
            basis = say("the width of {part}", part=widest.part)
            self.put("depth", widest.width, _("the unit's depth"), basis)

    def _cleat_place(self) -> None:
        fitting = self.fitting
        x, width, length = fitting.x, fitting.width, fitting.cleat.length
        if fitting.cleat.x is None and x is not None and width is not None and length is not None:
            left = Length(max(x + (width - length) // 2, 0))
            basis = _("in the middle of the unit")
            self.put_cleat("x", left, _("the cleat's left end"), show(left, self.system), basis)

    def weight(self) -> None:
        """Reckon the unit's weight from its pieces where nobody weighed it."""
        if self.fitting.self_kg is not None:
            return
        found = weigh(self.spec.pieces)
        if found is None:
            return
        self.fitting = replace(self.fitting, self_kg=found)
        materials = dict.fromkeys(one.material or _("unknown material") for one in self.spec.pieces)
        said = join((_dense(one) for one in materials), ", ")
        basis = say("its pieces, without hardware; {densities}, from memory", densities=said)
        self.note(_("its own weight"), number(f"{found:.1f} kg"), basis)


def _dense(material: str) -> Phrase:
    return say("{material} {kg:.0f} kg/m³", material=material, kg=density(material))
